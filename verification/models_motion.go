package verification

import (
	"math"

	"spanwright/motion"
)

// motionModels compute the cases of package motion: planning, cycle, force and
// energy of a move, residual vibration, shapers, and stops by the drive.
var motionModels = map[string]Model{
	"M01": plannedMove, "M02": plannedMove, "M03": plannedMove, "M04": plannedMove,
	"M10": plannedMove, "M11": plannedMove, "M12": plannedMove, "M13": plannedMove,
	"M14": plannedMove, "M15": plannedMove, "M16": plannedMove, "M17": plannedMove,
	"M05": oneThirdMove,
	"M06": moveInTime,
	"M18": straightMove,
	"M19": stretchedMove,
	"M20": moveWithLoad, "M21": moveWithLoad, "M22": moveWithLoad,
	"M23": cycleWithParallelGroup,

	"V01": undampedResidual, "V02": undampedResidual, "V05": undampedResidual, "V07": undampedResidual,
	"V03": dampedResidual, "V04": dampedResidual, "V06": dampedResidual,
	"V08": stepWithRiseTime, "V09": stepWithRiseTime,
	"V10": settleTime, "V11": settleTime, "V12": settleTime,
	"V13": zvShaper, "V14": shapers, "V15": shapers, "HO-CM-03": shapers,
	"V16": shaperRobustness,
	"V17": rectangularPulse, "V18": triangularPulse,
	"V19": frameModeRatio,

	"EQ-ST-01": controlledStop, "EQ-ST-02": controlledStop, "EQ-ST-03": controlledStop,
	"EQ-ST-04": onsetOnlyStop,
	"EQ-ST-09": runaway,
}

// limitsOf reads the limits under the names that the cases use for them.
func limitsOf(in Values) motion.Limits {
	l := motion.Limits{Speed: in.Num("v_max_m_s")}
	for key, to := range map[string]*float64{
		"a_m_s2": &l.Accel, "a_max_m_s2": &l.Accel, "a_acc_m_s2": &l.Accel, "a_dec_m_s2": &l.Decel,
		"jerk_m_s3": &l.Jerk, "jerk_acc_m_s3": &l.Jerk, "jerk_dec_m_s3": &l.DecelJerk,
	} {
		if in.Has(key) {
			*to = in.Num(key)
		}
	}
	return l
}

func modeOf(in Values) motion.Mode {
	return motion.Mode{Frequency: in.Num("f_n_Hz"), Damping: in.Num("zeta")}
}

func plannedMove(in Values) (Values, error) {
	p, err := motion.Plan(in.Num("stroke_m"), limitsOf(in))
	if err != nil {
		return nil, err
	}
	return Values{
		"v_peak_m_s": p.PeakSpeed(), "a_peak_m_s2": p.PeakAccel(), "t_jerk_s": p.JerkTime(),
		"t_acc_s": p.AccelTime(), "t_const_s": p.CruiseTime(), "t_dec_s": p.DecelTime(), "T_s": p.Duration(),
		"T_acc_phase_s": p.AccelTime(), "T_const_v_s": p.CruiseTime(), "T_total_s": p.Duration(),
		"T_acc_s": p.AccelTime(), "T_dec_s": p.DecelTime(),
	}, nil
}

func oneThirdMove(in Values) (Values, error) {
	p, err := motion.OneThird(in.Num("stroke_m"), in.Num("T_s"))
	if err != nil {
		return nil, err
	}
	return Values{
		"v_peak_m_s": p.PeakSpeed(), "a_m_s2": p.PeakAccel(),
		"a_rms_over_a_peak": p.Curve().RMSAccel(p.Duration()) / p.PeakAccel(),
	}, nil
}

func moveInTime(in Values) (Values, error) {
	const noSpeedLimit = 1e6 // m/s; the case has none
	p, err := motion.PlanTime(in.Num("stroke_m"), in.Num("T_s"), motion.Limits{Speed: noSpeedLimit, Accel: in.Num("a_m_s2")})
	if err != nil {
		return nil, err
	}
	return Values{"v_peak_m_s": p.PeakSpeed(), "t_acc_s": p.AccelTime()}, nil
}

func straightMove(in Values) (Values, error) {
	x := motion.Leg{Stroke: in.Num("sx_m"), Limits: motion.Limits{Speed: in.Num("vx_max_m_s"), Accel: in.Num("ax_max_m_s2")}}
	y := motion.Leg{Stroke: in.Num("sy_m"), Limits: motion.Limits{Speed: in.Num("vy_max_m_s"), Accel: in.Num("ay_max_m_s2")}}
	line, err := motion.Straight(x, y)
	if err != nil {
		return nil, err
	}
	alone, err := motion.Independent(x, y)
	if err != nil {
		return nil, err
	}
	return Values{
		"path_m": line.Path.Stroke(), "v_path_m_s": line.PathLimits.Speed, "a_path_m_s2": line.PathLimits.Accel,
		"T_s": line.Duration, "T_x_alone_s": alone.Profiles[0].Duration(), "T_y_alone_s": alone.Profiles[1].Duration(),
	}, nil
}

