package verification

import (
	"cmp"
	"math"

	"spanwright/drive"
	"spanwright/rolling"
)

func ballScrew(in Values) drive.BallScrew {
	return drive.BallScrew{Lead: optional(in, "lead_mm", 10) * mm, Efficiency: in.Num("eta")}
}

func screwTorque(in Values) (Values, error) {
	t, err := ballScrew(in).DriveTorque(in.Num("F_N"))
	return Values{"T_Nm": t}, err
}

func backDriving(in Values) (Values, error) {
	var c calls
	s, load := ballScrew(in), in.Num("load_N")
	turns, err := s.BackDrives()
	return Values{
		"eta_back": c.num(s.BackEfficiency()), "T_back_Nm": c.num(s.BackTorque(load)),
		"T_frictionless_Nm": c.num(s.IdealTorque(load)), "backdrives": turns,
	}, cmp.Or(c.err, err)
}

func threadEfficiency(in Values) (Values, error) {
	var c calls
	lead := c.num(drive.LeadAngle(in.Num("lead_mm")*mm, in.Num("pitch_circle_mm")*mm))
	forward, backward, err := drive.ThreadEfficiency(lead, math.Atan(in.Num("mu")))
	return Values{
		"lead_angle_deg": lead / degree, "eta": forward, "eta_back": backward,
		"eta_back_approx": c.num(drive.BallScrew{Lead: in.Num("lead_mm") * mm, Efficiency: forward}.BackEfficiency()),
	}, cmp.Or(c.err, err)
}

func selfLocking(in Values) (Values, error) {
	var c calls
	s := ballScrew(in)
	turns, err := s.BackDrives()
	return Values{"eta_back": c.num(s.BackEfficiency()), "self_locking": !turns, "backdrives": turns}, cmp.Or(c.err, err)
}

// collarScrew is a square thread with a collar: mean diameter = major less half
// a pitch.
func collarScrew(in Values) (Values, error) {
	var c calls
	pitch := in.Num("pitch_mm") * mm
	collar := 0.0
	if in.Has("collar_d_mm") {
		collar = in.Num("collar_d_mm") * mm
	} else {
		collar = 2 * in.Num("collar_r_mm") * mm
	}
	s := drive.SlideScrew{
		MeanDiameter: in.Num("major_d_mm")*mm - pitch/2, Lead: pitch * in.Num("starts"), Friction: in.Num("mu_thread"),
		CollarFriction: in.Num("mu_collar"), CollarDiameter: collar,
	}
	up, errUp := s.Raise(in.Num("F_N"))
	down, errDown := s.Lower(in.Num("F_N"))
	return Values{
		"d_m_mm": s.MeanDiameter / mm, "lead_mm": s.Lead / mm,
		"T_raise_Nm": up.Total, "T_lower_Nm": down.Total, "efficiency": c.num(s.Efficiency()),
	}, cmp.Or(c.err, errUp, errDown)
}

func slideScrew(in Values) (Values, error) {
	t, err := drive.SlideScrew{
		MeanDiameter: in.Num("d_m_mm") * mm, Lead: in.Num("lead_mm") * mm, Friction: in.Num("mu"),
		HalfAngle: optional(in, "thread_half_angle_deg", 0) * degree,
	}.Raise(in.Num("F_N"))
	return Values{"T_raise_Nm": t.Total}, err
}

func preloadDrag(in Values) (Values, error) {
	t, err := ballScrew(in).PreloadDrag(in.Num("F_pr_N"))
	return Values{"T_pr_Nm": t}, err
}

var endsByName = map[string]drive.Ends{
	"fixed_free": drive.FixedFree, "supported_supported": drive.SupportedSupported,
	"fixed_supported": drive.FixedSupported, "fixed_fixed": drive.FixedFixed,
}

// allEnds are in the order of the cases.
var allEnds = []drive.Ends{drive.FixedFree, drive.SupportedSupported, drive.FixedSupported, drive.FixedFixed}

func bendingRoots(in Values) (Values, error) {
	var c calls
	var beta, squared []float64
	for _, name := range in.Texts("ends") {
		b := c.num(endsByName[name].BendingRoot())
		beta, squared = append(beta, b), append(squared, b*b)
	}
	return Values{"beta": beta, "beta2": squared}, c.err
}

