package drawing

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Body is a convex body. Its faces list their corners counter-clockwise as seen
// from outside.
type Body struct {
	Points []r3.Vec // m
	Faces  [][]int
}

// Prism is a body with a convex outline, counter-clockwise in the plane of y and
// z, swept from origin along x cross its length. x, y, z are unit vectors,
// right-handed.
func Prism(origin, x, y, z r3.Vec, length float64, outline []Point) Body {
	n := len(outline)
	b := Body{Points: make([]r3.Vec, 2*n)}
	var back, front []int
	for i, p := range outline {
		at := r3.Add(origin, r3.Add(r3.Scale(p.X, y), r3.Scale(p.Y, z)))
		b.Points[i], b.Points[n+i] = at, r3.Add(at, r3.Scale(length, x))
		back = append([]int{i}, back...)
		front = append(front, n+i)
		j := (i + 1) % n
		b.Faces = append(b.Faces, []int{i, j, n + j, n + i})
	}
	b.Faces = append(b.Faces, back, front)
	return b
}

// Box is a body with three pairs of faces; y and z sizes are centred on origin,
// which is the middle of one end.
func Box(origin, x, y, z r3.Vec, size r3.Vec) Body {
	a, b := size.Y/2, size.Z/2
	return Prism(origin, x, y, z, size.X, []Point{{-a, -b}, {a, -b}, {a, b}, {-a, b}})
}

// roundSides is the number of sides by which a cylinder is drawn.
const roundSides = 24

// Cylinder is a round body along x from origin.
func Cylinder(origin, x, y, z r3.Vec, length, diameter float64) Body {
	var outline []Point
	for i := range roundSides {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / roundSides)
		outline = append(outline, Point{diameter / 2 * cos, diameter / 2 * sin})
	}
	return Prism(origin, x, y, z, length, outline)
}

// View is a direction to look from: unit vectors to the right and up on the
// sheet, and towards the viewer.
type View struct{ Right, Up, Toward r3.Vec }

// The usual views of a world with z up and the front looking to -y, and an
// isometric one from the front, left and above. ISO 5456-2, 5456-3.
var (
	Front     = View{r3.Vec{X: 1}, r3.Vec{Z: 1}, r3.Vec{Y: -1}}
	Top       = View{r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}}
	FromLeft  = View{r3.Vec{Y: -1}, r3.Vec{Z: 1}, r3.Vec{X: -1}}
	Isometric = View{
		Right:  r3.Vec{X: math.Sqrt(0.5), Y: -math.Sqrt(0.5)},
		Up:     r3.Vec{X: 1 / math.Sqrt(6), Y: 1 / math.Sqrt(6), Z: 2 / math.Sqrt(6)},
		Toward: r3.Vec{X: -1 / math.Sqrt(3), Y: -1 / math.Sqrt(3), Z: 1 / math.Sqrt(3)},
	}
)

// On is where a point appears in the view, m.
func (v View) On(p r3.Vec) Point { return Point{r3.Dot(p, v.Right), r3.Dot(p, v.Up)} }

// Segment is a visible piece of an edge in the plane of the view, m.
type Segment struct{ A, B Point }

// Scene is bodies seen in one view.
type Scene struct {
	view   View
	bodies []seen
}

// seen is one body prepared for a view.
type seen struct {
	body   Body
	edges  []edge
	front  []bool // of each face
	normal []r3.Vec
	shadow []plane // what lies behind all of these is hidden by the body
}

type edge struct {
	a, b  int
	faces [2]int
}

// plane holds the points p with n·p = c; inside is n·p < c.
type plane struct {
	n r3.Vec
	c float64
}

// ErrBody is returned for a body whose faces do not close.
var ErrBody = errors.New("the faces of a body do not close")

// tolerance is what is taken for touching, m: far below a line's width, far
// above rounding.
const tolerance = 1e-5

// NewScene prepares the bodies. It returns ErrBody if an edge does not join
// exactly two faces, once in each sense.
func NewScene(v View, bodies []Body) (*Scene, error) {
	s := &Scene{view: v}
	for i, b := range bodies {
		p := seen{body: b}
		if err := p.prepare(v.Toward); err != nil {
			return nil, fmt.Errorf("body %d: %w", i, err)
		}
		s.bodies = append(s.bodies, p)
	}
	return s, nil
}

