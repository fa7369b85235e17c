// Package clearance measures how near bodies come to each other while several
// straight movements, each within its range, shift them: the least distance over
// all combinations, or how deep they run into each other.
//
// A body is the convex hull of points that every movement shifts along a straight
// line; points of one body may be shifted by different amounts, as the run of a
// loop that grows longer. No place is sampled: what one body takes up, seen from
// another that moves as well, is convex again, and the nearest point of a convex
// body is found exactly.
//
// It knows no rotation, no machine and no limit of what is near enough. Lengths
// are in m.
package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Range is what one movement may be, lowest and highest.
type Range struct{ Low, High float64 }

// Group is points that are shifted together: by the sum of each movement times
// its way. Ways beyond the end of the list are zero.
type Group struct {
	Points []r3.Vec
	Ways   []r3.Vec // for each movement, shift per unit

	low, high r3.Vec // the box around the points
}

// Of makes a group.
func Of(points, ways []r3.Vec) Group {
	g := Group{Points: points, Ways: ways, low: points[0], high: points[0]}
	for _, p := range points[1:] {
		g.low, g.high = lower(g.low, p), higher(g.high, p)
	}
	return g
}

func (g *Group) way(i int) r3.Vec {
	if i < len(g.Ways) {
		return g.Ways[i]
	}
	return r3.Vec{}
}

// Body is the convex hull of its groups wherever the movements have put them.
type Body struct {
	Groups []Group // made by Of
	// Unit normals of its faces and unit directions of its edges, either sense; of
	// use only where it runs into another body.
	Normals, Edges []r3.Vec
}

// Nearest is where two bodies come nearest.
type Nearest struct {
	// Distance is the least distance, m. Negative is the least straight shift, m,
	// that would part the two over all the movements.
	Distance float64
	At       []float64 // the movements where it is reached; where the bodies meet, one of many
	A, B     r3.Vec    // the nearest points there
}

// Between finds where two bodies come nearest while each movement takes any
// value of its range, independently of the others.
//
// The body A seen from B is the hull of all a - b; its least distance from the
// origin is found by Wolfe's method (Finding the nearest point in a polytope,
// Mathematical Programming 11 (1976) 128, from memory). Where the hull holds the
// origin, the depth is its least extent along the normals that the faces of such
// a hull can have: those of the two bodies, and the products of edges and ways.
//
// The hull is exact for bodies of one group, and for groups that differ by shifts
// along one common line; for others it is larger than what the bodies take up, and the
// distance too small.
func Between(a, b *Body, ranges []Range) Nearest {
	h := hull{a: a, b: b, ranges: ranges}
	n := h.nearest()
	if n.Distance <= touching {
		n.Distance = -h.depth()
	}
	return n
}

// touching is the distance below which bodies touch, m: far below what is drawn, far
// above the rounding of places in metres.
const touching = 1e-9

// hull is all a - b, by its support.
type hull struct {
	a, b   *Body
	ranges []Range
}

// corner is a corner of the hull with what makes it.
type corner struct {
	at, a, b r3.Vec // a and b shifted
	q        []float64
}

// extent is how far the hull reaches along d from the origin.
func (h *hull) extent(d r3.Vec) float64 {
	most := math.Inf(-1)
	for i := range h.a.Groups {
		ga := &h.a.Groups[i]
		fa, _ := farthest(ga.Points, d, 1)
		for k := range h.b.Groups {
			gb := &h.b.Groups[k]
			fb, _ := farthest(gb.Points, d, -1)
			most = max(most, fa+fb+h.shift(ga, gb, d))
		}
	}
	return most
}

// shift is how far the movements can carry one group from another along d.
func (h *hull) shift(ga, gb *Group, d r3.Vec) float64 {
	sum := 0.0
	for i, r := range h.ranges {
		c := r3.Dot(d, r3.Sub(ga.way(i), gb.way(i)))
		sum += max(c*r.Low, c*r.High)
	}
	return sum
}

// support is the corner of the hull that reaches farthest along d.
func (h *hull) support(d r3.Vec) corner {
	most := math.Inf(-1)
	var ga, gb *Group
	var pa, pb int
	for i := range h.a.Groups {
		g := &h.a.Groups[i]
		fa, ka := farthest(g.Points, d, 1)
		for k := range h.b.Groups {
			o := &h.b.Groups[k]
			fb, kb := farthest(o.Points, d, -1)
			if f := fa + fb + h.shift(g, o, d); f > most {
				most, ga, gb, pa, pb = f, g, o, ka, kb
			}
		}
	}
	c := corner{a: ga.Points[pa], b: gb.Points[pb], q: make([]float64, len(h.ranges))}
	for i, r := range h.ranges {
		wa, wb := ga.way(i), gb.way(i)
		c.q[i] = r.end(r3.Dot(d, r3.Sub(wa, wb)))
		c.a, c.b = r3.Add(c.a, r3.Scale(c.q[i], wa)), r3.Add(c.b, r3.Scale(c.q[i], wb))
	}
	c.at = r3.Sub(c.a, c.b)
	return c
}

