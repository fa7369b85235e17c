package report

import (
	"bytes"
	"strings"
	"testing"
)

func example() *Document {
	return &Document{
		Title: "Calculation <b>", Subtitle: "portal & mast", Foot: "HP-1 rev. A", Banner: "NOT RELEASED", Date: "2026-03-14",
		Blocks: []Block{
			Heading{Level: 1, Text: "1 Summary", ID: "summary"},
			Paragraph{Text: "sag < 1 mm", Strong: true},
			List{Items: []string{"one", "two"}},
			Table{Header: []string{"axis", "travel"}, Rows: [][]string{{"x", "1.8 m"}}, Right: []bool{false, true}},
			Entry{ID: "axis.x.speed", Title: "speed", Verdict: "ok", Use: "0.50", Formula: "v = s / t", Numbers: "3 / 2 = 1.5 m/s", Fields: [][2]string{{"source", "kinematics"}}},
			Entry{ID: "axis.x.rule", Title: "rule", Verdict: "ok", Formula: "slots fit <all>"},
			Figure{Caption: "a line", Width: 100, Height: 50, Shapes: []Shape{{Points: [][2]float64{{0, 0}, {10, 10}}, Stroke: "#000000", Wide: 0.3}}},
			PageBreak{},
		},
	}
}

// TestTextIsText: what is written is never taken for markup, and nothing is lost.
func TestTextIsText(t *testing.T) {
	var b bytes.Buffer
	if err := example().HTML(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Calculation &lt;b&gt;", "portal &amp; mast", "sag &lt; 1 mm", "NOT RELEASED", "HP-1 rev. A", "1.8 m", "axis.x.speed", "a line", `id="summary"`, "<mfrac><mrow><mi>s</mi></mrow><mrow><mi>t</mi></mrow></mfrac>", "kinematics", "slots fit &lt;all&gt;"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is not there", want)
		}
	}
}

// TestSameBytes: a document is written the same every time; another date makes another file.
func TestSameBytes(t *testing.T) {
	write := func(d *Document) string {
		var b bytes.Buffer
		if err := d.PDF(&b); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	first := write(example())
	if !strings.HasPrefix(first, "%PDF-") || first != write(example()) {
		t.Error("two runs differ, or this is no PDF")
	}
	later := example()
	later.Date = "2026-03-15"
	if write(later) == first {
		t.Error("the date is not in the file")
	}
}
