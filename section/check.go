package section

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	// closest is the least distance between two points, or a point and an edge,
	// over the larger side of the outline. What is nearer counts as touching:
	// 80 nm on 80 mm, far below any drawing.
	closest = 1e-6

	// maxPoints bounds an outline. A profile with every fillet drawn has a few
	// hundred points; more only cost time.
	maxPoints = 5000

	// maxFaults bounds the list in a refusal.
	maxFaults = 20
)

// Fault is one reason why an outline is no section.
type Fault struct {
	Loop   int    `json:"loop"`  // 0 is the outer loop, k is hole k-1
	Point  int    `json:"point"` // index in the loop, from 0; -1 if the whole loop is meant
	Reason string `json:"reason"`
}

// Place names the loop and point as in an outline file: outer[3], holes[0][7].
func (f Fault) Place() string {
	name := "outer"
	if f.Loop > 0 {
		name = fmt.Sprintf("holes[%d]", f.Loop-1)
	}
	if f.Point >= 0 {
		name += fmt.Sprintf("[%d]", f.Point)
	}
	return name
}

// OutlineError lists why an outline is refused, at most 20 reasons.
type OutlineError struct{ Faults []Fault }

func (e *OutlineError) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = f.Place() + ": " + f.Reason
	}
	return strings.Join(lines, "\n")
}

// Check returns nil if the outline is a section, otherwise an *OutlineError
// with every reason found: a loop of fewer than three points, points that are
// not numbers or coincide, edges that cross, touch or fold back, holes outside
// the outer loop or inside one another, no area.
//
// Distances under 1e-6 of the outline's larger side count as touching.
func (o Outline) Check() error {
	c := checking{outline: o, loops: o.loops()}
	c.points()
	if len(c.faults) == 0 {
		c.size = o.size()
		c.spacing()
	}
	if len(c.faults) == 0 {
		c.crossings()
	}
	if len(c.faults) == 0 {
		c.areas()
		c.nesting()
	}
	if len(c.faults) == 0 {
		return nil
	}
	return &OutlineError{c.faults}
}

type checking struct {
	outline Outline
	loops   []Loop
	size    float64
	faults  []Fault
}

func (c *checking) fault(loop, point int, format string, args ...any) {
	if len(c.faults) < maxFaults {
		c.faults = append(c.faults, Fault{loop, point, fmt.Sprintf(format, args...)})
	}
}

// points looks at counts and numbers.
func (c *checking) points() {
	total := 0
	for k, l := range c.loops {
		total += len(l)
		if len(l) < 3 {
			c.fault(k, -1, "a loop needs at least 3 points, it has %d", len(l))
		}
		for i, p := range l {
			if !(math.Abs(p.Y) <= 1e3 && math.Abs(p.Z) <= 1e3) {
				c.fault(k, i, "%g, %g m: a coordinate is a number within 1 km of the origin", p.Y, p.Z)
			}
		}
	}
	if total > maxPoints {
		c.fault(0, -1, "%d points in all, at most %d: draw arcs with fewer points", total, maxPoints)
	}
}

// spacing looks for points that follow one another at no distance.
func (c *checking) spacing() {
	if !(c.size > 0) {
		c.fault(0, -1, "all points lie at one place")
		return
	}
	for k, l := range c.loops {
		for i, p := range l {
			j := (i + 1) % len(l)
			if !(l[j].sub(p).length() > closest*c.size) {
				c.fault(k, j, "the point coincides with point %d before it; leave one out", i)
			}
		}
	}
}

// edge is an edge of a loop with the range of z that it covers.
type edge struct {
	loop, point int
	a, b        Point
	lo, hi      float64
}

// crossings looks for edges that cross, touch or fold back.
func (c *checking) crossings() {
	tol := closest * c.size
	var edges []edge
	for k, l := range c.loops {
		for i, p := range l {
			q := l[(i+1)%len(l)]
			edges = append(edges, edge{k, i, p, q, min(p.Z, q.Z) - tol, max(p.Z, q.Z) + tol})
		}
	}
	slices.SortStableFunc(edges, func(a, b edge) int { return cmp.Compare(a.lo, b.lo) })
	var active []edge
	for _, e := range edges {
		kept := active[:0]
		for _, f := range active {
			if f.hi < e.lo {
				continue
			}
			kept = append(kept, f)
			c.pair(f, e, tol)
		}
		active = append(kept, e)
		if len(c.faults) >= maxFaults {
			return
		}
	}
	slices.SortStableFunc(c.faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Loop, b.Loop), cmp.Compare(a.Point, b.Point))
	})
}

