package section

import "math"

// Arcs are drawn as polygons of exactly the arc's area: a circle of n points
// lies on the radius r sqrt((2 pi/n)/sin(2 pi/n)), slightly outside the true
// one. Second moments then err by less than 1e-4 of the circle's own at 48
// points (derived; TestCirclePolygon).

// circlePoints is the number of points of a full circle.
const circlePoints = 48

// circle returns a circle about c with n points, counter-clockwise.
func circle(c Point, r float64, n int) Loop {
	step := 2 * math.Pi / float64(n)
	r *= math.Sqrt(step / math.Sin(step))
	out := make(Loop, n)
	for i := range out {
		// Half a step off keeps the polygon symmetric about y, z and both diagonals.
		s, co := math.Sincos((float64(i) + 0.5) * step)
		out[i] = Point{c.Y + r*co, c.Z + r*s}
	}
	return out
}

// arc returns n+1 points on the arc about c from angle a to angle b (rad, b <
// a turns clockwise). The end points are those of the true arc, so that
// straight edges stay tangent; the points between lie outside it, so that the
// sector's area is exact.
func arc(c Point, r, a, b float64, n int) Loop {
	step := math.Abs(b-a) / float64(n)
	// n triangles of angle step: two have one corner on r, the others none:
	// sin(step)/2 (2 r x + (n-2) x²) = n step r²/2 for the outer radius x.
	x := r
	if n > 1 {
		k, w := float64(n-2), float64(n)*step/math.Sin(step)
		x = w / 2 * r
		if n > 2 {
			x = r * (math.Sqrt(1+k*w) - 1) / k
		}
	}
	out := make(Loop, n+1)
	for i := range out {
		at := x
		if i == 0 || i == n {
			at = r
		}
		s, co := math.Sincos(a + (b-a)*float64(i)/float64(n))
		out[i] = Point{c.Y + at*co, c.Z + at*s}
	}
	return out
}

// roundedRectangle returns a w x h rectangle about c with corners of radius
// r, n edges to each; r = 0 gives sharp corners.
func roundedRectangle(c Point, w, h, r float64, n int) Loop {
	var out Loop
	for k, s := range []Point{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		corner := Point{c.Y + s.Y*(w/2-r), c.Z + s.Z*(h/2-r)}
		if r == 0 {
			out = append(out, corner)
			continue
		}
		from := float64(k) * math.Pi / 2
		out = append(out, arc(corner, r, from, from+math.Pi/2, n)...)
	}
	return out
}
