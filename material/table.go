package material

const (
	mm  = 1e-3
	mpa = 1e6
	gpa = 1e9

	en755    = "EN 755-2"
	en1999   = "EN 1999-1-1, 3.2.5"
	en1999b  = "EN 1999-1-1, Table 3.2b"
	en10025  = "EN 10025-2"
	en1993   = "EN 1993-1-1, 3.2.6"
	noSource = ""
)

// All returns the materials in a fixed order: aluminium alloys, then steels.
func All() []Material {
	return []Material{
		aluminium("aluminium", "extruded aluminium, alloy not known",
			[]Strength{{AnyForm, 0, 25 * mm, 150 * mpa, 170 * mpa, "the lower end of EN AW-6060 and 6063, T5 to T66", CommonPractice}}),
		aluminium("6060-t5", "EN AW-6060 T5", []Strength{
			row(AnyForm, 0, 5, 120, 160, Published)}),
		aluminium("6060-t6", "EN AW-6060 T6", []Strength{
			row(AnyForm, 0, 3, 150, 190, Published),
			row(AnyForm, 3, 25, 140, 170, Published)}),
		aluminium("6060-t66", "EN AW-6060 T66", []Strength{
			row(AnyForm, 0, 3, 160, 215, Published),
			row(AnyForm, 3, 25, 150, 195, Published)}),
		aluminium("6063-t5", "EN AW-6063 T5", []Strength{
			row(AnyForm, 0, 3, 130, 175, Published),
			row(AnyForm, 3, 25, 110, 160, Published)}),
		aluminium("6063-t6", "EN AW-6063 T6", []Strength{
			row(AnyForm, 0, 10, 170, 215, Published),
			row(AnyForm, 10, 25, 160, 195, Published)}),
		aluminium("6063-t66", "EN AW-6063 T66", []Strength{
			row(AnyForm, 0, 10, 200, 245, Published),
			row(AnyForm, 10, 25, 180, 225, Published)}),
		aluminium("6005a-t6", "EN AW-6005A T6", []Strength{
			row(Solid, 0, 5, 225, 270, FromMemory),
			row(Solid, 5, 10, 215, 260, FromMemory),
			row(Hollow, 0, 5, 215, 255, FromMemory),
			row(Hollow, 5, 15, 200, 250, FromMemory)}),
		aluminium("6082-t6", "EN AW-6082 T6", []Strength{
			row(AnyForm, 0, 5, 250, 290, Published),
			row(AnyForm, 5, 25, 260, 310, Published)}),
		steel("s235", "structural steel S235", []Strength{
			sheet(0, 16, 235, 360, Published),
			sheet(16, 40, 225, 360, FromMemory)}),
		// EN 10025-2 gives 470 MPa, EN 1993-1-1 Table 3.1 490 MPa up to 40 mm; the lower counts.
		steel("s355", "structural steel S355", []Strength{
			sheet(0, 16, 355, 470, FromMemory),
			sheet(16, 40, 345, 470, FromMemory)}),
		railSteel(),
	}
}

// row is one line of EN 755-2: thickness in mm, strengths in MPa.
func row(form Form, over, upTo, proof, ultimate float64, status Status) Strength {
	return Strength{form, over * mm, upTo * mm, proof * mpa, ultimate * mpa, en755, status}
}

// aluminium fills in what all extruded alloys share. The ranges hold both the
// values of EN 1999-1-1 and those that an extruder's data sheet states.
func aluminium(id, name string, strengths []Strength) Material {
	return Material{
		ID: id, Name: name, Family: Aluminium, HeatTreated: true,
		Modulus:   Value{69.5 * gpa, 70 * gpa, 70 * gpa, en1999, FromMemory},
		Shear:     Value{26.1 * gpa, 27 * gpa, 27 * gpa, en1999, FromMemory},
		Poisson:   0.3,
		Density:   Value{2700, 2700, 2700, en1999, FromMemory},
		Expansion: Value{23e-6, 23e-6, 23.4e-6, en1999, FromMemory},
		Strengths: strengths,
		Welded:    Value{0.42, 0.5, 0.60, en1999b, FromMemory},
	}
}

func steel(id, name string, strengths []Strength) Material {
	return Material{
		ID: id, Name: name, Family: Steel,
		Modulus:   Value{210 * gpa, 210 * gpa, 210 * gpa, en1993, FromMemory},
		Shear:     Value{81 * gpa, 81 * gpa, 81 * gpa, en1993, FromMemory},
		Poisson:   0.3,
		Density:   Value{7850, 7850, 7850, en1993, FromMemory},
		Expansion: Value{12e-6, 12e-6, 12e-6, en1993, FromMemory},
		Strengths: strengths,
	}
}

// sheet is one line of EN 10025-2, Table 7: thickness in mm, strengths in MPa.
func sheet(over, upTo, yield, ultimate float64, status Status) Strength {
	return Strength{AnyForm, over * mm, upTo * mm, yield * mpa, ultimate * mpa, en10025, status}
}

// railSteel is for guide rails and screws, of which suppliers state hardness
// rather than strength.
func railSteel() Material {
	return Material{
		ID: "rail-steel", Name: "steel of guide rails and screws", Family: Steel,
		Modulus:   Value{206 * gpa, 206 * gpa, 210 * gpa, noSource, CommonPractice},
		Shear:     Value{80 * gpa, 80 * gpa, 80 * gpa, noSource, CommonPractice},
		Poisson:   0.3,
		Density:   Value{7850, 7850, 7850, noSource, CommonPractice},
		Expansion: Value{11.5e-6, 11.5e-6, 12e-6, noSource, CommonPractice},
	}
}
