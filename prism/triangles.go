package prism

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Mesh is a closed surface of triangles with flat normals: faces share no
// points. Triangles turn counter-clockwise seen from outside.
type Mesh struct {
	Points    [][3]float64 // m
	Normals   [][3]float64 // unit, one a point
	Triangles [][3]int
}

// sameArea says how far the triangles of an outline may miss its area,
// relative: rounding of some hundred products.
const areaTolerance = 1e-9

// Mesh returns the surface of the prism, arcs as chords, perTurn to a full
// turn. It fails if the outline cannot be divided into triangles of its area,
// as when loops cross.
func (p Prism) Mesh(perTurn int) (Mesh, error) {
	if err := p.Check(); err != nil {
		return Mesh{}, err
	}
	o := p.Outline.Straight(perTurn)
	caps, err := o.Triangles()
	if err != nil {
		return Mesh{}, err
	}
	var m Mesh
	for _, l := range o.Loops() {
		for i, v := range l {
			m.side(p, v.Point, l.at(i+1).Point)
		}
	}
	m.cap(p, o, caps, 0)
	m.cap(p, o, caps, 1)
	return m, nil
}

func (m *Mesh) side(p Prism, a, b Point) {
	d := b.sub(a)
	n := [3]float64{d.Y / d.length(), -d.X / d.length(), 0}
	k := len(m.Points)
	m.Points = append(m.Points,
		[3]float64{a.X, a.Y, p.Z(0, a)}, [3]float64{b.X, b.Y, p.Z(0, b)},
		[3]float64{b.X, b.Y, p.Z(1, b)}, [3]float64{a.X, a.Y, p.Z(1, a)})
	m.Normals = append(m.Normals, n, n, n, n)
	m.Triangles = append(m.Triangles, [3]int{k, k + 1, k + 2}, [3]int{k, k + 2, k + 3})
}

func (m *Mesh) cap(p Prism, o Outline, triangles [][3]int, end int) {
	s := p.Ends[end]
	up := float64(2*end - 1)
	size := math.Sqrt(1 + s.X*s.X + s.Y*s.Y)
	n := [3]float64{-up * s.X / size, -up * s.Y / size, up / size}
	k := len(m.Points)
	for _, l := range o.Loops() {
		for _, v := range l {
			m.Points = append(m.Points, [3]float64{v.X, v.Y, p.Z(end, v.Point)})
			m.Normals = append(m.Normals, n)
		}
	}
	for _, t := range triangles {
		if end == 0 {
			t[1], t[2] = t[2], t[1]
		}
		m.Triangles = append(m.Triangles, [3]int{k + t[0], k + t[1], k + t[2]})
	}
}

// Volume is the volume that the surface encloses, m³, by the divergence
// theorem; negative if it is inside out.
func (m Mesh) Volume() float64 {
	sum := 0.0
	for _, t := range m.Triangles {
		a, b, c := m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]
		sum += a[0]*(b[1]*c[2]-b[2]*c[1]) + a[1]*(b[2]*c[0]-b[0]*c[2]) + a[2]*(b[0]*c[1]-b[1]*c[0])
	}
	return sum / 6
}

// Triangles divides an outline of straight edges into triangles by cutting off
// ears, after joining each hole to what surrounds it by a cut. Numbers count
// the points of the outer loop, then those of the holes. The areas of the
// triangles add up to that of the outline, or an error says so.
func (o Outline) Triangles() ([][3]int, error) {
	var points []Point
	var holes [][]int
	for k, l := range o.Loops() {
		var ring []int
		for _, v := range l {
			if v.Bulge != 0 {
				return nil, fmt.Errorf("%w: an outline with arcs is no polygon", ErrShape)
			}
			ring = append(ring, len(points))
			points = append(points, v.Point)
		}
		if k > 0 {
			holes = append(holes, ring)
		}
	}
	e := &ears{points: points}
	ring := make([]int, len(o.Outer))
	for i := range ring {
		ring[i] = i
	}
	// Holes from right to left: the cut of one then never meets one that comes later.
	slices.SortStableFunc(holes, func(a, b []int) int { return cmp.Compare(points[e.rightmost(b)].X, points[e.rightmost(a)].X) })
	for _, h := range holes {
		var err error
		if ring, err = e.join(ring, h); err != nil {
			return nil, err
		}
	}
	out := e.cut(ring)
	want, got := o.Area(), 0.0
	for _, t := range out {
		got += e.twice(t[0], t[1], t[2]) / 2
	}
	if !(math.Abs(got-want) <= areaTolerance*want) {
		return nil, fmt.Errorf("%w: the triangles of the outline cover %.9g m² of %.9g m²; do its loops cross?", ErrShape, got, want)
	}
	return out, nil
}

// ears cuts polygons into triangles.
type ears struct{ points []Point }

// twice is twice the area of the triangle a, b, c, positive if it turns counter-clockwise.
func (e *ears) twice(a, b, c int) float64 {
	return e.points[b].sub(e.points[a]).cross(e.points[c].sub(e.points[a]))
}

func (e *ears) rightmost(ring []int) int {
	best := ring[0]
	for _, i := range ring {
		if e.points[i].X > e.points[best].X {
			best = i
		}
	}
	return best
}

