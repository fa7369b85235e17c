package verification

import (
	"math"
	"strings"

	"spanwright/equip"
	"spanwright/motion"
)

// equipModels compute the cases of package equip: carriers, ends of travel,
// hard stops, guard distances, grip and maintenance.
var equipModels = map[string]Model{
	"EQ-CC-01": carrierLoop, "EQ-CC-02": carrierLoop, "EQ-CC-03": carrierLoop,
	"EQ-CC-04": carrierFill, "EQ-CC-05": carrierFill, "EQ-CC-06": carrierFill,
	"EQ-CC-07": carrierStack, "EQ-CC-08": carrierMass, "EQ-CC-09": carrierSpan, "EQ-CC-10": carrierDrag, "EQ-CC-11": cableLength,
	"EQ-ST-07": endLayout, "EQ-ST-08": shortenedEnd,
	"EQ-HS-01": hardStop, "EQ-HS-02": springBumper, "EQ-HS-03": verticalHardStop, "EQ-HS-04": rotatingImpact, "EQ-HS-05": impactSpeed,
	"EQ-GD-01": curtain, "EQ-GD-02": curtain, "EQ-GD-03": curtain, "EQ-GD-04": curtain, "EQ-GD-05": curtain, "EQ-GD-06": curtain,
	"EQ-GD-07": beams, "EQ-GD-08": parallelField, "EQ-GD-09": parallelField, "EQ-GD-10": curtainOfGantry,
	"EQ-GD-11": reachInInches, "EQ-GD-12": reachHighRisk, "EQ-GD-13": reachBetween,
	"EQ-SF-01": requiredLevels, "EQ-SF-02": crushingGaps,
	"EQ-GR-01": cupsAbove, "EQ-GR-02": cupsAbove, "EQ-GR-03": cupsBeside, "EQ-GR-04": cupsAbove, "EQ-GR-05": jaws,
	"EQ-MA-01": relubrication,
}

func carrierLoop(in Values) (Values, error) {
	l, err := equip.Carrier{
		Travel: in.Num("travel_m"), Fixed: in.Num("fixed_point_offset_from_mid_m"), Radius: in.Num("bend_radius_m"),
		AddOn: in.Num("add_on_m"), Pitch: in.Num("pitch_m"), OuterHeight: in.Num("outer_height_m"),
	}.Loop()
	return Values{
		"chain_length_calc_m": l.Needed, "links": l.Links, "chain_length_built_m": l.Length,
		"bend_tip_beyond_travel_end_m": l.Overhang, "upper_run_max_m": l.UpperMax, "lower_run_max_m": l.LowerMax,
	}, err
}

func carrierFill(in Values) (Values, error) {
	var conductors []equip.Conductor
	for _, c := range in.List("cables") {
		kind := equip.CarrierCable
		if c.Bool("is_hose") {
			kind = equip.AirHose
		}
		conductors = append(conductors, equip.Conductor{
			Name: c.Text("id"), Kind: kind, Diameter: c.Num("diameter_mm") / 1000, Mass: c.Num("mass_kg_m"), BendFactor: c.Num("bend_factor"),
		})
	}
	f, err := equip.Fill(conductors, in.Num("separator_thickness_mm")/1000)
	return Values{
		"inner_width_min_mm": f.InnerWidth * 1000, "inner_height_min_mm": f.InnerHeight * 1000, "bend_radius_min_mm": f.BendRadius * 1000,
		"area_fill": f.Share(f.InnerWidth, f.InnerHeight), "cable_mass_kg_m": f.Mass,
	}, err
}

func carrierStack(in Values) (Values, error) {
	joints := in.Texts("joints")
	body := map[string]int{"none": 0}
	for k, name := range joints {
		body[name] = k + 1
	}
	var ends []int
	for _, c := range in.List("consumers") {
		ends = append(ends, body[c.Text("after_joint")])
	}
	carriers, err := equip.Crossing(len(joints), ends)
	counts := Values{}
	for k, cables := range carriers {
		counts[joints[k]] = len(cables)
	}
	return Values{"cables_in_carrier": counts}, err
}

