package section

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// File is what an outline file says.
type File struct {
	Name    string
	Shape   Outline // empty if the file states properties only
	Profile *TSlot  // the numbers behind Shape, if it is a T-slot profile
	Fit     *Fit    // the fitted profile, if the file gives a mass to match
	Sheet   *Sheet  // stated properties
}

// Properties computes, fits or takes over what the file describes.
func (f File) Properties() (Properties, error) {
	switch {
	case f.Sheet != nil:
		return f.Sheet.Properties()
	case f.Fit != nil:
		return f.Fit.Properties()
	}
	return Compute(f.Shape)
}

// ReadFile reads an outline file. All mistakes are returned together in a
// *FileError. The file is one JSON object with
//
//	"unit"   "mm", "cm", "m" or "in", needed: the unit of every length in it
//	"name"   any text, optional
//
// and exactly one of
//
//	"outer" [[y, z], ...], with "holes" [[[y, z], ...], {"circle": {"centre": [y, z], "diameter": d}}, ...] if any
//	"t_slot" {"module", "modules": [along y, along z], "slot", "lip", "inner", "depth", "web", "wall",
//	         "corner_radius", "bore", "hollow_corners", "closed_faces": ["+y", "-y", "+z", "-z"], "face_wall"}
//	"rectangular_hollow" {"width", "height", "wall", "finish" or "outer_radius" and "inner_radius"}
//	"square_hollow" {"side", "wall", ...}   "round_tube" {"diameter", "wall"}   "round_bar" {"diameter"}
//	"flat" {"width", "height"}   "angle" {"leg_y", "leg_z", "thickness", "root_radius"}
//	"channel" {"height", "flange", "web", "thickness", "root_radius"}
//	"stated" {"A", "Iy", "Iz", "J", "Asy", "Asz", "Wy", "Wz", "Wt", "width", "height"}, in powers of the unit
//
// finish is "cold formed" (EN 10219-2 corner radii) or "hot finished" (EN
// 10210-2). With "t_slot", "match": {"mass_kg_m": m, "density_kg_m3": rho} fits
// wall or web to a supplier's mass; density is 2700 if left out.
func ReadFile(src []byte) (File, error) {
	root, broken := parseTree(src)
	if broken != nil {
		return File{}, &FileError{[]Mistake{*broken}}
	}
	r := reader{src: src}
	f := r.file(root)
	if len(r.mistakes) > 0 {
		slices.SortStableFunc(r.mistakes, func(a, b Mistake) int {
			return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
		})
		return File{}, &FileError{r.mistakes}
	}
	return f, nil
}

const aluminiumDensity = 2700.0 // kg/m³, EN 1999-1-1, 3.2.5 (from memory)

var unitsOfLength = []struct {
	name   string
	metres float64
}{{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1}, {"in", 25.4e-3}}

type reader struct {
	src      []byte
	unit     float64 // m
	mistakes []Mistake
}

func (r *reader) mistake(n *node, hint, format string, args ...any) {
	m := Mistake{Path: n.path, Message: fmt.Sprintf(format, args...), Hint: hint}
	if n.kind != "object" && n.kind != "list" {
		m.Value = n.text
	}
	m.Line, m.Column = lineColumn(r.src, n.at)
	r.mistakes = append(r.mistakes, m)
}

// shapes are the keys of which a file has exactly one.
var shapes = []string{"outer", "t_slot", "rectangular_hollow", "square_hollow", "round_tube", "round_bar", "flat", "angle", "channel", "stated"}

func (r *reader) file(root *node) (f File) {
	if root.kind != "object" {
		r.mistake(root, "", "an outline file is one JSON object in braces")
		return f
	}
	o := r.object(root, append([]string{"unit", "name", "holes", "match"}, shapes...)...)
	f.Name = o.text("name", "")
	r.readUnit(o)
	var found []string
	for _, s := range shapes {
		if o.has(s) {
			found = append(found, s)
		}
	}
	switch {
	case len(found) == 0:
		r.mistake(root, "", "no shape; one of %s is needed", strings.Join(shapes, ", "))
		return f
	case len(found) > 1:
		r.mistake(o.members[found[1]], "", "one shape too many: the file already has %q", found[0])
		return f
	}
	if o.has("holes") && found[0] != "outer" {
		r.mistake(o.members["holes"], "", "holes go with %q only", "outer")
	}
	if o.has("match") && found[0] != "t_slot" {
		r.mistake(o.members["match"], "", "match goes with %q only", "t_slot")
	}
	if r.unit == 0 {
		return f // lengths would only repeat the mistake
	}
	r.readShape(&f, o, found[0])
	return f
}

