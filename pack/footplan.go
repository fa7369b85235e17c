package pack

import (
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/drawing"
)

// footPlan draws where the feet stand, seen from above, with their numbers and
// the distances between them, into a rectangle, and returns how far down it reaches.
func (a arrangement) footPlan(sheet *drawing.Sheet, room drawing.Rect, loads []assess.FootLoad) (bottom float64) {
	var xs, ys []float64
	for _, f := range loads {
		xs, ys = append(xs, float64(f.X)), append(ys, float64(f.Y))
	}
	xs, ys = distinct(xs), distinct(ys)
	if len(xs) == 0 {
		sheet.ViewTitle(drawing.Point{X: room.Min.X, Y: room.Max.Y - 6}, "Foot plan: unknown, no foot loads")
		return room.Max.Y - 10
	}
	pad := 0.0
	for _, f := range a.m.Feet {
		pad = math.Max(pad, f.Part.Pad)
	}
	bounds := drawing.Rect{
		Min: drawing.Point{X: xs[0] - pad/2, Y: ys[0] - pad/2}, Max: drawing.Point{X: xs[len(xs)-1] + pad/2, Y: ys[len(ys)-1] + pad/2},
	}
	const side, below, above, right = 26.0, 26.0, 12.0, 12.0 // mm, for dimensions, title and numbers
	d, ok := drawing.Views{
		Widths: []float64{bounds.Width() * 1000}, Heights: []float64{bounds.Height() * 1000},
		AreaWidth: room.Width() - side - right, AreaHeight: room.Height() - below - above - 4,
	}.Denominator()
	if !ok {
		d = drawing.Denominators[len(drawing.Denominators)-1]
	}
	scale := 1000 / d
	p := drawing.Placed{View: drawing.Top, Model: bounds, Scale: scale, Corner: drawing.Point{X: room.Min.X + side, Y: room.Max.Y - above - 4 - bounds.Height()*scale}}
	r := p.Rect()
	sheet.ViewTitle(drawing.Point{X: room.Min.X, Y: room.Max.Y - 6}, "Foot plan "+drawing.ScaleName(d))
	radius := math.Max(pad/2*scale, 0.8)
	for i, f := range loads {
		c := p.At(drawing.Point{X: float64(f.X), Y: float64(f.Y)})
		sheet.Circle(drawing.Visible, c, radius)
		for _, e := range [][2]float64{{radius + 1.5, 0}, {0, radius + 1.5}} {
			sheet.Line(drawing.Centre, c.Add(-e[0], -e[1]), c.Add(e[0], e[1]))
		}
		sheet.Write(drawing.Text{At: c.Add(radius+0.8, radius+0.8), Height: drawing.Small, String: footNumber(i)})
	}
	spacing := drawing.Ladder{Side: drawing.Below, Base: r.Min.Y, Measures: chain(p, drawing.Below, xs, bounds.Min.Y)}
	sheet.Ladder(spacing)
	sheet.Ladder(drawing.Ladder{Side: drawing.LeftOf, Base: r.Min.X, Measures: chain(p, drawing.LeftOf, ys, bounds.Min.X)})
	return r.Min.Y - spacing.Depth()
}

// distinct sorts values and drops those that are equal to a tenth of a millimetre.
func distinct(values []float64) []float64 {
	slices.Sort(values)
	return slices.CompactFunc(values, func(a, b float64) bool { return math.Abs(a-b) < 1e-4 })
}
