package section

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestReadFile(t *testing.T) {
	rectangle := drawn(t, Flat{0.04, 0.08})
	tests := map[string]struct {
		file string
		want Outline
	}{
		"points in mm": {
			`{"name": "flat", "unit": "mm", "outer": [[20, 40], [-20, 40], [-20, -40], [20, -40]]}`, rectangle},
		"points in inches": {
			`{"unit": "in", "outer": [[0, 0], [1, 0], [1, 2]]}`,
			Outline{Outer: Loop{{0, 0}, {0.0254, 0}, {0.0254, 0.0508}}}},
		"holes of both kinds": {
			`{"unit": "cm", "outer": [[0, 0], [9, 0], [9, 9], [0, 9]],
			  "holes": [[[1, 1], [2, 1], [2, 2]], {"circle": {"centre": [5, 5], "diameter": 3}}]}`,
			Outline{
				Outer: Loop{{0, 0}, {0.09, 0}, {0.09, 0.09}, {0, 0.09}},
				Holes: []Loop{{{0.01, 0.01}, {0.02, 0.01}, {0.02, 0.02}}, circle(Point{0.05, 0.05}, 0.015, circlePoints)}}},
		"flat":      {`{"unit": "m", "flat": {"width": 0.04, "height": 0.08}}`, rectangle},
		"round bar": {`{"unit": "mm", "round_bar": {"diameter": 40}}`, drawn(t, RoundTube{0.04, 0.02})},
		"round tube": {
			`{"unit": "mm", "round_tube": {"diameter": 40, "wall": 3}}`, drawn(t, RoundTube{0.04, 0.003})},
		"cold formed": {
			`{"unit": "mm", "rectangular_hollow": {"width": 100, "height": 60, "wall": 5, "finish": "cold formed"}}`,
			drawn(t, ColdFormed(0.1, 0.06, 0.005))},
		"square, own radii": {
			`{"unit": "mm", "square_hollow": {"side": 60, "wall": 4, "outer_radius": 6, "inner_radius": 2}}`,
			drawn(t, RectangularHollow{0.06, 0.06, 0.004, 0.006, 0.002})},
		"angle": {
			`{"unit": "mm", "angle": {"leg_y": 60, "leg_z": 90, "thickness": 6}}`, drawn(t, Angle{0.06, 0.09, 0.006, 0})},
		"channel": {
			`{"unit": "mm", "channel": {"height": 100, "flange": 50, "web": 6, "thickness": 8, "root_radius": 8}}`,
			drawn(t, Channel{0.1, 0.05, 0.006, 0.008, 0.008})},
		"profile": {
			`{"unit": "mm", "t_slot": {"module": 40, "modules": [1, 2], "slot": 8, "lip": 4.5, "inner": 20, "depth": 12.25,
			  "web": 2.5, "wall": 1.8, "corner_radius": 1.5, "bore": 6.8, "hollow_corners": true, "closed_faces": ["+z"], "face_wall": 2}}`,
			drawn(t, func() TSlot { p := modules(1, 2); p.Closed.PlusZ = true; p.FaceWall = 2e-3; return p }())},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			f, err := ReadFile([]byte(c.file))
			if err != nil {
				t.Fatal(err)
			}
			if got, want := f.Shape.Hash(), c.want.Hash(); got != want {
				t.Errorf("read another outline: %s", cmp.Diff(c.want.standard(), f.Shape.standard()))
			}
		})
	}
}

