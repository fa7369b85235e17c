package drawing

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
)

// WriteDXF writes the sheet as ASCII DXF of release 12 (AC1009) in mm, the
// dialect that most programs read. Release 12 has no line widths: the layers'
// names carry them in hundredths of a mm. Dimensions are lines, arrows and
// texts. Texts are fitted between two points, so that any font keeps its place.
func (s *Sheet) WriteDXF(w io.Writer) error {
	d := dxf{out: bufio.NewWriter(w), sheet: s}
	d.header()
	d.tables()
	d.pair(0, "SECTION", 2, "BLOCKS", 0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	d.entities()
	d.pair(0, "ENDSEC", 0, "EOF")
	return d.out.Flush()
}

type dxf struct {
	out   *bufio.Writer
	sheet *Sheet
}

// pair writes group codes with their values in turn. The errors of the buffered
// writer stay until Flush.
func (d dxf) pair(codesAndValues ...any) {
	for i := 0; i+1 < len(codesAndValues); i += 2 {
		value := ""
		switch v := codesAndValues[i+1].(type) {
		case float64:
			value = short(v)
			if !strings.Contains(value, ".") {
				value += ".0"
			}
		default:
			value = fmt.Sprint(v)
		}
		fmt.Fprintf(d.out, "%3d\r\n%s\r\n", codesAndValues[i], value)
	}
}

func (d dxf) header() {
	e := d.sheet.Extents()
	f := d.sheet.Format
	d.pair(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 9, "$INSUNITS", 70, 4, 9, "$LTSCALE", 40, 1.0,
		9, "$EXTMIN", 10, e.Min.X, 20, e.Min.Y, 30, 0.0, 9, "$EXTMAX", 10, e.Max.X, 20, e.Max.Y, 30, 0.0,
		9, "$LIMMIN", 10, 0.0, 20, 0.0, 9, "$LIMMAX", 10, f.Width, 20, f.Height, 0, "ENDSEC")
}

var dxfTypes = []struct {
	name, about string
	layer       Layer
}{{"CONTINUOUS", "Solid line", Visible}, {"DASHED", "Dashed 02.1", Hidden}, {"CHAIN", "Long dash, dot 04.1", Centre}, {"CHAIN2", "Long dash, two dots 05.1", Ghost}}

func (d dxf) tables() {
	wide := d.sheet.Format.Wide()
	d.pair(0, "SECTION", 2, "TABLES", 0, "TABLE", 2, "LTYPE", 70, len(dxfTypes))
	for _, t := range dxfTypes {
		pattern := t.layer.dashes()
		length := 0.0
		for _, p := range pattern {
			length += p * t.layer.Width(wide)
		}
		d.pair(0, "LTYPE", 2, t.name, 70, 0, 3, t.about, 72, 65, 73, len(pattern), 40, length)
		for i, p := range pattern {
			p *= t.layer.Width(wide)
			if i%2 == 1 {
				p = -p
			}
			d.pair(49, p)
		}
	}
	d.pair(0, "ENDTAB", 0, "TABLE", 2, "LAYER", 70, int(layerCount)+1)
	d.pair(0, "LAYER", 2, "0", 70, 0, 62, 7, 6, "CONTINUOUS")
	for l := range layerCount {
		d.pair(0, "LAYER", 2, d.layer(l), 70, 0, 62, dxfColour(l), 6, dxfType(l))
	}
	d.pair(0, "ENDTAB", 0, "TABLE", 2, "STYLE", 70, 1, 0, "STYLE", 2, "STANDARD", 70, 0, 40, 0.0, 41, 1.0, 50, 0.0, 71, 0, 42, Small, 3, "txt", 4, "")
	d.pair(0, "ENDTAB", 0, "ENDSEC")
}

// layer is the name of a layer with its line width in hundredths of a mm.
func (d dxf) layer(l Layer) string {
	return fmt.Sprintf("%s_%03.0f", layerNames[l], math.Floor(100*l.Width(d.sheet.Format.Wide())+0.5))
}

func dxfType(l Layer) string {
	switch l {
	case Hidden:
		return "DASHED"
	case Centre, Space:
		return "CHAIN"
	case Ghost:
		return "CHAIN2"
	}
	return "CONTINUOUS"
}

// dxfColour is a colour number: foreground for wide lines, others to tell the
// layers apart on a screen.
func dxfColour(l Layer) int {
	switch l {
	case Visible, Lettering, Frame:
		return 7
	case Ghost:
		return 4
	case Space, Centre:
		return 5
	}
	return 8
}

func (d dxf) entities() {
	s := d.sheet
	for _, p := range s.Polylines {
		d.polyline(p)
	}
	for _, c := range s.Circles {
		d.pair(0, "CIRCLE", 8, d.layer(c.Layer), 10, c.Centre.X, 20, c.Centre.Y, 30, 0.0, 40, c.Radius)
		if c.Filled {
			d.dot(c)
		}
	}
	for _, a := range s.Arcs {
		d.pair(0, "ARC", 8, d.layer(a.Layer), 10, a.Centre.X, 20, a.Centre.Y, 30, 0.0, 40, a.Radius, 50, a.From*180/math.Pi, 51, a.To*180/math.Pi)
	}
	for _, f := range s.Fills {
		d.solid(f.Layer, f.Points)
	}
	for _, t := range s.Texts {
		from, to := t.start(), t.end()
		const fitted = 5
		d.pair(0, "TEXT", 8, d.layer(Lettering), 10, from.X, 20, from.Y, 30, 0.0, 40, t.Height, 1, dxfText(t.String), 50, t.Angle*180/math.Pi, 7, "STANDARD",
			72, fitted, 11, to.X, 21, to.Y, 31, 0.0)
	}
}

func (d dxf) polyline(p Polyline) {
	layer := d.layer(p.Layer)
	if len(p.Points) == 2 && !p.Closed {
		d.pair(0, "LINE", 8, layer, 10, p.Points[0].X, 20, p.Points[0].Y, 30, 0.0, 11, p.Points[1].X, 21, p.Points[1].Y, 31, 0.0)
		return
	}
	closed := 0
	if p.Closed {
		closed = 1
	}
	d.pair(0, "POLYLINE", 8, layer, 66, 1, 10, 0.0, 20, 0.0, 30, 0.0, 70, closed)
	for _, q := range p.Points {
		d.pair(0, "VERTEX", 8, layer, 10, q.X, 20, q.Y, 30, 0.0)
	}
	d.pair(0, "SEQEND", 8, layer)
}

// solid writes a filled triangle or quadrangle; the third and fourth corner of a
// SOLID go crosswise.
func (d dxf) solid(l Layer, p []Point) {
	last := p[len(p)-1]
	d.pair(0, "SOLID", 8, d.layer(l), 10, p[0].X, 20, p[0].Y, 30, 0.0, 11, p[1].X, 21, p[1].Y, 31, 0.0,
		12, last.X, 22, last.Y, 32, 0.0, 13, p[2].X, 23, p[2].Y, 33, 0.0)
}

// dot fills a circle with two crossed squares.
func (d dxf) dot(c Circle) {
	for _, turn := range []float64{0, math.Pi / 4} {
		var p []Point
		for i := range 4 {
			sin, cos := math.Sincos(turn + float64(i)*math.Pi/2)
			p = append(p, c.Centre.Add(c.Radius*cos, c.Radius*sin))
		}
		d.solid(c.Layer, p)
	}
}

// dxfText puts a text into the characters of release 12.
func dxfText(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == 'Ø':
			b.WriteString("%%c")
		case r == '°':
			b.WriteString("%%d")
		case r == '±':
			b.WriteString("%%p")
		case r == emRule || r == '–':
			b.WriteByte('-')
		case r == '²':
			b.WriteByte('2')
		case r == '·':
			b.WriteByte('.')
		case r < ' ' || r > '~':
			b.WriteString(plainLetter(r))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// plainLetter writes a letter with accents without them; a question mark where
// there is no such letter.
func plainLetter(r rune) string {
	const accented = "ÀÁÂÃÅàáâãåÇçÈÉÊËèéêëÌÍÎÏìíîïÑñÒÓÔÕòóôõÙÚÛùúûÝýÿ"
	const plain = "AAAAAaaaaaCcEEEEeeeeIIIIiiiiNnOOOOooooUUUuuuYyy"
	two := map[rune]string{'Ä': "Ae", 'Ö': "Oe", 'Ü': "Ue", 'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'Æ': "AE", 'æ': "ae", 'ø': "o"}
	if t, ok := two[r]; ok {
		return t
	}
	for i, a := range []rune(accented) {
		if a == r {
			return plain[i : i+1]
		}
	}
	return "?"
}