func criticalSpeeds(in Values) (Values, error) {
	var c calls
	speeds := Values{}
	for name, ends := range endsByName {
		speeds[name] = c.num(screwShaft(in, ends).CriticalSpeed()) / rpm
	}
	allowed := drive.CriticalSpeedShare * c.num(screwShaft(in, drive.FixedSupported).CriticalSpeed())
	return Values{"n_crit_rpm": speeds, "n_allowed_fixed_supported_rpm": allowed / rpm}, c.err
}

func screwShaft(in Values, ends drive.Ends) drive.Shaft {
	return drive.Shaft{
		RootDiameter: either(in, "root_d_mm", "d_mm") * mm, Length: either(in, "length_m", "L_m"), Ends: ends,
		Material: drive.ShaftMaterial{Modulus: in.Num("E_Pa"), Density: optional(in, "rho_kg_m3", 7850)},
	}
}

func bucklingFactors(in Values) (Values, error) {
	var c calls
	var factors []float64
	for _, name := range in.Texts("ends") {
		factors = append(factors, c.num(endsByName[name].BucklingFactor()))
	}
	return Values{"C": factors}, c.err
}

func eulerLoads(in Values) (Values, error) {
	var c calls
	var loads []float64
	for _, ends := range allEnds {
		loads = append(loads, c.num(screwShaft(in, ends).EulerLoad()))
	}
	return Values{"F_cr_N": loads}, c.err
}

// columnDiameter and allowedColumn have C = 1: both ends supported.
func columnDiameter(in Values) (Values, error) {
	s := drive.Shaft{Length: in.Num("length_m"), Ends: drive.SupportedSupported, Material: drive.ShaftMaterial{Modulus: in.Num("E_Pa")}}
	d, err := s.EulerDiameter(in.Num("load_N"), in.Num("design_factor"))
	return Values{"d_mm": d / mm}, err
}

func allowedColumn(in Values) (Values, error) {
	f, err := screwShaft(in, drive.SupportedSupported).EulerLoad()
	return Values{"F_allow_N": f / in.Num("design_factor")}, err
}

// shortScrew has the buckling factor of fixed-supported ends.
func shortScrew(in Values) (Values, error) {
	b, err := screwShaft(in, drive.FixedSupported).Buckling(in.Num("Sy_Pa"))
	return Values{
		"slenderness": b.Slenderness, "slenderness_limit": b.Limit, "use": b.Law.String(),
		"F_cr_N": b.Critical, "F_euler_would_be_N": b.Euler,
	}, err
}

func dnValue(in Values) (Values, error) {
	dn, err := drive.DN(in.Num("nominal_d_mm")*mm, in.Num("n_rpm")*rpm)
	return Values{"DN_mm_rpm": dn / mm / rpm}, err
}

func screwRating(in Values) drive.ScrewRating {
	return drive.ScrewRating{Dynamic: in.Num("Ca_N"), Lead: optional(in, "lead_mm", 10) * mm, Reliability: 1}
}

func screwLife(in Values) (Values, error) {
	var c calls
	var cycle drive.ScrewCycle
	forces, speeds, shares := in.Nums("F_N"), in.Nums("n_rpm"), in.Nums("time_share")
	for i := range forces {
		cycle = append(cycle, drive.ScrewStep{Force: forces[i], Speed: speeds[i] * rpm, Share: shares[i]})
	}
	speed, load := c.num(cycle.MeanSpeed()), c.num(cycle.MeanLoad())
	l, err := screwRating(in).Life(load, speed)
	return Values{
		"n_m_rpm": speed / rpm, "F_m_N": load, "L10_rev": l.Turns, "L10_km": l.Distance / 1000, "L10_h": l.Time / 3600,
	}, cmp.Or(c.err, err)
}

// screwLifeOfLoad gives the life and its ratio to that of half the load.
func screwLifeOfLoad(in Values) (Values, error) {
	r, load := screwRating(in), in.Num("F_m_N")
	l, err := r.Life(load, 1)
	half, errHalf := r.Life(load/2, 1)
	return Values{"L10_rev": l.Turns, "ratio": l.Turns / half.Turns}, cmp.Or(err, errHalf)
}

func doubleNut(in Values) (Values, error) {
	var c calls
	r := screwRating(in)
	f1, f2, err := drive.DoubleNut(in.Num("F_N"), in.Num("F_pr_N"))
	life := func(load float64) float64 { l, err := r.Life(load, 1); return c.num(l.Turns, err) }
	x1, x2, errExact := rolling.PreloadedPair(in.Num("F_N"), in.Num("F_pr_N"))
	return Values{
		"F1_N": f1, "F2_N": f2, "L1_rev": life(f1), "L2_rev": life(f2), "L_res_rev": c.num(rolling.Combine(life(f1), life(f2))),
		"F1_exact_hertz_N": x1, "F2_exact_hertz_N": x2,
	}, cmp.Or(c.err, err, errExact)
}

