package drawing

import (
	"math"
	"strings"
)

// Lettering heights, mm; ISO 3098-1.
const (
	Small  = 2.5 // notes, tables
	Normal = 3.5 // dimensions
	Large  = 5.0 // titles of views
	Huge   = 7.0 // stamps
)

// capHeight is the height of capitals over the font size, of the sans-serif
// among the fourteen fonts every PDF reader has (its published font metrics).
const capHeight = 0.718

// descent is how far letters reach below the base line, over the font size.
const descent = 0.207

// advance are the widths of the characters from space to tilde, in thousandths
// of the font size, from the same metrics.
var advance = [...]int{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// widest is taken for characters that are not in the table.
const widest = 1015

// emRule is printed where a mandatory field is empty.
const emRule = '—'

// TextWidth is the length of a text of a height, mm.
func TextWidth(text string, height float64) float64 {
	sum := 0
	for _, c := range text {
		switch i := int(c) - ' '; {
		case i >= 0 && i < len(advance):
			sum += advance[i]
		case c == 'Ø':
			sum += 778
		case c == '±':
			sum += 584
		case c == '°':
			sum += 400
		case c == emRule:
			sum += 1000
		default:
			sum += widest
		}
	}
	return float64(sum) / 1000 * fontSize(height)
}

// fontSize is the size of the font whose capitals have a height, mm.
func fontSize(height float64) float64 { return height / capHeight }

// Rect is the upright rectangle that a text covers, with its descenders.
func (t Text) Rect() Rect {
	w := TextWidth(t.String, t.Height)
	from := 0.0
	switch t.Align {
	case Middle:
		from = -w / 2
	case Right:
		from = -w
	}
	below := descent * fontSize(t.Height)
	sin, cos := math.Sincos(t.Angle)
	turn := func(x, y float64) Point { return t.At.Add(x*cos-y*sin, x*sin+y*cos) }
	r := Rect{turn(from, -below), turn(from, -below)}
	for _, p := range []Point{turn(from+w, -below), turn(from+w, t.Height), turn(from, t.Height)} {
		r = r.union(Rect{p, p})
	}
	return r
}

// start and end are the ends of the base line.
func (t Text) start() Point {
	w := TextWidth(t.String, t.Height)
	sin, cos := math.Sincos(t.Angle)
	switch t.Align {
	case Middle:
		return t.At.Add(-w/2*cos, -w/2*sin)
	case Right:
		return t.At.Add(-w*cos, -w*sin)
	}
	return t.At
}

func (t Text) end() Point {
	w := TextWidth(t.String, t.Height)
	sin, cos := math.Sincos(t.Angle)
	return t.start().Add(w*cos, w*sin)
}

// Write puts a text on the sheet as it is. An empty one is not put.
func (s *Sheet) Write(t Text) {
	if t.String != "" {
		s.Texts = append(s.Texts, t)
	}
}

// Free tells whether nothing that may not be covered lies in a rectangle.
func (s *Sheet) Free(r Rect) bool {
	for _, o := range s.taken {
		if r.Overlaps(o) {
			return false
		}
	}
	for _, t := range s.Texts {
		if r.Overlaps(t.Rect()) {
			return false
		}
	}
	return true
}

// Fit shortens a text with three dots until it is no longer than a width.
func Fit(text string, height, width float64) string {
	if TextWidth(text, height) <= width {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		if short := strings.TrimRight(string(runes[:n]), " ") + "..."; TextWidth(short, height) <= width {
			return short
		}
	}
	return ""
}

// Wrap breaks a text at its spaces into lines no longer than a width; a word
// that is longer stands alone and is shortened.
func Wrap(text string, height, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		word = Fit(word, height, width)
		switch longer := line + " " + word; {
		case line == "":
			line = word
		case TextWidth(longer, height) <= width:
			line = longer
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// lineFeed is the distance of base lines over the height; ISO 3098-1 asks for
// at least 1.4 for capitals and small letters without accents above.
const lineFeed = 1.7

// Paragraph writes wrapped lines downward from the top left corner and returns
// the height that was used, mm.
func (s *Sheet) Paragraph(at Point, width, height float64, text string) float64 {
	used := 0.0
	for _, line := range Wrap(text, height, width) {
		used += lineFeed * height
		s.Write(Text{At: at.Add(0, height*0.5-used), Height: height, String: line})
	}
	return used
}
