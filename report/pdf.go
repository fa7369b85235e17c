package report

import (
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"
)

// Page measures, mm.
const (
	pageWide   = 210.0
	pageHigh   = 297.0
	marginX    = 16.0
	marginTop  = 18.0
	marginFoot = 18.0
	textWide   = pageWide - 2*marginX
)

// PDF writes the document on A4 pages with the standard fonts. Its time stamps
// are the document's own date.
func (d *Document) PDF(w io.Writer) error {
	f := fpdf.New("P", "mm", "A4", "")
	stamp := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	if t, err := time.Parse("2006-01-02", d.Date); err == nil {
		stamp = t
	}
	f.SetCreationDate(stamp)
	f.SetModificationDate(stamp)
	f.SetCatalogSort(true)
	f.SetTitle(d.Title, true)
	f.SetMargins(marginX, marginTop, marginX)
	f.SetAutoPageBreak(true, marginFoot)
	p := &paper{f: f, text: f.UnicodeTranslatorFromDescriptor("")}
	f.SetHeaderFunc(func() {
		if d.Banner != "" {
			f.SetFont("Helvetica", "B", 10)
			f.SetTextColor(156, 74, 26)
			f.SetXY(marginX, 8)
			f.CellFormat(textWide, 6, p.tr(d.Banner), "1", 0, "C", false, 0, "")
			f.SetTextColor(0, 0, 0)
			f.SetXY(marginX, marginTop)
		}
	})
	f.SetFooterFunc(func() {
		f.SetY(-13)
		f.SetFont("Helvetica", "", 7)
		f.SetTextColor(90, 90, 90)
		f.CellFormat(textWide-20, 4, p.tr(d.Foot), "T", 0, "L", false, 0, "")
		f.CellFormat(20, 4, strconv.Itoa(f.PageNo()), "T", 0, "R", false, 0, "")
		f.SetTextColor(0, 0, 0)
	})
	f.AddPage()
	f.SetFont("Helvetica", "B", 20)
	f.MultiCell(textWide, 8.5, p.tr(d.Title), "", "L", false)
	f.SetFont("Helvetica", "", 10)
	f.MultiCell(textWide, 5, p.tr(d.Subtitle), "", "L", false)
	f.Ln(3)
	for _, b := range d.Blocks {
		p.block(b)
	}
	return f.Output(w)
}

// paper is the page being written.
type paper struct {
	f    *fpdf.Fpdf
	text func(string) string
}

// plain replaces what the standard fonts do not have.
var plain = strings.NewReplacer("≤", "<=", "≥", ">=", "−", "-", "→", "->", "‹", "<", "π", "pi", "√", "sqrt ", "Σ", "sum ", "α", "alpha", "δ", "delta", "ζ", "zeta", "λ", "lambda", "φ", "phi", "ω", "omega", "₀", "0", "₁", "1", "₂", "2")

func (p *paper) tr(s string) string { return p.text(plain.Replace(s)) }

func (p *paper) block(b Block) {
	f := p.f
	switch b := b.(type) {
	case Heading:
		p.room(map[int]float64{1: 40, 2: 55}[b.Level]) // a heading stays with what follows
		size := map[int]float64{1: 14, 2: 11}[b.Level]
		f.Ln(4)
		f.SetFont("Helvetica", "B", size)
		f.MultiCell(textWide, size*0.45, p.tr(b.Text), "", "L", false)
		if b.Level == 1 {
			f.SetLineWidth(0.3)
			f.Line(marginX, f.GetY()+0.8, marginX+textWide, f.GetY()+0.8)
		}
		f.Ln(2)
	case Paragraph:
		style := ""
		if b.Strong {
			style = "B"
		}
		f.SetFont("Helvetica", style, 9.5)
		f.MultiCell(textWide, 4.6, p.tr(b.Text), "", "L", false)
		f.Ln(1.5)
	case List:
		f.SetFont("Helvetica", "", 9.5)
		for _, it := range b.Items {
			f.SetX(marginX + 2)
			f.CellFormat(4, 4.6, "-", "", 0, "L", false, 0, "")
			f.MultiCell(textWide-6, 4.6, p.tr(it), "", "L", false)
		}
		f.Ln(1.5)
	case Table:
		p.table(b)
	case Entry:
		p.entry(b)
	case Figure:
		p.figure(b)
	case PageBreak:
		f.AddPage()
	}
}

// room starts a new page if less than some height is left.
func (p *paper) room(height float64) {
	if p.f.GetY()+height > pageHigh-marginFoot {
		p.f.AddPage()
	}
}

func (p *paper) table(t Table) {
	f := p.f
	wide := t.widths()
	p.room(16)
	p.row(t.Header, wide, t.Right, "B")
	f.SetLineWidth(0.3)
	f.Line(marginX, f.GetY(), marginX+textWide, f.GetY())
	for _, row := range t.Rows {
		if f.GetY()+p.height(row, wide) > pageHigh-marginFoot {
			f.AddPage()
			p.row(t.Header, wide, t.Right, "B")
		}
		p.row(row, wide, t.Right, "")
		f.SetLineWidth(0.08)
		f.Line(marginX, f.GetY(), marginX+textWide, f.GetY())
	}
	f.Ln(3)
}

