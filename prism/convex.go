package prism

import (
	"math"
	"slices"
)

// Convex divides an outline into convex polygons that cover it together; they
// overlap nowhere. Arcs become chords, perTurn to a full turn: those that bulge out
// of the material are drawn outside it, so that the polygons never cover less than
// the outline does.
//
// Triangles are joined across their common edges as long as the result stays
// convex (the method of Hertel and Mehlhorn, 1983, from memory).
func (o Outline) Convex(perTurn int) ([][]Point, error) {
	o = o.around(perTurn)
	if len(o.Holes) == 0 && convex(o.Outer) {
		return [][]Point{pointsOn(o.Outer)}, nil
	}
	triangles, err := o.Triangles()
	if err != nil {
		return nil, err
	}
	var points []Point
	for _, l := range o.Loops() {
		points = append(points, pointsOn(l)...)
	}
	var pieces [][]int
	for _, t := range triangles {
		pieces = append(pieces, t[:])
	}
	for i := 0; i < len(pieces); i++ {
		for k := i + 1; k < len(pieces); k++ {
			if joined := join(points, pieces[i], pieces[k]); joined != nil {
				pieces[i] = joined
				pieces = slices.Delete(pieces, k, k+1)
				k = i // look at all the others again
			}
		}
	}
	out := make([][]Point, len(pieces))
	for i, piece := range pieces {
		for _, k := range piece {
			out[i] = append(out[i], points[k])
		}
	}
	return out, nil
}

func pointsOn(l Loop) []Point {
	out := make([]Point, len(l))
	for i, v := range l {
		out[i] = v.Point
	}
	return out
}

// convex tells whether a loop of straight edges turns counter-clockwise everywhere.
func convex(l Loop) bool {
	for i := range l {
		a, b, c := l[i].Point, l.at(i+1).Point, l.at(i+2).Point
		if b.sub(a).cross(c.sub(b)) < 0 {
			return false
		}
	}
	return true
}

// join is two polygons that share an edge as one, if that is convex; else nil.
func join(points []Point, a, b []int) []int {
	n, m := len(a), len(b)
	for i := range a {
		for k := range b {
			if a[i] != b[(k+1)%m] || a[(i+1)%n] != b[k] {
				continue
			}
			var out []int // a from the far end of the edge round to its near end, then b without the edge
			for s := range n {
				out = append(out, a[(i+1+s)%n])
			}
			for s := 2; s < m; s++ {
				out = append(out, b[(k+s)%m])
			}
			for s := range out {
				p, q, r := points[out[s]], points[out[(s+1)%len(out)]], points[out[(s+2)%len(out)]]
				if q.sub(p).cross(r.sub(q)) < 0 {
					return nil
				}
			}
			return out
		}
	}
	return nil
}

// around replaces arcs by chords: within the material where the arc is hollow, by
// edges that touch the arc where it bulges out.
func (o Outline) around(perTurn int) Outline {
	out := Outline{Outer: o.Outer.around(perTurn)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, h.around(perTurn))
	}
	return out
}

func (l Loop) around(perTurn int) Loop {
	var out Loop
	for i, v := range l {
		out = append(out, Vertex{Point: v.Point})
		a, curved := l.Arc(i)
		if !curved {
			continue
		}
		n := a.pieces(perTurn)
		for k := range n {
			if a.Turn < 0 { // hollow: the material is on the left, outside the circle
				if k > 0 {
					out = append(out, a.on(v.Point, float64(k)/float64(n), a.Radius))
				}
				continue
			}
			out = append(out, a.on(v.Point, (float64(k)+0.5)/float64(n), a.Radius/math.Cos(a.Turn/float64(n)/2)))
		}
	}
	return out
}
