package verification

import (
	"math"

	"spanwright/asbuilt"
	"spanwright/tuning"
)

// asbuiltModels compute the cases of commissioning and acceptance.
var asbuiltModels = map[string]Model{
	"HO-CM-04": notchFilter, "HO-CM-05": diagonals, "HO-CM-06": feedSettings, "HO-CM-08": followingError,
	"HO-AT-08": toolPull, "HO-AT-09": ringDown, "HO-AT-10": normalisedError, "HO-AT-12": guarded,
}

func notchFilter(in Values) (Values, error) {
	n := tuning.Notch{
		Frequency: in.Num("frequency_hz"), Numerator: in.Num("zeta_numerator"), Denominator: in.Num("zeta_denominator"), Sample: in.Num("sample_time_s"),
	}
	b, err := n.Digital()
	return Values{"b": b.B[:], "a": b.A[:], "gain_at_centre": b.Gain(n.Frequency, n.Sample), "gain_at_dc": b.Gain(0, n.Sample)}, err
}

func diagonals(in Values) (Values, error) {
	e, err := tuning.Diagonals{A: in.Num("side_a_m"), B: in.Num("side_b_m"), D1: in.Num("diagonal_1_m"), D2: in.Num("diagonal_2_m")}.Error()
	return Values{"angle_error_rad": e, "mm_per_m": 1000 * math.Tan(e)}, err
}

func feedSettings(in Values) (Values, error) {
	f := tuning.Feed{PerTurn: in.Num("pulley_teeth") * in.Num("belt_pitch_mm") / 1000, Ratio: in.Num("gear_ratio"), Counts: in.Num("encoder_counts_per_rev")}
	s, err := f.Settings(in.Num("speed_m_s"), in.Num("accel_m_s2"))
	return Values{
		"feed_constant_mm_per_pulley_rev": f.PerTurn * 1000, "feed_per_motor_rev_mm": s.PerMotorTurn * 1000,
		"motor_speed_rpm": s.MotorSpeed * 60 / (2 * math.Pi), "counts_per_mm": s.CountsPerM / 1000, "motor_accel_rad_s2": s.MotorAccel,
	}, err
}

func followingError(in Values) (Values, error) {
	e, window, err := tuning.PositionLoop{Gain: in.Num("position_gain_per_s"), FeedForward: in.Num("velocity_feedforward")}.Following(in.Num("speed_m_s"), 0)
	return Values{"following_error_mm": e * 1000, "window_mm": window * 1000}, err
}

func toolPull(in Values) (Values, error) {
	var x []float64
	for _, mm := range in.Nums("deflection_mm") {
		x = append(x, mm/1000)
	}
	p, err := asbuilt.FitPull(in.Nums("force_N"), x)
	return Values{"stiffness_N_per_mm": p.Stiffness / 1000, "offset_mm": p.Offset * 1000, "hysteresis_mm": p.Hysteresis * 1000}, err
}

func ringDown(in Values) (Values, error) {
	r, err := asbuilt.Decay{First: in.Num("first_peak"), Last: in.Num("last_peak"), Periods: int(in.Num("periods_between")), Period: in.Num("period_s")}.Ring()
	return Values{"log_decrement": r.Decrement, "damping_ratio": r.Damping, "damped_frequency_hz": r.Damped, "natural_frequency_hz": r.Natural}, err
}

func normalisedError(in Values) (Values, error) {
	e, err := asbuilt.NormalisedError(in.Num("measured"), in.Num("U_measured"), in.Num("predicted"), in.Num("U_predicted"))
	return Values{"E_n": e}, err
}

func guarded(in Values) (Values, error) {
	var out []string
	for _, y := range in.Nums("measured_mm") {
		out = append(out, string(asbuilt.AtMost(y, in.Num("U_mm"), in.Num("limit_mm"))))
	}
	return Values{"verdict": out}, nil
}
