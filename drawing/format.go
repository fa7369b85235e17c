package drawing

import (
	"fmt"
	"math"
	"strconv"
)

// Format is a trimmed sheet, landscape unless it is A4.
type Format struct {
	Name          string
	Width, Height float64 // mm
}

// Formats are the sheets of ISO 5457, small to large.
var Formats = []Format{
	{"A4", 210, 297}, {"A3", 420, 297}, {"A2", 594, 420}, {"A1", 841, 594}, {"A0", 1189, 841},
}

// FormatOf finds a sheet by its name.
func FormatOf(name string) (Format, error) {
	for _, f := range Formats {
		if f.Name == name {
			return f, nil
		}
	}
	return Format{}, fmt.Errorf("%q is no sheet from A4 to A0", name)
}

// Margins of the frame, mm: the left one is for filing; ISO 5457.
const (
	marginLeft = 20.0
	margin     = 10.0
)

// Area is the drawing area inside the frame.
func (f Format) Area() Rect {
	return Rect{Point{marginLeft, margin}, Point{f.Width - margin, f.Height - margin}}
}

// Wide is the width of wide lines: 0.5 mm up to A2, 0.7 mm above.
func (f Format) Wide() float64 {
	if f.Width > 600 {
		return 0.7
	}
	return 0.5
}

// field is the length of the fields of the grid, mm; ISO 5457.
const field = 50.0

// NewSheet is a sheet with frame, trimming edge, centring marks and the grid of
// reference fields: letters downward without I and O, numerals to the right.
func NewSheet(f Format) *Sheet {
	s := &Sheet{Format: f}
	area := f.Area()
	s.Rect(Table, Rect{Point{0, 0}, Point{f.Width, f.Height}})
	s.Rect(Frame, area)
	inner := 5.0 // mm, width of the grid's border
	border := area.Grow(inner)
	s.Rect(Table, border)
	c := Point{f.Width / 2, f.Height / 2} // of the trimmed sheet
	for _, mark := range [][2]Point{
		{{c.X, 0}, {c.X, area.Min.Y + inner}}, {{c.X, f.Height}, {c.X, area.Max.Y - inner}},
		{{0, c.Y}, {area.Min.X + inner, c.Y}}, {{f.Width, c.Y}, {area.Max.X - inner, c.Y}},
	} {
		s.Line(Frame, mark[0], mark[1])
	}
	s.grid(area.Min.X, area.Max.X, c.X, func(at float64, tick bool, name int) {
		for _, y := range [][2]float64{{area.Max.Y, border.Max.Y}, {border.Min.Y, area.Min.Y}} {
			if tick {
				s.Line(Table, Point{at, y[0]}, Point{at, y[1]})
			} else {
				s.Write(Text{At: Point{at, (y[0]+y[1])/2 - Small/2}, Height: Small, Align: Middle, String: strconv.Itoa(name + 1)})
			}
		}
	})
	s.grid(-area.Max.Y, -area.Min.Y, -c.Y, func(at float64, tick bool, name int) {
		for _, x := range [][2]float64{{border.Min.X, area.Min.X}, {area.Max.X, border.Max.X}} {
			if tick {
				s.Line(Table, Point{x[0], -at}, Point{x[1], -at})
			} else {
				const letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
				s.Write(Text{At: Point{(x[0] + x[1]) / 2, -at - Small/2}, Height: Small, Align: Middle, String: letters[name%len(letters):][:1]})
			}
		}
	})
	return s
}

// grid walks the fields of one border outward from the centring mark: the ticks
// between them, and the middles with their numbers from the start.
func (s *Sheet) grid(from, to, centre float64, each func(at float64, tick bool, name int)) {
	edges := []float64{from}
	first := centre - field*math.Floor((centre-from)/field)
	for at := first; at < to-1e-9; at += field {
		if at > from+1e-9 && at-edges[len(edges)-1] > field/4 && to-at > field/4 {
			edges = append(edges, at)
		}
	}
	edges = append(edges, to)
	for i := 1; i < len(edges); i++ {
		mid := (edges[i-1] + edges[i]) / 2
		each(mid, false, i-1)
		if i < len(edges)-1 && math.Abs(edges[i]-centre) > 1e-6 {
			each(edges[i], true, i)
		}
	}
}

// Denominators of the reducing scales of ISO 5455, large to small.
var Denominators = []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

// ScaleName is a scale as it is printed.
func ScaleName(denominator float64) string { return fmt.Sprintf("1:%g", denominator) }

// Views are what a scale is chosen for, mm: views side by side and one above
// the other, with gaps before, between and after for dimensions.
type Views struct {
	Widths, Heights         []float64 // true sizes
	Gap                     float64   // on the sheet
	AreaWidth, AreaHeight   float64   // on the sheet
	ExtraWidth, ExtraHeight float64   // on the sheet, besides views and gaps
}

// Denominator is that of the largest scale of ISO 5455 at which the views fit:
//
//	sum(widths)/d + 3 gap <= area width,  likewise for the heights
//
// false if even the smallest does not fit. The rule is common practice.
func (v Views) Denominator() (float64, bool) {
	w, h := sum(v.Widths), sum(v.Heights)
	for _, d := range Denominators {
		if w/d+3*v.Gap+v.ExtraWidth <= v.AreaWidth && h/d+3*v.Gap+v.ExtraHeight <= v.AreaHeight {
			return d, true
		}
	}
	return 0, false
}

func sum(values []float64) float64 {
	s := 0.0
	for _, v := range values {
		s += v
	}
	return s
}
