package drawing

import "math"

// Projection is how the views are arranged; ISO 5456-2.
type Projection int

// First angle: the top view lies below the front view. Third angle: above.
const (
	FirstAngle Projection = iota
	ThirdAngle
)

// TitleBlock holds the fields of ISO 7200. A mandatory field that is empty
// prints a rule; Missing names it.
type TitleBlock struct {
	Owner, Number, Date, SheetNumber, Title, Approver, Creator, DocumentType string // mandatory

	Department, Reference, Status, Supplement, Revision, Language, Scale, Tolerance, Mass string
	Projection                                                                            Projection
}

// Missing names the mandatory fields that are empty.
func (t TitleBlock) Missing() []string {
	var out []string
	for _, f := range []struct{ name, value string }{
		{"legal owner", t.Owner}, {"identification number", t.Number}, {"date of issue", t.Date}, {"sheet number", t.SheetNumber},
		{"title", t.Title}, {"approval person", t.Approver}, {"creator", t.Creator}, {"document type", t.DocumentType},
	} {
		if f.value == "" {
			out = append(out, f.name)
		}
	}
	return out
}

// Size of the title block, mm: 180 wide (ISO 7200); the height follows from its rows.
const (
	TitleWidth  = 180.0
	TitleHeight = 54.0
)

// cellText is the height of the values of the title block, mm.
const cellText = 2.5

// captionText is smaller than drawings letter elsewhere: it repeats the standard's field names.
const captionText = 1.8

// TitleRect is where the title block lies.
func (s *Sheet) TitleRect() Rect {
	area := s.Format.Area()
	width := math.Min(TitleWidth, area.Width())
	return Rect{Point{area.Max.X - width, area.Min.Y}, Point{area.Max.X, area.Min.Y + TitleHeight}}
}

// TitleBlock draws the title block into the lower right corner.
func (s *Sheet) TitleBlock(t TitleBlock) {
	r := s.TitleRect()
	s.Title = t.Number + " " + t.Title
	s.Date = t.Date
	s.Rect(Visible, r)
	s.Take(r)
	must := func(value string) string {
		if value == "" {
			return string(emRule)
		}
		return value
	}
	type cell struct {
		caption, value string
		width, height  float64 // mm; the height is that of the value's letters
	}
	rows := []struct {
		height float64
		cells  []cell
	}{
		{9, []cell{{"Responsible department", t.Department, 45, cellText}, {"Technical reference", t.Reference, 45, cellText}, {"Creator", must(t.Creator), 45, cellText}, {"Approval person", must(t.Approver), 45, cellText}}},
		{9, []cell{{"Document type", must(t.DocumentType), 60, cellText}, {"Document status", t.Status, 120, cellText}}},
		{18, []cell{{"Legal owner", must(t.Owner), 60, Normal}, {"Title, supplementary title", must(t.Title), 75, Normal}, {"Identification number", must(t.Number), 45, Normal}}},
		{9, []cell{{"General tolerance", t.Tolerance, 80, cellText}, {"Mass", t.Mass, 40, cellText}, {"Scale", t.Scale, 20, cellText}, {"Projection", "", 40, cellText}}},
		{9, []cell{{"Size", s.Format.Name, 20, cellText}, {"Language", t.Language, 20, cellText}, {"Revision", t.Revision, 40, cellText}, {"Date of issue", must(t.Date), 50, cellText}, {"Sheet", must(t.SheetNumber), 50, cellText}}},
	}
	y := r.Max.Y
	for n, row := range rows {
		x := r.Min.X
		if n > 0 {
			s.Line(Table, Point{r.Min.X, y}, Point{r.Max.X, y})
		}
		for i, c := range row.cells {
			if i > 0 {
				s.Line(Table, Point{x, y}, Point{x, y - row.height})
			}
			s.Write(Text{At: Point{x + 1, y - 1 - captionText}, Height: captionText, String: c.caption})
			base := y - 9 + 2
			if row.height > 9 {
				base = y - 10
			}
			s.Write(Text{At: Point{x + 1, base}, Height: c.height, String: Fit(c.value, c.height, c.width-2)})
			if c.caption == "Title, supplementary title" {
				s.Write(Text{At: Point{x + 1, y - row.height + 2}, Height: cellText, String: Fit(t.Supplement, cellText, c.width-2)})
			}
			if c.caption == "Projection" {
				s.projectionMark(t.Projection, Point{x + c.width - 14, y - row.height/2})
			}
			x += c.width
		}
		y -= row.height
	}
}

// projectionMark is a truncated cone, seen from the side and along its axis; the
// view along the axis is the one from the left. First angle puts that view on the
// right of the cone, third angle on its left; the small end looks left. ISO 5456-2.
func (s *Sheet) projectionMark(p Projection, c Point) {
	const small, large, length, apart = 1.25, 2.5, 5.0, 5.5 // mm
	side := 1.0
	if p == ThirdAngle {
		side = -1
	}
	cone, circles := c.Add(-side*apart, 0), c.Add(side*apart, 0)
	s.Polylines = append(s.Polylines, Polyline{Layer: Thin, Closed: true, Points: []Point{
		cone.Add(-length/2, -small), cone.Add(length/2, -large), cone.Add(length/2, large), cone.Add(-length/2, small),
	}})
	s.Circle(Thin, circles, small)
	s.Circle(Thin, circles, large)
	s.Line(Centre, cone.Add(-length/2-1, 0), cone.Add(length/2+1, 0))
	s.Line(Centre, circles.Add(-large-1, 0), circles.Add(large+1, 0))
	s.Line(Centre, circles.Add(0, -large-1), circles.Add(0, large+1))
}