// prepare finds edges, the faces that look to the viewer, and the shadow: the
// body swept away from the viewer. It is bounded by the front faces and by
// planes through the outline parallel to the line of sight, so it is convex, and
// a straight edge is hidden along one interval exactly.
func (s *seen) prepare(toward r3.Vec) error {
	middle := r3.Vec{}
	for _, p := range s.body.Points {
		middle = r3.Add(middle, r3.Scale(1/float64(len(s.body.Points)), p))
	}
	at := map[[2]int]int{}
	for f, face := range s.body.Faces {
		n := faceNormal(s.body.Points, face)
		s.normal = append(s.normal, n)
		isFront := r3.Dot(n, toward) > 1e-9
		s.front = append(s.front, isFront)
		if isFront {
			s.shadow = append(s.shadow, plane{n, r3.Dot(n, s.body.Points[face[0]])})
		}
		for i, a := range face {
			b := face[(i+1)%len(face)]
			if k, known := at[[2]int{b, a}]; known {
				s.edges[k].faces[1] = f
				continue
			}
			if _, twice := at[[2]int{a, b}]; twice {
				return fmt.Errorf("%w: the edge from %d to %d is used twice in one sense", ErrBody, a, b)
			}
			at[[2]int{a, b}] = len(s.edges)
			s.edges = append(s.edges, edge{a, b, [2]int{f, -1}})
		}
	}
	for _, e := range s.edges {
		if e.faces[1] < 0 {
			return fmt.Errorf("%w: the edge from %d to %d has one face", ErrBody, e.a, e.b)
		}
		if s.front[e.faces[0]] == s.front[e.faces[1]] {
			continue
		}
		n := r3.Cross(r3.Sub(s.body.Points[e.b], s.body.Points[e.a]), toward)
		if r3.Norm(n) < 1e-12 {
			continue
		}
		n = r3.Unit(n)
		if r3.Dot(n, r3.Sub(s.body.Points[e.a], middle)) < 0 {
			n = r3.Scale(-1, n)
		}
		s.shadow = append(s.shadow, plane{n, r3.Dot(n, s.body.Points[e.a])})
	}
	return nil
}

// faceNormal is the outward unit normal, by Newell's sum over the corners.
func faceNormal(points []r3.Vec, face []int) r3.Vec {
	var n r3.Vec
	for i := range face {
		n = r3.Add(n, r3.Cross(points[face[i]], points[face[(i+1)%len(face)]]))
	}
	return r3.Unit(n)
}

// smooth is the angle below which two faces are one round surface: their common
// edge is drawn only as an outline. cos 30 degrees; common practice.
var smooth = math.Cos(math.Pi / 6)

// draws tells whether an edge of a body can be seen where nothing covers it.
func (s *seen) draws(e edge) bool {
	f, g := s.front[e.faces[0]], s.front[e.faces[1]]
	if f && g {
		return r3.Dot(s.normal[e.faces[0]], s.normal[e.faces[1]]) < smooth
	}
	return f || g
}

// hides is the interval of the way from p to q, 0..1, that lies behind the body.
func (s *seen) hides(p, q r3.Vec) (from, to float64) {
	from, to = 0, 1
	for _, h := range s.shadow {
		a, b := r3.Dot(h.n, p)-h.c+tolerance, r3.Dot(h.n, q)-h.c+tolerance
		switch {
		case a >= 0 && b >= 0:
			return 0, 0
		case a >= 0:
			from = math.Max(from, a/(a-b))
		case b >= 0:
			to = math.Min(to, a/(a-b))
		}
	}
	if to <= from {
		return 0, 0
	}
	return from, to
}

// Edges are the visible pieces of all edges. Pieces that lie on one another are
// merged.
func (s *Scene) Edges() []Segment {
	var out []Segment
	for i := range s.bodies {
		b := &s.bodies[i]
		for _, e := range b.edges {
			if b.draws(e) {
				out = append(out, s.visible(i, b.body.Points[e.a], b.body.Points[e.b])...)
			}
		}
	}
	return Merge(out)
}