func (t Table) widths() []float64 {
	out := make([]float64, len(t.Header))
	sum := 0.0
	for i := range out {
		out[i] = 1
		if i < len(t.Widths) {
			out[i] = t.Widths[i]
		}
		sum += out[i]
	}
	for i := range out {
		out[i] *= textWide / sum
	}
	return out
}

const (
	cellLine = 3.7 // mm
	cellPad  = 0.6
)

// height is the height of a row, mm.
func (p *paper) height(row []string, wide []float64) float64 {
	p.f.SetFont("Helvetica", "", 8)
	lines := 1
	for i, v := range row {
		lines = max(lines, len(p.f.SplitLines([]byte(p.tr(v)), wide[i]-1.5)))
	}
	return float64(lines)*cellLine + 2*cellPad
}

func (p *paper) row(row []string, wide []float64, right []bool, style string) {
	f := p.f
	h := p.height(row, wide)
	f.SetFont("Helvetica", style, 8)
	x, y := marginX, f.GetY()
	for i, v := range row {
		align := "L"
		if i < len(right) && right[i] {
			align = "R"
		}
		f.SetXY(x, y+cellPad)
		f.MultiCell(wide[i]-1, cellLine, p.tr(v), "", align, false)
		x += wide[i]
	}
	f.SetXY(marginX, y+h)
}

// entry writes a check without breaking it across pages where it fits on one.
func (p *paper) entry(e Entry) {
	f := p.f
	const name = 20.0
	f.SetFont("Helvetica", "", 8)
	high := 12.0
	for _, v := range e.lines() {
		high += float64(len(f.SplitLines([]byte(p.tr(v[1])), textWide-name-1))) * cellLine
	}
	p.room(min(high, pageHigh-marginTop-marginFoot))
	f.SetLineWidth(0.15)
	f.Line(marginX, f.GetY(), marginX+textWide, f.GetY())
	f.Ln(0.8)
	f.SetFont("Courier", "B", 8.5)
	f.CellFormat(textWide-50, 4.2, p.tr(e.ID), "", 0, "L", false, 0, "")
	f.SetFont("Helvetica", "B", 8.5)
	f.CellFormat(50, 4.2, p.tr(strings.ToUpper(e.Verdict)+"  "+e.Use), "", 1, "R", false, 0, "")
	f.SetFont("Helvetica", "B", 8.5)
	f.MultiCell(textWide, 4, p.tr(e.Title), "", "L", false)
	for _, v := range e.lines() {
		y := f.GetY()
		f.SetFont("Helvetica", "", 8)
		f.SetTextColor(90, 90, 90)
		f.CellFormat(name, cellLine, p.tr(v[0]), "", 0, "L", false, 0, "")
		f.SetTextColor(0, 0, 0)
		f.SetXY(marginX+name, y)
		f.MultiCell(textWide-name, cellLine, p.tr(v[1]), "", "L", false)
	}
	f.Ln(1.5)
}

func (p *paper) figure(g Figure) {
	f := p.f
	scale := min(1, textWide/g.Width)
	p.room(g.Height*scale + 8)
	x0, y0 := marginX, f.GetY()
	for _, s := range g.Shapes {
		p.shape(s, x0, y0, scale)
	}
	f.SetXY(marginX, y0+g.Height*scale+1)
	f.SetFont("Helvetica", "I", 8)
	f.MultiCell(textWide, 3.8, p.tr(g.Caption), "", "L", false)
	f.Ln(2)
}

func (p *paper) shape(s Shape, x0, y0, scale float64) {
	f := p.f
	at := func(q [2]float64) fpdf.PointType { return fpdf.PointType{X: x0 + q[0]*scale, Y: y0 + q[1]*scale} }
	if s.Text != "" {
		f.SetFont("Helvetica", "", s.Size*scale*2.83)
		text := p.tr(s.Text)
		q := at(s.Points[0])
		switch s.Anchor {
		case "middle":
			q.X -= f.GetStringWidth(text) / 2
		case "end":
			q.X -= f.GetStringWidth(text)
		}
		f.Text(q.X, q.Y, text)
		return
	}
	var points []fpdf.PointType
	for _, q := range s.Points {
		points = append(points, at(q))
	}
	r, g, b := colour(s.Stroke)
	f.SetDrawColor(r, g, b)
	f.SetLineWidth(max(s.Wide*scale, 0.05))
	if s.Dash {
		f.SetDashPattern([]float64{1.5, 1}, 0)
	}
	if s.Fill != "" {
		r, g, b := colour(s.Fill)
		f.SetFillColor(r, g, b)
		style := "F"
		if s.Stroke != "" {
			style = "FD"
		}
		f.Polygon(points, style)
	} else {
		for i := 1; i < len(points); i++ {
			f.Line(points[i-1].X, points[i-1].Y, points[i].X, points[i].Y)
		}
	}
	f.SetDashPattern(nil, 0)
	f.SetDrawColor(0, 0, 0)
}

// colour reads #rrggbb; black for anything else.
func colour(hex string) (r, g, b int) {
	if len(hex) != 7 {
		return 0, 0, 0
	}
	v, err := strconv.ParseUint(hex[1:], 16, 32)
	if err != nil {
		return 0, 0, 0
	}
	return int(v >> 16), int(v >> 8 & 255), int(v & 255)
}
