package verification

import (
	"cmp"
	"errors"
	"math"

	"spanwright/drive"
	"spanwright/motion"
)

func pinion(in Values) (Values, error) {
	var c calls
	p := drive.Pinion{
		Module: either(in, "m_n_mm", "m_mm") * mm, Teeth: int(in.Num("teeth")),
		Helix: optional(in, "helix_deg", 0) * degree, PressureAngle: optional(in, "alpha_n_deg", 20) * degree,
	}
	f, err := p.Forces(in.Num("F_t_N"))
	return Values{
		"d_mm": c.num(p.PitchDiameter()) / mm, "travel_per_rev_mm": c.num(p.TravelPerTurn()) / mm,
		"T_Nm": f.Torque, "F_r_N": f.Radial, "F_a_N": f.Axial,
	}, cmp.Or(c.err, err)
}

func flankFactors(in Values) (Values, error) {
	var c calls
	return Values{
		"Z_H":         c.num(drive.ZoneFactor(in.Num("alpha_deg") * degree)),
		"Z_E_sqrtMPa": c.num(drive.ElasticityFactor(in.Num("E_MPa")*1e6, in.Num("nu"))) / 1e3, // sqrt(1e6)
	}, c.err
}

func lewisTooth(in Values) (Values, error) {
	f, err := drive.LewisTooth{
		Width: in.Num("face_mm") * mm, Module: in.Num("module_mm") * mm, Form: in.Num("Y"),
		Stress: in.Num("sigma_allow_MPa") * 1e6, Dynamic: in.Num("K_v"),
	}.Force()
	return Values{"W_t_N": f}, err
}

// toothStresses has steel gears with the modulus of R03.
func toothStresses(in Values) (Values, error) {
	s, err := drive.ToothScreening{
		Pinion: drive.Pinion{Module: in.Num("m_mm") * mm, Teeth: int(math.Round(in.Num("d_mm") / in.Num("m_mm"))), PressureAngle: 20 * degree},
		Width:  in.Num("b_mm") * mm, Force: in.Num("F_t_N"), Form: in.Num("Y_FS"),
		Factors: drive.ToothFactors{Application: in.Num("K_A"), Dynamic: in.Num("K_v"), Spread: in.Num("K_H")},
		Modulus: 206e9, Poisson: 0.3,
	}.Stresses()
	return Values{"sigma_F_MPa": s.Root / 1e6, "sigma_H_MPa": s.Flank / 1e6}, err
}

func rackBacklash(in Values) (Values, error) {
	x, err := drive.Lost{Backlash: in.Num("backlash_arcmin") * arcmin, Stiffness: math.Inf(1), Gearing: 2 / (in.Num("d_mm") * mm)}.LostMotion()
	return Values{"dx_m": x}, err
}

func rackStiffness(in Values) (Values, error) {
	var c calls
	gear := c.num(drive.LinearStiffness(in.Num("C_t_Nm_per_arcmin")/arcmin, 2/(in.Num("d_mm")*mm)))
	mesh := c.num(drive.MeshStiffness(in.Num("c_gamma_N_per_mm_um")*1e9, in.Num("b_mm")*mm))
	return Values{"k_gear_N_m": gear, "k_mesh_N_m": mesh, "k_total_N_m": c.num(drive.InSeries(gear, mesh))}, c.err
}

func pinionInertia(in Values) (Values, error) {
	j, err := drive.ReflectedInertia(in.Num("mass_kg"), 2/(in.Num("d_mm")*mm))
	return Values{"J_kgm2": j}, err
}

func motorTorque(in Values) (Values, error) {
	var c calls
	t := beltTrain(1 / (in.Num("pulley_r_mm") * mm))
	t.MotorInertia = in.Num("J_motor_kgm2")
	t.Gear = drive.Gear{Ratio: in.Num("i"), Efficiency: in.Num("eta"), Inertia: in.Num("J_gear_kgm2")}
	t.Transmission.Inertia = in.Num("J_pulleys_kgm2")
	m, a := in.Num("mass_kg"), in.Num("a_m_s2")
	torque := func(a float64) float64 {
		f, err := drive.Balance{Mass: m, Acceleration: a, Direction: drive.Forward, Friction: in.Num("friction_N")}.Thrust()
		c.num(0, err)
		x, err := t.Torque(drive.Instant{Force: f.Total, Acceleration: a, Direction: drive.Forward})
		return c.num(x.Motor, err)
	}
	load := c.num(t.LoadInertia(m))
	return Values{
		"J_load_kgm2": load, "J_reflected_kgm2": load / (t.Gear.Ratio * t.Gear.Ratio), "inertia_ratio": c.num(t.InertiaRatio(m)),
		"T_acc_Nm": torque(a), "T_const_Nm": torque(0), "T_dec_Nm": torque(-a),
		"n_max_rpm": t.MotorSpeed(in.Num("v_m_s")) / rpm,
	}, c.err
}

