package pack

import (
	"errors"
	"math"

	"spanwright/drawing"
)

// panel is one view before it has its place.
type panel struct {
	title   string
	view    drawing.View
	bounds  drawing.Rect // m
	ladders func(drawing.Placed) []drawing.Ladder
	draw    func(*drawing.Sheet, drawing.Placed)
}

// margins are the room for dimensions and title round a view, mm.
type margins struct{ below, above, left, right float64 }

const (
	leastMargin = 8.0
	titleRoom   = 10.0
	inset       = 4.0 // from the frame
)

// margins measures the dimensions at a scale.
func (p panel) margins(scale float64) margins {
	m := margins{leastMargin, leastMargin, leastMargin, leastMargin}
	for _, l := range p.ladders(p.placed(drawing.Point{}, scale)) {
		switch l.Side {
		case drawing.Below:
			m.below = max(m.below, l.Depth())
		case drawing.Above:
			m.above = max(m.above, l.Depth())
		case drawing.LeftOf:
			m.left = max(m.left, l.Depth())
		case drawing.RightOf:
			m.right = max(m.right, l.Depth())
		}
	}
	m.above += titleRoom
	return m
}

func (p panel) placed(corner drawing.Point, scale float64) drawing.Placed {
	return drawing.Placed{View: p.view, Corner: corner, Model: p.bounds, Scale: scale}
}

// layout is where the three views of a drawing in first angle lie: the top view
// below the front view, the view from the left to its right, and a column of
// tables along the right edge.
type layout struct {
	format           drawing.Format
	denominator      float64
	front, top, left drawing.Placed
	column           drawing.Rect // tables and notes
	picture          drawing.Rect // isometric
}

// errNoRoom is returned if no sheet is large enough.
var errNoRoom = errors.New("the views fit no sheet at any scale")

// gap is what the choice of the scale allows for dimensions between views, mm;
// common practice.
const gap = 30.0

// coarsest is the smallest scale that is accepted as long as there is a larger
// sheet; common practice.
const coarsest = 20.0

// arrange chooses the sheet and the scale: from A3 up the largest scale at which
// views and dimensions fit; scales smaller than 1:20 only on the largest sheet.
// cornerTop is the top of what stands in the lower right corner. Front and top
// view must show the same range of x, front and left view the same of z.
func arrange(front, top, left panel, columnWidth, columnHeight, pictureSide float64, cornerTop func(drawing.Format) float64) (layout, error) {
	for _, f := range drawing.Formats[1:] {
		last := f == drawing.Formats[len(drawing.Formats)-1]
		area := f.Area()
		start, ok := drawing.Views{
			Widths: []float64{front.bounds.Width() * 1000, left.bounds.Width() * 1000}, Heights: []float64{front.bounds.Height() * 1000, top.bounds.Height() * 1000},
			Gap: gap / 2, AreaWidth: area.Width() - columnWidth, AreaHeight: area.Height(),
		}.Denominator()
		if !ok {
			continue
		}
		for _, d := range drawing.Denominators {
			if d < start || d > coarsest && !last {
				continue
			}
			if l, ok := place(f, d, front, top, left, columnWidth, columnHeight, pictureSide, cornerTop(f)); ok {
				return l, nil
			}
		}
	}
	return layout{}, errNoRoom
}

