package verification

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"spanwright/guide"
	"spanwright/quantity"
	"spanwright/rolling"
)

// guideModels compute the cases of packages guide and accuracy.
var guideModels = map[string]Model{
	"G01": fourBlocksFromMass, "G02": fourBlocks, "G03": fourBlocks, "G04": twoOnOneRail, "G05": onePerRail, "G06": singleBlock,
	"G07": guideStatic, "G08": guideMeanLoad, "G09": linearMean, "G10": linearMean, "G11": ratingBases, "G12": guideLife, "G13": mixedBases,
	"G14": reliabilities, "G15": groupStiffness, "G16": preloadedLoad, "G17": contactFactors, "G18": guideFriction,
	"W01": camRoller, "W02": ratingForLife, "W03": linePressure, "W04": grooveForces,

	"P01": wedge, "P02": wedge, "P03": wedge, "P04": wedge, "P05": wedge, "P06": ratioFriction, "P17": drawer,
	"P07": oneSidedSkew, "P09": unequalStretch, "P10": allowedSkew, "P11": bothFixed, "P12": floatTravel,
	"P13": runwaySag, "P14": runwayOverhang, "P15": heightError,

	"A01": positioningTest, "A02": positioningTest, "A07": positioningTest, "A03": poseTest, "A06": poseTest,
	"A04": errorBudget, "A05": rectangular, "A08": lostMotion, "A09": abbe,
	"HO-AT-01": deviationTest, "HO-AT-02": deviationTest, "HO-AT-03": targetCounts, "HO-AT-04": poseTest, "HO-AT-05": poseTest,
	"HO-AT-06": distanceTest, "HO-AT-07": testPoints, "HO-AT-11": scaleGrowth,
}

// block is one of equal blocks; its stiffness cancels in the sharing of load.
var block = guide.Block{Normal: 2e8, Lateral: 2e8}

func vector(in Values, key string) guide.Vector { return guide.Vector(in.Nums(key)) }

// rated is a block whose moment ratings are not needed.
func rated(c0 float64) guide.Capacity { return guide.EqualCapacity(c0, guide.Vector{}) }

func fourBlocksFromMass(in Values) (Values, error) {
	m, a := in.Num("mass_kg"), in.Num("a_x_m_s2")
	r, err := guide.Sum(
		guide.MassLoad(m, vector(in, "r_load_m"), guide.Vector{0, 0, -quantity.StandardGravity}, guide.Vector{a, 0, 0}),
		guide.Load{Force: guide.Vector{m * a, 0, 0}, At: vector(in, "r_drive_m")},
	)
	if err != nil {
		return nil, err
	}
	return shared(guide.Rectangle(in.Num("L_m"), in.Num("W_m"), block), r, rated(45e3))
}

func fourBlocks(in Values) (Values, error) {
	r, err := guide.Sum(guide.Load{Force: vector(in, "F_N"), At: vector(in, "r_m")})
	if err != nil {
		return nil, err
	}
	return shared(guide.Rectangle(in.Num("L_m"), in.Num("W_m"), block), r, rated(45e3))
}

func resultant(in Values) guide.Resultant {
	return guide.Resultant{Force: vector(in, "F_N"), Moment: vector(in, "M_Nm")}
}

func shared(g guide.Group, r guide.Resultant, c guide.Capacity) (Values, error) {
	var k calls
	s, err := g.Share(r)
	if err != nil {
		return nil, err
	}
	var normal, lateral, equivalent []float64
	for _, b := range s.Blocks {
		normal, lateral = append(normal, b.Normal), append(lateral, b.Lateral)
		b.Moment = guide.Vector{}
		equivalent = append(equivalent, k.num(c.Equivalent(b)))
	}
	own := s.Blocks[0].Moment
	return Values{
		"M_Nm": r.Moment, "P_z_N": normal, "P_y_N": lateral, "P_equiv_N": equivalent,
		"M_x_each_Nm": own[0], "M_y_each_Nm": own[1], "M_z_each_Nm": own[2],
	}, k.err
}

func twoOnOneRail(in Values) (Values, error) {
	b := block
	b.Roll = 1e5 // equal on both, so it cancels
	return shared(guide.InLine(in.Num("L_m"), b), resultant(in), rated(45e3))
}