// rmsTorque is a ramp up, a stretch at full speed, a ramp down and a dwell.
func rmsTorque(in Values) (Values, error) {
	var c calls
	var torque []drive.Ramp
	period := 0.0
	times, top := in.Nums("t_s"), in.Num("n_max_rpm")*rpm
	for i, x := range in.Nums("T_Nm") {
		torque = append(torque, drive.Ramp{From: x, To: x, Duration: times[i]})
		period += times[i]
	}
	speed := []drive.Ramp{{From: 0, To: top, Duration: times[0]}, {From: top, To: top, Duration: times[1]}, {From: top, To: 0, Duration: times[2]}}
	m := drive.MotorCurve{
		StallTorque: in.Num("T0_Nm"), RatedTorque: in.Num("Tn_Nm"), RatedSpeed: in.Num("nn_rpm") * rpm,
		PeakTorque: in.Num("T0_Nm"), KneeSpeed: in.Num("nn_rpm") * rpm, NoLoadSpeed: 2 * in.Num("nn_rpm") * rpm, // not used here
	}
	rms, mean := c.num(drive.RootMeanSquare(torque, period)), c.num(drive.MeanMagnitude(speed, period))
	most := c.num(m.Continuous(mean))
	return Values{"T_rms_Nm": rms, "n_mean_rpm": mean / rpm, "T_cont_at_mean_Nm": most, "margin": most / rms}, c.err
}

func bestRatio(in Values) (Values, error) {
	i, err := drive.RatioForLeastTorque(in.Num("J_load_kgm2"), in.Num("J_motor_kgm2"))
	return Values{"i_opt": i}, err
}

func peakLine(in Values) (Values, error) {
	var c calls
	m := drive.MotorCurve{
		StallTorque: 1, RatedTorque: 1, RatedSpeed: 1, // the continuous line is not used here
		PeakTorque: in.Num("T_max_Nm"), KneeSpeed: in.Num("n_knee_rpm") * rpm, NoLoadSpeed: in.Num("n_zero_rpm") * rpm,
	}
	var peaks []float64
	for _, n := range in.Nums("n_rpm") {
		peaks = append(peaks, c.num(m.Peak(n*rpm)))
	}
	return Values{"T_peak_Nm": peaks}, c.err
}

func gearMean(in Values) (Values, error) {
	var steps []drive.GearStep
	speeds, shares := in.Nums("n_rpm"), in.Nums("time_share")
	for i, t := range in.Nums("T_Nm") {
		steps = append(steps, drive.GearStep{Torque: t, Speed: speeds[i] * rpm, Share: shares[i]})
	}
	t, err := drive.GearMeanTorque(steps)
	return Values{"T2m_Nm": t}, err
}

func regeneration(in Values) (Values, error) {
	var c calls
	b := drive.Bus{Capacitance: in.Num("C_bus_F"), Nominal: in.Num("V_nominal"), Limit: in.Num("V_chop"), Resistance: optional(in, "R_ohm", 60)}
	r, err := b.Regenerate(in.Num("E_shaft_J"), in.Num("eta_drive"))
	period := in.Num("T_cycle_s")
	return Values{
		"E_bus_J": r.Bus, "E_cap_J": r.Storage, "E_resistor_J": r.Resistor,
		"P_mean_if_no_capacitor_W": c.num(drive.MeanPower(r.Bus, period)), "P_resistor_mean_W": c.num(drive.MeanPower(r.Resistor, period)),
		"P_resistor_peak_W": c.num(b.ResistorPeak()),
	}, cmp.Or(c.err, err)
}

func windUp(in Values) (Values, error) {
	x, err := drive.Lost{Stiffness: in.Num("C_t_Nm_per_arcmin") / arcmin, Gearing: 1 / (in.Num("r_mm") * mm)}.WindUp(in.Num("T2_Nm"))
	return Values{"dx_m": x}, err
}

func stepperTorque(in Values) (Values, error) {
	t, err := drive.StepperTorque(in.Num("T_load_Nm"), in.Num("J_kgm2"), in.Num("alpha_rad_s2"), in.Num("margin"))
	return Values{"T_required_Nm": t}, err
}

