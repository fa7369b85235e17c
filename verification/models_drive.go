package verification

import (
	"cmp"
	"errors"
	"math"

	"spanwright/drive"
	"spanwright/guide"
	"spanwright/motion"
	"spanwright/quantity"
)

// driveModels compute the cases of package drive.
var driveModels = map[string]Model{
	"F01": axisForce, "F02": axisForce, "F03": axisForce, "F04": axisForce, "F05": axisForce, "F06": axisForce,
	"F07": gasSpring, "F08": counterweightSlack,

	"B01": beltPulley, "B02": beltStiffness, "B03": beltStiffness, "B04": beltStiffness,
	"B05": beltStretch, "B06": beltTension, "B07": beltTension, "B08": beltTension,
	"B09": fewTeeth, "B10": toothForce, "B11": strand, "B12": strand, "HO-CM-01": strand, "HO-CM-02": strand,
	"B13": shaftLoad, "B14": imperialPitches, "B15": twoFrequencies,

	"S01": screwTorque, "S08": screwTorque, "S02": backDriving, "S03": threadEfficiency, "S04": selfLocking, "S05": selfLocking,
	"S06": collarScrew, "S32": collarScrew, "S07": slideScrew, "S09": slideScrew, "S10": preloadDrag,
	"S11": bendingRoots, "S12": criticalSpeeds, "S13": bucklingFactors, "S14": eulerLoads, "S15": columnDiameter, "S16": shortScrew, "S34": allowedColumn,
	"S17": dnValue, "S18": screwLife, "S19": screwLifeOfLoad, "S20": doubleNut, "S21": doubleNutLoads, "S22": doubleNutLoads,
	"S23": shaftStiffness, "S24": screwChain, "S25": shaftTorsion, "S26": nutStiffness, "S35": shaftWithBearings,
	"S27": leadVariation, "S28": transportScrew, "S29": screwGrowth, "S30": screwInertia, "S31": screwStatic, "S36": screwCorrections,

	"R01": pinion, "R02": pinion, "R03": flankFactors, "R04": lewisTooth, "R05": toothStresses,
	"R06": rackBacklash, "R07": rackStiffness, "R08": pinionInertia,

	"D01": motorTorque, "D02": rmsTorque, "D03": bestRatio, "D04": peakLine, "D05": gearMean,
	"D06": regeneration, "D10": regeneration, "D07": windUp, "D08": stepperTorque, "D09": brakeCrash, "D11": brakingWork,

	"K01": holdTorque, "EQ-ST-10": holdTorque, "K02": loweringStop, "K03": loweringStop, "K04": loweringStop, "K05": sag, "K06": raisingStop,
	"K07": wearStops, "K08": categoryOne, "K09": gasSpringStop, "EQ-ST-05": powerOffDown, "EQ-ST-06": powerOffUp,

	"P08": lineShaft, "P16": middleShaft,

	"EQ-EN-01": cycleEnergy, "EQ-EN-02": supplyLine, "EQ-EN-03": conductorSize,
}

const (
	mm     = 1e-3
	rpm    = 2 * math.Pi / 60
	degree = math.Pi / 180
	arcmin = degree / 60
	kelvin = 273.15 // of 0 degC
)

// calls keeps the first error of several calls.
type calls struct{ err error }

func (c *calls) num(x float64, err error) float64 {
	c.err = cmp.Or(c.err, err)
	return x
}

// optional returns a number of the case, or another if it has none.
func optional(in Values, key string, other float64) float64 {
	if in.Has(key) {
		return in.Num(key)
	}
	return other
}

func axisForce(in Values) (Values, error) {
	var c calls
	b := drive.Balance{
		Mass:         in.Num("mass_kg"),
		Incline:      optional(in, "incline_deg", 90) * degree,
		Acceleration: in.Num("a_m_s2"),
		Direction:    drive.DirectionOf(in.Num("direction")),
		Spring:       optional(in, "gas_spring_N", 0),
		Weight:       drive.Counterweight{Mass: optional(in, "counterweight_kg", 0), Ratio: optional(in, "ratio", 1)},
	}
	normal := 0.0 // a vertical axis leaves the guides without load here
	if b.Incline < math.Pi/2 {
		normal = b.NormalForce()
	}
	b.Friction = c.num(guide.Friction{Coefficient: optional(in, "mu", 0), Normal: normal, SealDrag: in.Num("seal_drag_N"), Blocks: 1}.Force(0))
	t, err := b.Thrust()
	return Values{"F_N": t.Total, "F_static_N": t.Gravity + t.Spring - b.Weight.Ratio*b.Weight.Mass*quantity.StandardGravity}, cmp.Or(c.err, err)
}

