package prism

import "math"

// Vertex is a point of a loop with the edge that leads to the next point.
// Bulge is the tangent of a quarter of the angle that the edge turns through:
// 0 is a straight edge, positive an arc that turns counter-clockwise, 1 half a
// circle.
type Vertex struct {
	Point
	Bulge float64
}

// Loop is a closed outline; the last vertex leads to the first.
type Loop []Vertex

// Polygon is a loop of straight edges.
func Polygon(points ...Point) Loop {
	l := make(Loop, len(points))
	for i, p := range points {
		l[i].Point = p
	}
	return l
}

// Rectangle is a rectangle about the origin.
func Rectangle(x, y float64) Loop {
	return Polygon(Point{-x / 2, -y / 2}, Point{x / 2, -y / 2}, Point{x / 2, y / 2}, Point{-x / 2, y / 2})
}

// Rounded is a rectangle about the origin with corners of radius r; where two
// corners meet there is no edge between them.
func Rounded(x, y, r float64) Loop {
	if !(r > 0) {
		return Rectangle(x, y)
	}
	quarter := math.Tan(math.Pi / 8)
	var l Loop
	put := func(px, py, bulge float64) {
		if n := len(l); n > 0 && l[n-1].Point == (Point{px, py}) {
			l[n-1].Bulge = bulge
			return
		}
		l = append(l, Vertex{Point{px, py}, bulge})
	}
	put(-x/2+r, -y/2, 0)
	put(x/2-r, -y/2, quarter)
	put(x/2, -y/2+r, 0)
	put(x/2, y/2-r, quarter)
	put(x/2-r, y/2, 0)
	put(-x/2+r, y/2, quarter)
	put(-x/2, y/2-r, 0)
	put(-x/2, -y/2+r, quarter)
	return l
}

// Circle is a circle, counter-clockwise, as two halves.
func Circle(c Point, r float64) Loop {
	return Loop{{Point{c.X + r, c.Y}, 1}, {Point{c.X - r, c.Y}, 1}}
}

func (l Loop) at(i int) Vertex { return l[i%len(l)] }

// Moved returns the loop shifted by (x, y).
func (l Loop) Moved(x, y float64) Loop {
	out := make(Loop, len(l))
	for i, v := range l {
		out[i] = Vertex{Point{v.X + x, v.Y + y}, v.Bulge}
	}
	return out
}

// Reversed returns the loop run the other way, from the same first point.
func (l Loop) Reversed() Loop {
	n := len(l)
	out := make(Loop, n)
	for i := range out {
		out[i].Point = l[(n-i)%n].Point
		out[i].Bulge = -l[(2*n-1-i)%n].Bulge // the edge that arrived
	}
	return out
}

// Arc is the circle that an edge follows.
type Arc struct {
	Centre Point
	Radius float64
	Turn   float64 // rad, positive counter-clockwise
}

// flattest is the bulge below which an edge is straight: it then stands out by
// less than 5e-9 of its length, and its centre is so far away that rounding would
// move it as much.
const flattest = 1e-8

// Arc returns the arc of edge i and true, or false for a straight edge.
func (l Loop) Arc(i int) (Arc, bool) {
	v, w := l[i], l.at(i+1)
	if math.Abs(v.Bulge) < flattest {
		return Arc{}, false
	}
	// The centre lies off the middle of the chord, to the left for a bulge between 0 and 1.
	chord := w.Point.sub(v.Point)
	off := (1 - v.Bulge*v.Bulge) / (4 * v.Bulge)
	return Arc{
		Centre: Point{(v.X+w.X)/2 - off*chord.Y, (v.Y+w.Y)/2 + off*chord.X},
		Radius: chord.length() * (1 + v.Bulge*v.Bulge) / (4 * math.Abs(v.Bulge)),
		Turn:   4 * math.Atan(v.Bulge),
	}, true
}

// IsCircle returns centre and radius of a loop that is one whole circle.
func (l Loop) IsCircle() (centre Point, radius float64, is bool) {
	if len(l) != 2 || math.Abs(l[0].Bulge) != 1 || l[0].Bulge != l[1].Bulge {
		return Point{}, 0, false
	}
	a, _ := l.Arc(0)
	return a.Centre, a.Radius, true
}

// Area is the area enclosed, m², positive for a loop that turns
// counter-clockwise: the polygon of its points and the segments of its arcs.
func (l Loop) Area() float64 {
	sum := 0.0
	for i, v := range l {
		w := l.at(i + 1)
		sum += v.Point.sub(l[0].Point).cross(w.Point.sub(l[0].Point)) / 2
		if a, curved := l.Arc(i); curved {
			sum += a.Radius * a.Radius / 2 * (a.Turn - math.Sin(a.Turn))
		}
	}
	return sum
}

// straight replaces arcs by chords, perTurn to a full turn and at least two to an arc.
func (l Loop) straight(perTurn int) Loop {
	var out Loop
	for i, v := range l {
		out = append(out, Vertex{Point: v.Point})
		a, curved := l.Arc(i)
		if !curved {
			continue
		}
		n := a.pieces(perTurn)
		for k := 1; k < n; k++ {
			out = append(out, a.on(v.Point, float64(k)/float64(n), a.Radius))
		}
	}
	return out
}

// pieces is how many chords stand for an arc, perTurn to a full turn and at least two.
func (a Arc) pieces(perTurn int) int {
	return max(2, int(math.Ceil(math.Abs(a.Turn)/(2*math.Pi)*float64(perTurn)-1e-9)))
}

// on is the vertex at a share of the arc that begins at a point, r from its centre.
func (a Arc) on(begin Point, share, r float64) Vertex {
	s, c := math.Sincos(math.Atan2(begin.Y-a.Centre.Y, begin.X-a.Centre.X) + a.Turn*share)
	return Vertex{Point: Point{a.Centre.X + r*c, a.Centre.Y + r*s}}
}

// Support is the largest distance of the loop from the origin along the unit
// vector d of its plane, and the point where it is reached, m.
func (l Loop) Support(d Point) (most float64, at Point) {
	most = math.Inf(-1)
	for i, v := range l {
		if s := v.dot(d); s > most {
			most, at = s, v.Point
		}
		a, curved := l.Arc(i)
		if !curved {
			continue
		}
		tip := Point{a.Centre.X + a.Radius*d.X, a.Centre.Y + a.Radius*d.Y}
		if a.holds(v.Point, tip) && tip.dot(d) > most {
			most, at = tip.dot(d), tip
		}
	}
	return most, at
}

// holds tells whether a point of the circle lies on the arc that starts at from.
func (a Arc) holds(from, p Point) bool {
	u, v := from.sub(a.Centre), p.sub(a.Centre)
	angle := math.Atan2(u.cross(v), u.dot(v)) // -pi..pi from the start
	if a.Turn < 0 {
		angle = -angle
	}
	if angle < 0 {
		angle += 2 * math.Pi
	}
	return angle <= math.Abs(a.Turn)
}