// brakeCrash has the pulley of D01; its load inertia stands for all that moves.
func brakeCrash(in Values) (Values, error) {
	t := beltTrain(1 / 40.74366543152521e-3)
	t.MotorInertia, t.Gear.Ratio, t.Transmission.Inertia = in.Num("J_motor_side_kgm2"), in.Num("i"), in.Num("J_load_kgm2")
	b, err := t.BrakeCrash(in.Num("T_brake_Nm"), 0)
	return Values{"alpha_motor_rad_s2": b.Deceleration, "a_load_m_s2": b.AtCarriage, "T2_Nm": b.OutputTorque}, err
}

// brakingWork is a ramp to standstill: friction leaves the drive pushing.
func brakingWork(in Values) (Values, error) {
	v, a := in.Num("v_m_s"), in.Num("a_dec_m_s2")
	ramp := motion.Chain(0, motion.State{Speed: v}, motion.Piece{Duration: v / a, Accel: -a})
	f, err := drive.Balance{Mass: in.Num("mass_kg"), Acceleration: -a, Direction: drive.Forward, Friction: in.Num("friction_N")}.Thrust()
	work := motion.Load{Mass: in.Num("mass_kg"), Friction: in.Num("friction_N")}.Demand(ramp)
	return Values{"F_dec_N": f.Total, "E_brake_mech_J": work.Braking}, err
}

// gravityAxis is a vertical axis by its mass and drive; where the case gives
// equivalent mass and brake force, the drive is one that has them.
func gravityAxis(in Values) drive.GravityAxis {
	g := drive.GravityAxis{
		Mass: either(in, "mass_kg", "suspended_mass_kg"), Incline: math.Pi / 2,
		Speed: optional(in, "v0_m_s", 0), Reaction: optional(in, "t_reaction_s", 0),
	}
	switch {
	case in.Has("m_eq_kg"):
		g.Gearing, g.Inertia, g.BrakeTorque = 1, in.Num("m_eq_kg")-g.Mass, in.Num("F_brake_N")
	case in.Has("lead_mm"):
		g.Gearing, g.Inertia, g.BrakeTorque = 2*math.Pi/(in.Num("lead_mm")*mm), optional(in, "J_total_kgm2", 0), in.Num("T_brake_Nm")
	case in.Has("pulley_r_mm"):
		g.Gearing, g.Inertia, g.BrakeTorque = in.Num("i")/(in.Num("pulley_r_mm")*mm), in.Num("J_motor_side_kgm2"), in.Num("T_brake_Nm")
	default:
		g.Gearing, g.BrakeTorque = in.Num("gear_ratio")/in.Num("pulley_radius_m"), in.Num("brake_rated_torque_Nm")
	}
	return g
}

func holdTorque(in Values) (Values, error) {
	var c calls
	g := gravityAxis(in)
	torque := c.num(g.StaticTorque())
	p, err := g.PowerOff()
	hold := c.num(p.HoldFactor())
	test, errTest := g.Test(drive.CyclicTestFactor)
	return Values{
		"T_gravity_Nm": torque, "factor": hold,
		"static_torque_Nm": torque, "test_torque_Nm": test.OnBrake, "rated_over_static": hold,
	}, cmp.Or(c.err, err, errTest)
}

func loweringStop(in Values) (Values, error) { return gravityStop(gravityAxis(in)) }

func raisingStop(in Values) (Values, error) {
	g := gravityAxis(in)
	g.Speed = -g.Speed
	return gravityStop(g)
}

func gravityStop(g drive.GravityAxis) (Values, error) {
	var c calls
	p, err := g.PowerOff()
	if err != nil {
		return nil, err
	}
	deceleration := c.num(p.BrakeDeceleration())
	s, err := p.Stop()
	if errors.Is(err, drive.ErrNeverStops) {
		return Values{"stops": false, "a_brake_m_s2": deceleration}, c.err
	}
	return Values{
		"m_eq_kg": p.EquivalentMass, "F_brake_N": p.Brake, "a_fall_m_s2": s.FreeAcceleration, "v1_m_s": math.Abs(s.SpeedAtBrake),
		"h1_m": s.Free, "a_brake_m_s2": s.BrakeDeceleration, "h2_m": s.Braked, "h_total_m": s.Overrun, "E_J": s.Energy,
	}, cmp.Or(c.err, err)
}

func sag(in Values) (Values, error) {
	p, err := gravityAxis(in).PowerOff()
	if err != nil {
		return nil, err
	}
	s, err := p.Sag(in.Num("t_gap_s"))
	return Values{"h_total_m": s.Drop}, err
}

func wearStops(in Values) (Values, error) {
	n, err := drive.WearStops(in.Num("E_wear_total_J"), in.Num("E_per_stop_J"))
	return Values{"N_stops": n}, err
}