func gasSpring(in Values) (Values, error) {
	s := drive.GasSpring{StartForce: in.Num("F_rated_N"), EndForce: in.Num("F_rated_N"), Stroke: 1, RatedTemperature: in.Num("T_rated_C") + kelvin}
	f, err := s.Force(0.5, in.Num("T_C")+kelvin)
	return Values{"F_N": f}, err
}

func counterweightSlack(in Values) (Values, error) {
	w := drive.Counterweight{Mass: 1, Ratio: in.Num("ratio")}
	limit, err := w.SlackAcceleration()
	if err != nil {
		return nil, err
	}
	t, err := drive.Balance{Mass: 1, Incline: math.Pi / 2, Acceleration: in.Num("a_axis_up_m_s2"), Weight: w}.Thrust()
	return Values{"slack": t.RopeSlack, "limit_a_m_s2": limit}, err
}

func beltPulley(in Values) (Values, error) {
	var c calls
	p := drive.Pulley{Teeth: int(in.Num("teeth")), Pitch: in.Num("pitch_mm") * mm}
	d, q := c.num(p.PitchDiameter()), c.num(p.Gearing())
	t := beltTrain(q)
	torque, err := t.Torque(drive.Instant{Force: in.Num("F_u_N"), Direction: drive.Forward})
	return Values{
		"d_p_mm": d / mm, "travel_per_rev_mm": c.num(p.TravelPerTurn()) / mm,
		"torque_Nm": torque.Output, "speed_rpm": t.MotorSpeed(in.Num("v_m_s")) / rpm,
	}, cmp.Or(c.err, err)
}

// beltTrain is a lossless direct drive of a shaft.
func beltTrain(gearing float64) drive.Train {
	return drive.Train{
		Gear:         drive.Gear{Ratio: 1, Efficiency: 1},
		Transmission: drive.Transmission{Gearing: gearing, Efficiency: 1, BackEfficiency: 1},
	}
}

func beltStiffness(in Values) (Values, error) {
	var c calls
	b := drive.Belt{Layout: drive.Omega, Stiffness: in.Num("c_spec_N")}
	if in.Has("belt_length_m") {
		b.Length = in.Num("belt_length_m")
	} else {
		b.Layout, b.Length = drive.Loop, in.Num("pulley_centre_distance_m")
	}
	x := in.Num("x_m")
	runs, err := b.Runs(x)
	k := c.num(b.StiffnessAt(x))
	at, least, errSoft := b.Softest(0.1*b.Length, b.Length)
	same := func(factor float64) bool { // the place of the case is the softest, and has the closed form
		want := factor * b.Stiffness / b.Length
		return math.Abs(k-want) <= 1e-9*want && math.Abs(at-x) <= 1e-9 && math.Abs(least-k) <= 1e-9*k
	}
	return Values{
		"L1_m": runs.Near, "L2_m": runs.Far, "k_N_m": k,
		"k_equals_2c_over_L": same(2), "k_equals_4c_over_L": same(4),
	}, cmp.Or(c.err, err, errSoft)
}

func beltStretch(in Values) (Values, error) {
	k, m := in.Num("k_N_m"), in.Num("mass_kg")
	f, err := drive.LockedFrequency(k, m)
	if err != nil {
		return nil, err
	}
	t, err := drive.Balance{Mass: m, Acceleration: in.Num("a_m_s2")}.Thrust()
	return Values{"dx_m": t.Total / k, "f_n_Hz": f}, err
}

func beltTension(in Values) (Values, error) {
	r, err := drive.Tension{
		Pretension: in.Num("F_pretension_N"), Effective: in.Num("F_u_N"),
		TightRun: in.Num("L_tight_m"), SlackRun: in.Num("L_slack_m"),
	}.Forces()
	slack := errors.Is(err, drive.ErrSlack)
	if slack {
		err = nil
	}
	return Values{
		"F_tight_N": r.Tight, "F_slack_N": r.Slack, "F_slack_linear_N": r.Linear,
		"slack": slack, "F_tight_after_slack_N": r.Tight,
	}, err
}

func fewTeeth(in Values) (Values, error) {
	k, err := drive.FewTeethFactor(int(in.Num("teeth_in_mesh")))
	return Values{"k_z": k}, err
}

