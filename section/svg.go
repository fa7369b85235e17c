package section

import (
	"fmt"
	"math"
	"strings"
)

// Picture sets how SVG draws an outline. The zero value is usable.
type Picture struct {
	Title string  // one line above the drawing; empty for none
	Width float64 // of the whole picture, px; 0 means 480
}

// Ink, ground and accent of the drawing.
const (
	inkColour    = "#22262b"
	groundColour = "#fbfaf5"
	metalColour  = "#e3e0d5"
	faintColour  = "#8a8d8f"
	accentColour = "#9a3b1f"
)

// SVG draws the outline as seen with the bar's x axis coming towards the
// viewer, y to the right and z up: the material, the axes through the centroid
// (filled dot), the principal axes if they differ (1 is the stiffer, dash-dot),
// the shear centre if it differs (open diamond, S), and the extents in mm.
// Numbers are rounded so that every processor writes the same text.
func (o Outline) SVG(p Properties, pic Picture) string {
	width := pic.Width
	if !(width > 0) {
		width = 480
	}
	d := newDrawing(o, p, width)
	d.open(pic.Title)
	d.material(o)
	d.axes(p)
	d.marks(p)
	d.extents(p)
	d.facts(p)
	d.text.WriteString("</svg>\n")
	return d.text.String()
}

// drawing maps section coordinates to the picture.
type drawing struct {
	text     strings.Builder
	scale    float64 // px per m
	origin   Point   // section coordinates of the upper left corner of the drawn part
	left     float64 // px of origin.Y
	top      float64 // px of origin.Z
	min, max Point   // enclosing rectangle of the outline
	width    float64
	height   float64
}

const (
	axisArm     = 24.0 // length of the axes beyond the section, px
	sideMargin  = 60.0 // left of the section
	rightMargin = 112.0
	headMargin  = 78.0
	footMargin  = 120.0
)

func newDrawing(o Outline, p Properties, width float64) *drawing {
	d := &drawing{width: width}
	d.min, d.max = o.Extents()
	lo, hi := d.min, d.max
	if p.Origin != Stated {
		// The shear centre of an open section may lie well outside.
		lo.Y, lo.Z = min(lo.Y, p.ShearCentre.Y), min(lo.Z, p.ShearCentre.Z)
		hi.Y, hi.Z = max(hi.Y, p.ShearCentre.Y), max(hi.Z, p.ShearCentre.Z)
	}
	body := max(width-sideMargin-rightMargin, 60)
	d.scale = body / max(hi.Y-lo.Y, hi.Z-lo.Z)
	d.origin = Point{lo.Y, hi.Z}
	d.left = sideMargin + (body-d.scale*(hi.Y-lo.Y))/2
	d.top = headMargin
	d.height = headMargin + d.scale*(hi.Z-lo.Z) + footMargin
	return d
}

func (d *drawing) at(p Point) (x, y float64) {
	return d.left + d.scale*(p.Y-d.origin.Y), d.top + d.scale*(d.origin.Z-p.Z)
}

func (d *drawing) printf(format string, args ...any) {
	fmt.Fprintf(&d.text, format, args...)
}

func (d *drawing) open(title string) {
	d.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %[1]s %[2]s" role="img" font-family="sans-serif" font-size="12" style="font-variant-numeric:tabular-nums">`+"\n",
		px(d.width), px(d.height))
	name := title
	if name == "" {
		name = "cross-section"
	}
	d.printf("<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"%s\"/>\n", escape(name), groundColour)
	if title != "" {
		d.printf(`<text x="%s" y="22" text-anchor="middle" font-size="14" fill="%s">%s</text>`+"\n", px(d.width/2), inkColour, escape(title))
	}
}

func (d *drawing) material(o Outline) {
	d.printf(`<path fill="%s" fill-rule="evenodd" stroke="%s" stroke-width="1.2" stroke-linejoin="round" d="`, metalColour, inkColour)
	for _, l := range o.loops() {
		for i, p := range l {
			x, y := d.at(p)
			command := "L"
			if i == 0 {
				command = "M"
			}
			d.printf("%s%s %s", command, px(x), px(y))
		}
		d.printf("Z")
	}
	d.printf("\"/>\n")
}

// axes draws y and z through the centroid, and the principal axes if turned.
func (d *drawing) axes(p Properties) {
	d.axis(p, 0, "y", faintColour, "")
	d.axis(p, math.Pi/2, "z", faintColour, "")
	if p.Iyz != 0 && math.Abs(p.Angle) > 1e-6 {
		d.axis(p, p.Angle, "1", accentColour, "9 3 2 3")
		d.axis(p, p.Angle+math.Pi/2, "2", accentColour, "9 3 2 3")
	}
}