func (r *reader) readUnit(o object) {
	if !o.has("unit") {
		r.mistake(o.n, `e.g. "unit": "mm"`, "unit: the unit of all lengths is needed")
		return
	}
	name := o.text("unit", "")
	var names []string
	for _, u := range unitsOfLength {
		names = append(names, u.name)
		if u.name == name {
			r.unit = u.metres
		}
	}
	if r.unit == 0 && o.members["unit"].kind == "text" {
		r.mistake(o.members["unit"], "", "%q is no unit of length known here; %s are", name, strings.Join(names, ", "))
	}
}

func (r *reader) readShape(f *File, o object, shape string) {
	n := o.members[shape]
	var draw func() (Outline, error)
	before := len(r.mistakes)
	switch shape {
	case "outer":
		r.readLoops(f, o)
		return
	case "t_slot":
		t := r.tSlot(n)
		f.Profile = &t
		draw = t.Outline
		if o.has("match") && len(r.mistakes) == before {
			f.Fit = r.match(o.members["match"], t)
			if f.Fit != nil {
				draw = f.Fit.Profile.Outline
			}
		}
	case "rectangular_hollow", "square_hollow":
		draw = r.hollow(n, shape == "square_hollow").Outline
	case "round_tube":
		p := r.object(n, "diameter", "wall")
		draw = RoundTube{p.size("diameter"), p.size("wall")}.Outline
	case "round_bar":
		p := r.object(n, "diameter")
		d := p.size("diameter")
		draw = RoundTube{d, d / 2}.Outline
	case "flat":
		p := r.object(n, "width", "height")
		draw = Flat{p.size("width"), p.size("height")}.Outline
	case "angle":
		p := r.object(n, "leg_y", "leg_z", "thickness", "root_radius")
		draw = Angle{p.size("leg_y"), p.size("leg_z"), p.size("thickness"), p.optional("root_radius")}.Outline
	case "channel":
		p := r.object(n, "height", "flange", "web", "thickness", "root_radius")
		draw = Channel{p.size("height"), p.size("flange"), p.size("web"), p.size("thickness"), p.optional("root_radius")}.Outline
	case "stated":
		s := r.sheet(n)
		f.Sheet = &s
		if _, err := s.Properties(); err != nil && len(r.mistakes) == before {
			r.reasons(n, err)
		}
		return
	}
	if len(r.mistakes) > before {
		return
	}
	var err error
	if f.Shape, err = draw(); err != nil {
		r.reasons(n, err)
	}
}

// reasons turns the reasons of a refused shape into mistakes at n.
func (r *reader) reasons(n *node, err error) {
	var shape *ShapeError
	if errors.As(err, &shape) {
		for _, reason := range shape.Reasons {
			r.mistake(n, "", "%s", reason)
		}
		return
	}
	r.mistake(n, "", "%s", strings.ReplaceAll(err.Error(), "\n", "; "))
}

func (r *reader) tSlot(n *node) TSlot {
	o := r.object(n, "module", "modules", "slot", "lip", "inner", "depth", "web", "wall",
		"corner_radius", "bore", "hollow_corners", "closed_faces", "face_wall")
	t := TSlot{
		Module: o.size("module"), Slot: o.size("slot"), Lip: o.size("lip"), Inner: o.size("inner"),
		Depth: o.size("depth"), Web: o.size("web"), Wall: o.size("wall"),
		Corner: o.optional("corner_radius"), Bore: o.optional("bore"), FaceWall: o.optional("face_wall"),
		HollowCorners: o.truth("hollow_corners"), ModulesY: 1, ModulesZ: 1,
	}
	if m := o.members["modules"]; m != nil {
		if m.kind != "list" || len(m.items) != 2 {
			r.mistake(m, "e.g. [1, 2]", "two counts are needed, modules along y and along z")
		} else {
			t.ModulesY, t.ModulesZ = r.count(m.items[0]), r.count(m.items[1])
		}
	}
	if c := o.members["closed_faces"]; c != nil {
		t.Closed = r.faces(c)
	}
	return t
}

