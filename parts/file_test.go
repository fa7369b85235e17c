package parts

import (
	"testing"
)

const motorText = `spanwright_parts: 1
motor:
  servo-400:
    title: "servo motor 400 W from a supplier"
    part_number: "AB-12/400"
    kind: servo
    inertia: 0.3 kg cm2
    stall_torque: 1.5 N m
    rated_torque: 1.27 N m
    rated_speed: 3000 rpm
    peak_torque: 4.1 N m
    knee_speed: 3500 rpm
    no_load_speed: 6200 rpm
    max_speed: 6000 rpm
    mass: 1.3 kg
`

func TestSupplierPartWins(t *testing.T) {
	base := Embedded()
	c, list := base.With(Source{Name: "supplier.yaml", Text: []byte(motorText)})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	m, ok := c.Motor("servo-400")
	if !ok || m.T0 != 1.5 || m.Number != "AB-12/400" || m.Representative || m.File != "supplier.yaml" || m.Line != 3 {
		t.Errorf("got %+v", m)
	}
	if m.Counts != 0 {
		t.Error("a value that the supplier does not give was taken from the embedded part")
	}
	if c.Representative("motor", "servo-400") || !c.Representative("motor", "servo-750") || c.Representative("motor", "no-such") {
		t.Error("representative parts are not told from the supplier's")
	}
	if was, _ := base.Motor("servo-400"); !was.Representative {
		t.Error("the embedded catalogue has changed")
	}
	if ids := c.IDs("motor"); ids[0] != "servo-400" || len(ids) != len(base.IDs("motor")) {
		t.Errorf("ids %v: the supplier's stand first, each id once", ids)
	}
}

func TestFileMistakes(t *testing.T) {
	head := "spanwright_parts: 1\n"
	tests := map[string]struct {
		text string
		want []string
	}{
		"format missing":              {"belt: {}\n", []string{`1:1 missing-key is missing: format number of part files`}},
		"another format":              {"spanwright_parts: 2\n", []string{`1:19 range 2 is above what is allowed`}},
		"kind that is none":           {head + "belts: {}\n", []string{`2:1 unknown-key unknown key`}},
		"unit missing":                {head + "shaft:\n  s:\n    outer: 30\n    mass_per_m: 5.5 kg/m\n", []string{`4:12 unit-missing 30 has no unit; a length is needed`}},
		"unknown key":                 {head + "shaft:\n  s:\n    outer: 30 mm\n    mass_per_m: 5.5 kg/m\n    iner: 3 mm\n", []string{`6:5 unknown-key unknown key`}},
		"hollow beyond its wall":      {head + "shaft:\n  s:\n    outer: 30 mm\n    inner: 30 mm\n    mass_per_m: 5.5 kg/m\n", []string{`5:12 part-contradicts is not below the outer diameter`}},
		"part that is not there":      {head + "plate:\n  p: {material: 6082-t66, thickness: 10 mm, width: 80 mm, length: 80 mm, screw: M6, class: \"8.8\", screws: 4, tightening_torque: 9 N m, pitch_along: 50 mm, pitch_across: 50 mm, mass: 0.2 kg}\n", []string{`3:17 unknown-part "6082-t66" is no material of the catalogue`}},
		"does not belong to the kind": {head + "profile:\n  p: {shape: flat, material: s235, size: [40 mm, 8 mm], wall: 8 mm, given: {A: 1 cm2, Iy: 1 cm4, Iz: 1 cm4, J: 1 cm4}}\n", []string{`3:76 part-surplus does nothing here: the shape is flat`}},
		"tube without wall":           {head + "profile:\n  p: {shape: rectangular tube, material: s235, size: [40 mm, 40 mm]}\n", []string{`3:3 part-incomplete is missing: the shape is rectangular tube`}},
		"wall that fills the tube":    {head + "profile:\n  p: {shape: rectangular tube, material: s235, size: [40 mm, 40 mm], wall: 20 mm}\n", []string{`3:54 part-outline gives no section: wall: 20 mm leaves no hollow in a side of 40 mm`}},
		"outline that crosses itself": {head + "profile:\n  p: {shape: outline, material: s235, outer: [[0 mm, 0 mm], [40 mm, 40 mm], [40 mm, 0 mm], [0 mm, 40 mm]]}\n", []string{`3:46 part-outline gives no section`}},
		"size against outline":        {head + "profile:\n  p: {shape: outline, material: s235, size: [40 mm, 50 mm], outer: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 40 mm], [0 mm, 40 mm]]}\n", []string{`3:45 part-contradicts does not agree with the outline, which is 40 mm wide and 40 mm high`}},
		"torsion constant too large":  {head + "profile:\n  p: {shape: given, material: s235, size: [40 mm, 40 mm], given: {A: 1 cm2, Iy: 1 cm4, Iz: 1 cm4, J: 3 cm4}}\n", []string{`3:66 part-outline J: 3 cm⁴ exceeds Iy + Iz = 2 cm⁴`}},
		"belt axis without belt":      {head + "axis:\n  a: {profile: profile-40x40-heavy, block: rail-15-block, rails: 1, blocks_per_rail: 1, rail_height: 30 mm, plate_height: 50 mm, carriage_length: 100 mm, carriage_mass: 1 kg, max_length: 2 m, max_speed: 2 m/s, max_acceleration: 5 m/s2, drive: belt, pulley_teeth: 20, pretension: 100 N, layout: loop, motor_at: beam}\n", []string{`3:3 part-incomplete is missing: the drive is a belt`}},
		"omega with a resting motor":  {head + "axis:\n  a: {profile: profile-40x40-heavy, block: rail-15-block, rails: 1, blocks_per_rail: 1, rail_height: 30 mm, plate_height: 50 mm, carriage_length: 100 mm, carriage_mass: 1 kg, max_length: 2 m, max_speed: 2 m/s, max_acceleration: 5 m/s2, drive: belt, belt: belt-5x16, pulley_teeth: 20, pretension: 100 N, layout: omega, motor_at: beam}\n", []string{`3:329 part-contradicts is beam; in the omega layout`}},
		"hinged foot with stiffness":  {head + "foot:\n  f: {axial_stiffness: 50 N/um, lateral_stiffness: 5 N/um, capacity: 5 kN, base_rotational_stiffness: 50 kN m/rad}\n", []string{`3:3 part-contradicts is 0; a foot with a rotational stiffness needs two or more`}},
		"carrier without room":        {head + "carrier:\n  c: {inner: [38 mm, 20 mm], outer_height: 26 mm, radius: 13 mm, pitch: 30 mm, mass_per_m: 0.4 kg/m}\n", []string{`3:59 part-contradicts is not above half the outer height`}},
		"shear modulus of no metal":   {head + "material:\n  m: {E: 70 GPa, G: 40 GPa, density: 2700 kg/m3, expansion: 23e-6 1/K, source: sheet}\n", []string{`3:21 part-contradicts is 0.571 times E`}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			_, list := Embedded().With(Source{Name: "f.yaml", Text: []byte(c.text)})
			expect(t, list, c.want)
		})
	}
}