func stretchedMove(in Values) (Values, error) {
	p, err := motion.Plan(in.Num("sy_m"), motion.Limits{Speed: in.Num("vy_max_m_s"), Accel: in.Num("ay_max_m_s2")})
	if err != nil {
		return nil, err
	}
	slow := p.Stretched(in.Num("T_common_s"))
	return Values{
		"scale": slow.PeakSpeed() / p.PeakSpeed(),
		"v_m_s": slow.PeakSpeed(), "a_m_s2": slow.PeakAccel(),
	}, nil
}

// moveWithLoad computes the load cases of a single move. The dwell, where there
// is one, belongs to the period of the RMS value.
func moveWithLoad(in Values) (Values, error) {
	p, err := motion.Plan(in.Num("stroke_m"), limitsOf(in))
	if err != nil {
		return nil, err
	}
	load := motion.Load{Mass: in.Num("mass_kg"), Friction: in.Num("friction_N")}
	c := p.Curve()
	d := load.Demand(c)
	period := p.Duration()
	if in.Has("dwell_s") {
		period += in.Num("dwell_s")
	}
	force := func(t float64) float64 { return load.Force(c.At(t)) }
	slowing := p.Duration() - p.DecelTime()/2
	out := Values{
		"F_acc_N": force(p.AccelTime() / 2), "F_const_N": force(p.AccelTime() + p.CruiseTime()/2), "F_dec_N": force(slowing),
		"F_rms_N": d.RMSForce(period), "P_peak_W": d.PeakPower,
		"E_accelerate_J": load.Demand(c.Between(0, p.AccelTime())).Motoring,
		"E_brake_mech_J": d.Braking, "P_mean_mech_W": d.Frictional / period,
		"a_rms_over_move_m_s2": c.RMSAccel(p.Duration()), "F_rms_over_move_N": d.RMSForce(p.Duration()),
		"a_peak_m_s2":    p.PeakAccel(),
		"u_at_peak_m_s2": c.At(d.PeakAt).Accel,
	}
	for _, s := range c {
		if s.Jerk < 0 { // the first is where speeding up fades
			out["u_unclipped_m_s2"] = s.At(load.StationaryPower(s)[0]).Accel
			break
		}
	}
	return out, nil
}

func cycleWithParallelGroup(in Values) (Values, error) {
	move := func(axis, key string) (motion.Step, error) {
		p, err := motion.OneThird(1, in.Num(key)) // any move of this duration
		return motion.Step{Name: key, Kind: motion.KindMove, Moves: []motion.AxisMove{{Axis: axis, Profile: p}}}, err
	}
	wait := func(kind motion.Kind, key string) motion.Step {
		return motion.Step{Name: key, Kind: kind, Duration: in.Num(key)}
	}
	group := motion.Step{Name: "over", Kind: motion.KindParallel}
	for _, name := range in.Texts("parallel") {
		step, err := move(name, name+"_s")
		if err != nil {
			return nil, err
		}
		group.Steps = append(group.Steps, step)
	}
	steps := []motion.Step{group, wait(motion.KindSettle, "settle_s")}
	for _, key := range []string{"down_s", "grip_s", "up_s", "back_s", "dwell_s"} {
		step := wait(motion.KindDwell, key)
		if key != "grip_s" && key != "dwell_s" {
			var err error
			if step, err = move("axis of "+key, key); err != nil {
				return nil, err
			}
		}
		steps = append(steps, step)
	}
	t, err := motion.Lay(motion.Step{Name: "cycle", Kind: motion.KindSequence, Steps: steps})
	if err != nil {
		return nil, err
	}
	return Values{"T_cycle_s": t.Duration, "per_hour": t.PerHour()}, nil
}

func undampedResidual(in Values) (Values, error) {
	p, err := motion.Plan(in.Num("stroke_m"), limitsOf(in))
	if err != nil {
		return nil, err
	}
	m := modeOf(in)
	u := m.Undamped(&p)
	return Values{
		"amplitude_m": u.Amplitude, "envelope_m": u.Envelope,
		"static_deflection_a_over_w2_m": m.StaticDeflection(p.PeakAccel()),
	}, m.Check()
}

func dampedResidual(in Values) (Values, error) {
	p, err := motion.Plan(in.Num("stroke_m"), limitsOf(in))
	if err != nil {
		return nil, err
	}
	m := modeOf(in)
	return Values{"amplitude_m": m.Residual(p.Curve())}, m.Check()
}

func stepWithRiseTime(in Values) (Values, error) {
	r := motion.StepRatio(in.Num("rise_time_over_period"))
	return Values{"R_d": r, "overshoot_ratio": r - 1}, nil
}

func settleTime(in Values) (Values, error) {
	m := modeOf(in)
	t, settles := m.SettleTime(in.Num("amplitude_at_end_m"), in.Num("band_pm_m"))
	if !settles {
		return Values{"t_settle_s": "infinite"}, m.Check()
	}
	return Values{"t_settle_s": t}, m.Check()
}