// place puts the views on a sheet at a scale, false if they do not fit.
func place(f drawing.Format, d float64, front, top, left panel, columnWidth, columnHeight, pictureSide, cornerTop float64) (layout, bool) {
	area := f.Area().Grow(-inset)
	scale := 1000 / d
	mf, mt, ml := front.margins(scale), top.margins(scale), left.margins(scale)
	x := area.Min.X + math.Max(mf.left, mt.left)
	frontY := area.Max.Y - math.Max(mf.above, ml.above) - front.bounds.Height()*scale
	leftX := x + front.bounds.Width()*scale + mf.right + ml.left
	topY := frontY - mf.below - mt.above - top.bounds.Height()*scale
	l := layout{
		format: f, denominator: d,
		front: front.placed(drawing.Point{X: x, Y: frontY}, scale),
		top:   top.placed(drawing.Point{X: x, Y: topY}, scale),
		left:  left.placed(drawing.Point{X: leftX, Y: frontY}, scale),
	}
	right := leftX + left.bounds.Width()*scale + ml.right
	topRight := l.top.Rect().Max.X + mt.right
	sideBottom := l.left.Rect().Min.Y - ml.below
	titleLeft := f.Area().Max.X - drawing.TitleWidth
	l.column = drawing.Rect{Min: drawing.Point{X: area.Max.X - columnWidth, Y: cornerTop + inset}, Max: area.Max}
	bottom := topY - mt.below
	if right > l.column.Min.X || bottom < area.Min.Y || l.column.Height() < columnHeight {
		return l, false
	}
	if topRight > titleLeft && bottom < cornerTop {
		return l, false
	}
	columnBottom := area.Max.Y - columnHeight
	for _, r := range []drawing.Rect{
		{Min: drawing.Point{X: topRight, Y: area.Min.Y}, Max: drawing.Point{X: titleLeft, Y: sideBottom}},
		{Min: drawing.Point{X: topRight, Y: cornerTop}, Max: drawing.Point{X: l.column.Min.X, Y: sideBottom}},
		{Min: drawing.Point{X: topRight, Y: cornerTop}, Max: drawing.Point{X: area.Max.X, Y: math.Min(sideBottom, columnBottom)}},
	} {
		r = r.Grow(-inset)
		if math.Min(r.Width(), r.Height()) > math.Min(l.picture.Width(), l.picture.Height()) {
			l.picture = r
		}
	}
	return l, math.Min(l.picture.Width(), l.picture.Height()) >= pictureSide
}

// drawPanels draws the views with their dimensions and titles; what found no
// place is returned.
func drawPanels(sheet *drawing.Sheet, panels []panel, places []drawing.Placed) []drawing.Measure {
	var left []drawing.Measure
	for i, p := range panels {
		at := places[i]
		p.draw(sheet, at)
		above := 0.0
		for _, l := range p.ladders(at) {
			left = append(left, sheet.Ladder(l)...)
			if l.Side == drawing.Above {
				above = l.Depth()
			}
		}
		sheet.ViewTitle(drawing.Point{X: at.Rect().Min.X, Y: at.Rect().Max.Y + above + 5}, p.title)
	}
	return left
}

// measure is a dimension between two points of a view.
func measure(p drawing.Placed, side drawing.Side, from, to drawing.Point, label string) drawing.Measure {
	a, b := p.At(from), p.At(to)
	if label != "" {
		label += " "
	}
	if side == drawing.Below || side == drawing.Above {
		return drawing.Measure{From: a.X, To: b.X, Start: a.Y, Stop: b.Y, Text: label + inMM(math.Abs(to.X-from.X))}
	}
	return drawing.Measure{From: a.Y, To: b.Y, Start: a.X, Stop: b.X, Text: label + inMM(math.Abs(to.Y-from.Y))}
}

// chain is the dimensions from each to the next of rising places along a side,
// beginning at an outline, and over all of them if there are more than two.
func chain(p drawing.Placed, side drawing.Side, places []float64, outline float64) []drawing.Measure {
	point := func(v float64) drawing.Point {
		if side == drawing.Below || side == drawing.Above {
			return drawing.Point{X: v, Y: outline}
		}
		return drawing.Point{X: outline, Y: v}
	}
	var out []drawing.Measure
	for i := 1; i < len(places); i++ {
		out = append(out, measure(p, side, point(places[i-1]), point(places[i]), ""))
	}
	if len(places) > 2 {
		out = append(out, measure(p, side, point(places[0]), point(places[len(places)-1]), ""))
	}
	return out
}

// picture draws an isometric view as large as a rectangle allows, not to scale,
// with room for balloons, and returns its place.
func picturePlace(r drawing.Rect, bounds drawing.Rect, room float64) drawing.Placed {
	r.Max.Y -= titleRoom
	inner := r.Grow(-room)
	scale := math.Min(inner.Width()/bounds.Width(), inner.Height()/bounds.Height())
	c := inner.Centre()
	return drawing.Placed{
		View: drawing.Isometric, Model: bounds, Scale: scale,
		Corner: drawing.Point{X: c.X - bounds.Width()*scale/2, Y: c.Y - bounds.Height()*scale/2},
	}
}