func TestReadFileNamesEveryMistake(t *testing.T) {
	const profile = `"module": 40, "slot": 8, "lip": 4.5, "inner": 20, "depth": 12.25, "web": 2.5, "wall": 1.8`
	tests := map[string]struct{ file, want string }{
		"empty":          {``, "1:1: error: this is not JSON: the file ends too early"},
		"broken":         {"{\"unit\": \"mm\",\n \"outer\": [[1, 2,]]}", "2:18: error: this is not JSON"},
		"cut off":        {`{"unit": "mm"`, "1:14: error: this is not JSON: the file ends too early"},
		"something more": {`{} {}`, "1:4: error: this is not JSON: something follows the end of the object"},
		"too deep":       {strings.Repeat("[", 100), "nested too deep"},
		"not an object":  {`[1, 2]`, "1:1: error: an outline file is one JSON object"},
		"no unit":        {`{"flat": {"width": 1, "height": 1}}`, `1:1: error: unit: the unit of all lengths is needed; e.g. "unit": "mm"`},
		"unknown unit":   {`{"unit": "ft", "flat": {"width": 1, "height": 1}}`, `1:10: error: unit: "ft" is no unit of length known here; mm, cm, m, in are`},
		"no shape":       {`{"unit": "mm"}`, "1:1: error: no shape; one of outer, t_slot"},
		"two shapes": {`{"unit": "mm", "flat": {}, "outer": []}`,
			`error: flat: one shape too many: the file already has "outer"`},
		"unknown key":     {`{"unit": "mm", "outter": []}`, `1:16: error: outter: unknown key; did you mean "outer"?`},
		"repeated key":    {`{"unit": "mm", "unit": "m", "outer": []}`, "1:16: error: unit: the key appears twice"},
		"hole with shape": {`{"unit": "mm", "flat": {"width": 1, "height": 1}, "holes": []}`, `holes: holes go with "outer" only`},
		"match with flat": {`{"unit": "mm", "flat": {"width": 1, "height": 1}, "match": {}}`, `match: match goes with "t_slot" only`},
		"key missing":     {`{"unit": "mm", "flat": {"width": 1}}`, "1:24: error: flat: height is missing"},
		"text for number": {`{"unit": "mm", "flat": {"width": "4", "height": 1}}`, "1:34: error: flat.width: a number is needed"},
		"huge number":     {`{"unit": "mm", "flat": {"width": 1e999, "height": 1}}`, "flat.width: a number is needed"},
		"shape a list":    {`{"unit": "mm", "flat": [1, 2]}`, "flat: an object in braces is needed"},
		"bad size":        {`{"unit": "mm", "flat": {"width": -4, "height": 1}}`, "1:24: error: flat: width: -4 mm is no size"},
		"point of three":  {`{"unit": "mm", "outer": [[0, 0], [1, 0, 2], [1, 1]]}`, "1:34: error: outer[1]: a point is two numbers"},
		"crossing": {"{\"unit\": \"mm\",\n\"outer\": [[0, 0], [4, 4],\n[4, 0], [0, 4]]}",
			"2:11: error: outer[0]: the edge from here to point 1 crosses or touches the edge from outer[2]"},
		"hole outside": {`{"unit": "mm", "outer": [[0, 0], [4, 0], [4, 4]], "holes": [{"circle": {"centre": [9, 9], "diameter": 1}}]}`,
			"1:61: error: holes[0]: the hole lies outside"},
		"hole neither": {`{"unit": "mm", "outer": [[0, 0], [4, 0], [4, 4]], "holes": [{"square": 1}]}`,
			"holes[0].square: unknown key"},
		"modules":       {`{"unit": "mm", "t_slot": {` + profile + `, "modules": [1, 1.5]}}`, "t_slot.modules[1]: a whole number is needed"},
		"one module":    {`{"unit": "mm", "t_slot": {` + profile + `, "modules": 2}}`, "t_slot.modules: two counts are needed"},
		"faces":         {`{"unit": "mm", "t_slot": {` + profile + `, "closed_faces": ["up"]}}`, `t_slot.closed_faces[0]: a face is one of "+y"`},
		"truth":         {`{"unit": "mm", "t_slot": {` + profile + `, "hollow_corners": 1}}`, "t_slot.hollow_corners: true or false is needed"},
		"no such mass":  {`{"unit": "mm", "t_slot": {` + profile + `}, "match": {"mass_kg_m": 9}}`, "match: 9 kg/m at 2700 kg/m³"},
		"no mass":       {`{"unit": "mm", "t_slot": {` + profile + `}, "match": {}}`, "match: mass_kg_m is missing"},
		"finish":        {`{"unit": "mm", "square_hollow": {"side": 40, "wall": 3, "finish": "shiny"}}`, `square_hollow.finish: finish is "cold formed" or "hot finished"`},
		"finish, radii": {`{"unit": "mm", "square_hollow": {"side": 40, "wall": 3, "finish": "cold formed", "inner_radius": 1}}`, "square_hollow.inner_radius: finish already sets"},
		"stated":        {`{"unit": "cm", "stated": {"A": 7, "Iy": 10, "Iz": 10}}`, "stated: J is missing"},
		"stated wrong":  {`{"unit": "cm", "stated": {"A": 7, "Iy": 10, "Iz": 10, "J": 30}}`, "stated: J: 30 cm⁴ exceeds Iy + Iz = 20 cm⁴"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := ReadFile([]byte(c.file))
			var mistakes *FileError
			if !errors.As(err, &mistakes) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got\n%v\nwant\n%s", err, c.want)
			}
		})
	}
}