func onePerRail(in Values) (Values, error) {
	b := block
	b.Pitch, b.Yaw = 1e5, 1e5
	return shared(guide.Across(in.Num("W_m"), b), resultant(in), rated(45e3))
}

func singleBlock(in Values) (Values, error) {
	b := block
	b.Roll, b.Pitch, b.Yaw = 1e5, 1e5, 1e5
	s, err := guide.Group{b}.Share(resultant(in))
	if err != nil {
		return nil, err
	}
	c := guide.EqualCapacity(in.Num("C0_N"), guide.Vector{in.Num("M0x_Nm"), in.Num("M0y_Nm"), in.Num("M0z_Nm")})
	_, p, err := c.Worst(s)
	safety, errSafety := guide.StaticSafety(in.Num("C0_N"), p)
	return Values{"P_N": p, "f_s": safety}, cmp.Or(err, errSafety)
}

func guideStatic(in Values) (Values, error) {
	s, err := guide.StaticSafety(in.Num("C0_N"), in.Num("P_max_N"))
	return Values{"f_s": s}, err
}

func guideMeanLoad(in Values) (Values, error) {
	var spans []rolling.Span
	distances := in.Nums("distance_m")
	for i, p := range in.Nums("P_N") {
		spans = append(spans, rolling.Span{From: p, To: p, Weight: distances[i]})
	}
	p, err := guide.MeanLoad(spans)
	return Values{"P_m_N": p}, err
}

func linearMean(in Values) (Values, error) {
	a, b := in.Num("P_a_N"), in.Num("P_b_N")
	return Values{"P_m_exact_N": rolling.LinearMean(a, b), "P_m_approx_N": rolling.LinearMeanApprox(a, b)}, nil
}

func ratingBases(in Values) (Values, error) {
	c := guide.DynamicRating{Load: in.Num("C100_N"), Basis: guide.Per100km}
	c50, err := c.On(guide.Per50km)
	return Values{"C50_N": c50, "factor": c50 / c.Load}, err
}

// noFactors are the life factors of a plain test.
func noFactors() guide.LifeFactors {
	return guide.LifeFactors{Reliability: 1, Hardness: 1, Temperature: 1, Contact: 1, Load: 1}
}

func guideLife(in Values) (Values, error) {
	f := noFactors()
	f.Load = in.Num("f_w")
	life, err := guide.DynamicRating{Load: in.Num("C100_N"), Basis: guide.Per100km}.Life(in.Num("P_m_N"), f)
	if err != nil {
		return nil, err
	}
	t, err := guide.Use{
		Stroke: in.Num("stroke_m"), DoubleStrokes: in.Num("double_strokes_per_min") / 60,
		HoursPerDay: in.Num("h_per_day"), DaysPerYear: in.Num("days_per_year"),
	}.Time(life)
	return Values{"L_km": life / 1000, "L_h": t.Seconds / 3600, "L_years": t.Years}, err
}

// mixedBases gives the life on the right basis and what the wrong one pretends.
func mixedBases(in Values) (Values, error) {
	var c calls
	life := func(b guide.Basis) float64 {
		return c.num(guide.DynamicRating{Load: in.Num("C50_N"), Basis: b}.Life(in.Num("P_N"), noFactors())) / 1000
	}
	return Values{"L_correct_km": life(guide.Per50km), "L_wrong_km": life(guide.Per100km)}, c.err
}

func reliabilities(in Values) (Values, error) {
	var c calls
	var now, older []float64
	for _, percent := range in.Nums("reliability_percent") {
		now = append(now, c.num(rolling.Reliability(rolling.Edition2007, percent/100)))
		older = append(older, c.num(rolling.Reliability(rolling.Edition1990, percent/100)))
	}
	return Values{"a1_ISO281_2007": now, "a1_older": older}, c.err
}

func groupStiffness(in Values) (Values, error) {
	g := guide.Rectangle(in.Num("L_m"), in.Num("W_m"), guide.Block{Normal: in.Num("k_z_N_m"), Lateral: in.Num("k_y_N_m")})
	k, err := g.Springs()
	if err != nil {
		return nil, err
	}
	tip := vector(in, "tip_r_m")
	moved, d, err := g.DisplacementAt(tip, guide.Load{Force: guide.Vector{0, in.Num("F_y_tip_N"), 0}, At: tip})
	return Values{
		"k_roll_Nm_rad": k.Roll, "k_pitch_Nm_rad": k.Pitch, "k_yaw_Nm_rad": k.Yaw,
		"roll_rad": d.AboutX, "dy_tip_m": moved[1],
	}, err
}