// end is the end of the range that a sign asks for; where it asks for nothing,
// what is nearest to zero.
func (r Range) end(sign float64) float64 {
	const none = 1e-12
	switch {
	case sign > none:
		return r.High
	case sign < -none:
		return r.Low
	}
	return min(max(0, r.Low), r.High)
}

// farthest is how far points reach along sign times d, and which does.
func farthest(points []r3.Vec, d r3.Vec, sign float64) (most float64, at int) {
	most = math.Inf(-1)
	for i, p := range points {
		if f := sign * (d.X*p.X + d.Y*p.Y + d.Z*p.Z); f > most {
			most, at = f, i
		}
	}
	return most, at
}

// depth is the least extent of the hull along all normals that its faces can have.
func (h *hull) depth() float64 {
	least := math.Inf(1)
	try := func(d r3.Vec) {
		n := r3.Norm(d)
		if !(n > parallel) {
			return
		}
		d = r3.Scale(1/n, d)
		least = min(least, h.extent(d), h.extent(r3.Scale(-1, d)))
	}
	for _, d := range h.a.Normals {
		try(d)
	}
	for _, d := range h.b.Normals {
		try(d)
	}
	ways := h.ways()
	for i, w := range ways {
		for _, v := range ways[:i] {
			try(r3.Cross(w, v))
		}
		for _, e := range h.a.Edges {
			try(r3.Cross(w, e))
		}
		for _, e := range h.b.Edges {
			try(r3.Cross(w, e))
		}
	}
	for _, e := range h.a.Edges {
		for _, f := range h.b.Edges {
			try(r3.Cross(e, f))
		}
	}
	return max(least, 0)
}

// parallel is the sine below which two directions have no common normal.
const parallel = 1e-6

// ways are the unit directions in which one body is carried from the other.
func (h *hull) ways() []r3.Vec {
	var out []r3.Vec
	for i := range h.a.Groups {
		for k := range h.b.Groups {
			for m, r := range h.ranges {
				w := r3.Sub(h.a.Groups[i].way(m), h.b.Groups[k].way(m))
				if n := r3.Norm(w); n > 0 && r.High > r.Low {
					out = append(out, r3.Scale(1/n, w))
				}
			}
		}
	}
	return out
}

// Box is the box around a body with all movements at zero.
func (b *Body) Box() (low, high r3.Vec) {
	low, high = b.Groups[0].low, b.Groups[0].high
	for _, g := range b.Groups[1:] {
		low, high = lower(low, g.low), higher(high, g.high)
	}
	return low, high
}

func lower(p, q r3.Vec) r3.Vec {
	return r3.Vec{X: min(p.X, q.X), Y: min(p.Y, q.Y), Z: min(p.Z, q.Z)}
}

func higher(p, q r3.Vec) r3.Vec {
	return r3.Vec{X: max(p.X, q.X), Y: max(p.Y, q.Y), Z: max(p.Z, q.Z)}
}

// Shift is the box of all shifts of ways against other ways.
func Shift(ways, against []r3.Vec, ranges []Range) (low, high r3.Vec) {
	a, b := Group{Ways: ways}, Group{Ways: against}
	for i, r := range ranges {
		w := r3.Sub(a.way(i), b.way(i))
		p, q := r3.Scale(r.Low, w), r3.Scale(r.High, w)
		low, high = r3.Add(low, lower(p, q)), r3.Add(high, higher(p, q))
	}
	return low, high
}

// Apart is a distance that two bodies keep at least, m, from the boxes around
// them: quick, and exact for boxes along the axes that move along them. Where the
// boxes meet it is negative: the bodies need be shifted no further than that to
// part them.
func Apart(a, b *Body, ranges []Range) float64 {
	low, high := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for i := range a.Groups {
		ga := &a.Groups[i]
		for k := range b.Groups {
			gb := &b.Groups[k]
			l, h := Shift(ga.Ways, gb.Ways, ranges)
			low = lower(low, r3.Add(r3.Sub(ga.low, gb.high), l))
			high = higher(high, r3.Add(r3.Sub(ga.high, gb.low), h))
		}
	}
	return Gap(low, high)
}

// Gap is how far the box between two corners lies from the origin, m; where it
// holds the origin, the least extent from there with a minus.
func Gap(low, high r3.Vec) float64 {
	x, y, z := max(low.X, -high.X), max(low.Y, -high.Y), max(low.Z, -high.Z)
	if most := max(x, y, z); most <= 0 {
		return most
	}
	x, y, z = max(x, 0), max(y, 0), max(z, 0)
	return math.Sqrt(x*x + y*y + z*z)
}
