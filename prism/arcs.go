package prism

import "math"

// The limits of what counts as a drawn arc: own choice. A regular polygon of up
// to 16 sides stays a polygon; a fillet needs at least three equal chords.
const (
	mostStep   = 2 * math.Pi / 17 // rad turned at one point
	leastCore  = 3                // equal chords in a row
	sameChord  = 1e-6             // of the length
	sameTurn   = 1e-5             // rad
	sameRadius = 0.05             // of the end points of an arc drawn outside its circle
)

// Recognise finds the arcs in a polygon and returns a loop with true arcs that
// encloses exactly the same area: rows of chords of equal length that turn by
// equal angles become an arc, a regular polygon of many sides a circle. An arc
// whose inner points were moved outward to keep the area of the true sector (as
// equal-area polygons do) is found with its true end points.
func Recognise(points []Point) Loop {
	if c, r, is := regular(points); is {
		loop := Circle(c, r)
		if area(points) < 0 {
			loop = loop.Reversed()
		}
		return loop
	}
	n := len(points)
	first := plain(points)
	if first < 0 {
		return Polygon(points...)
	}
	p := func(i int) Point { return points[(first+i)%n] }
	var out Loop
	for i := 0; i < n; {
		end := row(p, i, n)
		if end == i {
			out = append(out, Vertex{Point: p(i)})
			i++
			continue
		}
		out = append(out, Vertex{p(i), sameArea(p, i, end)})
		i = end
	}
	return out
}

// regular tells whether the points are a regular polygon of many sides, and
// returns the circle of its area about its centre.
func regular(points []Point) (c Point, r float64, is bool) {
	n := len(points)
	if n < 17 {
		return c, 0, false
	}
	for _, p := range points {
		c.X += p.X / float64(n)
		c.Y += p.Y / float64(n)
	}
	r0 := points[0].sub(c).length()
	chord := points[1].sub(points[0]).length()
	for i, p := range points {
		q := points[(i+1)%n]
		if math.Abs(p.sub(c).length()-r0) > sameChord*r0 || math.Abs(q.sub(p).length()-chord) > sameChord*chord*10 {
			return c, 0, false
		}
	}
	return c, math.Sqrt(math.Abs(area(points)) / math.Pi), true
}

// plain is the index of a point that no arc passes: where the row of equal
// chords breaks. -1 if there is none.
func plain(points []Point) int {
	n := len(points)
	p := func(i int) Point { return points[i%n] }
	for i := range n {
		if turn(p, n+i) > mostStep || turn(p, n+i) < -mostStep {
			return i
		}
	}
	for i := range n {
		a, b := p(n+i).sub(p(n+i-1)).length(), p(i+1).sub(p(i)).length()
		if math.Max(a, b) > 1.5*math.Min(a, b) {
			return i
		}
	}
	return -1
}

// turn is the angle that the polygon turns through at point i (i > 0), rad.
func turn(p func(int) Point, i int) float64 {
	u, v := p(i).sub(p(i-1)), p(i+1).sub(p(i))
	return math.Atan2(u.cross(v), u.dot(v))
}

// row returns the last point of the arc that starts at point i, or i if none
// does. The arc does not run beyond point n.
func row(p func(int) Point, i, n int) int {
	for _, lead := range [2]int{1, 0} { // with a first chord of its own, or without
		start := i + lead
		if end := core(p, start, n); end-start >= leastCore {
			c, r, step := circleOf(p, start, end)
			if lead == 1 && !continues(p(i), p(start), c, r, -step) {
				continue
			}
			if end < n && continues(p(end+1), p(end), c, r, step) {
				return end + 1
			}
			return end
		}
	}
	return i
}

// core is the end of the row of equal chords with equal turns from point i on.
func core(p func(int) Point, i, n int) int {
	if i+2 > n {
		return i
	}
	chord := p(i + 1).sub(p(i)).length()
	end, step := i+1, turn(p, i+1)
	if math.Abs(step) > mostStep || math.Abs(step) < 1e-3 {
		return i
	}
	for end < n && math.Abs(turn(p, end)-step) < sameTurn &&
		math.Abs(p(end+1).sub(p(end)).length()-chord) < sameChord*chord {
		end++
	}
	return end
}

// circleOf is the circle through the row of equal chords and the angle of one, rad.
func circleOf(p func(int) Point, from, to int) (c Point, r, step float64) {
	step = turn(p, from+1)
	chord := p(from + 1).sub(p(from))
	off := 1 / (2 * math.Tan(step/2))
	mid := Point{(p(from).X + p(from+1).X) / 2, (p(from).Y + p(from+1).Y) / 2}
	c = Point{mid.X - off*chord.Y, mid.Y + off*chord.X}
	return c, p(from).sub(c).length(), step
}

// continues tells whether q follows p one step further round the circle,
// perhaps a little inside it.
func continues(q, p, c Point, r, step float64) bool {
	u, v := p.sub(c), q.sub(c)
	angle := math.Atan2(u.cross(v), u.dot(v))
	return math.Abs(angle-step) < sameTurn && v.length() > r*(1-sameRadius) && v.length() < r*(1+sameChord)
}

// sameArea is the bulge of the arc from point i to point j that encloses with
// its chord the area that the chords between them enclose.
func sameArea(p func(int) Point, i, j int) float64 {
	chord := p(j).sub(p(i))
	want := 0.0
	for k := i; k < j; k++ {
		want += p(k).sub(p(i)).cross(p(k+1).sub(p(i))) / 2
	}
	// The area of a segment over its chord squared rises with the bulge: bisection.
	w := math.Abs(want) / chord.dot(chord)
	lo, hi := 0.0, 1e3
	for range 70 { // the last binary digit of the interval
		b := (lo + hi) / 2
		turn := 4 * math.Atan(b)
		r := (1 + b*b) / (4 * b)
		if r*r/2*(turn-math.Sin(turn)) < w {
			lo = b
		} else {
			hi = b
		}
	}
	return math.Copysign((lo+hi)/2, want)
}

func area(points []Point) float64 { return Polygon(points...).Area() }
