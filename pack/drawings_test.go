package pack

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/drawing"
	"spanwright/machine"
)

func sheetsOf(t testing.TB, s Source) map[string]*drawing.Sheet {
	t.Helper()
	rows := PartsList(s.Assessment.Machine)
	cuts, _, err := CutList(s.Assessment.Machine, rows)
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.sheets(rows, cuts)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*drawing.Sheet{}
	for _, f := range list {
		out[f.name] = f.sheet
	}
	return out
}

// drawn are the texts of the dimensions of a sheet.
func drawn(s *drawing.Sheet) []string {
	var out []string
	for _, d := range s.Dimensions {
		out = append(out, d.Text)
	}
	return out
}

func letters(s *drawing.Sheet) string {
	var out []string
	for _, t := range s.Texts {
		out = append(out, t.String)
	}
	return strings.Join(out, "\n")
}

// unjudged is a source without studies: drawings take only foot loads and ends
// of travel from them.
func unjudged(t testing.TB, s Source) Source {
	t.Helper()
	a := *s.Assessment
	a.Results.Stand.FootLoads = nil
	a.Results.Axes = map[string]*assess.AxisResult{}
	for id := range s.Assessment.Results.Axes {
		a.Results.Axes[id] = &assess.AxisResult{}
	}
	s.Assessment = &a
	return s
}

func TestDrawingsOfExamples(t *testing.T) {
	for _, c := range []struct {
		example string
		want    map[string][]string // from the design's own text, mm
	}{
		{"crate-portal", map[string][]string{
			// travels, span and depth between feet, height of the stand
			"general-arrangement": {"x travel 1800", "z travel 700", "2700", "1500"},
			"stand":               {"2100", "2700", "centre 250"},
			"travel-x":            {"x travel 1800", "software limit 5", "over-travel switch 15", "hard stop, contact 560"},
			"travel-z":            {"z travel 700", "over-travel switch 10", "hard stop, contact 170"},
		}},
		{"seedling-gantry", map[string][]string{
			"general-arrangement": {"x travel 4000", "y travel 1600", "z travel 500", "runways 2700", "5500"},
			"stand":               {"1900", "5500", "2700"},
			"travel-y":            {"y travel 1600", "hard stop, contact 310"},
		}},
	} {
		t.Run(c.example, func(t *testing.T) {
			s := source(t, c.example, "gantry.yaml")
			sheets := sheetsOf(t, s)
			for name, texts := range c.want {
				for _, want := range texts {
					if !slices.Contains(drawn(sheets[name]), want) {
						t.Errorf("%s: no dimension %q in %q", name, want, drawn(sheets[name]))
					}
				}
			}
			for name, sheet := range sheets {
				checkSheet(t, name, sheet)
				checkLengths(t, name, sheet)
			}
			checkHeights(t, s.Assessment.Machine, sheets["general-arrangement"])
			checkFootTable(t, s, letters(sheets["general-arrangement"]))
			checkBalloons(t, PartsList(s.Assessment.Machine), sheets["general-arrangement"])
			checkFiles(t, s)
			if got := letters(sheets["general-arrangement"]); !strings.Contains(got, "not for manufacture: representative data") || strings.Contains(got, NotReleased) {
				t.Error("the status is not that of a released design with representative parts")
			}
			for name, sheet := range sheetsOf(t, unjudged(t, s)) {
				checkSheet(t, name+" without results", sheet)
			}
		})
	}
}

// checkSheet: no text covers another or leaves the frame's border.
func checkSheet(t *testing.T, name string, s *drawing.Sheet) {
	t.Helper()
	border := s.Format.Area().Grow(5) // the fields of the grid
	for i, a := range s.Texts {
		if !border.Holds(a.Rect()) {
			t.Errorf("%s: %q leaves the frame", name, a.String)
		}
		for _, b := range s.Texts[:i] {
			if a.Rect().Overlaps(b.Rect()) {
				t.Errorf("%s: %q covers %q", name, a.String, b.String)
			}
		}
	}
	if e := s.Extents(); e.Min != (drawing.Point{}) || e.Max != (drawing.Point{X: s.Format.Width, Y: s.Format.Height}) {
		t.Errorf("%s: drawn from %v to %v", name, e.Min, e.Max)
	}
}

// checkLengths: every dimension is drawn as long as its number says, at one of
// the scales that the sheet states.
func checkLengths(t *testing.T, name string, s *drawing.Sheet) {
	t.Helper()
	text := letters(s)
	for _, d := range s.Dimensions {
		words := strings.Fields(d.Text)
		number, err := strconv.ParseFloat(words[len(words)-1], 64)
		if err != nil {
			t.Errorf("%s: %q ends in no number", name, d.Text)
			continue
		}
		fits := false
		for _, scale := range drawing.Denominators {
			// 0.06 mm: the number is rounded to a tenth.
			fits = fits || strings.Contains(text, drawing.ScaleName(scale)) && math.Abs(math.Abs(d.To-d.From)*scale-number) < 0.06
		}
		if !fits {
			t.Errorf("%s: %q is drawn %.3f mm long", name, d.Text, math.Abs(d.To-d.From))
		}
	}
}