func preloadedLoad(in Values) (Values, error) {
	p, err := guide.Preloaded(in.Num("F_N"), in.Num("F_pr_N"))
	return Values{"P_eff_N": p, "liftoff_N": rolling.LiftOff(in.Num("F_pr_N"))}, err
}

func contactFactors(in Values) (Values, error) {
	var c calls
	var f []float64
	for _, n := range in.Nums("n") {
		f = append(f, c.num(guide.ContactFactor(int(n))))
	}
	return Values{"f_c": f}, c.err
}

func guideFriction(in Values) (Values, error) {
	f, err := guide.Friction{
		Coefficient: in.Num("mu"), Normal: in.Num("P_sum_N"),
		SealDrag: in.Num("seal_drag_per_carriage_N"), Blocks: int(in.Num("carriages")),
	}.Force(0)
	return Values{"F_friction_N": f}, err
}

func camRoller(in Values) (Values, error) {
	l, err := guide.Roller{Rating: in.Num("C_w_N"), Diameter: in.Num("outer_d_mm") * mm, Exponent: rolling.BallExponent}.Life(in.Num("P_N"))
	return Values{"L10_rev": l.Turns, "L10_km": l.Distance / 1000}, err
}

func ratingForLife(in Values) (Values, error) {
	c, err := guide.RatingForTurns(in.Num("P_N"), in.Num("life_h")*60*in.Num("n_rpm"), in.Num("a"))
	return Values{"C10_N": c}, err
}

func linePressure(in Values) (Values, error) {
	var c calls
	nu := in.Nums("nu")
	steel, aluminium := guide.Elastic{Modulus: in.Num("E_steel_Pa"), Poisson: nu[0]}, guide.Elastic{Modulus: in.Num("E_al_Pa"), Poisson: nu[1]}
	line := guide.LineContact{Force: in.Num("F_N"), Width: in.Num("width_mm") * mm, Radius: in.Num("R_mm") * mm, Roller: steel, Track: steel}
	onSteel := c.num(line.Pressure())
	line.Track = aluminium
	return Values{"p_steel_Pa": onSteel, "p_al_Pa": c.num(line.Pressure())}, c.err
}

func grooveForces(in Values) (Values, error) {
	n1, n2, err := guide.Groove{Included: in.Num("included_angle_deg") * degree, Radial: in.Num("F_radial_N"), Axial: in.Num("F_axial_N")}.FlankForces()
	return Values{"N1_N": n1, "N2_N": n2}, err
}

func wedge(in Values) (Values, error) {
	var c calls
	w := guide.Wedge{
		Length: in.Num("L_m"), Friction: in.Num("mu"), DriveOffset: in.Num("e_drive_m"),
		LoadOffset: in.Num("e_load_m"), Resistance: in.Num("R_N"),
	}
	out := Values{"jam_ratio_e_over_L": c.num(guide.LimitRatio(w.Friction)), "jams": false}
	f, err := w.Forces()
	if errors.Is(err, guide.ErrWedged) {
		out["jams"], err = true, nil
	}
	out["F_drive_N"], out["N_N"] = f.Drive, f.Couple
	return out, cmp.Or(c.err, err)
}

func ratioFriction(in Values) (Values, error) {
	var c calls
	var mu []float64
	for _, ratio := range in.Nums("ratio") {
		mu = append(mu, c.num(guide.FrictionAtRatio(ratio)))
	}
	return Values{"mu_at_limit": mu}, c.err
}

func drawer(in Values) (Values, error) {
	var c calls
	var mu []float64
	for _, ratio := range in.Nums("L_over_b") {
		mu = append(mu, c.num(guide.DrawerFriction(ratio, 1)))
	}
	return Values{"mu_limit": mu}, c.err
}

// guidedYaw is the yaw stiffness of two blocks on the guided side.
func guidedYaw(in Values) (float64, error) {
	k, err := guide.InLine(in.Num("L_m"), guide.Block{Normal: in.Num("k_y_N_m"), Lateral: in.Num("k_y_N_m")}).Springs()
	return k.Yaw, err
}

