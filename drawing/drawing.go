// Package drawing lays out technical drawing sheets and writes them as SVG, PDF
// and DXF: sheet, frame and title block, line types, dimensions, item balloons,
// tables, and views of convex bodies with hidden lines removed.
//
// It knows nothing of gantries and judges nothing. On the sheet, lengths are mm
// with the origin in the lower left corner of the trimmed sheet, x to the right,
// y up; angles are rad, counter-clockwise. Bodies are in metres, right-handed.
//
// Standards named here (ISO 128-2, 129-1, 3098-1, 5455, 5456-2, 5457, 7200) are
// cited from memory unless a comment says otherwise.
package drawing

import "math"

// Point is a place on the sheet or in the plane of a view.
type Point struct{ X, Y float64 }

// Add shifts a point.
func (p Point) Add(dx, dy float64) Point { return Point{p.X + dx, p.Y + dy} }

func (p Point) distance(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Rect is an upright rectangle.
type Rect struct{ Min, Max Point }

// Width is the extent along x.
func (r Rect) Width() float64 { return r.Max.X - r.Min.X }

// Height is the extent along y.
func (r Rect) Height() float64 { return r.Max.Y - r.Min.Y }

// Centre is the middle.
func (r Rect) Centre() Point { return Point{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2} }

// Grow is the rectangle with a margin all round; a negative one shrinks it.
func (r Rect) Grow(by float64) Rect {
	return Rect{r.Min.Add(-by, -by), r.Max.Add(by, by)}
}

// Overlaps tells whether two rectangles share more than an edge.
func (r Rect) Overlaps(o Rect) bool {
	return r.Min.X < o.Max.X && o.Min.X < r.Max.X && r.Min.Y < o.Max.Y && o.Min.Y < r.Max.Y
}

// Holds tells whether the other rectangle lies inside.
func (r Rect) Holds(o Rect) bool {
	const touch = 1e-6 // mm, rounding
	return o.Min.X >= r.Min.X-touch && o.Min.Y >= r.Min.Y-touch && o.Max.X <= r.Max.X+touch && o.Max.Y <= r.Max.Y+touch
}

// union is the smallest rectangle around both.
func (r Rect) union(o Rect) Rect {
	return Rect{
		Point{math.Min(r.Min.X, o.Min.X), math.Min(r.Min.Y, o.Min.Y)},
		Point{math.Max(r.Max.X, o.Max.X), math.Max(r.Max.Y, o.Max.Y)},
	}
}

// Layer says what a line is for; width and dashes follow from it.
type Layer int

// The layers, with the line types of ISO 128-2.
const (
	Visible   Layer = iota // visible edges: continuous, wide (01.2)
	Thin                   // continuous, narrow (01.1)
	Dimension              // dimensions, leaders, balloons: continuous, narrow (01.1)
	Hidden                 // dashed, narrow (02.1)
	Centre                 // long dash, dot, narrow (04.1)
	Space                  // outline of a space: long dash, dot, narrow (04.1)
	Ghost                  // ends of motion, neighbours: long dash, two dots, narrow (05.1)
	Lettering              // text
	Frame                  // frame of the sheet: continuous, 0.7 mm
	Table                  // title block and tables: continuous, narrow
	layerCount
)

var layerNames = [layerCount]string{"VISIBLE", "THIN", "DIMENSION", "HIDDEN", "CENTRE", "SPACE", "GHOST", "TEXT", "FRAME", "TABLE"}

// frameWidth is the width of the frame line, mm; ISO 5457.
const frameWidth = 0.7

// Width is the line width of a layer on a sheet with the given wide line, mm.
// Narrow lines are half as wide (ISO 128-2).
func (l Layer) Width(wide float64) float64 {
	switch l {
	case Visible:
		return wide
	case Frame:
		return frameWidth
	}
	return wide / 2
}

// dashes is the pattern of a layer in units of its line width: drawn, left out,
// drawn, ... Long dash 24, dash 12, gap 3, dot 0.5; ISO 128-2.
func (l Layer) dashes() []float64 {
	switch l {
	case Hidden:
		return []float64{12, 3}
	case Centre, Space:
		return []float64{24, 3, 0.5, 3}
	case Ghost:
		return []float64{24, 3, 0.5, 3, 0.5, 3}
	}
	return nil
}

// Align says which point of a text is given.
type Align int

// Where the given point of a text lies on its base line.
const (
	Left Align = iota
	Middle
	Right
)

// Text is one line of lettering.
type Text struct {
	At     Point // on the base line
	Height float64
	Angle  float64 // rad; 0, or a quarter turn: read from the right
	Align  Align
	String string
}

// Polyline is a run of straight lines.
type Polyline struct {
	Layer  Layer
	Points []Point
	Closed bool
}

// Circle is a full circle; a filled one is a dot.
type Circle struct {
	Layer  Layer
	Centre Point
	Radius float64
	Filled bool
}

// Arc runs counter-clockwise.
type Arc struct {
	Layer    Layer
	Centre   Point
	Radius   float64
	From, To float64
}

// Fill is a filled convex polygon of three or four corners.
type Fill struct {
	Layer  Layer
	Points []Point
}

// Sheet is a drawing sheet with what is drawn on it.
type Sheet struct {
	Format Format
	Title  string // for the properties of the file
	Maker  string // program, for the properties of the file
	Date   string // yyyy-mm-dd or empty, for the properties of the file

	Polylines []Polyline
	Circles   []Circle
	Arcs      []Arc
	Fills     []Fill
	Texts     []Text

	Dimensions []Measure // as drawn

	taken []Rect // no text may be put here, besides the texts themselves
}

// Line draws a straight line.
func (s *Sheet) Line(l Layer, a, b Point) { s.Polyline(l, a, b) }

// Polyline draws straight lines from point to point.
func (s *Sheet) Polyline(l Layer, points ...Point) {
	s.Polylines = append(s.Polylines, Polyline{Layer: l, Points: points})
}

// Rect draws a rectangle.
func (s *Sheet) Rect(l Layer, r Rect) {
	s.Polylines = append(s.Polylines, Polyline{Layer: l, Closed: true, Points: []Point{r.Min, {r.Max.X, r.Min.Y}, r.Max, {r.Min.X, r.Max.Y}}})
}

// Circle draws a circle.
func (s *Sheet) Circle(l Layer, centre Point, radius float64) {
	s.Circles = append(s.Circles, Circle{Layer: l, Centre: centre, Radius: radius})
}

// Dot draws a filled circle.
func (s *Sheet) Dot(l Layer, centre Point, radius float64) {
	s.Circles = append(s.Circles, Circle{Layer: l, Centre: centre, Radius: radius, Filled: true})
}

// Arc draws an arc counter-clockwise.
func (s *Sheet) Arc(a Arc) { s.Arcs = append(s.Arcs, a) }

// Fill draws a filled convex polygon of three or four corners.
func (s *Sheet) Fill(l Layer, points ...Point) {
	s.Fills = append(s.Fills, Fill{Layer: l, Points: points})
}

// Take keeps texts that are placed by rule, such as dimensions, off a rectangle.
func (s *Sheet) Take(r Rect) { s.taken = append(s.taken, r) }

// arrowLength and arrowAngle: filled arrow, 15 degrees, 3 mm; ISO 129-1.
const (
	arrowLength = 3.0
	arrowAngle  = 15 * math.Pi / 180
)

// Arrow draws a filled arrow head with its tip at a point, pointing along angle.
func (s *Sheet) Arrow(l Layer, tip Point, angle float64) {
	sin, cos := math.Sincos(angle)
	half := arrowLength * math.Tan(arrowAngle/2)
	s.Fill(l, tip,
		tip.Add(-arrowLength*cos-half*sin, -arrowLength*sin+half*cos),
		tip.Add(-arrowLength*cos+half*sin, -arrowLength*sin-half*cos))
}

// Extents is the smallest rectangle around all that is drawn but texts.
func (s *Sheet) Extents() Rect {
	r := Rect{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
	add := func(points ...Point) {
		for _, p := range points {
			r = r.union(Rect{p, p})
		}
	}
	for _, p := range s.Polylines {
		add(p.Points...)
	}
	for _, f := range s.Fills {
		add(f.Points...)
	}
	for _, c := range s.Circles {
		add(c.Centre.Add(-c.Radius, -c.Radius), c.Centre.Add(c.Radius, c.Radius))
	}
	return r
}