// checkHeights: clear heights are those of the tool point, which hangs below the
// flange; the floor is at 0.
func checkHeights(t *testing.T, m *machine.Machine, s *drawing.Sheet) {
	t.Helper()
	last := m.Axes[len(m.Axes)-1]
	q := make([]float64, len(m.Axes))
	low := m.NodeAt(m.Flange, q).Z + m.Point.Z
	q[len(q)-1] = last.Spec.Travel
	high := r3.Add(m.NodeAt(m.Flange, q), m.Point).Z
	for _, want := range []string{fmt.Sprintf("tool min %.1f", low*1000), fmt.Sprintf("tool max %.1f", high*1000)} {
		want = strings.TrimSuffix(want, ".0")
		if !slices.Contains(drawn(s), want) {
			t.Errorf("no dimension %q in %q", want, drawn(s))
		}
	}
}

func checkFootTable(t *testing.T, s Source, text string) {
	t.Helper()
	for _, f := range s.Assessment.Results.Stand.FootLoads {
		if want := strconv.Itoa(int(math.Round(float64(f.Max)))); !strings.Contains(text, "\n"+want+"\n") {
			t.Errorf("foot %s: %s N is not on the sheet", f.Foot, want)
		}
	}
}

// checkBalloons: every item has a balloon or stands in the note of those that
// are not drawn.
func checkBalloons(t *testing.T, rows []Row, s *drawing.Sheet) {
	t.Helper()
	circled := map[string]bool{}
	for _, text := range s.Texts {
		for _, c := range s.Circles {
			if text.Align == drawing.Middle && c.Radius == 5 && math.Abs(text.At.X-c.Centre.X) < 1e-9 && math.Abs(text.Rect().Centre().Y-c.Centre.Y) < c.Radius {
				circled[text.String] = true
			}
		}
	}
	var without []int
	for _, r := range rows {
		if !circled[strconv.Itoa(r.Item)] {
			without = append(without, r.Item)
		}
		if (r.Kind == "profile" || r.Kind == "axis" || r.Kind == "motor" || r.Kind == "foot") && !circled[strconv.Itoa(r.Item)] {
			t.Errorf("item %d, %s, has no balloon", r.Item, r.Name)
		}
	}
	words := strings.ReplaceAll(letters(s), "\n", " ")
	if want := "items " + itemNumbers(without) + "."; !strings.Contains(words, want) {
		t.Errorf("the notes do not say %q", want)
	}
}

// checkFiles: three formats each, the same bytes from two runs, numbers in the
// text of the PDF, and a DXF that another library reads without a fault.
func checkFiles(t *testing.T, s Source) {
	t.Helper()
	first, second := drawingFiles(t, s), drawingFiles(t, s)
	if len(first) != 3*(2+len(s.Assessment.Machine.Axes)) {
		t.Errorf("%d files", len(first))
	}
	for name, text := range first {
		if !bytes.Equal(text, second[name]) {
			t.Errorf("%s: two runs differ", name)
		}
	}
	dir := t.TempDir()
	pdf, dxf := filepath.Join(dir, "a.pdf"), filepath.Join(dir, "a.dxf")
	for file, name := range map[string]string{pdf: "drawings/general-arrangement.pdf", dxf: "drawings/general-arrangement.dxf"} {
		if err := os.WriteFile(file, first[name], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if tool, err := exec.LookPath("pdftotext"); err == nil {
		out, err := exec.Command(tool, pdf, "-").Output()
		if err != nil || !strings.Contains(string(out), "x travel") {
			t.Errorf("the PDF's text has no travel: %v", err)
		}
	}
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import ezdxf").Run() != nil {
			continue
		}
		const audit = "import sys, ezdxf\nd = ezdxf.readfile(sys.argv[1])\na = d.audit()\nprint(d.dxfversion, len(a.errors), len(a.fixes))"
		if out, err := exec.Command(python, "-c", audit, dxf).CombinedOutput(); err != nil || strings.TrimSpace(string(out)) != "AC1009 0 0" {
			t.Errorf("reading the DXF: %v, %s", err, out)
		}
		break
	}
}

func drawingFiles(t *testing.T, s Source) map[string][]byte {
	t.Helper()
	rows := PartsList(s.Assessment.Machine)
	cuts, _, err := CutList(s.Assessment.Machine, rows)
	if err != nil {
		t.Fatal(err)
	}
	files, err := Drawings(s, rows, cuts)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range files {
		var b bytes.Buffer
		if err := f.Write(&b); err != nil {
			t.Fatal(err)
		}
		out[f.Name] = b.Bytes()
	}
	return out
}

func TestDrawingsOfFaultyDesignAreStamped(t *testing.T) {
	s := source(t, "crate-portal", "faulty.yaml")
	for name, sheet := range sheetsOf(t, s) {
		checkSheet(t, name, sheet)
		if !strings.Contains(letters(sheet), NotReleased) {
			t.Errorf("%s does not say %s", name, NotReleased)
		}
	}
}

func TestItemNumbers(t *testing.T) {
	for want, numbers := range map[string][]int{"": nil, "3": {3}, "3, 4": {3, 4}, "1, 3 to 5, 9": {1, 3, 4, 5, 9}} {
		if got := itemNumbers(numbers); got != want {
			t.Errorf("%v: %q, want %q", numbers, got, want)
		}
	}
}
