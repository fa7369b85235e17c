package drawing

import (
	"fmt"
	"math"
	"testing"

	"github.com/go-pdf/fpdf"
	"pgregory.net/rapid"
)

// The drawing areas of ISO 5457 (from memory), mm.
func TestAreas(t *testing.T) {
	for name, want := range map[string][2]float64{"A4": {180, 277}, "A3": {390, 277}, "A2": {564, 400}, "A1": {811, 574}, "A0": {1159, 821}} {
		f, err := FormatOf(name)
		if err != nil {
			t.Fatal(err)
		}
		if a := f.Area(); a.Width() != want[0] || a.Height() != want[1] {
			t.Errorf("%s: %g x %g, want %v", name, a.Width(), a.Height(), want)
		}
	}
	if _, err := FormatOf("A7"); err == nil {
		t.Error("A7 was taken")
	}
}

// Widths of texts agree with the font metrics of the PDF library.
func TestTextWidths(t *testing.T) {
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetFont("Helvetica", "", fontSize(3.5)*72/25.4)
	latin := pdf.UnicodeTranslatorFromDescriptor("")
	for c := ' '; c <= '~'; c++ {
		if got, want := TextWidth(string(c), 3.5), pdf.GetStringWidth(string(c)); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %.4f mm wide, want %.4f", c, got, want)
		}
	}
	for _, c := range "±°Ø—" {
		if got, want := TextWidth(string(c), 3.5), pdf.GetStringWidth(latin(string(c))); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %.4f mm wide, want %.4f", c, got, want)
		}
	}
}

func TestWrapAndFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z ,.]{0,200}`).Draw(t, "text")
		width := rapid.Float64Range(10, 100).Draw(t, "width")
		for _, line := range append(Wrap(text, Small, width), Fit(text, Small, width)) {
			if w := TextWidth(line, Small); w > width+1e-9 {
				t.Errorf("%q is %.3f mm, more than %.3f", line, w, width)
			}
		}
	})
}

// checkTexts: no two texts of a sheet cover each other, none leaves the sheet.
func checkTexts(t interface{ Errorf(string, ...any) }, s *Sheet) {
	for i, a := range s.Texts {
		if !(Rect{Point{}, Point{s.Format.Width, s.Format.Height}}).Holds(a.Rect()) {
			t.Errorf("%q leaves the sheet", a.String)
		}
		for _, b := range s.Texts[:i] {
			if a.Rect().Overlaps(b.Rect()) {
				t.Errorf("%q and %q cover each other", a.String, b.String)
			}
		}
	}
}

// Dimensions of any kind: texts keep clear of each other and of all extension
// and dimension lines; what has no room is handed back.
func TestLadderTextsKeepClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &Sheet{Format: Formats[2]}
		side := rapid.SampledFrom([]Side{Below, Above, LeftOf, RightOf}).Draw(t, "side")
		l := Ladder{Side: side, Base: 200}
		for i := range rapid.IntRange(1, 7).Draw(t, "dimensions") {
			from, to := rapid.Float64Range(150, 280).Draw(t, "from"), rapid.Float64Range(150, 280).Draw(t, "to")
			if math.Abs(from-to) < 0.5 {
				to += 1
			}
			l.Measures = append(l.Measures, Measure{From: from, To: to, Start: 200, Stop: 200, Text: fmt.Sprintf("d%d %.1f", i, math.Abs(from-to))})
		}
		left := s.Ladder(l)
		if len(left)+len(s.Dimensions) != len(l.Measures) {
			t.Errorf("%d drawn, %d handed back, of %d", len(s.Dimensions), len(left), len(l.Measures))
		}
		checkTexts(t, s)
		for _, text := range s.Texts {
			for _, p := range s.Polylines {
				if r := rectOf(p.Points[0], p.Points[1]).Grow(0.01); text.Rect().Overlaps(r) {
					t.Errorf("a line runs through %q", text.String)
				}
			}
		}
	})
}

func crosses(a, b, c, d Point) bool {
	turn := func(p, q, r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return turn(a, b, c)*turn(a, b, d) < -1e-9 && turn(c, d, a)*turn(c, d, b) < -1e-9
}

// Leaders never cross, each item has its balloon, balloons keep apart.
func TestBalloonsDoNotCross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &Sheet{Format: Formats[2]}
		view := Rect{Point{200, 120}, Point{300, 200}}
		var items []Item
		for i := range rapid.IntRange(1, 20).Draw(t, "items") {
			items = append(items, Item{Point{rapid.Float64Range(200, 300).Draw(t, "x"), rapid.Float64Range(120, 200).Draw(t, "y")}, []string{fmt.Sprint(i + 1)}})
		}
		if left := s.Balloons(view, items); len(left) > 0 {
			t.Fatalf("%d items without a balloon", len(left))
		}
		for i, a := range s.Polylines {
			for _, b := range s.Polylines[:i] {
				if crosses(a.Points[0], a.Points[1], b.Points[0], b.Points[1]) {
					t.Errorf("leaders cross: %v and %v", a.Points, b.Points)
				}
			}
		}
		checkTexts(t, s)
	})
}

// Scales: the rule counts three gaps each way.
func TestDenominator(t *testing.T) {
	v := Views{Widths: []float64{1000}, Heights: []float64{500}, Gap: 10, AreaWidth: 130, AreaHeight: 100}
	if d, ok := v.Denominator(); !ok || d != 10 { // 1000/10 + 30 = 130 just fits
		t.Errorf("1:%g, %v, want 1:10", d, ok)
	}
	v.AreaWidth = 129
	if d, _ := v.Denominator(); d != 20 {
		t.Errorf("1:%g, want 1:20", d)
	}
	v.AreaWidth = 30
	if _, ok := v.Denominator(); ok {
		t.Error("fits where there is no room")
	}
}

func TestTitleBlockNamesWhatIsMissing(t *testing.T) {
	missing := TitleBlock{Owner: "o", Number: "n", SheetNumber: "1", Title: "t", DocumentType: "d"}.Missing()
	if fmt.Sprint(missing) != "[date of issue approval person creator]" {
		t.Errorf("%q", missing)
	}
}

// Every sheet's frame and title block: letters without I and O, texts clear.
func TestFrames(t *testing.T) {
	for _, f := range Formats {
		s := NewSheet(f)
		s.TitleBlock(TitleBlock{Title: "a title that is so long that it cannot stand in its cell at all", Number: "N-1"})
		checkTexts(t, s)
		for _, text := range s.Texts {
			if text.String == "I" || text.String == "O" {
				t.Errorf("%s: field %s", f.Name, text.String)
			}
		}
	}
}