// join cuts from the rightmost point of a hole to a point of the ring that it
// sees, and returns one ring that runs along the cut on both sides.
//
// Source: the construction is that of Eberly, Triangulation by Ear Clipping
// (from memory).
func (e *ears) join(ring, hole []int) ([]int, error) {
	m := e.rightmost(hole)
	at := e.visible(ring, m)
	if at < 0 {
		return nil, fmt.Errorf("%w: a hole lies outside the outline", ErrShape)
	}
	start := slices.Index(hole, m)
	out := slices.Clone(ring[:at+1])
	out = append(out, hole[start:]...)
	out = append(out, hole[:start]...)
	out = append(out, m)
	return append(out, ring[at:]...), nil
}

// visible returns the place in the ring of a point that point m sees to its right.
func (e *ears) visible(ring []int, m int) int {
	p := e.points[m]
	nearest, at := math.Inf(1), -1
	var hit Point
	for i := range ring {
		a, b := e.points[ring[i]], e.points[ring[(i+1)%len(ring)]]
		if a.Y > p.Y || b.Y < p.Y || a.Y == b.Y { // edges to the right of the hole rise
			continue
		}
		x := a.X + (p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
		if x < p.X || x >= nearest {
			continue
		}
		nearest, hit, at = x, Point{x, p.Y}, i
		if b.X > a.X {
			at = (i + 1) % len(ring)
		}
		if p.Y == a.Y {
			at = i
		} else if p.Y == b.Y {
			at = (i + 1) % len(ring)
		}
	}
	if at < 0 {
		return at
	}
	if e.points[ring[at]] == hit {
		return e.facing(ring, at, m)
	}
	// Points inside the triangle of hole point, hit and candidate may hide the
	// candidate; the one nearest in angle to the ray is seen.
	best, q := math.Inf(1), e.points[ring[at]]
	for i, k := range ring {
		c := e.points[k]
		if c.X <= p.X || !inside(c, p, hit, q) || !e.reflex(ring, i) || !e.sees(ring, i, m, 0) {
			continue
		}
		slope := math.Abs(c.Y-p.Y) / (c.X - p.X)
		if slope < best || slope == best && c.X < e.points[ring[at]].X {
			best, at = slope, i
		}
	}
	return at
}

// facing returns, of the places in the ring that earlier cuts have made of one
// point, the one whose corner is open towards point m.
func (e *ears) facing(ring []int, at, m int) int {
	for _, least := range [2]float64{math.SmallestNonzeroFloat64, 0} {
		for i, k := range ring {
			if e.points[k] == e.points[ring[at]] && e.sees(ring, i, m, least) {
				return i
			}
		}
	}
	return at
}

// sees tells whether point m lies in the corner of the ring at place i: on the
// left of both edges of a convex corner, of at least one of a reflex one, by
// at least twice the given area.
func (e *ears) sees(ring []int, i, m int, least float64) bool {
	n := len(ring)
	a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	before, after := e.twice(a, b, m) >= least, e.twice(b, c, m) >= least
	if e.twice(a, b, c) > 0 {
		return before && after
	}
	return before || after
}

// reflex tells whether the ring turns clockwise, or straight on, at place i.
func (e *ears) reflex(ring []int, i int) bool {
	n := len(ring)
	return e.twice(ring[(i+n-1)%n], ring[i], ring[(i+1)%n]) <= 0
}

// inside tells whether p lies in the triangle a, b, c or on its edge, whichever way it turns.
func inside(p, a, b, c Point) bool {
	u, v, w := b.sub(a).cross(p.sub(a)), c.sub(b).cross(p.sub(b)), a.sub(c).cross(p.sub(c))
	return u >= 0 && v >= 0 && w >= 0 || u <= 0 && v <= 0 && w <= 0
}

// cut divides the ring, which must turn counter-clockwise.
func (e *ears) cut(ring []int) [][3]int {
	var out [][3]int
	ring = slices.Clone(ring)
	for i, idle := 0, 0; len(ring) >= 3 && idle <= len(ring); {
		n := len(ring)
		a, b, c := ring[(i+n-1)%n], ring[i%n], ring[(i+1)%n]
		twice := e.twice(a, b, c)
		flat := twice == 0 && !e.passes(ring, i%n)
		if !flat && !e.ear(ring, i%n) {
			i, idle = (i+1)%n, idle+1
			continue
		}
		if !flat {
			out = append(out, [3]int{a, b, c})
		}
		ring = slices.Delete(ring, i%n, i%n+1)
		idle = 0
		if len(ring) > 0 {
			i = (i + 1) % len(ring) // leave a gap: fewer slivers
		}
	}
	return out
}

// passes tells whether the ring goes straight on at place i, so that the point
// is needed by the neighbour across.
func (e *ears) passes(ring []int, i int) bool {
	n := len(ring)
	a, b, c := e.points[ring[(i+n-1)%n]], e.points[ring[i]], e.points[ring[(i+1)%n]]
	return n > 3 && b.sub(a).dot(c.sub(b)) > 0
}

// ear tells whether the corner at place i can be cut off.
func (e *ears) ear(ring []int, i int) bool {
	n := len(ring)
	ia, ib, ic := (i+n-1)%n, i, (i+1)%n
	if !(e.twice(ring[ia], ring[ib], ring[ic]) > 0) {
		return false
	}
	a, b, c := e.points[ring[ia]], e.points[ring[ib]], e.points[ring[ic]]
	for k := range ring {
		p := e.points[ring[k]]
		if k == ia || k == ib || k == ic || p == a || p == b || p == c {
			continue
		}
		if inside(p, a, b, c) && e.reflex(ring, k) {
			return false
		}
	}
	return true
}
