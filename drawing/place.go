package drawing

import "gonum.org/v1/gonum/spatial/r3"

// Placed is a view put on the sheet.
type Placed struct {
	View
	Corner Point   // on the sheet, mm: where the lower left corner of Model lies
	Model  Rect    // what is shown, in the plane of the view, m
	Scale  float64 // mm on the sheet for one metre
}

// At is where a point in the plane of the view lies on the sheet, mm.
func (p Placed) At(q Point) Point {
	return p.Corner.Add((q.X-p.Model.Min.X)*p.Scale, (q.Y-p.Model.Min.Y)*p.Scale)
}

// On is where a point of the world lies on the sheet, mm.
func (p Placed) On(q r3.Vec) Point { return p.At(p.View.On(q)) }

// Rect is what the view covers on the sheet, mm.
func (p Placed) Rect() Rect { return Rect{p.Corner, p.At(p.Model.Max)} }

// Segments draws pieces of edges.
func (s *Sheet) Segments(l Layer, p Placed, segments []Segment) {
	for _, g := range segments {
		s.Line(l, p.At(g.A), p.At(g.B))
	}
}

// ViewTitle writes the name of a view above it.
func (s *Sheet) ViewTitle(at Point, title string) {
	s.Write(Text{At: at, Height: Large, String: title})
}