func TestReadFileReportsAllAtOnce(t *testing.T) {
	_, err := ReadFile([]byte(`{"unit": "mm",
  "t_slot": {"module": 40, "slot": "8", "lip": 4.5, "iner": 20,
    "depth": 12.25, "web": 2.5, "wall": 1.8}}`))
	want := `2:13: error: t_slot: inner is missing
2:36: error: t_slot.slot: a number is needed
2:53: error: t_slot.iner: unknown key; did you mean "inner"?`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestFileProperties(t *testing.T) {
	f, err := ReadFile([]byte(`{"unit": "cm", "stated": {"A": 7, "Iy": 10, "Iz": 10, "J": 1.5, "width": 4, "height": 4}}`))
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Properties()
	if err != nil || p.Origin != Stated {
		t.Fatal(p.Origin, err)
	}
	near(t, "A", p.Area, 7e-4, 1e-12)
	near(t, "J", p.J, 1.5e-8, 1e-12)
	near(t, "Wy", p.Wy, 5e-6, 1e-12)

	f, err = ReadFile([]byte(`{"unit": "mm", "t_slot": {"module": 40, "slot": 8, "lip": 4.5, "inner": 20, "depth": 12.25, "web": 2.5,
		"wall": 1.8, "hollow_corners": true}, "match": {"mass_kg_m": 2.0}}`))
	if err != nil {
		t.Fatal(err)
	}
	if p, err = f.Properties(); err != nil || p.Origin != Matched {
		t.Fatal(p.Origin, err)
	}
	near(t, "mass", p.MassPerLength(2700), 2.0, 2*areaFit)
	near(t, "picture", f.Shape.Moments().Area, p.Area, 1e-9)
}

func TestOutlineJSONReadsBack(t *testing.T) {
	o := drawn(t, modules(2, 1))
	f, err := ReadFile(o.JSON("two modules"))
	if err != nil {
		t.Fatal(err)
	}
	if f.Name != "two modules" || f.Shape.Hash() != o.Hash() {
		t.Errorf("read back %q with hash %s instead of %s", f.Name, f.Shape.Hash(), o.Hash())
	}
}

// Whatever the bytes: no panic, and every refusal has a place.
func FuzzReadFile(f *testing.F) {
	f.Add([]byte(`{"unit": "mm", "outer": [[0, 0], [4, 0], [4, 4]], "holes": [{"circle": {"centre": [3, 1], "diameter": 1}}]}`))
	f.Add([]byte(`{"unit": "mm", "t_slot": {"module": 40, "modules": [1, 2], "closed_faces": ["+z"]}, "match": {"mass_kg_m": 2}}`))
	f.Add([]byte(`{"unit": "in", "stated": {"A": 7, "Iy": 10, "Iz": 10, "J": 30}}`))
	f.Add([]byte(`{"unit": "mm", "unit": [[[[{}]]]], "flat": {"width": "é\u0000", "height": 1e308}}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		file, err := ReadFile(src)
		if err == nil {
			if file.Sheet == nil && file.Shape.Check() != nil {
				t.Error("an outline was read that is no section")
			}
			return
		}
		var mistakes *FileError
		if !errors.As(err, &mistakes) || len(mistakes.Mistakes) == 0 {
			t.Fatalf("refused with %v", err)
		}
		for _, m := range mistakes.Mistakes {
			if m.Line < 1 || m.Column < 1 || m.Message == "" || strings.Contains(m.Message, "%!") {
				t.Errorf("a mistake without place or message: %+v", m)
			}
		}
	})
}

func TestNearestWord(t *testing.T) {
	words := []string{"outer", "holes", "t_slot", "flat"}
	for in, want := range map[string]string{"outter": "outer", "hole": "holes", "tslot": "t_slot", "banana": "", "": ""} {
		if got := nearestWord(in, words); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if d := edits("kitten", "sitting"); d != 3 || math.Signbit(float64(d)) {
		t.Errorf("kitten to sitting: %d edits", d)
	}
}
