package parts

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// place is where a part was read; it differs between files with equal parts.
var place = cmpopts.IgnoreFields(Common{}, "File", "Line", "Representative")

// TestWrittenPartsReadBackEqual writes the whole embedded catalogue as one file.
func TestWrittenPartsReadBackEqual(t *testing.T) {
	var all []Part
	for _, kind := range Kinds() {
		all = append(all, Embedded().List(kind)...)
	}
	var b bytes.Buffer
	if err := Write(&b, all); err != nil {
		t.Fatal(err)
	}
	back, list := Read(Source{Name: "all.yaml", Text: b.Bytes()})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	if diff := cmp.Diff(all, back, place, cmpopts.IgnoreFields(Material{}, "Metal")); diff != "" {
		t.Errorf("-written +read:\n%s", diff)
	}
}

// anyBelt draws a belt whose numbers are within their ranges and make sense
// together.
func anyBelt(t *rapid.T) *Belt {
	between := func(name string, low, high float64) float64 {
		v := math.Exp(rapid.Float64Range(math.Log(low), math.Log(high)).Draw(t, name))
		return min(max(v, low), high) // rounding of the logarithm
	}
	b := &Belt{
		Common: Common{
			ID:    rapid.StringMatching(`[a-z][a-z0-9]{0,8}(-[0-9]{1,3})?`).Draw(t, "id"),
			Title: rapid.StringMatching(`[ -~äß°²€"\\:#{}']{0,40}[a-z]`).Draw(t, "title"),
			Cost:  between("cost", 0.01, 1e6),
		},
		Pitch: between("pitch", 1e-3, 50e-3), Width: between("width", 2e-3, 0.5), EA: between("EA", 1e3, 1e9),
		MassPerM: between("mass", 1e-3, 50), ToothCap: rapid.IntRange(1, 50).Draw(t, "cap"), Cord: between("cord", 1, 1e6),
	}
	speed, force := 0.0, between("force", 4, 1e5) // five falls by half stay above the least force, 0.1 N
	for range rapid.IntRange(1, 6).Draw(t, "points") {
		b.ToothAt, b.Tooth = append(b.ToothAt, speed), append(b.Tooth, force)
		speed += between("step", 0.1, 100)
		force *= rapid.Float64Range(0.5, 1).Draw(t, "fall")
	}
	return b
}

// TestAnyPartSurvivesWriting holds for numbers that no table rounds.
func TestAnyPartSurvivesWriting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyBelt(t)
		var b bytes.Buffer
		if err := Write(&b, []Part{want}); err != nil {
			t.Fatal(err)
		}
		got, list := Read(Source{Name: "b.yaml", Text: b.Bytes()})
		if len(list) > 0 {
			t.Fatalf("%v\n%s", list, b.String())
		}
		if diff := cmp.Diff([]Part{want}, got, place); diff != "" {
			t.Fatalf("%s\n%s", diff, b.String())
		}
	})
}

func TestImport(t *testing.T) {
	var b bytes.Buffer
	src := Source{Name: "belt.csv", Text: []byte(beltHead + "b-30,my belt,8,30,840,156,0 1000,150 112,12,2850\n")}
	list, err := Import(&b, Embedded(), src)
	if err != nil || len(list) > 0 {
		t.Fatal(list, err)
	}
	want := `spanwright_parts: 1

belt:
  b-30:
    title: "my belt"
    pitch: 8 mm
    width: 30 mm
    stretch_stiffness: 840 kN
    mass_per_m: 0.156 kg/m
    tooth_speeds: [0 rpm, 1000 rpm]
    tooth_forces: [150 N, 112 N]
    counted_teeth: 12
    cord_force: 2.85 kN
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
	b.Reset()
	src.Text = bytes.Replace(src.Text, []byte("2850"), []byte("x"), 1)
	if list, err = Import(&b, Embedded(), src); err != nil || len(list) != 1 || b.Len() > 0 {
		t.Errorf("with a mistake: %v, %v, %d bytes written", list, err, b.Len())
	}
}

// FuzzRead holds that no file, however broken, makes reading fail otherwise
// than by diagnostics.
func FuzzRead(f *testing.F) {
	f.Add("a.yaml", motorText)
	f.Add("belt.csv", beltHead+"b,,8,30,840,156,0,150,12,2850\n")
	f.Add("profile.csv", "id;shape;material;t_slot.module [mm];closed;outer\np;t-slot;x;1e99;+y -y;1\n")
	f.Add("x.tsv", "# kind: axis\nid\tdrive\n\"a\tbelt")
	f.Fuzz(func(t *testing.T, name, text string) {
		if strings.Contains(name, "\x00") {
			t.Skip("no file has such a name")
		}
		if _, list := Embedded().With(Source{Name: name, Text: []byte(text)}); len(list) > 0 && list.Error() == "" {
			t.Error("diagnostics without text")
		}
	})
}
