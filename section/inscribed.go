package section

import (
	"cmp"
	"math"
	"slices"

	"spanwright/section/internal/mesh"
)

// largestCircle returns the diameter of the largest circle inside the
// material, m: the measure of wall thickness where the section is thickest.
// It climbs from the best triangles of the mesh. Against a fine raster of 300
// random polygons it was at most 0.3 % low.
func (o Outline) largestCircle(m *mesh.Mesh) float64 {
	d := newClearance(o)
	best := 0.0
	for _, s := range d.starts(m) {
		best = max(best, d.climb(s.at, s.radius))
	}
	return 2 * best
}

const (
	hopeful   = 0.75 // share of the best start's radius from which a climb may still win
	mostHills = 12   // climbs tried
)

// start is a place to climb from, with the circle that fits there.
type start struct {
	at     Point
	radius float64
}

// starts returns the triangles with the largest clearance, best first, no two
// in one place.
func (c *clearance) starts(m *mesh.Mesh) (apart []start) {
	pts := m.Points()
	best := 0.0
	var all []start
	for _, t := range m.Triangles() {
		p := middle(pts[t.Corner[0]], pts[t.Corner[1]], pts[t.Corner[2]])
		if r := c.at(p, hopeful*best); r > hopeful*best {
			all, best = append(all, start{p, r}), max(best, r)
		}
	}
	slices.SortStableFunc(all, func(a, b start) int { return cmp.Compare(b.radius, a.radius) })
	for _, s := range all {
		near := func(t start) bool { return t.at.sub(s.at).length() < t.radius/2 }
		if s.radius > hopeful*best && len(apart) < mostHills && !slices.ContainsFunc(apart, near) {
			apart = append(apart, s)
		}
	}
	return apart
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

// climb moves a circle away from everything it nearly touches for as long as
// it grows, and returns its final radius, m. The direction of steepest growth is the bisector of the directions
// away from the contacts; contacts that surround the centre end the climb.
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