func gasSpringStop(in Values) (Values, error) {
	var c calls
	g := gravityAxis(in)
	stop := func(spring float64) (drop, hold float64) {
		g.Counterforce = spring
		p, err := g.PowerOff()
		s, errStop := p.Stop()
		return c.num(s.Drop, cmp.Or(err, errStop)), c.num(p.HoldFactor())
	}
	with, holdWith := stop(in.Num("gas_spring_N"))
	without, holdWithout := stop(0)
	return Values{"h_with_spring_m": with, "h_without_spring_m": without, "S_hold_with": holdWith, "S_hold_without": holdWithout}, c.err
}

func powerOffDown(in Values) (Values, error) { return powerOff(in, 1) }
func powerOffUp(in Values) (Values, error)   { return powerOff(in, -1) }

func powerOff(in Values, way float64) (Values, error) {
	var c calls
	g := drive.GravityAxis{
		Mass: in.Num("mass_kg"), Incline: math.Pi / 2,
		Inertia: in.Num("rotor_inertia_kg_m2"), Gearing: in.Num("gear_ratio") / in.Num("pulley_radius_m"),
		BrakeTorque: in.Num("brake_torque_motor_side_Nm"), Friction: in.Num("friction_N"),
		Reaction: in.Num("brake_delay_s"), Speed: way * in.Num("speed_m_s"),
	}
	p, err := g.PowerOff()
	s, errStop := p.Stop()
	return Values{
		"equivalent_mass_kg": p.EquivalentMass, "speed_at_brake_m_s": math.Abs(s.SpeedAtBrake), "distance_before_brake_m": s.Free,
		"brake_decel_m_s2": s.BrakeDeceleration, "stop_distance_m": s.Overrun, "brake_energy_J": s.Energy, "hold_factor": c.num(p.HoldFactor()),
	}, cmp.Or(c.err, err, errStop)
}

func cycleEnergy(in Values) (Values, error) {
	v, a := in.Num("speed_m_s"), in.Num("accel_m_s2")
	move, err := motion.Plan(in.Num("distance_m"), motion.Limits{Speed: v, Accel: a})
	if err != nil {
		return nil, err
	}
	work := motion.Load{Mass: in.Num("mass_kg"), Friction: in.Num("friction_N")}.Demand(move.Curve())
	eta := in.Num("efficiency")
	e, err := drive.CycleEnergy{Motoring: work.Motoring, Braking: work.Braking, Efficiency: eta, Period: in.Num("cycle_time_s")}.Electrical()
	if err != nil {
		return nil, err
	}
	b := drive.Bus{Capacitance: in.Num("bus_capacitance_F"), Nominal: in.Num("bus_nominal_V"), Limit: in.Num("bus_limit_V")}
	r, err := b.Regenerate(work.Braking, eta)
	return Values{
		"peak_mechanical_W": work.PeakPower, "motoring_energy_electrical_J": e.Drawn, "regen_energy_electrical_J": e.Returned,
		"mean_power_no_recovery_W": e.MeanNoRecovery, "mean_power_full_recovery_W": e.MeanAllRecovery,
		"bus_storage_J": r.Storage, "resistor_energy_per_cycle_J": r.Resistor,
	}, err
}

func supplyLine(in Values) (Values, error) {
	var c calls
	temperature := in.Num("conductor_temp_C") + kelvin
	current := c.num(drive.ThreePhase{
		ShaftPower: in.Num("shaft_power_W"), Efficiency: in.Num("efficiency"), PowerFactor: in.Num("power_factor"), Voltage: in.Num("voltage_V"),
	}.Current())
	line := drive.Line{Length: in.Num("length_m"), Section: in.Num("section_mm2") * 1e-6, Temperature: temperature}
	drop := c.num(line.VoltageDrop(current, in.Num("power_factor")))
	return Values{
		"current_A": current, "resistivity_ohm_mm2_m": c.num(drive.CopperResistivityAt(temperature)) * 1e6,
		"drop_V": drop, "drop_fraction": drop / in.Num("voltage_V"),
	}, c.err
}

func conductorSize(in Values) (Values, error) {
	var c calls
	x := drive.Conductor{
		Current: in.Num("current_A"), Ambient: c.num(drive.AmbientFactor(in.Num("ambient_C") + kelvin)),
		Grouping: in.Num("grouping_factor"), Laying: drive.Laying(in.Text("method")),
	}
	size, err := x.Smallest()
	return Values{"required_rating_A": c.num(x.RequiredRating()), "section_mm2": size.Section * 1e6}, cmp.Or(c.err, err)
}