func carrierMass(in Values) (Values, error) {
	const anyHeight = 0.03 // the outer height enters the overhang only
	l, err := equip.Carrier{
		Travel: in.Num("travel_m"), Fixed: in.Num("fixed_point_offset_from_mid_m"), Radius: in.Num("bend_radius_m"),
		AddOn: in.Num("add_on_m"), Pitch: in.Num("pitch_m"), OuterHeight: anyHeight,
	}.Loop()
	d := equip.Dressed{Empty: in.Num("carrier_mass_kg_m"), Cables: in.Num("cable_mass_kg_m")}
	return Values{
		"chain_length_built_m": l.Length, "moving_mass_max_kg": d.MovingMass(l.UpperMax, in.Num("bend_radius_m")),
		"moving_mass_half_rule_kg": d.HalfRule(l.Length), "loop_weight_force_N": d.WeightForce(in.Num("bend_radius_m")),
	}, err
}

func carrierSpan(in Values) (Values, error) {
	span, err := equip.SpanPoint{
		Empty: in.Num("carrier_mass_kg_m"), Load: in.Num("reference_added_load_kg_m"), Span: in.Num("reference_span_m"),
	}.At(in.Num("added_load_kg_m"))
	return Values{"span_m": span}, err
}

func carrierDrag(in Values) (Values, error) {
	return Values{"drag_N": equip.Dressed{Empty: in.Num("mass_kg_m")}.Drag(in.Num("friction"), in.Num("gliding_length_m"))}, nil
}

func cableLength(in Values) (Values, error) {
	l, err := equip.CableRun{
		Fixed: in.Nums("fixed_runs_m"), Carriers: in.Nums("carrier_lengths_m"),
		StrainRelief: in.Num("strain_relief_per_carrier_m"), RoundUp: in.Num("round_up_to_m"),
	}.Length()
	return Values{"length_exact_m": l.Exact, "length_ordered_m": l.Ordered}, err
}

func endLayout(in Values) (Values, error) {
	e := equip.End{
		Task: in.Num("task_end_m"), SoftMargin: in.Num("software_margin_m"), SwitchMargin: in.Num("switch_margin_m"),
		StopDistance: in.Num("stop_distance_m"), Clearance: in.Num("clearance_m"), Bumper: in.Num("bumper_stroke_m"),
	}
	p, err := e.Places()
	beyond := p.HardStop - e.Task
	return Values{
		"software_limit_m": p.Soft, "overtravel_switch_m": p.Switch, "hard_stop_contact_m": p.HardStop, "end_of_bumper_m": p.Last,
		"cam_length_min_m": p.Cam, "total_per_end_m": p.Last - e.Task,
		// The task of the case begins at 0.
		"mechanical_travel_both_ends_m": equip.MechanicalTravel(e.Task, beyond, beyond),
	}, err
}

func shortenedEnd(in Values) (Values, error) {
	p, err := equip.Shortened{
		By:           in.Num("obstacle_moved_in_m"),
		Was:          equip.Places{Soft: in.Num("software_limit_m"), Switch: in.Num("overtravel_switch_m"), HardStop: in.Num("hard_stop_contact_m")},
		StopDistance: in.Num("stop_distance_m"), Task: in.Num("task_end_m"), SoftMargin: in.Num("software_margin_m"),
	}.Places()
	return Values{
		"new_hard_stop_contact_m": p.HardStop, "new_overtravel_switch_m": p.Switch, "new_software_limit_m": p.Soft,
		"largest_task_end_m": p.LargestTask, "task_still_reached": p.Reached, "clearance_if_switch_not_moved_m": p.ClearanceIfNotMoved,
	}, err
}

