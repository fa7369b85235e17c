package search

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"
)

// gentle are the paces that ask least at each share of the time: those with the
// shortest rise, which leaves most of the time at the whole speed, and with the
// hardest and the softest stop.
func (s *Space) gentle() (out []int) {
	rise, soft, hard := math.Inf(1), math.Inf(1), 0.0
	for _, k := range s.Paces {
		rise, soft, hard = math.Min(rise, k.Rise), math.Min(soft, k.Stop), math.Max(hard, k.Stop)
	}
	for i, k := range s.Paces {
		if k.Rise == rise && (k.Stop == soft || k.Stop == hard) {
			out = append(out, i)
		}
	}
	return out
}

// reaches tells whether the bounds and the checks that need no structure leave any
// chain of all axes, at one of the gentle paces with the largest share of the time
// and a soft stop. It decides on what is tried, not on what is said to be impossible.
func (w *walk) reaches() (bool, error) {
	paces := w.s.gentle()
	share, stop := 0.0, math.Inf(1)
	for _, i := range paces {
		share, stop = math.Max(share, w.s.Paces[i].Share), math.Min(stop, w.s.Paces[i].Stop)
	}
	paces = slices.DeleteFunc(paces, func(i int) bool { return w.s.Paces[i].Share < share || w.s.Paces[i].Stop > stop })
	var found atomic.Bool
	err := inParallel(len(paces), func(i int) {
		if !found.Load() && w.grove.tree(paces[i]).reaches() {
			found.Store(true)
		}
	}, func(int) {})
	return found.Load(), err
}

// fewTails is how many tails are gone on with: own choice.
const fewTails = 2

// reaches tells whether a chain of all axes grows on the lightest tails: what an axis
// does not carry with these, it carries with none.
func (t *tree) reaches() bool {
	if t.root == nil {
		return false
	}
	tails := []*branch{t.root}
	for next := t.root.next; next >= 0; next-- {
		var longer []*branch
		for _, b := range tails {
			for part := range b.limbs {
				longer = append(longer, t.grow(b, part)...)
				if next == 0 && len(longer) > 0 {
					return true
				}
			}
		}
		slices.SortStableFunc(longer, func(x, y *branch) int { return cmp.Compare(x.tail.moved, y.tail.moved) })
		tails = longer[:min(len(longer), fewTails)]
	}
	return false
}
