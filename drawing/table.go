package drawing

// Column is a column of a table.
type Column struct {
	Title string
	Width float64 // mm
	Right bool    // numbers: to the right
}

// rowHeight is the height of the rows of tables, mm.
const rowHeight = 5.0

// TableHeight is the height of a table with a number of rows, mm.
func TableHeight(rows int) float64 { return float64(rows+1) * rowHeight }

// Table draws a table downward from its top left corner and returns its
// rectangle. A text that is too long for its cell is shortened.
func (s *Sheet) Table(at Point, columns []Column, rows [][]string) Rect {
	width := 0.0
	for _, c := range columns {
		width += c.Width
	}
	r := Rect{at.Add(0, -TableHeight(len(rows))), at.Add(width, 0)}
	s.Rect(Table, r)
	s.Take(r)
	x := at.X
	for i, c := range columns {
		if i > 0 {
			s.Line(Table, Point{x, r.Min.Y}, Point{x, r.Max.Y})
		}
		for n := -1; n < len(rows); n++ {
			value := c.Title
			if n >= 0 {
				value = rows[n][i]
			}
			t := Text{At: Point{x + 1, at.Y - float64(n+2)*rowHeight + (rowHeight-Small)/2}, Height: Small, String: Fit(value, Small, c.Width-2)}
			if c.Right {
				t.At.X, t.Align = x+c.Width-1, Right
			}
			s.Write(t)
		}
		x += c.Width
	}
	for n := range rows {
		y := at.Y - float64(n+1)*rowHeight
		s.Line(Table, Point{r.Min.X, y}, Point{r.Max.X, y})
	}
	return r
}
