package motion

import (
	"fmt"
	"math"
)

// MatchedJerkTime returns the shortest jerk time, s, that is a whole number of
// periods of a frequency in Hz and keeps to the jerk limits when the
// acceleration limits are reached: n/f with the least n >= 1 for which
// a/j <= n/f holds on both ramps.
//
// A jerk time of a whole number of periods leaves no swing at that frequency
// after a move of any stroke (undamped; little if damped), see
// [Mode.Residual].
//
// Source: derived (the spectrum of a ramp of length t_j is zero at n/t_j).
func MatchedJerkTime(frequency float64, l Limits) (float64, error) {
	up, down, err := l.sides()
	if err != nil {
		return 0, err
	}
	if !(frequency > 0) || math.IsInf(frequency, 1) {
		return 0, fmt.Errorf("%w: frequency %g Hz", ErrLimits, frequency)
	}
	needed := math.Max(up.accel/up.jerk, down.accel/down.jerk) * frequency // periods
	// A jerk limit that was itself computed from a whole number of periods must
	// not cost one more period by a rounding.
	periods := math.Max(1, math.Ceil(needed*(1-1e-12)))
	return periods / frequency, nil
}

// PlanJerkTime returns the quickest move over a stroke in m whose four jerk
// parts all take the given time in s, within the limits of speed and
// acceleration. The jerk follows from it: a/t_j where the acceleration limit
// is reached, less on short moves; the jerk limits are not used.
//
// A ramp to speed v takes t_j + max(v/a, t_j). Without constant speed, v solves
// v/2 (2 t_j + max(v/a, t_j) + max(v/d, t_j)) = s.
//
// Source: derived.
func PlanJerkTime(stroke float64, l Limits, jerkTime float64) (Profile, error) {
	up, down, err := l.sides()
	if err == nil {
		err = checkStroke(stroke)
	}
	if err == nil && (!(jerkTime > 0) || math.IsInf(jerkTime, 1)) {
		err = fmt.Errorf("%w: jerk time %g s, must be above 0", ErrLimits, jerkTime)
	}
	if err != nil || stroke == 0 {
		return Profile{}, err
	}
	s := math.Abs(stroke)
	rampTo := func(v, accel float64) ramp {
		flat := math.Max(0, v/accel-jerkTime)
		return ramp{jerkTime: jerkTime, flatTime: flat, accel: v / (jerkTime + flat)}
	}
	distance := func(v float64) float64 {
		return v / 2 * (rampTo(v, up.accel).duration() + rampTo(v, down.accel).duration())
	}
	speed, cruise := l.Speed, 0.0
	if ramps := distance(speed); s > ramps*(1+sameStroke) {
		cruise = (s - ramps) / speed
	} else {
		low, high := min(up.accel, down.accel)*jerkTime, max(up.accel, down.accel)*jerkTime
		switch { // how many ramps reach their acceleration: none, the weaker, both
		case s <= distance(low):
			speed = s / (2 * jerkTime)
		case s <= distance(high):
			speed = quadraticSpeed(s, 1/(2*min(up.accel, down.accel)), 3*jerkTime/2)
		default:
			speed = quadraticSpeed(s, (1/up.accel+1/down.accel)/2, jerkTime)
		}
		speed = math.Min(speed, l.Speed)
	}
	p := assemble(s, speed, rampTo(speed, up.accel), rampTo(speed, down.accel), cruise)
	switch {
	case cruise > 0:
		p.governs = LimitSpeed
	case p.up.flatTime > 0 || p.down.flatTime > 0:
		p.governs = LimitAccel
	default:
		p.governs = LimitJerk
	}
	if stroke < 0 {
		p = p.Scaled(-1)
	}
	return p, nil
}
