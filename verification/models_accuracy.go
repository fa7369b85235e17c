package verification

import (
	"spanwright/accuracy"
)

// inUnit scales lengths in m to the unit of a case.
func inUnit(unit float64, metres ...float64) []float64 {
	out := make([]float64, len(metres))
	for i, x := range metres {
		out[i] = x / unit
	}
	return out
}

// positioningTest has actual positions in mm.
func positioningTest(in Values) (Values, error) {
	targets := in.Nums("target_mm")
	deviations := func(key string) [][]float64 {
		rows := in.Rows(key)
		for i, row := range rows {
			for j := range row {
				row[j] = (row[j] - targets[i]) * mm
			}
		}
		return rows
	}
	r, err := accuracy.Positioning{Forward: deviations("forward_mm"), Backward: deviations("backward_mm")}.Evaluate()
	return Values{
		"B_mm": r.Reversal / mm, "B_mean_mm": r.MeanReversal / mm,
		"R_up_mm": r.Repeatability.Forward / mm, "R_dn_mm": r.Repeatability.Backward / mm, "R_mm": r.Repeatability.Both / mm,
		"E_up_mm": r.Systematic.Forward / mm, "E_dn_mm": r.Systematic.Backward / mm, "E_mm": r.Systematic.Both / mm,
		"M_mm":    r.Mean / mm,
		"A_up_mm": r.Accuracy.Forward / mm, "A_dn_mm": r.Accuracy.Backward / mm, "A_mm": r.Accuracy.Both / mm,
	}, err
}

// deviationTest has deviations in µm.
func deviationTest(in Values) (Values, error) {
	const um = 1e-6
	scaled := func(key string) [][]float64 {
		rows := in.Rows(key)
		for _, row := range rows {
			for j := range row {
				row[j] *= um
			}
		}
		return rows
	}
	r, err := accuracy.Positioning{Forward: scaled("deviation_up_um"), Backward: scaled("deviation_down_um")}.Evaluate()
	var meanUp, meanDown, sUp, sDown []float64
	for _, p := range r.Positions {
		meanUp, meanDown = append(meanUp, p.MeanForward), append(meanDown, p.MeanBackward)
		sUp, sDown = append(sUp, p.SForward), append(sDown, p.SBackward)
	}
	return Values{
		"mean_up_um": inUnit(um, meanUp...), "mean_down_um": inUnit(um, meanDown...),
		"s_up_um": inUnit(um, sUp...), "s_down_um": inUnit(um, sDown...),
		"reversal_B_um": r.Reversal / um, "mean_reversal_um": r.MeanReversal / um,
		"R_up_um": r.Repeatability.Forward / um, "R_down_um": r.Repeatability.Backward / um, "R_um": r.Repeatability.Both / um,
		"E_up_um": r.Systematic.Forward / um, "E_down_um": r.Systematic.Backward / um, "E_um": r.Systematic.Both / um,
		"M_um":    r.Mean / um,
		"A_up_um": r.Accuracy.Forward / um, "A_down_um": r.Accuracy.Backward / um, "A_um": r.Accuracy.Both / um,
	}, err
}

func targetCounts(in Values) (Values, error) {
	var c calls
	var counts []int
	for _, travel := range in.Nums("travel_m") {
		n, err := accuracy.MinimumTargets(travel)
		c.num(0, err)
		counts = append(counts, n)
	}
	return Values{"min_targets": counts}, c.err
}

func poseTest(in Values) (Values, error) {
	point := func(xyz []float64) (p accuracy.Point) {
		for k := range p {
			p[k] = xyz[k] * mm
		}
		return p
	}
	var attained []accuracy.Point
	for _, row := range in.Rows("attained_mm") {
		attained = append(attained, point(row))
	}
	r, err := accuracy.Pose(point(in.Nums("command_mm")), attained)
	return Values{
		"barycentre_mm": inUnit(mm, r.Barycentre[:]...), "AP_xyz_mm": inUnit(mm, r.Offset[:]...),
		"l_mean_mm": r.MeanDistance / mm, "S_l_mm": r.Deviation / mm,
		"RP_l_mm": r.Repeatability / mm, "RP_mm": r.Repeatability / mm, "AP_p_mm": r.Accuracy / mm, "AP_mm": r.Accuracy / mm,
	}, err
}

func distanceTest(in Values) (Values, error) {
	attained := in.Nums("attained_distance_mm")
	for i := range attained {
		attained[i] *= mm
	}
	r, err := accuracy.Scalar(in.Num("command_distance_mm")*mm, attained)
	return Values{"AD_mm": r.Accuracy / mm, "RD_mm": r.Repeatability / mm}, err
}

func testPoints(in Values) (Values, error) {
	p, err := accuracy.PosePoints(accuracy.Point(in.Nums("lower_corner_m")), accuracy.Point(in.Nums("upper_corner_m")))
	return Values{"points_m": p}, err
}

func errorBudget(in Values) (Values, error) {
	const um = 1e-6
	var all []accuracy.Contribution
	for _, x := range in.Nums("systematic_um") {
		all = append(all, accuracy.Contribution{Size: x * um, Kind: accuracy.Systematic})
	}
	for _, x := range in.Nums("random_um") {
		all = append(all, accuracy.Contribution{Size: x * um, Kind: accuracy.Random})
	}
	b, err := accuracy.Sum(all...)
	return Values{"arithmetic_um": b.Arithmetic / um, "rss_um": b.RSS / um, "mixed_um": b.Mixed / um}, err
}

func rectangular(in Values) (Values, error) {
	u, err := accuracy.RectangularUncertainty(in.Num("half_width_um"))
	return Values{"u_um": u}, err
}

func lostMotion(in Values) (Values, error) {
	x, err := accuracy.Reversal{Backlash: in.Num("backlash_m"), Friction: in.Num("F_friction_N"), Stiffness: in.Num("k_N_m")}.LostMotion()
	return Values{"lost_motion_m": x}, err
}

func abbe(in Values) (Values, error) {
	x, err := accuracy.Abbe(in.Num("pitch_rad"), in.Num("arm_m"))
	return Values{"dx_m": x}, err
}

func scaleGrowth(in Values) (Values, error) {
	const um = 1e-6
	beam, difference, err := accuracy.ScaleGrowth{
		Length: in.Num("length_m"), Rise: in.Num("temperature_rise_K"),
		Machine: in.Num("expansion_machine_per_K"), Scale: in.Num("expansion_scale_per_K"),
	}.Growth()
	return Values{"beam_growth_um": beam / um, "difference_um": difference / um}, err
}
