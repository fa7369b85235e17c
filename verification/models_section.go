package verification

import (
	"math"

	"spanwright/section"
)

// sectionModels compute the cases of package section.
var sectionModels = map[string]Model{
	"section properties":        sectionMoments,
	"torsion constant":          torsionOfOutline,
	"TOR-04":                    torsionOfEllipse,
	"TOR-06":                    torsionOfTube,
	"TOR-07":                    torsionOfSquareTube,
	"TOR-08":                    torsionOfTwoCells,
	"TOR-09":                    torsionOfThinCells,
	"TOR-10":                    torsionOfChannel,
	"TOR-11":                    closedAgainstSlit,
	"shear area":                shearOfOutline,
	"SHR-02":                    shearOfCircle,
	"SHR-03":                    shearByCowper,
	"parametric T-slot profile": slottedProfile,
	"BCK-05":                    columnResistance,
	"BCK-06":                    columnResistance,
	"BCK-07":                    columnReduction,
}

// outlineOf reads outline_m and holes_m.
func outlineOf(in Values) section.Outline {
	loop := func(rows [][]float64) (l section.Loop) {
		for _, r := range rows {
			l = append(l, section.Point{Y: r[0], Z: r[1]})
		}
		return l
	}
	o := section.Outline{Outer: loop(in.Rows("outline_m"))}
	if holes, ok := in["holes_m"].([]any); ok {
		for _, h := range holes {
			o.Holes = append(o.Holes, loop(Values{"hole": h}.Rows("hole")))
		}
	}
	return o
}

func sectionMoments(in Values) (Values, error) {
	p, err := section.Compute(outlineOf(in))
	return Values{
		"A_m2": p.Area, "yc_m": p.Centroid.Y, "zc_m": p.Centroid.Z,
		"Iy_m4": p.Iy, "Iz_m4": p.Iz, "Iyz_m4": p.Iyz, "I1_m4": p.I1, "I2_m4": p.I2,
		"theta_rad": p.Angle, "Wy_m3": p.Wy, "Wz_m3": p.Wz,
	}, err
}

func torsionOfOutline(in Values) (Values, error) {
	p, err := section.Compute(outlineOf(in))
	return Values{"J_m4": p.J}, err
}

func torsionOfEllipse(in Values) (Values, error) {
	axes, n := in.Nums("semi_axes_m"), in.Num("polygon_sides")
	var o section.Outline
	for i := range int(n) {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		o.Outer = append(o.Outer, section.Point{Y: axes[0] * c, Z: axes[1] * s})
	}
	p, err := section.Compute(o)
	return Values{"J_m4": p.J}, err
}

func torsionOfTube(in Values) (Values, error) {
	o, err := section.RoundTube{Diameter: 2 * in.Num("Ro_m"), Wall: in.Num("Ro_m") - in.Num("Ri_m")}.Outline()
	if err != nil {
		return nil, err
	}
	p, err := section.Compute(o)
	return Values{"J_m4": p.J}, err
}

func torsionOfSquareTube(in Values) (Values, error) {
	o := outlineOf(in)
	p, err := section.Compute(o)
	outer, inner := p.Width(), width(o.Holes[0])
	side, wall := (outer+inner)/2, (outer-inner)/2
	return Values{"J_m4": p.J, "J_bredt_m4": section.Bredt(side*side, 4*side/wall)}, err
}

func width(l section.Loop) float64 {
	lo, hi := section.Outline{Outer: l}.Extents()
	return hi.Y - lo.Y
}

// torsionOfTwoCells reads the sizes between mid-lines from two equal square
// holes with walls of one thickness.
func torsionOfTwoCells(in Values) (Values, error) {
	o := outlineOf(in)
	p, err := section.Compute(o)
	if err != nil {
		return nil, err
	}
	hole := width(o.Holes[0])
	wall := (p.Width() - 2*hole) / 3
	side := hole + wall
	c := section.Cells{
		Enclosed: []float64{side * side, side * side},
		Flex:     [][]float64{{4 * side / wall, -side / wall}, {-side / wall, 4 * side / wall}},
	}
	thin, _, err := c.Torsion()
	return Values{"J_m4": p.J, "J_bredt_m4": thin}, err
}