func oneSidedSkew(in Values) (Values, error) {
	var c calls
	y := guide.YawStiffness{Guide: c.num(guidedYaw(in)), Structure: math.Inf(1), Span: in.Num("W_m")}
	s, err := y.Skew(in.Num("M_Nm"))
	return Values{"k_yaw_Nm_rad": c.num(y.Total()), "psi_rad": s.Angle, "lag_far_side_m": s.Lag}, cmp.Or(c.err, err)
}

func unequalStretch(in Values) (Values, error) {
	k := in.Num("k_belt_each_N_m")
	s, err := guide.TwoDrives{Force: in.Num("F_total_N"), FromA: in.Num("cg_from_A_m"), Span: in.Num("W_m"), StiffnessA: k, StiffnessB: k}.Share()
	return Values{"F_A_N": s.A, "F_B_N": s.B, "skew_m": s.Skew.Lag, "psi_rad": s.Skew.Angle}, err
}

func allowedSkew(in Values) (Values, error) {
	var c calls
	s, err := guide.BlockCouple{Force: in.Num("F_y_allow_N"), Length: in.Num("L_m"), Yaw: c.num(guidedYaw(in)), Span: in.Num("W_m")}.AllowedSkew()
	return Values{"psi_rad": s.Angle, "skew_m": s.Lag}, cmp.Or(c.err, err)
}

func bothFixed(in Values) (Values, error) {
	k := in.Num("k_side_N_m")
	b := guide.BothFixed{Error: in.Num("delta_m"), StiffnessA: k, StiffnessB: k, Frame: in.Num("k_frame_N_m")}
	f, err := b.Force()
	b.Frame = math.Inf(1)
	rigid, errRigid := b.Force()
	return Values{"k_series_N_m": f.Stiffness, "F_N": f.Force, "F_if_frame_rigid_N": rigid.Force}, cmp.Or(err, errRigid)
}

func floatTravel(in Values) (Values, error) {
	f, err := guide.FloatNeed{
		Parallelism: in.Num("parallelism_mm") * mm, Assembly: in.Num("assembly_mm") * mm,
		BridgeGrowth: in.Num("alpha_1_K"), Span: in.Num("span_mm") * mm, Rise: in.Num("dT_K"),
	}.Travel()
	return Values{"thermal_mm": f.Thermal / mm, "float_pm_mm": f.Total / mm}, err
}

// runwaySag takes the end span at its worst of forty places, as the case does;
// the exact worst place lies between two of them and sags 0.07 % more.
func runwaySag(in Values) (Values, error) {
	var c calls
	s, f := guide.Span{Length: in.Num("L_m"), Bending: in.Num("EI_Nm2")}, in.Num("F_N")
	const places = 40
	end := 0.0
	for i := range places {
		end = math.Max(end, c.num(s.EndSpanAt(f, s.Length*float64(i)/places)))
	}
	inside := c.num(s.PointLoad(f, guide.ContinuousInside))
	if exact := c.num(s.PointLoad(f, guide.ContinuousAtStart)); !(exact >= end) {
		c.num(0, fmt.Errorf("end span: %.6g m at its worst place, %.6g m on forty places", exact, end))
	}
	return Values{
		"simply_supported_m": c.num(s.PointLoad(f, guide.SimplySupported)), "fixed_fixed_m": c.num(s.PointLoad(f, guide.BuiltIn)),
		"continuous_interior_m": inside, "continuous_coefficient": inside * s.Bending / (f * math.Pow(s.Length, 3)),
		"end_span_worst_m": end,
	}, c.err
}

func runwayOverhang(in Values) (Values, error) {
	w, err := guide.Span{Length: in.Num("back_span_m"), Bending: in.Num("EI_Nm2")}.Overhang(in.Num("F_N"), in.Num("overhang_m"))
	return Values{"w_m": w}, err
}

func heightError(in Values) (Values, error) {
	t, err := guide.HeightError{
		Error: in.Num("dz_m"), Span: in.Num("W_m"),
		Carriage: in.Num("k_carriage_roll_Nm_rad"), Bridge: in.Num("k_frame_roll_Nm_rad"),
	}.Tilt()
	return Values{"theta_rad": t.Angle, "M_per_carriage_group_Nm": t.Moment}, err
}
