package drawing

import (
	"io"
	"math"
	"time"

	"github.com/go-pdf/fpdf"
)

// epoch is the date in the properties of a file whose sheet states none.
var epoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// WritePDF writes the sheet as one page at true size, with a font that every
// reader has. The only date in it is the sheet's own.
func (s *Sheet) WritePDF(w io.Writer) error {
	f := s.Format
	pdf := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: f.Width, Ht: f.Height}})
	date := epoch
	if d, err := time.Parse(time.DateOnly, s.Date); err == nil {
		date = d
	}
	pdf.SetCreationDate(date)
	pdf.SetModificationDate(date)
	pdf.SetCatalogSort(true)
	pdf.SetProducer(s.Maker, true)
	pdf.SetTitle(s.Title, true)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.AddPage()
	pdf.SetLineJoinStyle("round")
	for l := range layerCount {
		s.pdfLayer(pdf, l)
	}
	s.pdfTexts(pdf)
	return pdf.Output(w)
}

func (s *Sheet) pdfLayer(pdf *fpdf.Fpdf, l Layer) {
	width := l.Width(s.Format.Wide())
	pdf.SetLineWidth(width)
	var dash []float64
	for _, d := range l.dashes() {
		dash = append(dash, d*width)
	}
	pdf.SetDashPattern(dash, 0)
	for _, p := range s.Polylines {
		if p.Layer != l {
			continue
		}
		pdf.MoveTo(p.Points[0].X, s.down(p.Points[0].Y))
		for _, q := range p.Points[1:] {
			pdf.LineTo(q.X, s.down(q.Y))
		}
		if p.Closed {
			pdf.ClosePath()
		}
		pdf.DrawPath("D")
	}
	for _, a := range s.Arcs {
		if a.Layer == l {
			from := a.From * 180 / math.Pi
			pdf.Arc(a.Centre.X, s.down(a.Centre.Y), a.Radius, a.Radius, 0, from, from+a.sweep()*180/math.Pi, "D")
		}
	}
	pdf.SetDashPattern(nil, 0)
	pdf.SetFillColor(0, 0, 0)
	for _, c := range s.Circles {
		if c.Layer == l {
			style := "D"
			if c.Filled {
				style = "F"
			}
			pdf.Circle(c.Centre.X, s.down(c.Centre.Y), c.Radius, style)
		}
	}
	for _, p := range s.Fills {
		if p.Layer != l {
			continue
		}
		var points []fpdf.PointType
		for _, q := range p.Points {
			points = append(points, fpdf.PointType{X: q.X, Y: s.down(q.Y)})
		}
		pdf.Polygon(points, "F")
	}
}

func (s *Sheet) pdfTexts(pdf *fpdf.Fpdf) {
	latin := pdf.UnicodeTranslatorFromDescriptor("")
	pdf.SetTextColor(0, 0, 0)
	for _, t := range s.Texts {
		pdf.SetFont("Helvetica", "", fontSize(t.Height)*72/25.4)
		at := t.start()
		if t.Angle != 0 {
			pdf.TransformBegin()
			pdf.TransformRotate(t.Angle*180/math.Pi, at.X, s.down(at.Y))
		}
		pdf.Text(at.X, s.down(at.Y), latin(t.String))
		if t.Angle != 0 {
			pdf.TransformEnd()
		}
	}
}
