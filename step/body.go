package step

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

// Body is the boundary of a prism: points, edges and faces in mm.
type Body struct {
	points []r3.Vec
	edges  []edge
	faces  []face
	prism  prism.Prism // in mm, rounded
}

// edge runs from one point to another, straight or round a vertical axis.
type edge struct {
	from, to int
	arc      *arc
}

// arc is part of a circle about a vertical axis; from = to is a whole circle.
type arc struct {
	centre r3.Vec
	radius float64
	turn   float64 // rad, positive counter-clockwise seen from above
}

// use is an edge as a loop runs through it.
type use struct {
	edge    int
	forward bool
}

// face is a plane, or a cylinder about a vertical axis.
type face struct {
	at     r3.Vec // a point of the plane, a point of the axis
	normal r3.Vec // of the plane, outward
	along  r3.Vec // a direction in the plane
	radius float64
	inward bool // cylinder: the outward side of the body looks to the axis
	loops  [][]use
}

// rounding is the step of the coordinates that are written, mm.
const rounding = 1e-6

func rounded(v float64) float64 { return math.Round(v/rounding) * rounding }

// NewBody builds the boundary of a prism and proves it.
func NewBody(p prism.Prism) (*Body, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	b := &Body{prism: inMillimetres(p)}
	if err := b.prism.Check(); err != nil {
		return nil, fmt.Errorf("rounded to %g mm: %w", rounding, err)
	}
	bottom := face{normal: b.capNormal(0), along: r3.Vec{X: 1}}
	top := face{normal: b.capNormal(1), along: r3.Vec{X: 1}}
	bottom.at.Z, top.at.Z = b.prism.Z(0, prism.Point{}), b.prism.Z(1, prism.Point{})
	for end, f := range []*face{&bottom, &top} {
		s := b.prism.Ends[end]
		f.along = r3.Unit(r3.Vec{X: 1, Z: s.X})
	}
	for _, l := range b.prism.Loops() {
		if c, r, is := l.IsCircle(); is {
			b.bore(c, r, l[0].Bulge < 0, &bottom, &top)
		} else {
			b.wall(l, &bottom, &top)
		}
	}
	b.faces = append(b.faces, bottom, top)
	return b, b.prove()
}

func inMillimetres(p prism.Prism) prism.Prism {
	mm := func(l prism.Loop) prism.Loop {
		out := make(prism.Loop, len(l))
		for i, v := range l {
			out[i] = prism.Vertex{Point: prism.Point{X: rounded(1e3 * v.X), Y: rounded(1e3 * v.Y)}, Bulge: v.Bulge}
		}
		return out
	}
	out := prism.Prism{Outline: prism.Outline{Outer: mm(p.Outer)}, Length: rounded(1e3 * p.Length), Ends: p.Ends}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, mm(h))
	}
	return out
}

func (b *Body) capNormal(end int) r3.Vec {
	s, up := b.prism.Ends[end], float64(2*end-1)
	return r3.Unit(r3.Vec{X: -up * s.X, Y: -up * s.Y, Z: up})
}

func (b *Body) point(p prism.Point, end int) int {
	b.points = append(b.points, r3.Vec{X: p.X, Y: p.Y, Z: b.prism.Z(end, p)})
	return len(b.points) - 1
}

func (b *Body) edge(e edge) int {
	b.edges = append(b.edges, e)
	return len(b.edges) - 1
}

// wall adds the side faces of a loop of lines and arcs: bottom, top and
// upright edges at every point.
//
// Derived: with the material on the left of the loop, side i runs bottom edge i
// forward, upright i+1 forward, top edge i backward, upright i backward; the
// bottom face runs all bottom edges backward, the top face all top edges forward.
func (b *Body) wall(l prism.Loop, bottom, top *face) {
	n := len(l)
	low, high := make([]int, n), make([]int, n)
	for i, v := range l {
		low[i], high[i] = b.point(v.Point, 0), b.point(v.Point, 1)
	}
	eb, et, ev := make([]int, n), make([]int, n), make([]int, n)
	for i := range l {
		j := (i + 1) % n
		eb[i] = b.edge(edge{low[i], low[j], b.arc(l, i, 0)})
		et[i] = b.edge(edge{high[i], high[j], b.arc(l, i, 1)})
		ev[i] = b.edge(edge{low[i], high[i], nil})
	}
	down, up := make([]use, n), make([]use, n)
	for i := range l {
		b.faces = append(b.faces, b.side(l, i, []use{{eb[i], true}, {ev[(i+1)%n], true}, {et[i], false}, {ev[i], false}}))
		down[n-1-i], up[i] = use{eb[i], false}, use{et[i], true}
	}
	bottom.loops = append(bottom.loops, down)
	top.loops = append(top.loops, up)
}

func (b *Body) arc(l prism.Loop, i, end int) *arc {
	a, curved := l.Arc(i)
	if !curved {
		return nil
	}
	return &arc{r3.Vec{X: a.Centre.X, Y: a.Centre.Y, Z: b.prism.Z(end, a.Centre)}, a.Radius, a.Turn}
}

func (b *Body) side(l prism.Loop, i int, loop []use) face {
	if a, curved := l.Arc(i); curved {
		return face{at: r3.Vec{X: a.Centre.X, Y: a.Centre.Y}, radius: a.Radius, inward: a.Turn < 0, loops: [][]use{loop}}
	}
	v, w := l[i], l[(i+1)%len(l)]
	d := r3.Unit(r3.Vec{X: w.X - v.X, Y: w.Y - v.Y})
	return face{at: b.points[b.edges[loop[0].edge].from], normal: r3.Vec{X: d.Y, Y: -d.X}, along: d, loops: [][]use{loop}}
}

// bore adds a whole circle as one face with a seam at angle 0: a hole if it is
// clockwise, else the skin of a round bar.
func (b *Body) bore(c prism.Point, r float64, clockwise bool, bottom, top *face) {
	at := prism.Point{X: c.X + r, Y: c.Y}
	low, high := b.point(at, 0), b.point(at, 1)
	circle := func(end int) *arc {
		return &arc{r3.Vec{X: c.X, Y: c.Y, Z: b.prism.Z(end, c)}, r, 2 * math.Pi}
	}
	eb, et := b.edge(edge{low, low, circle(0)}), b.edge(edge{high, high, circle(1)})
	ev := b.edge(edge{low, high, nil})
	loop := []use{{eb, !clockwise}, {ev, true}, {et, clockwise}, {ev, false}}
	b.faces = append(b.faces, face{at: r3.Vec{X: c.X, Y: c.Y}, radius: r, inward: clockwise, loops: [][]use{loop}})
	bottom.loops = append(bottom.loops, []use{{eb, clockwise}})
	top.loops = append(top.loops, []use{{et, !clockwise}})
}

// Faces, Edges and Points count the elements of the boundary.
func (b *Body) Faces() int { return len(b.faces) }

// Edges counts the edges, a seam once.
func (b *Body) Edges() int { return len(b.edges) }

// Points counts the points where edges end.
func (b *Body) Points() int { return len(b.points) }