func (r *reader) faces(n *node) (f Faces) {
	if n.kind != "list" {
		r.mistake(n, `e.g. ["+z"]`, "a list of faces is needed")
		return f
	}
	for _, item := range n.items {
		side := map[string]*bool{"+y": &f.PlusY, "-y": &f.MinusY, "+z": &f.PlusZ, "-z": &f.MinusZ}[item.text]
		if side == nil || item.kind != "text" {
			r.mistake(item, "", `a face is one of "+y", "-y", "+z", "-z"`)
			continue
		}
		*side = true
	}
	return f
}

func (r *reader) match(n *node, t TSlot) *Fit {
	before := len(r.mistakes)
	o := r.object(n, "mass_kg_m", "density_kg_m3")
	mass, density := o.number("mass_kg_m"), aluminiumDensity
	if o.has("density_kg_m3") {
		density = o.number("density_kg_m3")
	}
	if len(r.mistakes) > before {
		return nil
	}
	fit, err := t.MatchMass(mass, density)
	if err != nil {
		r.reasons(n, err)
		return nil
	}
	return &fit
}

func (r *reader) hollow(n *node, square bool) RectangularHollow {
	keys := []string{"width", "height"}
	if square {
		keys = []string{"side", "side"}
	}
	o := r.object(n, append(keys, "wall", "finish", "outer_radius", "inner_radius")...)
	width, wall := o.size(keys[0]), o.size("wall")
	height := width
	if !square {
		height = o.size("height")
	}
	if !o.has("finish") {
		return RectangularHollow{width, height, wall, o.optional("outer_radius"), o.optional("inner_radius")}
	}
	for _, k := range []string{"outer_radius", "inner_radius"} {
		if o.has(k) {
			r.mistake(o.members[k], "", "finish already sets the corner radii")
		}
	}
	switch finish := o.text("finish", ""); finish {
	case "cold formed":
		return ColdFormed(width, height, wall)
	case "hot finished":
		return HotFinished(width, height, wall)
	default:
		r.mistake(o.members["finish"], "", `finish is "cold formed" or "hot finished"`)
	}
	return RectangularHollow{}
}

func (r *reader) sheet(n *node) Sheet {
	o := r.object(n, "A", "Iy", "Iz", "J", "Asy", "Asz", "Wy", "Wz", "Wt", "width", "height")
	value := func(key string, power int, needed bool) float64 {
		if !needed && !o.has(key) {
			return 0
		}
		return o.number(key) * math.Pow(r.unit, float64(power))
	}
	return Sheet{
		Area: value("A", 2, true), Iy: value("Iy", 4, true), Iz: value("Iz", 4, true), J: value("J", 4, true),
		Asy: value("Asy", 2, false), Asz: value("Asz", 2, false),
		Wy: value("Wy", 3, false), Wz: value("Wz", 3, false), Wt: value("Wt", 3, false),
		Width: value("width", 1, false), Height: value("height", 1, false),
	}
}

func (r *reader) number(n *node) float64 {
	v, err := strconv.ParseFloat(n.text, 64)
	if n.kind != "number" || err != nil {
		r.mistake(n, "", "a number is needed")
		return 0
	}
	return v
}

func (r *reader) count(n *node) int {
	v, err := strconv.Atoi(n.text)
	if n.kind != "number" || err != nil {
		r.mistake(n, "", "a whole number is needed")
		return 1
	}
	return v
}

// JSON writes the outline as a file that ReadFile reads back, in mm.
func (o Outline) JSON(name string) []byte {
	loop := func(l Loop) [][2]float64 {
		out := make([][2]float64, len(l))
		for i, p := range l {
			// A millionth of a millimetre is the finest step that Hash tells apart.
			out[i] = [2]float64{math.Round(p.Y*1e9) / 1e6, math.Round(p.Z*1e9) / 1e6}
		}
		return out
	}
	file := struct {
		Name  string         `json:"name,omitempty"`
		Unit  string         `json:"unit"`
		Outer [][2]float64   `json:"outer"`
		Holes [][][2]float64 `json:"holes,omitempty"`
	}{Name: name, Unit: "mm", Outer: loop(o.Outer)}
	for _, h := range o.Holes {
		file.Holes = append(file.Holes, loop(h))
	}
	out, err := json.Marshal(file)
	if err != nil {
		return nil // only coordinates that are not numbers, which Check refuses
	}
	return append(out, '\n')
}