// pair compares two edges, naming the earlier one as the place of the fault.
func (c *checking) pair(e, f edge, tol float64) {
	if f.loop < e.loop || f.loop == e.loop && f.point < e.point {
		e, f = f, e
	}
	if min(e.a.Y, e.b.Y)-tol > max(f.a.Y, f.b.Y) || min(f.a.Y, f.b.Y)-tol > max(e.a.Y, e.b.Y) {
		return
	}
	n := len(c.loops[e.loop])
	if e.loop == f.loop {
		switch {
		case f.point == e.point+1:
			c.corner(e.loop, f.point, e.a, f.a, f.b, tol)
			return
		case e.point == 0 && f.point == n-1:
			c.corner(e.loop, 0, f.a, e.a, e.b, tol)
			return
		}
	}
	if distanceOfEdges(e.a, e.b, f.a, f.b) > tol {
		return
	}
	other := Fault{f.loop, f.point, ""}.Place()
	c.fault(e.loop, e.point, "the edge from here to point %d crosses or touches the edge from %s to point %d",
		(e.point+1)%n, other, (f.point+1)%len(c.loops[f.loop]))
}

// corner looks for an outline that folds back on itself at point b.
func (c *checking) corner(loop, point int, a, b, d Point, tol float64) {
	u, v := a.sub(b), d.sub(b)
	if dot(u, v) > 0 && math.Abs(cross(u, v)) <= tol*max(u.length(), v.length()) {
		c.fault(loop, point, "the outline folds back on itself here: no material between the two edges")
	}
}

func (c *checking) areas() {
	for k, l := range c.loops {
		if !(math.Abs(l.area()) > closest*c.size*c.size*1e-3) {
			c.fault(k, -1, "the loop encloses no area")
		}
	}
}

// nesting looks for holes that are not in the material. Loops do not touch
// here, so one point of each decides.
func (c *checking) nesting() {
	for k, h := range c.loops[1:] {
		if !c.outline.Outer.contains(h[0]) {
			c.fault(k+1, 0, "the hole lies outside the outer loop")
			continue
		}
		for m, other := range c.loops[1:] {
			if m != k && other.contains(h[0]) {
				c.fault(k+1, 0, "the hole lies inside holes[%d]", m)
			}
		}
	}
}

// contains reports whether p is inside the loop (even-odd rule).
func (l Loop) contains(p Point) bool {
	in := false
	for i, a := range l {
		in = in != crosses(p, a, l[(i+1)%len(l)])
	}
	return in
}

// crosses reports whether the edge a-b crosses the ray from p towards +y.
func crosses(p, a, b Point) bool {
	return (a.Z > p.Z) != (b.Z > p.Z) && p.Y < a.Y+(p.Z-a.Z)/(b.Z-a.Z)*(b.Y-a.Y)
}

// nearest returns the point of the edge a-b nearest to p.
func nearest(p, a, b Point) Point {
	d := b.sub(a)
	t := dot(p.sub(a), d) / dot(d, d)
	switch {
	case !(t > 0):
		return a
	case t >= 1:
		return b
	}
	return Point{a.Y + t*d.Y, a.Z + t*d.Z}
}

// distanceOfEdges returns the least distance of two edges, 0 if they cross.
func distanceOfEdges(a, b, c, d Point) float64 {
	ab, cd := b.sub(a), d.sub(c)
	if (cross(ab, c.sub(a)) > 0) != (cross(ab, d.sub(a)) > 0) && (cross(cd, a.sub(c)) > 0) != (cross(cd, b.sub(c)) > 0) {
		return 0
	}
	return min(
		nearest(a, c, d).sub(a).length(), nearest(b, c, d).sub(b).length(),
		nearest(c, a, b).sub(c).length(), nearest(d, a, b).sub(d).length())
}
