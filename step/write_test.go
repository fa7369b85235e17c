package step

import (
	"bytes"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

func box(id string, x, y, z float64) *Product {
	p := prism.Box(x, y, z)
	return &Product{ID: id, Name: id, Body: &p, Colour: Colour{0.2, 0.4, 0.6}}
}

func fileOf(t *testing.T, p *Product, h Header) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, h); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func twoLegs() *Product {
	leg := box("leg", 0.04, 0.04, 0.1)
	return &Product{ID: "stand", Name: "stand", Children: []Occurrence{
		{"leg-1", leg, Here}, {"leg-2", leg, Placement{Origin: r3.Vec{X: 0.5}, Z: r3.Vec{X: 1}, X: r3.Vec{Y: 1}}},
	}}
}

// TestSyntax: every entity is referred to after it was given, numbers count up,
// reals have a point.
func TestSyntax(t *testing.T) {
	s := fileOf(t, twoLegs(), Header{Name: "stand"})
	if !strings.HasPrefix(s, "ISO-10303-21;\nHEADER;\n") || !strings.HasSuffix(s, "ENDSEC;\nEND-ISO-10303-21;\n") {
		t.Error("the frame of the file is wrong")
	}
	_, data, _ := strings.Cut(s, "DATA;\n")
	line := regexp.MustCompile(`^#(\d+)=(.*);$`)
	given, ref := map[string]bool{}, regexp.MustCompile(`#\d+`)
	number := regexp.MustCompile(`[(,]-?\d+(E[-+]?\d+)?[,)]`)
	for _, l := range strings.Split(strings.TrimSuffix(data, "ENDSEC;\nEND-ISO-10303-21;\n"), "\n") {
		if l == "" {
			continue
		}
		m := line.FindStringSubmatch(l)
		if m == nil {
			t.Fatalf("no entity: %s", l)
		}
		for _, r := range ref.FindAllString(m[2], -1) {
			if !given[r] {
				t.Errorf("%s refers to %s, which comes later or never", l, r)
			}
		}
		given["#"+m[1]] = true
		if number.MatchString(m[2]) && !strings.Contains(m[2], "APPLICATION_PROTOCOL") && !strings.Contains(m[2], "REPRESENTATION_CONTEXT(3)") {
			t.Errorf("a real without a point: %s", l)
		}
	}
}

// TestPlacementOnTheWrittenText: a reader accepts both orders, so the order of
// child and assembly is held here.
func TestPlacementOnTheWrittenText(t *testing.T) {
	s := fileOf(t, twoLegs(), Header{})
	entity := func(id string) string {
		m := regexp.MustCompile(`(?m)^#` + id + `=(.*);$`).FindStringSubmatch(s)
		if m == nil {
			t.Fatalf("no entity %s", id)
		}
		return m[1]
	}
	used := regexp.MustCompile(`ITEM_DEFINED_TRANSFORMATION\('','',#(\d+),#(\d+)\)`).FindAllStringSubmatch(s, -1)
	relation := regexp.MustCompile(`REPRESENTATION_RELATIONSHIP\('','',#(\d+),#(\d+)\)REPRESENTATION_RELATIONSHIP_WITH`).FindAllStringSubmatch(s, -1)
	if len(used) != 2 || len(relation) != 2 {
		t.Fatalf("%d transformations, %d relations, want 2 and 2", len(used), len(relation))
	}
	for i := range used {
		child, assembly := entity(relation[i][1]), entity(relation[i][2])
		if !strings.HasPrefix(child, "ADVANCED_BREP_SHAPE_REPRESENTATION") || !strings.Contains(child, "#"+used[i][1]+",") {
			t.Errorf("rep_1 is %s, want the part with its own origin #%s", child, used[i][1])
		}
		if !strings.HasPrefix(assembly, "SHAPE_REPRESENTATION") || !strings.Contains(assembly, "#"+used[i][2]) {
			t.Errorf("rep_2 is %s, want the assembly with the placement #%s", assembly, used[i][2])
		}
	}
	placement := entity(used[1][2])
	m := regexp.MustCompile(`#(\d+),#(\d+),#(\d+)`).FindStringSubmatch(placement)
	for i, want := range []string{"CARTESIAN_POINT('',(500.,0.,0.))", "DIRECTION('',(1.,0.,0.))", "DIRECTION('',(0.,1.,0.))"} {
		if got := entity(m[i+1]); got != want {
			t.Errorf("placement of leg-2: %s, want %s", got, want)
		}
	}
}

func TestOneProductForAllItsOccurrences(t *testing.T) {
	s := fileOf(t, twoLegs(), Header{})
	for what, want := range map[string]int{"MANIFOLD_SOLID_BREP": 1, "=PRODUCT(": 2, "NEXT_ASSEMBLY_USAGE_OCCURRENCE": 2, "STYLED_ITEM": 1} {
		if got := strings.Count(s, what); got != want {
			t.Errorf("%d of %s, want %d", got, what, want)
		}
	}
}