func shapers(in Values) (Values, error) {
	m := motion.Mode{}
	if in.Has("f_n_Hz") {
		m = modeOf(in)
	} else {
		m = motion.Mode{Frequency: in.Num("frequency_hz"), Damping: in.Num("damping_ratio")}
	}
	split := func(s motion.Shaper) (times, amplitudes []float64) {
		for _, i := range s {
			times, amplitudes = append(times, i.Time), append(amplitudes, i.Amplitude)
		}
		return times, amplitudes
	}
	zvTimes, zv := split(motion.ZV(m))
	zvdTimes, zvd := split(motion.ZVD(m))
	out := Values{
		"ZV_A": zv, "ZV_t_s": zvTimes, "ZVD_A": zvd, "ZVD_t_s": zvdTimes,
		"zv_amplitudes": zv, "zv_times_s": zvTimes, "zvd_amplitudes": zvd, "zvd_times_s": zvdTimes,
		"K": zv[1] / zv[0], "T_d_s": m.Period(),
		"A1": zvd[0], "A2": zvd[1], "A3": zvd[2], "t2_s": zvdTimes[1], "t3_s": zvdTimes[2],
	}
	return out, m.Check()
}

// zvShaper names the impulses of the two-impulse shaper as case V13 does.
func zvShaper(in Values) (Values, error) {
	out, err := shapers(in)
	if err != nil {
		return nil, err
	}
	zv := out["ZV_A"].([]float64)
	out["A1"], out["A2"] = zv[0], zv[1]
	return out, nil
}

func shaperRobustness(in Values) (Values, error) {
	design := motion.Mode{Frequency: in.Num("f_design_Hz"), Damping: in.Num("zeta")}
	actual := motion.Mode{Frequency: in.Num("f_actual_Hz"), Damping: in.Num("zeta")}
	return Values{
		"V_ZV":  motion.ZV(design).Residual(actual),
		"V_ZVD": motion.ZVD(design).Residual(actual),
	}, actual.Check()
}

func rectangularPulse(in Values) (Values, error) {
	m := modeOf(in)
	var swings []float64
	for _, length := range in.Nums("pulse_s") {
		pulse := motion.Chain(0, motion.State{}, motion.Piece{Duration: length, Accel: in.Num("pulse_a_m_s2")})
		swings = append(swings, m.Residual(pulse))
	}
	return Values{"amplitude_m": swings}, m.Check()
}

func triangularPulse(in Values) (Values, error) {
	m := modeOf(in)
	half, peak := in.Num("pulse_s")/2, in.Num("pulse_peak_m_s2")
	pulse := motion.Chain(0, motion.State{},
		motion.Piece{Duration: half, Jerk: peak / half},
		motion.Piece{Duration: half, Accel: peak, Jerk: -peak / half})
	return Values{"amplitude_m": m.Residual(pulse)}, m.Check()
}

func frameModeRatio(in Values) (Values, error) {
	d := motion.DriveReaction{Moving: in.Num("m_moving_kg"), Modal: in.Num("m_modal_kg"), Drive: in.Num("phi_drive"), Output: in.Num("phi_out")}
	return Values{"amplitude_m": math.Abs(d.Ratio()) * in.Num("Y_unit_m")}, nil
}

func controlledStop(in Values) (Values, error) {
	stop := motion.ControlledStop{Speed: in.Num("speed_m_s"), Decel: in.Num("decel_m_s2"), Reaction: in.Num("reaction_time_s")}
	if in.Has("jerk_m_s3") {
		stop.Onset, stop.Jerk = motion.OnsetSCurve, in.Num("jerk_m_s3")
	}
	s, err := stop.Stop()
	if err != nil {
		return nil, err
	}
	return Values{
		"stop_distance_no_margin_m": s.Distance,
		"stop_distance_m":           s.WithMargin(in.Num("margin_fraction"), 0),
		"stop_time_s":               s.Time,
	}, nil
}

func onsetOnlyStop(in Values) (Values, error) {
	s, err := motion.ControlledStop{
		Speed: in.Num("speed_m_s"), Decel: in.Num("decel_m_s2"), Jerk: in.Num("jerk_m_s3"), Onset: motion.OnsetJerk,
	}.Stop()
	if err != nil {
		return nil, err
	}
	return Values{"stop_distance_m": s.Distance, "stop_time_s": s.Time}, nil
}

func runaway(in Values) (Values, error) {
	s, err := motion.Runaway{
		Speed: in.Num("speed_m_s"), Accel: in.Num("runaway_accel_m_s2"), Reaction: in.Num("reaction_time_s"),
		Decel: in.Num("stop_decel_m_s2"), TopSpeed: in.Num("mechanical_speed_cap_m_s"),
	}.Stop()
	if err != nil {
		return nil, err
	}
	return Values{"speed_at_stop_start_m_s": s.PeakSpeed, "stop_distance_m": s.Distance}, nil
}
