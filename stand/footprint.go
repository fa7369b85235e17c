package stand

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrNoFootprint is returned, wrapped, when the feet span no area.
var ErrNoFootprint = errors.New("the feet span no area")

// Point is a place on the floor, m.
type Point struct{ X, Y float64 }

// Footprint is the convex outline of the feet.
type Footprint struct {
	feet    []Point
	outline []int // indices of feet, counter-clockwise seen from above
	edges   []edge
	size    float64
}

// onLine is the share of the footprint's size by which a foot may lie outside a
// straight edge and still count as on it: round-off of coordinates that were
// written in a line.
const onLine = 1e-9

// NewFootprint finds the convex outline of the feet; feet on a straight edge
// between two others do not belong to it.
//
// Source: monotone chain (Andrew, Information Processing Letters 9 (1979) 216; from memory).
func NewFootprint(feet []Point) (Footprint, error) {
	if len(feet) == 0 {
		return Footprint{}, fmt.Errorf("%w: there are none", ErrNoFootprint)
	}
	order := make([]int, 0, len(feet))
	size := 0.0
	for i, p := range feet {
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
			return Footprint{}, fmt.Errorf("%w: foot %d stands at (%g, %g) m", ErrNoFootprint, i, p.X, p.Y)
		}
		size = math.Max(size, math.Hypot(p.X-feet[0].X, p.Y-feet[0].Y))
		order = append(order, i)
	}
	slices.SortFunc(order, func(a, b int) int {
		switch p, q := feet[a], feet[b]; {
		case p.X < q.X || p.X == q.X && p.Y < q.Y:
			return -1
		case p == q:
			return 0
		}
		return 1
	})
	lower := chain(feet, order)
	slices.Reverse(order)
	upper := chain(feet, order)
	outline := append(lower[:len(lower)-1], upper[:len(upper)-1]...)
	outline = straighten(feet, outline, onLine*size*size)
	if len(outline) < 3 {
		return Footprint{}, fmt.Errorf("%w: %d feet, all on one line or one place", ErrNoFootprint, len(feet))
	}
	return Footprint{feet: feet, outline: outline, edges: edgesOf(feet, outline), size: size}, nil
}

// chain walks the points in order and keeps those that turn left.
func chain(feet []Point, order []int) []int {
	var out []int
	for _, i := range order {
		for len(out) >= 2 && turn(feet[out[len(out)-2]], feet[out[len(out)-1]], feet[i]) <= 0 {
			out = out[:len(out)-1]
		}
		out = append(out, i)
	}
	return out
}

// straighten drops corners that are none: with their neighbours they span less
// than the given area.
func straighten(feet []Point, outline []int, area float64) []int {
	for k := 0; k < len(outline) && len(outline) >= 3; {
		n := len(outline)
		if turn(feet[outline[(k+n-1)%n]], feet[outline[k]], feet[outline[(k+1)%n]]) > area {
			k++
			continue
		}
		outline = slices.Delete(outline, k, k+1)
		k = max(0, k-1)
	}
	return outline
}

// turn is twice the area of the triangle, positive for a left turn.
func turn(a, b, c Point) float64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

// Outline lists the feet of the outline, counter-clockwise seen from above,
// starting at the foot with the smallest x (then y).
func (f Footprint) Outline() []int { return slices.Clone(f.outline) }

// edge is one side of the outline.
type edge struct {
	from, to int
	at       Point
	out      Point // unit normal, outwards
}

func edgesOf(feet []Point, outline []int) []edge {
	edges := make([]edge, len(outline))
	for k, i := range outline {
		j := outline[(k+1)%len(outline)]
		p, q := feet[i], feet[j]
		l := math.Hypot(q.X-p.X, q.Y-p.Y)
		edges[k] = edge{from: i, to: j, at: p, out: Point{(q.Y - p.Y) / l, -(q.X - p.X) / l}}
	}
	return edges
}

// inside is the distance of a point from the edge, positive inside.
func (e edge) inside(x, y float64) float64 {
	return -((x-e.at.X)*e.out.X + (y-e.at.Y)*e.out.Y)
}