func toothForce(in Values) (Values, error) {
	p := drive.Pulley{Teeth: int(in.Num("teeth")), Pitch: 8 * mm} // the pitch does not matter here
	n, err := p.TeethInMesh(in.Num("wrap_deg") * degree)
	if err != nil {
		return nil, err
	}
	m := drive.Mesh{
		Specific: in.Num("F_tooth_spec_N_per_tooth_per_10mm") / (10 * mm),
		Teeth:    n, Cap: int(in.Num("z_mesh_cap")), Width: in.Num("width_mm") * mm, Service: 1,
	}
	f, err := m.AllowedForce()
	return Values{"teeth_in_mesh": n, "teeth_counted": m.Counted(), "F_allowed_N": f, "safety": f / in.Num("F_u_N")}, err
}

// strand computes frequency and tension of a free belt run, whichever is not given.
func strand(in Values) (Values, error) {
	var c calls
	out := Values{}
	s := drive.Strand{MassPerLength: either(in, "mass_per_m_kg_m", "belt_mass_kg_m"), FreeLength: in.Num("free_length_m")}
	if in.Has("f_Hz") || in.Has("frequency_hz") {
		f := c.num(s.Tension(either(in, "f_Hz", "frequency_hz")))
		out["F_N"], out["tension_N"] = f, f
	} else {
		f := c.num(s.Frequency(either(in, "F_N", "tension_N")))
		out["f_Hz"], out["frequency_hz"] = f, f
	}
	return out, c.err
}

// either returns a number that two files of cases call differently.
func either(in Values, key, other string) float64 {
	if in.Has(key) {
		return in.Num(key)
	}
	return in.Num(other)
}

func shaftLoad(in Values) (Values, error) {
	var c calls
	var loads []float64
	for _, wrap := range in.Nums("wrap_deg") {
		loads = append(loads, c.num(drive.ShaftLoad(in.Num("F_tight_N"), in.Num("F_slack_N"), wrap*degree)))
	}
	return Values{"F_shaft_N": loads}, c.err
}

func imperialPitches(in Values) (Values, error) {
	var c calls
	var pitches []float64
	for _, code := range in.Texts("codes") {
		pitches = append(pitches, c.num(drive.ImperialPitch(code))/mm)
	}
	return Values{"pitch_mm": pitches}, c.err
}

func twoFrequencies(in Values) (Values, error) {
	var c calls
	k, m := in.Num("k_N_m"), in.Num("mass_kg")
	motor := c.num(drive.EquivalentMass(0, drive.Rotor{Inertia: in.Num("J_motor_kgm2"), Gearing: in.Num("i") / (in.Num("pulley_r_mm") * mm)}))
	return Values{
		"m_motor_equiv_kg": motor,
		"f_locked_Hz":      c.num(drive.LockedFrequency(k, m)),
		"f_two_mass_Hz":    c.num(drive.TwoMassFrequency(k, m, motor)),
	}, c.err
}

func lineShaftOf(in Values, length string) drive.LineShaft {
	return drive.LineShaft{
		ShearModulus: in.Num("G_Pa"), Diameter: in.Num("shaft_d_mm") * mm, Length: in.Num(length),
		Coupling: math.Inf(1), Radius: in.Num("pulley_r_mm") * mm,
	}
}

func lineShaft(in Values) (Values, error) {
	var c calls
	s := lineShaftOf(in, "shaft_L_m")
	w, err := s.WindUp(in.Num("F_far_N"))
	return Values{
		"T_Nm": w.Torque, "phi_rad": w.Angle, "skew_m": w.Skew,
		"k_t_Nm_rad": c.num(s.Stiffness()), "k_lin_N_m": w.Linear,
	}, cmp.Or(c.err, err)
}

func middleShaft(in Values) (Values, error) {
	var c calls
	s := lineShaftOf(in, "half_length_m")
	return Values{
		"skew_m":             c.num(s.MiddleSkew(in.Num("T_A_Nm"), in.Num("T_B_Nm"))),
		"skew_equal_sides_m": c.num(s.MiddleSkew(in.Num("T_A_Nm"), in.Num("T_A_Nm"))),
	}, c.err
}

// categoryOne stops by a ramp without jerk limit.
func categoryOne(in Values) (Values, error) {
	s, err := motion.ControlledStop{Speed: in.Num("v_m_s"), Reaction: in.Num("t_reaction_s"), Decel: in.Num("decel_m_s2"), Onset: motion.OnsetAbrupt}.Stop()
	return Values{"s_m": s.Distance, "t_s": s.Time}, err
}