func TestStrings(t *testing.T) {
	tests := map[string]string{
		"plain":      `'plain'`,
		"it's":       `'it''s'`,
		`back\slash`: `'back\\slash'`,
		"Träger":     `'Tr\X2\00E4\X0\ger'`,
		"a\nb":       `'a\X2\000A\X0\b'`,
		"\U0001F529": `'\X4\0001F529\X0\'`,
	}
	for in, want := range tests {
		if got := text(in); got != want {
			t.Errorf("%q is written %s, want %s", in, got, want)
		}
	}
}

func TestReals(t *testing.T) {
	tests := map[float64]string{0: "0.", 1: "1.", -2.5: "-2.5", 1e-5: "1.E-05", 123456.789012: "123456.789012", 1e20: "1.E+20", math.Copysign(0, -1): "0."}
	for in, want := range tests {
		if got := real(in); got != want {
			t.Errorf("%g is written %s, want %s", in, got, want)
		}
	}
}

func TestHeader(t *testing.T) {
	h := Header{Name: "PN-1", Description: "a stand", Date: "2026-03-14T00:00:00", Author: "A", Organisation: "B", Program: "P 1", Authorisation: "C", Schema: AP242}
	s := fileOf(t, twoLegs(), h)
	for _, want := range []string{
		"FILE_DESCRIPTION(('a stand'),'2;1');", "FILE_NAME('PN-1','2026-03-14T00:00:00',('A'),('B'),'P 1','P 1','C');",
		"FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }'));",
	} {
		if !strings.Contains(s, want) {
			t.Errorf("%s is missing", want)
		}
	}
}

func TestSameModelSameBytes(t *testing.T) {
	if a, b := fileOf(t, twoLegs(), Header{}), fileOf(t, twoLegs(), Header{}); a != b {
		t.Error("two files of the same model differ")
	}
}

func TestWriteRefuses(t *testing.T) {
	leg := box("leg", 1, 1, 1)
	circle := &Product{ID: "a", Children: []Occurrence{{ID: "b", At: Here}}}
	circle.Children[0].Of = circle
	at := func(p Placement) *Product {
		return &Product{ID: "s", Children: []Occurrence{{"leg-1", leg, p}}}
	}
	flat := prism.Box(1, 1, 0)
	tests := map[string]*Product{
		"an assembly in itself":          circle,
		"two products of one id":         {ID: "s", Children: []Occurrence{{"1", leg, Here}, {"2", box("leg", 2, 2, 2), Here}}},
		"two occurrences of one id":      {ID: "s", Children: []Occurrence{{"1", leg, Here}, {"1", leg, Here}}},
		"an occurrence without id":       {ID: "s", Children: []Occurrence{{"", leg, Here}}},
		"no id":                          {Body: leg.Body},
		"neither body nor children":      {ID: "s"},
		"both":                           {ID: "s", Body: leg.Body, Children: []Occurrence{{"1", leg, Here}}},
		"directions that are not square": at(Placement{Z: r3.Vec{Z: 1}, X: r3.Vec{X: 0.6, Z: 0.8}}),
		"a direction that is none":       at(Placement{Z: r3.Vec{Z: 2}, X: r3.Vec{X: 1}}),
		"an origin that is none":         at(Placement{Origin: r3.Vec{X: math.NaN()}, Z: r3.Vec{Z: 1}, X: r3.Vec{X: 1}}),
		"a body that is none":            {ID: "s", Body: &flat},
	}
	for name, p := range tests {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := Write(&b, p, Header{})
			if !errors.Is(err, ErrModel) && !errors.Is(err, prism.ErrShape) {
				t.Errorf("got %v", err)
			}
			if b.Len() > 0 {
				t.Errorf("%d bytes were written all the same", b.Len())
			}
		})
	}
}

// full writes nothing more after some bytes.
type full struct{ left int }

func (f *full) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

func TestWriteErrorsComeBack(t *testing.T) {
	for _, room := range []int{0, 100, 5000} {
		if err := Write(&full{room}, twoLegs(), Header{}); !errors.Is(err, io.ErrShortWrite) {
			t.Errorf("room for %d bytes: got %v", room, err)
		}
	}
}

func TestBounds(t *testing.T) {
	lo, hi := twoLegs().Bounds()
	// leg-2 lies: its z along x, its x along y, its y along z.
	if want := (r3.Vec{X: -0.02, Y: -0.02, Z: -0.02}); r3.Norm(r3.Sub(lo, want)) > 1e-12 {
		t.Errorf("from %v, want %v", lo, want)
	}
	if want := (r3.Vec{X: 0.6, Y: 0.02, Z: 0.1}); r3.Norm(r3.Sub(hi, want)) > 1e-12 {
		t.Errorf("to %v, want %v", hi, want)
	}
}
