package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// seeds is the share of the judgements that look about before the climb: own choice.
const seeds = 0.3

// climb judges candidates spread over the space, and then goes on from the best.
func (w *walk) climb(ctx context.Context) error {
	for n := 0; n < w.looks && float64(w.judged) < seeds*float64(w.opts.Most) && !w.spent(); n++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		list := make([]candidate, block)
		if err := inParallel(block, func(k int) { list[k] = w.seed(n*block + k) }, func(int) {}); err != nil {
			return err
		}
		if err := w.judgeAll(ctx, unique(list)); err != nil {
			return err
		}
		w.report(len(w.front()), 0)
	}
	return w.goOn(ctx)
}

// goOn judges the neighbours of what is best so far, until there are none or the
// limit is reached.
func (w *walk) goOn(ctx context.Context) error {
	for !w.spent() {
		list := w.neighbours()
		switch {
		case len(list) == 0 && w.wide:
			return nil
		case len(list) == 0:
			w.wide = true
			continue
		}
		if err := w.judgeAll(ctx, list[:min(len(list), 4*block)]); err != nil {
			return err
		}
	}
	return nil
}

// mostLooks is how many blocks of seeds are looked at: most candidates are
// discarded without a whole judgement, which must not go on for ever.
const mostLooks = 200

// unique drops candidates that stand in the list before.
func unique(list []candidate) (out []candidate) {
	for _, c := range list {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// seed is the n-th of a row of candidates that are spread over the space: the
// fractions of multiples of roots of primes, one for each choice (Weyl's
// sequence). Of the parts that pass as an axis, half of the seeds take the
// cheapest, a quarter the next, and so on.
func (w *walk) seed(n int) candidate {
	used := 0
	fraction := func() float64 {
		_, f := math.Modf(float64(n+1) * math.Sqrt(float64(primes[used])))
		used++
		return f
	}
	take := func(count int) int { return min(int(fraction()*float64(count)), count-1) }
	c := candidate{}
	if c.pace = take(len(w.s.Paces)); w.gentle != nil {
		c.pace = w.gentle[c.pace%len(w.gentle)]
	}
	c.frame = take(len(w.s.Frames))
	t := w.grove.tree(c.pace)
	b := t.root
	for i := len(w.p.axes) - 1; i >= 0; i-- {
		rank := int(-math.Log2(1 - fraction()))
		var to *branch
		for _, part := range w.parts[i] {
			if b == nil || rank < 0 {
				break
			}
			if out := t.grow(b, part); len(out) > 0 {
				c.axes[i].part, to = part, out[0]
				rank--
			}
		}
		b = to
	}
	if b == nil {
		return c
	}
	for i, list := range b.joins {
		c.axes[i].join = take(len(list))
	}
	return c
}

// primes are one for each choice of a candidate.
var primes = [2 + 2*mostAxes]int{2, 3, 5, 7, 11, 13, 17, 19}

// neighbours are the candidates not judged yet that differ in one choice from
// one on the front, in turn with those that fail least and would be on it if they
// passed. The kinds of choices take turns.
func (w *walk) neighbours() []candidate {
	leaders, misses := w.leaders(), w.leastFailing(mostMisses)
	var from []candidate
	for n := range max(len(leaders), len(misses)) {
		for _, list := range [][]int{leaders, misses} {
			if n < len(list) {
				from = append(from, w.at[w.outcomes[list[n]].Key])
			}
		}
	}
	var lists [][]candidate
	for _, at := range from {
		lists = append(lists, w.exchanged(at, from))
		lists = append(lists, w.around(at)...)
	}
	return w.inTurn(lists)
}

// exchanged are the candidates that take over from another one its pace, its frame
// or one axis.
func (w *walk) exchanged(at candidate, others []candidate) (out []candidate) {
	for _, o := range others {
		c := at
		c.pace = o.pace
		out = append(out, c)
		c = at
		c.frame = o.frame
		out = append(out, c)
		for i := range w.s.Axes {
			c = at
			c.axes[i] = o.axes[i]
			out = append(out, c)
		}
	}
	return out
}

// mostMisses is how many machines that fail are looked around at: own choice.
const mostMisses = 8

// leaders are the outcomes on the front, the best in each number first, then the
// second in each, and so on.
//
// While most judgements are left, the first two numbers alone count: by a single
// choice a cheap machine becomes a stiffer one, and a stiff one hardly a cheap one.
func (w *walk) leaders() []int {
	all := w.front()
	var lists [][]int
	for k := range w.leading() {
		list := slices.Clone(all)
		slices.SortStableFunc(list, func(x, y int) int {
			return cmp.Compare(w.opts.vector(w.outcomes[x].Values)[k], w.opts.vector(w.outcomes[y].Values)[k])
		})
		lists = append(lists, list)
	}
	var out []int
	for n := range all {
		for _, list := range lists {
			if !slices.Contains(out, list[n]) {
				out = append(out, list[n])
			}
		}
	}
	return out
}

// leading is how many of the numbers lead.
func (w *walk) leading() int {
	n := len(w.opts.objectives())
	w.wide = w.wide || float64(w.judged) >= narrow*float64(w.opts.Most)
	if w.wide {
		return n
	}
	return min(n, 2)
}

// narrow is the share of the judgements up to which the first numbers alone lead: own choice.
const narrow = 0.5

// around are the candidates that differ in one choice, by the kind of choice.
func (w *walk) around(at candidate) [][]candidate {
	var drives, frames, paces []candidate
	parts := make([][]candidate, len(w.s.Axes))
	for _, f := range nearest(w.frames, at.frame) {
		if w.s.Frames[at.frame].differs(w.s.Frames[f]) == 1 {
			c := at
			c.frame = f
			frames = append(frames, c)
		}
	}
	for k := range w.s.Paces {
		if w.s.Paces[at.pace].differs(w.s.Paces[k]) == 1 {
			c := at
			c.pace = k
			paces = append(paces, c)
		}
	}
	for i := range w.s.Axes {
		for _, k := range nearest(w.parts[i], at.axes[i].part) {
			c := at
			c.axes[i] = pick{part: k}
			parts[i] = append(parts[i], c)
		}
	}
	b := w.grove.at(at)
	for i, list := range b.joins {
		for k := range list {
			c := at
			c.axes[i].join = k
			drives = append(drives, c)
		}
		for _, d := range []int{at.axes[i].drive - 1, at.axes[i].drive + 1} {
			if c := at; d >= 0 {
				c.axes[i].drive = d
				drives = append(drives, c)
			}
		}
	}
	return append(parts, frames, paces, drives)
}

// inTurn takes the first of every list, then the second, and so on, without what
// was judged and without repeating any.
func (w *walk) inTurn(lists [][]candidate) (out []candidate) {
	taken := map[candidate]bool{}
	for len(lists) > 0 {
		left := lists[:0]
		for _, list := range lists {
			for len(list) > 0 && (w.seen[list[0]] || taken[list[0]] || !w.wide && w.later[list[0]]) {
				list = list[1:]
			}
			if len(list) > 0 {
				taken[list[0]] = true
				out = append(out, list[0])
				left = append(left, list[1:])
			}
		}
		lists = left
	}
	return out
}
