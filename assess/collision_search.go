package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/clearance"
	"spanwright/machine"
)

// pair is two parts with a distance that they keep at least, m.
type pair struct {
	a, b  *machine.Extent
	apart float64
}

// search looks for the nearest pairs of a machine.
type search struct {
	m     *machine.Machine
	limit float64 // m: nearer pairs are all of interest
}

// shifts are the boxes of the shifts of every body against every other while the
// axes take all places of their ranges.
type shifts [][][2]r3.Vec

func (s search) shifts(ranges []clearance.Range) shifts {
	n := len(s.m.Axes) + 1
	out := make(shifts, n)
	for a := range n {
		out[a] = make([][2]r3.Vec, n)
		for b := range n {
			out[a][b][0], out[a][b][1] = clearance.Shift(s.ways(a), s.ways(b), ranges)
		}
	}
	return out
}

func (s search) ways(body int) []r3.Vec {
	out := make([]r3.Vec, body)
	for i, a := range s.m.Axes[:body] {
		out[i] = a.Dir
	}
	return out
}

// apart is a distance that two parts keep at least, from the boxes around them.
func (t shifts) apart(a, b *machine.Extent, ranges []clearance.Range) float64 {
	if a.Rigid() && b.Rigid() {
		between := &t[a.Bodies[0]][b.Bodies[0]]
		return clearance.Gap(r3.Add(r3.Sub(a.Low, b.High), between[0]), r3.Add(r3.Sub(a.High, b.Low), between[1]))
	}
	least := math.Inf(1)
	for i := range a.Pieces {
		for k := range b.Pieces {
			least = min(least, clearance.Apart(&a.Pieces[i], &b.Pieces[k], ranges))
		}
	}
	return least
}

// shortlist keeps the pairs of one class that may be the nearest or nearer than the limit.
type shortlist struct {
	pairs []pair
	best  float64 // some pair comes as near as this, m
}

func newShortlist() shortlist { return shortlist{best: math.Inf(1)} }

// offer takes a pair into the list unless another is known to come nearer.
func (l *shortlist) offer(s search, p pair, ranges []clearance.Range) {
	if p.apart > max(l.best, s.limit) || s.m.Meant(p.a, p.b) != "" {
		return
	}
	l.pairs = append(l.pairs, p)
	if p.apart < l.best && p.apart > s.limit {
		l.best = min(l.best, exact(p.a, p.b, ranges).Distance)
	}
}

// enough is how many pairs are looked at exactly where many are too near: those
// whose boxes overlap most.
const enough = 40

// nearest are the pairs of the list that come nearest, the nearest first and
// behind it those that are nearer than the limit.
func (l *shortlist) nearest(s search, ranges []clearance.Range, when string) []encounter {
	slices.SortStableFunc(l.pairs, func(p, q pair) int { return cmp.Compare(p.apart, q.apart) })
	var found []encounter
	least := math.Inf(1)
	for _, p := range l.pairs {
		if p.apart > max(least, s.limit) || len(found) >= enough {
			break
		}
		n := exact(p.a, p.b, ranges)
		least = min(least, n.Distance)
		found = append(found, encounter{p.a, p.b, n, when})
	}
	slices.SortStableFunc(found, closer)
	return found
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

// during finds the nearest of the pairs of one part with those that it moves
// past, while the axes take all places of their ranges.
func (s search) during(part *machine.Extent, others []machine.Extent, ranges []clearance.Range, when string) []encounter {
	t, l := s.shifts(ranges), newShortlist()
	for i := range others {
		if b := &others[i]; !b.Rigid() || b.Bodies != part.Bodies {
			l.offer(s, pair{part, b, t.apart(part, b, ranges)}, ranges)
		}
	}
	return l.nearest(s, ranges, when)
}

// along finds where a part comes nearest to others on a move. Its time is halved
// until the box of places that the axes take in a part of it is one of the path, or
// clears everything: what is found is never more than finestPath too near.
func (s search) along(part *machine.Extent, others []machine.Extent, l *leg) []encounter {
	when := fmt.Sprintf("step %d to %s", l.index+1, l.step.To)
	best := s.during(part, others, l.box(0, 0), when)
	if len(best) == 0 {
		return nil
	}
	others = s.within(max(s.limit, best[0].place.Distance), part, others, l.box(0, l.move.Duration))
	var look func(from, to float64)
	look = func(from, to float64) {
		box := l.box(from, to)
		found := s.during(part, others, box, when)
		switch {
		case len(found) == 0 || found[0].place.Distance >= best[0].place.Distance:
		case l.straight(box):
			best = found
		default:
			mid := (from + to) / 2
			look(from, mid)
			look(mid, to)
		}
	}
	look(0, l.move.Duration)
	return best
}

// within keeps the parts that may come as near as a distance.
func (s search) within(distance float64, part *machine.Extent, others []machine.Extent, ranges []clearance.Range) (out []machine.Extent) {
	t := s.shifts(ranges)
	for i := range others {
		if t.apart(part, &others[i], ranges) <= distance {
			out = append(out, others[i])
		}
	}
	return out
}

// finestPath is how far two axes may go at a time for their box to count as the path, m.
const finestPath = 1e-3

// straight tells whether a box of places is the path itself: at most one axis
// moves in it, or hardly two.
func (l *leg) straight(box []clearance.Range) bool {
	most, second := 0.0, 0.0
	for _, r := range box {
		switch way := r.High - r.Low; {
		case way > most:
			most, second = way, most
		case way > second:
			second = way
		}
	}
	return second <= finestPath
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