func TestIDsStandOnceInAllFiles(t *testing.T) {
	table := "# kind: motor\nid,kind,inertia [kg cm2],stall_torque [N m],rated_torque [N m],rated_speed [rpm],peak_torque [N m],knee_speed [rpm],no_load_speed [rpm],max_speed [rpm],mass [kg]\n" +
		"servo-400,servo,0.3,1.5,1.3,3000,4,3500,6000,6000,1.2\n"
	_, list := Embedded().With(Source{Name: "a.yaml", Text: []byte(motorText)}, Source{Name: "b.csv", Text: []byte(table)})
	expect(t, list, []string{"3:1 part-duplicate is listed twice; the first is in a.yaml on line 3"})
}

// TestUnderstandsPartsAcrossFiles has an axis in one file that names a profile
// in another.
func TestUnderstandsPartsAcrossFiles(t *testing.T) {
	axis := "spanwright_parts: 1\naxis:\n  a: {profile: my-beam, block: rail-15-block, rails: 1, blocks_per_rail: 1, rail_height: 30 mm, plate_height: 50 mm, carriage_length: 100 mm, carriage_mass: 1 kg, max_length: 2 m, max_speed: 2 m/s, max_acceleration: 5 m/s2, drive: rack, rack: rack-m2, motor_at: carriage}\n"
	beam := "spanwright_parts: 1\nprofile:\n  my-beam: {shape: flat, material: s235, size: [60 mm, 40 mm]}\n"
	if _, list := Embedded().With(Source{Name: "a.yaml", Text: []byte(axis)}); len(list) != 1 || list[0].Code != UnknownPart {
		t.Errorf("without the beam: %v", list)
	}
	c, list := Embedded().With(Source{Name: "a.yaml", Text: []byte(axis)}, Source{Name: "b.yaml", Text: []byte(beam)})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	uses := c.Uses(Ref{"axis", "a"}, Ref{"motor", "servo-400"}, Ref{"axis", "a"}, Ref{"axis", "none"})
	want := []Use{
		{Ref{"material", "s235"}, "structural steel S235", false, ""},
		{Ref{"profile", "my-beam"}, "", false, "b.yaml"},
		{Ref{"axis", "a"}, "", false, "a.yaml"},
		{Ref{"block", "rail-15-block"}, "ball rail block size 15", true, ""},
		{Ref{"rack", "rack-m2"}, "spur rack module 2, milled, with pinion", true, ""},
		{Ref{"motor", "servo-400"}, "servo motor 400 W, flange 60", true, ""},
	}
	if len(uses) != len(want) {
		t.Fatalf("got %v", uses)
	}
	for i := range want {
		if uses[i] != want[i] {
			t.Errorf("got %v, want %v", uses[i], want[i])
		}
	}
}