func impact(in Values) equip.Impact {
	i := equip.Impact{Mass: in.Num("mass_kg"), Speed: in.Num("impact_speed_m_s"), Drive: in.Num("propelling_force_N")}
	if in.Has("stroke_m") {
		i.Stroke, i.Efficiency = in.Num("stroke_m"), in.Num("efficiency")
	}
	if in.Has("hits_per_hour") {
		i.HitsPerHour = in.Num("hits_per_hour")
	}
	return i
}

func hardStop(in Values) (Values, error) {
	h, err := impact(in).Hit()
	return Values{
		"kinetic_energy_J": h.Kinetic, "propelling_energy_J": h.Pushed, "total_energy_J": h.Energy, "energy_per_hour_J": h.Hourly,
		"effective_mass_kg": h.EffectiveMass, "stop_force_N": h.Force, "decel_m_s2": h.Deceleration,
	}, err
}

func verticalHardStop(in Values) (Values, error) {
	i := impact(in)
	i.Weight = i.Mass * in.Num("g_m_s2")
	h, err := i.Hit()
	return Values{"total_energy_J": h.Energy, "effective_mass_kg": h.EffectiveMass, "stop_force_N": h.Force}, err
}

func springBumper(in Values) (Values, error) {
	s, err := impact(in).OnSpring(in.Num("stiffness_N_m"))
	return Values{"stroke_m": s.Stroke, "peak_force_N": s.Force}, err
}

func rotatingImpact(in Values) (Values, error) {
	rotors := make([]equip.Rotor, int(in.Num("motors")))
	for k := range rotors {
		rotors[k] = equip.Rotor{Inertia: in.Num("rotor_inertia_each_kg_m2"), Gearing: in.Num("gear_ratio") / in.Num("pulley_radius_m")}
	}
	mass := equip.EquivalentMass(in.Num("mass_kg"), rotors)
	const anyStroke = 0.02 // the stroke does not enter the kinetic energy
	h, err := equip.Impact{Mass: mass, Speed: in.Num("impact_speed_m_s"), Stroke: anyStroke, Efficiency: 1}.Hit()
	return Values{"equivalent_mass_kg": mass, "kinetic_energy_J": h.Kinetic}, err
}

func impactSpeed(in Values) (Values, error) {
	s, err := motion.ControlledStop{Speed: in.Num("speed_m_s"), Decel: in.Num("decel_m_s2")}.Stop()
	if err != nil {
		return nil, err
	}
	return Values{"impact_speed_m_s": s.SpeedAfter(in.Num("distance_available_m"))}, nil
}

func curtain(in Values) (Values, error) {
	d, err := equip.CurtainDistance(in.Num("stopping_time_total_s"), in.Num("detection_capability_mm")/1000)
	return Values{"distance_mm": d.Least * 1000}, err
}

func beams(in Values) (Values, error) {
	d, err := equip.BeamDistance(in.Num("stopping_time_total_s"))
	return Values{"distance_mm": d.Least * 1000}, err
}

func parallelField(in Values) (Values, error) {
	const finest = 0.03 // m; the cases do not limit the height by the detection capability
	d, err := equip.ParallelDistance(in.Num("stopping_time_total_s"), in.Num("field_height_mm")/1000, finest)
	return Values{"distance_mm": d.Least * 1000}, err
}

func curtainOfGantry(in Values) (Values, error) {
	s, err := motion.ControlledStop{
		Speed: in.Num("speed_m_s"), Decel: in.Num("decel_m_s2"), Jerk: in.Num("jerk_m_s3"), Onset: motion.OnsetSCurve,
	}.Stop()
	if err != nil {
		return nil, err
	}
	total, err := equip.StopTime{Sensor: in.Num("sensor_s"), Logic: in.Num("logic_s"), Drive: in.Num("drive_reaction_s"), Stop: s.Time, Wear: 1}.Total()
	if err != nil {
		return nil, err
	}
	d, err := equip.CurtainDistance(total, in.Num("detection_capability_mm")/1000)
	return Values{"stopping_time_total_s": total, "distance_mm": d.Least * 1000}, err
}