// axis draws a line through the centroid from edge to edge of the enclosing
// rectangle and a little beyond, with its name at the positive end.
func (d *drawing) axis(p Properties, angle float64, name, colour, dash string) {
	s, c := math.Sincos(angle)
	reach := func(sign float64) float64 {
		r := math.Inf(1)
		if v := sign * c; math.Abs(v) > 1e-9 {
			r = min(r, max((d.max.Y-p.Centroid.Y)/v, (d.min.Y-p.Centroid.Y)/v))
		}
		if v := sign * s; math.Abs(v) > 1e-9 {
			r = min(r, max((d.max.Z-p.Centroid.Z)/v, (d.min.Z-p.Centroid.Z)/v))
		}
		return r*d.scale + axisArm
	}
	x, y := d.at(p.Centroid)
	fore, aft := reach(1), reach(-1)
	x1, y1 := x-aft*c, y+aft*s
	x2, y2 := x+fore*c, y-fore*s
	d.printf(`<line x1="%s" y1="%s" x2="%s" y2="%s" stroke="%s" stroke-width="0.9"`, px(x1), px(y1), px(x2), px(y2), colour)
	if dash != "" {
		d.printf(` stroke-dasharray="%s"`, dash)
	}
	d.printf("/>\n")
	const head, half = 7.0, 2.6
	d.printf(`<path fill="%s" d="M%s %sL%s %sL%s %sZ"/>`+"\n", colour, px(x2), px(y2),
		px(x2-head*c-half*s), px(y2+head*s-half*c), px(x2-head*c+half*s), px(y2+head*s+half*c))
	d.printf(`<text x="%s" y="%s" text-anchor="middle" fill="%s">%s</text>`+"\n", px(x2+10*c), px(y2-10*s+4), inkColour, name)
}

// marks draws the centroid and the shear centre.
func (d *drawing) marks(p Properties) {
	x, y := d.at(p.Centroid)
	d.printf(`<circle cx="%s" cy="%s" r="3.2" fill="%s"/>`+"\n", px(x), px(y), inkColour)
	if p.Origin == Stated || p.ShearCentre.sub(p.Centroid).length()*d.scale < 2 {
		return
	}
	x, y = d.at(p.ShearCentre)
	d.printf(`<path fill="%s" stroke="%s" d="M%s %sl5 5l-5 5l-5 -5Z"/>`+"\n", groundColour, inkColour, px(x), px(y-5))
	d.printf(`<text x="%s" y="%s" text-anchor="middle" fill="%s">S</text>`+"\n", px(x), px(y-9), inkColour)
}

// extents draws width below and height to the right, with ticks.
func (d *drawing) extents(p Properties) {
	x0, y0 := d.at(d.min)
	x1, y1 := d.at(d.max)
	below, right := y0+axisArm+22, x1+axisArm+24
	d.printf(`<g stroke="%s" stroke-width="0.8" fill="none">`, inkColour)
	d.printf(`<path d="M%s %sH%sM%s %sv8M%s %sv8"/>`, px(x0), px(below), px(x1), px(x0), px(below-4), px(x1), px(below-4))
	d.printf(`<path d="M%s %sV%sM%s %sh8M%s %sh8"/></g>`+"\n", px(right), px(y0), px(y1), px(right-4), px(y0), px(right-4), px(y1))
	d.printf(`<text x="%s" y="%s" text-anchor="middle" fill="%s">%s</text>`+"\n", px((x0+x1)/2), px(below+16), inkColour, mm(d.max.Y-d.min.Y))
	d.printf(`<text x="%s" y="%s" fill="%s">%s</text>`+"\n", px(right+8), px((y0+y1)/2+4), inkColour, mm(d.max.Z-d.min.Z))
}

// facts writes the main numbers under the drawing.
func (d *drawing) facts(p Properties) {
	lines := []string{
		fmt.Sprintf("A %.1f mm²   Iy %.4g cm⁴   Iz %.4g cm⁴   J %.4g cm⁴", p.Area*1e6, p.Iy*1e8, p.Iz*1e8, p.J*1e8),
	}
	if p.Asy > 0 && p.Asz > 0 {
		lines = append(lines, fmt.Sprintf("shear areas %.3f A along y, %.3f A along z   (%s)", p.KappaY(), p.KappaZ(), p.Origin))
	}
	for i, l := range lines {
		d.printf(`<text x="%s" y="%s" text-anchor="middle" fill="%s" xml:space="preserve">%s</text>`+"\n",
			px(d.width/2), px(d.height-30+17*float64(i)), inkColour, escape(l))
	}
}

// px writes a length of the picture to a hundredth of a pixel.
func px(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escaper.Replace(s) }
