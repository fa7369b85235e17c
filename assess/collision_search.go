package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/clearance"
	"spanwright/machine"
)

// pair is two parts with a distance that they keep at least.
type pair struct {
	a, b  *machine.Extent
	apart float64
}

// search looks for the nearest pairs of a machine.
type search struct {
	m     *machine.Machine
	whole []clearance.Range
}

// nearest finds the pairs that come nearest while the axes take all places of
// their ranges: the nearest first, and behind it those that are nearer than the
// limit, exact as far as they are told. Pairs that are meant to touch are left out.
func (s search) nearest(pairs []pair, ranges []clearance.Range, when string) []encounter {
	limit := s.m.Design.Assumptions.Limits.Clearance
	best := math.Inf(1) // some pair comes as near as this
	var close []pair
	for _, p := range pairs {
		p.apart = apart(p.a, p.b, ranges)
		if p.apart > max(best, limit) || s.m.Meant(p.a, p.b) != "" {
			continue
		}
		close = append(close, p)
		if p.apart < best && p.apart > limit {
			best = min(best, exact(p.a, p.b, ranges).Distance)
		}
	}
	slices.SortStableFunc(close, func(p, q pair) int { return cmp.Compare(p.apart, q.apart) })
	var found []encounter
	for _, p := range close {
		if len(found) > 0 && p.apart > max(found[0].place.Distance, limit) {
			break
		}
		if len(found) >= enough {
			break
		}
		found = append(found, encounter{p.a, p.b, exact(p.a, p.b, ranges), when})
		slices.SortStableFunc(found, closer)
	}
	return found
}

// enough is how many pairs are looked at exactly where many are too near: those
// whose boxes overlap most.
const enough = 40

// apart is a distance that two parts keep at least, from boxes around their pieces.
func apart(a, b *machine.Extent, ranges []clearance.Range) float64 {
	least := math.Inf(1)
	for i := range a.Pieces {
		for k := range b.Pieces {
			least = min(least, clearance.Apart(&a.Pieces[i], &b.Pieces[k], ranges))
		}
	}
	return least
}

// exact is where two parts come nearest.
func exact(a, b *machine.Extent, ranges []clearance.Range) clearance.Nearest {
	best := clearance.Nearest{Distance: math.Inf(1)}
	for i := range a.Pieces {
		for k := range b.Pieces {
			if clearance.Apart(&a.Pieces[i], &b.Pieces[k], ranges) > best.Distance {
				continue
			}
			if n := clearance.Between(&a.Pieces[i], &b.Pieces[k], ranges); n.Distance < best.Distance {
				best = n
			}
		}
	}
	return best
}

// along finds the nearest pairs on a move. Its time is halved until the box of
// places that the axes take in a part of it is one of the path, or clears
// everything: what is found is never more than finestPath too near.
func (s search) along(pairs []pair, l *leg) []encounter {
	when := fmt.Sprintf("step %d to %s", l.index+1, l.step.To)
	first := s.nearest(pairs, l.box(0, 0), when)
	if len(first) == 0 {
		return nil
	}
	best := first
	var look func(from, to float64)
	look = func(from, to float64) {
		box := l.box(from, to)
		if l.straight(box) {
			if found := s.nearest(pairs, box, when); found[0].place.Distance < best[0].place.Distance {
				best = found
			}
			return
		}
		if found := s.nearest(pairs, box, when); found[0].place.Distance >= best[0].place.Distance {
			return
		}
		mid := (from + to) / 2
		look(from, mid)
		look(mid, to)
	}
	look(0, l.move.Duration)
	return best
}

// finestPath is how far two axes may go at a time for their box to count as the path, m.
const finestPath = 1e-3

// straight tells whether a box of places is the path itself: at most one axis
// moves in it, or hardly two.
func (l *leg) straight(box []clearance.Range) bool {
	var ways []float64
	for _, r := range box {
		ways = append(ways, r.High-r.Low)
	}
	slices.Sort(ways)
	return len(ways) < 2 || ways[len(ways)-2] <= finestPath
}

// box is the places of the axes from one time of the move to another. Each goes one way only.
func (l *leg) box(from, to float64) []clearance.Range {
	out := make([]clearance.Range, len(l.from))
	for i := range out {
		p, q := l.at(i, from), l.at(i, to)
		out[i] = clearance.Range{Low: min(p, q), High: max(p, q)}
	}
	return out
}

func (l *leg) at(axis int, t float64) float64 {
	if l.to[axis] == l.from[axis] {
		return l.from[axis]
	}
	return l.from[axis] + l.move.Profiles[axis].At(t).Position
}