// visible is what is left of an edge after all other bodies' shadows.
func (s *Scene) visible(own int, p, q r3.Vec) []Segment {
	var hidden [][2]float64
	for i := range s.bodies {
		if i == own {
			continue
		}
		if from, to := s.bodies[i].hides(p, q); to > from {
			hidden = append(hidden, [2]float64{from, to})
		}
	}
	slices.SortFunc(hidden, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out []Segment
	at := 0.0
	keep := func(to float64) {
		a, b := s.view.On(along(p, q, at)), s.view.On(along(p, q, to))
		if to > at && a.distance(b) > 2*tolerance {
			out = append(out, Segment{a, b})
		}
	}
	for _, h := range hidden {
		keep(h[0])
		at = math.Max(at, h[1])
	}
	keep(1)
	return out
}

func along(p, q r3.Vec, t float64) r3.Vec { return r3.Add(p, r3.Scale(t, r3.Sub(q, p))) }

// Sees tells whether a point is covered by no body but the one it belongs to
// (-1: none).
func (s *Scene) Sees(p r3.Vec, own int) bool {
	for i := range s.bodies {
		if i == own {
			continue
		}
		if from, to := s.bodies[i].hides(p, p); to > from {
			return false
		}
	}
	return true
}

// Mark is a visible point on a face of a body, near the middle of the face of
// which most can be seen; false if none of the points tried can be.
func (s *Scene) Mark(body int) (Point, bool) {
	const tries = 9 // points each way over a face
	b := &s.bodies[body]
	var best Point
	most, found := 0.0, false
	for f, face := range b.body.Faces {
		if !b.front[f] || len(face) != 4 {
			continue
		}
		c := func(i int) r3.Vec { return b.body.Points[face[i]] }
		area := r3.Norm(r3.Cross(r3.Sub(c(1), c(0)), r3.Sub(c(3), c(0)))) * r3.Dot(b.normal[f], s.view.Toward)
		count, near, at := 0, math.Inf(1), r3.Vec{}
		for i := range tries {
			for j := range tries {
				u, v := (float64(i)+0.5)/tries, (float64(j)+0.5)/tries
				p := along(along(c(0), c(1), u), along(c(3), c(2), u), v)
				if !s.Sees(p, body) {
					continue
				}
				count++
				if off := math.Hypot(u-0.5, v-0.5); off < near {
					near, at = off, p
				}
			}
		}
		if seenArea := area * float64(count); seenArea > most {
			most, best, found = seenArea, s.view.On(at), true
		}
	}
	return best, found
}

// Bounds is the rectangle around all bodies in the view, m.
func (s *Scene) Bounds() Rect {
	r := Rect{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
	for _, b := range s.bodies {
		for _, p := range b.body.Points {
			at := s.view.On(p)
			r = r.union(Rect{at, at})
		}
	}
	return r
}

// Merge joins segments that lie on one line and overlap or touch, so that no
// line is drawn twice.
func Merge(segments []Segment) []Segment {
	type key struct{ angle, offset int64 }
	groups := map[key][][2]float64{}
	direction := map[key]Point{}
	var order []key
	for _, g := range segments {
		a, b := g.A, g.B
		if b.X < a.X-tolerance/10 || math.Abs(b.X-a.X) <= tolerance/10 && b.Y < a.Y {
			a, b = b, a
		}
		l := a.distance(b)
		if l == 0 {
			continue
		}
		d := Point{(b.X - a.X) / l, (b.Y - a.Y) / l}
		k := key{int64(math.Round(math.Atan2(d.Y, d.X) * 1e4)), int64(math.Round((a.Y*d.X - a.X*d.Y) / (10 * tolerance)))}
		if _, known := groups[k]; !known {
			order = append(order, k)
			direction[k] = d
		}
		d = direction[k]
		groups[k] = append(groups[k], [2]float64{a.X*d.X + a.Y*d.Y, b.X*d.X + b.Y*d.Y})
	}
	var out []Segment
	for _, k := range order {
		d, offset := direction[k], float64(k.offset)*10*tolerance
		spans := groups[k]
		slices.SortFunc(spans, func(a, b [2]float64) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
		put := func(s [2]float64) {
			out = append(out, Segment{
				Point{s[0]*d.X - offset*d.Y, s[0]*d.Y + offset*d.X},
				Point{s[1]*d.X - offset*d.Y, s[1]*d.Y + offset*d.X},
			})
		}
		now := spans[0]
		for _, s := range spans[1:] {
			if s[0] <= now[1]+tolerance {
				now[1] = math.Max(now[1], s[1])
				continue
			}
			put(now)
			now = s
		}
		put(now)
	}
	return out
}