func torsionOfThinCells(in Values) (Values, error) {
	c := section.Cells{
		Enclosed: in.Nums("cell_areas_m2"),
		Flex:     [][]float64{{in.Num("D11"), in.Num("D12")}, {in.Num("D12"), in.Num("D22")}},
	}
	j, flow, err := c.Torsion()
	return Values{"J_m4": j, "q_over_Gtheta_m2": flow}, err
}

// torsionOfChannel reads the mid-line sizes of a channel of one thickness with
// its web on the z axis.
func torsionOfChannel(in Values) (Values, error) {
	p, err := section.Compute(outlineOf(in))
	t := -2 * p.Min.Y
	web, flange := p.Height()-t, p.Max.Y
	return Values{
		"J_m4": p.J, "ys_m": p.ShearCentre.Y, "zs_m": p.ShearCentre.Z,
		"e_thin_wall_m":       section.ThinChannelShearCentre(web, flange),
		"J_thin_sum_bt3_3_m4": section.ThinOpen(section.Strip{Length: web, Thickness: t}, section.Strip{Length: 2 * flange, Thickness: t}),
	}, err
}

func closedAgainstSlit(in Values) (Values, error) {
	r, t := in.Num("r_m"), in.Num("t_m")
	ring := 2 * math.Pi * r
	closed, slit := section.Bredt(math.Pi*r*r, ring/t), section.ThinOpen(section.Strip{Length: ring, Thickness: t})
	return Values{"J_closed_m4": closed, "J_slit_m4": slit, "ratio": closed / slit}, nil
}

func shearOfOutline(in Values) (Values, error) {
	p, err := section.Compute(outlineOf(in))
	return Values{"ky": p.KappaY(), "kz": p.KappaZ()}, err
}

func shearOfCircle(in Values) (Values, error) {
	o, err := section.RoundTube{Diameter: 2 * in.Num("R_m"), Wall: in.Num("R_m")}.Outline()
	if err != nil {
		return nil, err
	}
	p, err := section.Compute(o)
	return Values{"k": p.KappaY()}, err
}

func shearByCowper(in Values) (Values, error) {
	nu := in.Num("nu")
	return Values{
		"rectangle":        section.CowperRectangle(nu),
		"circle":           section.CowperRound(nu),
		"thin_round_tube":  section.CowperThinRoundTube(nu),
		"thin_square_tube": section.CowperThinSquareTube(nu),
	}, nil
}

func slottedProfile(in Values) (Values, error) {
	const aluminium = 2700.0 // kg/m³, the density behind the cases' mass per metre
	t := section.TSlot{
		Module: in.Num("a_m"), ModulesY: int(in.Num("nx")), ModulesZ: int(in.Num("ny")),
		Slot: in.Num("slot_m"), Lip: in.Num("lip_m"), Inner: in.Num("inner_m"), Depth: in.Num("depth_m"),
		Web: in.Num("web_m"), Wall: in.Num("wall_m"), Corner: in.Num("corner_r_m"), Bore: in.Num("bore_m"),
		HollowCorners: in.Bool("hollow_corner"),
	}
	o, err := t.Outline()
	if err != nil {
		return nil, err
	}
	p, err := section.Compute(o)
	return Values{
		"floor_width_wb_m": t.Floor(), "h1_m": t.TaperStart(),
		"A_m2": p.Area, "mass_per_m_kg": p.MassPerLength(aluminium),
		"Iy_m4": p.Iy, "Iz_m4": p.Iz, "Wy_m3": p.Wy, "Wz_m3": p.Wz, "J_m4": p.J,
		"ky": p.KappaY(), "kz": p.KappaZ(),
	}, err
}

func columnResistance(in Values) (Values, error) {
	b, err := section.Column{
		Area: in.Num("A_m2"), Inertia: in.Num("I_m4"), Modulus: in.Num("E_Pa"), Strength: in.Num("fo_Pa"),
		BucklingLength: in.Num("Lcr_m"), Partial: in.Num("gamma_M1"),
		Curve: section.BucklingCurve{Alpha: in.Num("alpha"), Plateau: in.Num("lambda0")},
	}.Resistance()
	return Values{"Ncr_N": b.Euler, "lambda_bar": b.Lambda, "chi": b.Chi, "NbRd_N": b.Resistance}, err
}

func columnReduction(in Values) (Values, error) {
	chi, phi := section.BucklingCurve{Alpha: in.Num("alpha"), Plateau: in.Num("lambda0")}.Reduction(in.Num("lambda_bar"))
	return Values{"phi": phi, "chi": chi}, nil
}