// reaches looks pairs of heights up and returns whole units: the tables have
// nothing between.
func reaches(t equip.ReachTable, hazards, structures []float64) ([]float64, error) {
	var out []float64
	for k := range hazards {
		r, err := t.At(hazards[k]*t.Unit, structures[k]*t.Unit, false)
		if err != nil {
			return nil, err
		}
		out = append(out, math.Round(r.Least/t.Unit))
	}
	return out, nil
}

func reachInInches(in Values) (Values, error) {
	out, err := reaches(equip.LowRiskReach(), in.Nums("hazard_height_in"), in.Nums("barrier_height_in"))
	return Values{"min_horizontal_distance_in": out}, err
}

func reachHighRisk(in Values) (Values, error) {
	out, err := reaches(equip.HighRiskReach(), in.Nums("hazard_height_mm"), in.Nums("structure_height_mm"))
	return Values{"min_horizontal_distance_mm": out}, err
}

func reachBetween(in Values) (Values, error) {
	out, err := reaches(equip.HighRiskReach(), []float64{in.Num("hazard_height_mm")}, []float64{in.Num("structure_height_mm")})
	if err != nil {
		return nil, err
	}
	return Values{"min_horizontal_distance_mm": out[0]}, nil
}

func requiredLevels(in Values) (Values, error) {
	var levels []string
	for _, c := range in.Texts("cases") {
		letters := strings.Fields(c)
		level, err := equip.RequiredLevel(letters[0], letters[1], letters[2])
		if err != nil {
			return nil, err
		}
		levels = append(levels, string(level))
	}
	return Values{"plr": levels}, nil
}

func crushingGaps(in Values) (Values, error) {
	var gaps []float64
	for _, part := range in.Texts("body_part") {
		gap, err := equip.LeastGap(equip.BodyPart(part))
		if err != nil {
			return nil, err
		}
		gaps = append(gaps, math.Round(gap*1000))
	}
	return Values{"min_gap_mm": gaps}, nil
}

// held reads a payload; what a case does not give is not there, and without a
// sideways acceleration the friction does not matter.
func held(in Values) equip.Held {
	h := equip.Held{Mass: in.Num("mass_kg"), Safety: in.Num("safety_factor"), Friction: 1}
	for key, to := range map[string]*float64{
		"accel_vertical_m_s2": &h.Up, "accel_horizontal_m_s2": &h.Sideways, "accel_horizontal_in_jaw_plane_m_s2": &h.Sideways, "friction": &h.Friction,
	} {
		if in.Has(key) {
			*to = in.Num(key)
		}
	}
	return h
}

func cupsAbove(in Values) (Values, error) {
	force, err := held(in).CupsAbove()
	if err != nil || !in.Has("vacuum_Pa") {
		return Values{"holding_force_N": force}, err
	}
	cup := equip.Cup{Vacuum: in.Num("vacuum_Pa"), Diameter: in.Num("effective_diameter_m")}
	each, err := cup.Force()
	if err != nil {
		return nil, err
	}
	n, err := cup.Cups(force)
	return Values{"holding_force_N": force, "force_per_cup_N": each, "cups": n}, err
}

func cupsBeside(in Values) (Values, error) {
	force, err := held(in).CupsBeside()
	return Values{"holding_force_N": force}, err
}

func jaws(in Values) (Values, error) {
	force, err := held(in).JawForce(int(in.Num("faces")))
	return Values{"force_per_jaw_N": force}, err
}

func relubrication(in Values) (Values, error) {
	t, err := equip.RelubricationTime(in.Num("interval_km")*1000, in.Num("distance_per_cycle_m"), in.Num("cycles_per_hour"))
	return Values{"interval_h": t / 3600}, err
}