func doubleNutLoads(in Values) (Values, error) {
	f1, f2, err := drive.DoubleNut(in.Num("F_N"), in.Num("F_pr_N"))
	return Values{"F1_N": f1, "F2_N": f2, "liftoff_N": rolling.LiftOff(in.Num("F_pr_N"))}, err
}

func axialShaft(in Values) drive.AxialShaft {
	return drive.AxialShaft{Modulus: optional(in, "E_Pa", drive.ScrewSteel().Modulus), EffectiveDiameter: in.Num("d_c_mm") * mm, Length: in.Num("L_m")}
}

func shaftStiffness(in Values) (Values, error) {
	var c calls
	s := axialShaft(in)
	return Values{
		"R_fixed_free_N_m":      c.num(s.OneSided(in.Num("l_m"))),
		"R_fixed_fixed_N_m":     c.num(s.TwoSided(in.Num("l_m"), math.Inf(1))),
		"R_fixed_fixed_min_N_m": c.num(s.TwoSided(in.Num("L_m")/2, math.Inf(1))),
	}, c.err
}

func screwChain(in Values) (Values, error) {
	r, err := drive.InSeries(in.Num("R_shaft_N_m"), in.Num("R_nut_N_m"), in.Num("R_bearing_N_m"))
	return Values{"R_total_N_m": r}, err
}

func shaftTorsion(in Values) (Values, error) {
	var c calls
	k := c.num(drive.RoundShaftTorsion(in.Num("G_Pa"), in.Num("root_d_mm")*mm, in.Num("l_m")))
	q := c.num(drive.BallScrew{Lead: in.Num("lead_mm") * mm}.Gearing())
	return Values{"k_t_Nm_rad": k, "k_lin_N_m": c.num(drive.LinearStiffness(k, q))}, c.err
}

func nutStiffness(in Values) (Values, error) {
	r, err := drive.NutStiffness(in.Num("R_cat_N_m"), in.Num("F_pr_N"), in.Num("Ca_N"))
	return Values{"R_N_m": r}, err
}

func shaftWithBearings(in Values) (Values, error) {
	var c calls
	r := c.num(axialShaft(in).TwoSided(in.Num("l_m"), in.Num("R_bearing_N_m")))
	return Values{"R_shaft_and_bearings_N_m": r, "R_total_N_m": c.num(drive.InSeries(r, in.Num("R_nut_N_m")))}, c.err
}

func leadVariation(in Values) (Values, error) {
	var c calls
	var v []float64
	for _, g := range in.Nums("grade") {
		v = append(v, c.num(drive.Grade(g).Variation300())*1e6)
	}
	return Values{"v300p_um": v}, c.err
}

// transportScrew is of grade 7, which has the variation of the case.
func transportScrew(in Values) (Values, error) {
	e, err := drive.Grade(7).TransportError(in.Num("useful_travel_mm") * mm)
	return Values{"e_p_um": e * 1e6}, err
}

func screwGrowth(in Values) (Values, error) {
	var c calls
	return Values{
		"dL_m":           c.num(drive.ThermalGrowth(in.Num("alpha_1_K"), in.Num("L_m"), in.Num("dT_K"))),
		"F_prestretch_N": c.num(axialShaft(in).StretchForce(in.Num("alpha_1_K"), in.Num("dT_prestretch_K"))),
	}, c.err
}

func screwInertia(in Values) (Values, error) {
	var c calls
	q := c.num(drive.BallScrew{Lead: in.Num("lead_mm") * mm}.Gearing())
	return Values{
		"J_screw_kgm2": c.num(drive.RoundBarInertia(in.Num("rho_kg_m3"), in.Num("length_m"), in.Num("d_mm")*mm)),
		"J_mass_kgm2":  c.num(drive.ReflectedInertia(in.Num("mass_kg"), q)),
	}, c.err
}

func screwStatic(in Values) (Values, error) {
	s, err := drive.StaticSafety(in.Num("C0a_N"), in.Num("F_max_N"))
	return Values{"s0": s}, err
}

func screwCorrections(in Values) (Values, error) {
	r, err := drive.CorrectRating(in.Num("HV10"), drive.Grade(in.Num("grade")))
	return Values{"f_h": r.Dynamic, "f_h0": r.Static, "f_ac": r.Accuracy}, err
}
