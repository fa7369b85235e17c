package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// example is a sheet with one of everything.
func example() *Sheet {
	s := NewSheet(Formats[1])
	s.Maker = "test"
	s.TitleBlock(TitleBlock{Owner: "Müller & <Co>", Number: "D-1", Title: "Plate", Date: "2026-03-14"})
	for l := range layerCount {
		s.Line(l, Point{50, 100 + 5*float64(l)}, Point{150, 100 + 5*float64(l)})
	}
	s.Rect(Visible, Rect{Point{200, 100}, Point{300, 150}})
	s.Circle(Centre, Point{250, 125}, 10)
	s.Dot(Dimension, Point{260, 125}, 1)
	s.Arc(Arc{Visible, Point{250, 125}, 15, math.Pi / 4, math.Pi})
	s.Arrow(Dimension, Point{300, 160}, 0)
	s.Write(Text{At: Point{210, 160}, Height: Normal, String: "Ø20 ±0.1, 45°"})
	s.Write(Text{At: Point{190, 125}, Height: Normal, Angle: math.Pi / 2, Align: Middle, String: "50"})
	return s
}

func written(t *testing.T, write func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSVG(t *testing.T) {
	text := written(t, example().WriteSVG)
	d := xml.NewDecoder(bytes.NewReader(text))
	groups, texts := 0, 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok {
			switch e.Name.Local {
			case "g":
				groups++
			case "text":
				texts++
			}
			for _, a := range e.Attr {
				if a.Name.Local == "href" || strings.Contains(a.Value, "url(") {
					t.Errorf("%s refers to %s", e.Name.Local, a.Value)
				}
			}
		}
	}
	if groups != int(layerCount) || texts != len(example().Texts) {
		t.Errorf("%d groups, %d texts", groups, texts)
	}
	if !bytes.Contains(text, []byte(`viewBox="0 0 420 297"`)) || !bytes.Contains(text, []byte("Müller &amp; &lt;Co&gt;")) {
		t.Error("view box or escaped text is missing")
	}
}

// missing skips the test without an independent reader, which in CI is a failure.
func missing(t *testing.T, reader string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s, the independent reader, is not installed", reader)
	}
	t.Skipf("%s, the independent reader, is not installed", reader)
}

func TestPDFText(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		missing(t, "pdftotext")
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, written(t, example().WritePDF), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Ø20 ±0.1, 45°", "Müller & <Co>", "D-1", "2026-03-14"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q is not in the text", want)
		}
	}
}

// audit reads a DXF file with a library of its own: version, units, errors and
// mends, extents of the lines, counts.
const audit = `
import sys, collections, ezdxf
d = ezdxf.readfile(sys.argv[1])
a = d.audit()
n = collections.Counter(e.dxftype() for e in d.modelspace())
xs = [p for e in d.modelspace() if e.dxftype() == "LINE" for p in (e.dxf.start, e.dxf.end)]
print(d.dxfversion, d.header["$INSUNITS"], len(a.errors), len(a.fixes))
print(min(p[0] for p in xs), min(p[1] for p in xs), max(p[0] for p in xs), max(p[1] for p in xs))
print(n["ARC"], n["CIRCLE"], n["TEXT"], n["SOLID"] > 0, n["POLYLINE"] > 0)
print([e.dxf.text for e in d.modelspace() if e.dxftype() == "TEXT" and "%%c" in e.dxf.text])
`

func TestDXFIsReadElsewhere(t *testing.T) {
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import ezdxf").Run() == nil {
			python = p
		}
	}
	if python == "" {
		missing(t, "ezdxf")
	}
	s := example()
	file := filepath.Join(t.TempDir(), "sheet.dxf")
	if err := os.WriteFile(file, written(t, s.WriteDXF), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", audit, file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	lines := strings.Split(string(out), "\n")
	// Centring marks reach the trimmed edges: 420 x 297 mm.
	for i, want := range []string{"AC1009 4 0 0", "0.0 0.0 420.0 297.0"} {
		if lines[i] != want {
			t.Errorf("%q, want %q", lines[i], want)
		}
	}
	if !strings.HasSuffix(lines[2], "True True") || !strings.Contains(lines[3], "%%c20 %%p0.1, 45%%d") {
		t.Errorf("%q %q", lines[2], lines[3])
	}
}

func TestSameSheetSameBytes(t *testing.T) {
	for name, write := range map[string]func(*Sheet, io.Writer) error{"pdf": (*Sheet).WritePDF, "svg": (*Sheet).WriteSVG, "dxf": (*Sheet).WriteDXF} {
		a := written(t, func(w io.Writer) error { return write(example(), w) })
		b := written(t, func(w io.Writer) error { return write(example(), w) })
		if !bytes.Equal(a, b) {
			t.Errorf("%s: two writings differ", name)
		}
	}
}

func TestPlainLetters(t *testing.T) {
	for in, want := range map[string]string{"Größe": "Groesse", "é": "e", "±5°": "%%p5%%d", "漢": "?", "a\nb": "a?b"} {
		if got := dxfText(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}
