package drawing

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteSVG writes the sheet as one SVG picture in mm, a group for each layer,
// without references to anything outside.
func (s *Sheet) WriteSVG(w io.Writer) error {
	out := bufio.NewWriter(w)
	f := s.Format
	fmt.Fprintf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n",
		short(f.Width), short(f.Height), short(f.Width), short(f.Height))
	fmt.Fprintf(out, "<title>%s</title>\n<rect width=\"%s\" height=\"%s\" fill=\"white\"/>\n", escape(s.Title), short(f.Width), short(f.Height))
	for l := range layerCount {
		s.svgLayer(out, l)
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

func (s *Sheet) svgLayer(out io.Writer, l Layer) {
	width := l.Width(s.Format.Wide())
	if l == Lettering {
		fmt.Fprintf(out, "<g id=\"%s\" fill=\"black\" font-family=\"Helvetica, Arial, sans-serif\">\n", layerNames[l])
		for _, t := range s.Texts {
			s.svgText(out, t)
		}
		fmt.Fprintln(out, "</g>")
		return
	}
	dash := ""
	if d := l.dashes(); d != nil {
		var parts []string
		for _, v := range d {
			parts = append(parts, short(v*width))
		}
		dash = fmt.Sprintf(" stroke-dasharray=\"%s\"", strings.Join(parts, " "))
	}
	fmt.Fprintf(out, "<g id=\"%s\" fill=\"none\" stroke=\"black\" stroke-width=\"%s\" stroke-linecap=\"butt\" stroke-linejoin=\"round\"%s>\n", layerNames[l], short(width), dash)
	for _, p := range s.Polylines {
		if p.Layer == l {
			kind := "polyline"
			if p.Closed {
				kind = "polygon"
			}
			fmt.Fprintf(out, "<%s points=\"%s\"/>\n", kind, s.svgPoints(p.Points))
		}
	}
	for _, c := range s.Circles {
		if c.Layer == l {
			fill := ""
			if c.Filled {
				fill = " fill=\"black\" stroke=\"none\""
			}
			fmt.Fprintf(out, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"%s/>\n", short(c.Centre.X), short(s.down(c.Centre.Y)), short(c.Radius), fill)
		}
	}
	for _, a := range s.Arcs {
		if a.Layer == l {
			from, to := a.point(a.From), a.point(a.To)
			large := 0
			if a.sweep() > math.Pi {
				large = 1
			}
			fmt.Fprintf(out, "<path d=\"M %s %s A %s %s 0 %d 0 %s %s\"/>\n", short(from.X), short(s.down(from.Y)), short(a.Radius), short(a.Radius), large, short(to.X), short(s.down(to.Y)))
		}
	}
	for _, p := range s.Fills {
		if p.Layer == l {
			fmt.Fprintf(out, "<polygon points=\"%s\" fill=\"black\" stroke=\"none\"/>\n", s.svgPoints(p.Points))
		}
	}
	fmt.Fprintln(out, "</g>")
}

// svgText fixes the length of the text, so that another font does not make it
// run over its neighbours.
func (s *Sheet) svgText(out io.Writer, t Text) {
	at := t.start()
	turn := ""
	if t.Angle != 0 {
		turn = fmt.Sprintf(" transform=\"rotate(%s %s %s)\"", short(-t.Angle*180/math.Pi), short(at.X), short(s.down(at.Y)))
	}
	fmt.Fprintf(out, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" textLength=\"%s\" lengthAdjust=\"spacingAndGlyphs\"%s>%s</text>\n",
		short(at.X), short(s.down(at.Y)), short(fontSize(t.Height)), short(TextWidth(t.String, t.Height)), turn, escape(t.String))
}

// down turns y up into y down.
func (s *Sheet) down(y float64) float64 { return s.Format.Height - y }

func (s *Sheet) svgPoints(points []Point) string {
	var out []string
	for _, p := range points {
		out = append(out, short(p.X)+","+short(s.down(p.Y)))
	}
	return strings.Join(out, " ")
}

// short prints a length to a tenth of a micrometre without trailing zeros.
func short(v float64) string {
	v = math.Round(v*1e4) / 1e4
	if v == 0 {
		v = 0 // no minus zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func escape(text string) string {
	var b strings.Builder
	if xml.EscapeText(&b, []byte(text)) != nil {
		return "" // a strings.Builder takes everything
	}
	return b.String()
}

func (a Arc) point(angle float64) Point {
	return a.Centre.Add(a.Radius*math.Cos(angle), a.Radius*math.Sin(angle))
}

// sweep is the angle of the arc, 0 to a full turn.
func (a Arc) sweep() float64 {
	d := math.Mod(a.To-a.From, 2*math.Pi)
	if d < 0 {
		d += 2 * math.Pi
	}
	return d
}
