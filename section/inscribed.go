package section

import (
	"container/heap"
	"math"
	"slices"

	"spanwright/section/internal/mesh"
)

// largestCircle returns the diameter of the largest circle inside the
// material, m: the measure of wall thickness where the section is thickest.
//
// It climbs from the best triangle of the mesh and then searches the enclosing
// square by halves: no point of a square is farther from the outline than its
// middle is, plus half the diagonal. The search ends when no square can beat
// the best circle by more than rivalry, or after mostSquares, which long walls
// of one thickness use up; there every place is as good as another.
func (o Outline) largestCircle(m *mesh.Mesh) float64 {
	c := newClearance(o)
	best := c.climb(c.best(m))
	lo, hi := o.Extents()
	half := o.size() / 2
	q := squares{c.square(Point{(lo.Y + hi.Y) / 2, (lo.Z + hi.Z) / 2}, half)}
	for range mostSquares {
		s := heap.Pop(&q).(square)
		if s.bound <= best*(1+rivalry) {
			break
		}
		for _, d := range []Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			child := c.square(Point{s.at.Y + d.Y*s.half/2, s.at.Z + d.Z*s.half/2}, s.half/2)
			if child.clear > best {
				best = c.climb(child.at, child.clear)
			}
			heap.Push(&q, child)
		}
	}
	return 2 * best
}

const (
	rivalry     = 2e-3 // relative
	mostSquares = 1500
)

// square is a part of the search region.
type square struct {
	at    Point   // middle
	half  float64 // half the side, m
	clear float64 // distance of the middle from the outline, negative outside the material, m
	bound float64 // no point of the square has a larger clearance, m
}

func (c *clearance) square(at Point, half float64) square {
	d := c.signed(at)
	return square{at, half, d, d + half*math.Sqrt2}
}

// squares is a heap with the largest bound first.
type squares []square

func (q squares) Len() int           { return len(q) }
func (q squares) Less(i, j int) bool { return q[i].bound > q[j].bound }
func (q squares) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *squares) Push(x any)        { *q = append(*q, x.(square)) }
func (q *squares) Pop() any {
	last := len(*q) - 1
	s := (*q)[last]
	*q = (*q)[:last]
	return s
}

// best returns the triangle of the mesh with the largest clearance.
func (c *clearance) best(m *mesh.Mesh) (at Point, radius float64) {
	pts := m.Points()
	for _, t := range m.Triangles() {
		p := middle(pts[t.Corner[0]], pts[t.Corner[1]], pts[t.Corner[2]])
		if r := c.at(p, radius); r > radius {
			at, radius = p, r
		}
	}
	return at, radius
}

// middle returns the circumcentre of a triangle without an obtuse angle, the
// middle of the longest side otherwise: a place inside the triangle far from
// its corners.
func middle(a, b, c [2]float64) Point {
	p := [3]Point{{a[0], a[1]}, {b[0], b[1]}, {c[0], c[1]}}
	for i := range p {
		u, v := p[(i+1)%3].sub(p[i]), p[(i+2)%3].sub(p[i])
		if dot(u, v) <= 0 {
			return Point{p[i].Y + (u.Y+v.Y)/2, p[i].Z + (u.Z+v.Z)/2}
		}
	}
	u, v := p[1].sub(p[0]), p[2].sub(p[0])
	k := 0.5 / cross(u, v)
	uu, vv := dot(u, u), dot(v, v)
	return Point{p[0].Y + k*(v.Z*uu-u.Z*vv), p[0].Z + k*(u.Y*vv-v.Y*uu)}
}

// clearance measures distances from the outline.
type clearance struct{ edges [][2]Point }

func newClearance(o Outline) *clearance {
	var c clearance
	o.edges(func(_ int, a, b Point) { c.edges = append(c.edges, [2]Point{a, b}) })
	return &c
}

// at returns the distance of p from the outline, or some value not above
// floor as soon as it is known not to exceed floor.
func (c *clearance) at(p Point, floor float64) float64 {
	least := math.Inf(1)
	for _, e := range c.edges {
		v := nearest(p, e[0], e[1]).sub(p)
		if d := dot(v, v); d < least {
			least = d
			if d <= floor*floor {
				break
			}
		}
	}
	return math.Sqrt(least)
}

// signed returns the distance of p from the outline, negative outside the
// material.
func (c *clearance) signed(p Point) float64 {
	least, in := math.Inf(1), false
	for _, e := range c.edges {
		v := nearest(p, e[0], e[1]).sub(p)
		least = min(least, dot(v, v))
		in = in != crosses(p, e[0], e[1])
	}
	if !in {
		return -math.Sqrt(least)
	}
	return math.Sqrt(least)
}

// climb moves a circle away from everything it nearly touches for as long as
// it grows, and returns its final radius, m. The direction of steepest growth
// is the bisector of the directions away from the contacts; contacts that
// surround the centre end the climb.
func (c *clearance) climb(p Point, r float64) float64 {
	const fineness = 1e-5
	var away []float64
	for step := r / 2; step > fineness*r; {
		away = away[:0]
		for _, e := range c.edges {
			v := p.sub(nearest(p, e[0], e[1]))
			if v.length() <= r+step/2 {
				away = append(away, math.Atan2(v.Z, v.Y))
			}
		}
		direction, ok := bisector(away)
		if ok {
			s, co := math.Sincos(direction)
			q := Point{p.Y + step*co, p.Z + step*s}
			if grown := c.at(q, r); grown > r {
				p, r = q, grown
				continue
			}
		}
		step /= 2
	}
	return r
}

// bisector returns the middle of the arc of directions, or false if they do
// not lie within a half turn.
func bisector(angles []float64) (float64, bool) {
	slices.Sort(angles)
	gap, from := 0.0, 0
	for i, a := range angles {
		after := angles[0] + 2*math.Pi
		if i+1 < len(angles) {
			after = angles[i+1]
		}
		if after-a > gap {
			gap, from = after-a, i
		}
	}
	if !(gap > math.Pi*1.001) {
		return 0, false
	}
	first := angles[(from+1)%len(angles)] // the arc runs from here over 2 pi - gap
	return first + (2*math.Pi-gap)/2, true
}
