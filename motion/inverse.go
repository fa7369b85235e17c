package motion

import (
	"errors"
	"fmt"
	"math"
)

// ErrTooShort is returned, wrapped with the least possible time, if a stroke
// cannot be done in the time given.
var ErrTooShort = errors.New("the time is too short")

// PlanTime returns the move over a stroke in m that takes the given duration in
// s at the least peak speed, with the accelerations and jerks of the limits and
// a speed not above theirs. Slowing a move down this way spares speed, not
// acceleration; see LeastAccel and OneThird for the other choices.
//
// Without jerk limit and with a = d it is v = (a T - √(a² T² - 4 a s))/2, which
// exists for a T² >= 4 s. In general v solves s/v + (T_up(v) + T_down(v))/2 = T,
// whose left side falls with v as long as s/v covers both ramps.
//
// It returns ErrTooShort if the quickest move within the limits takes longer,
// and ErrLimits as Plan does.
//
// Source: derived (kinematics of the trapezoid and of the seven-segment move).
func PlanTime(stroke, duration float64, l Limits) (Profile, error) {
	quickest, err := Plan(stroke, l)
	if err != nil {
		return Profile{}, err
	}
	if !(duration >= 0) || math.IsInf(duration, 1) {
		return Profile{}, fmt.Errorf("%w: time %g s", ErrLimits, duration)
	}
	if stroke == 0 {
		return Profile{}, nil
	}
	least := quickest.Duration()
	if !(duration >= least*(1-sameStroke)) {
		return Profile{}, fmt.Errorf("%w: %.6g s, at least %.6g s", ErrTooShort, duration, least)
	}
	if duration <= least*(1+sameStroke) {
		return quickest, nil
	}
	up, down, _ := l.sides() // judged by Plan
	l.Speed = speedForTime(math.Abs(stroke), duration, quickest.speed, up, down)
	return Plan(stroke, l)
}

// speedForTime solves s/v + (T_up(v) + T_down(v))/2 = duration on (0, most].
func speedForTime(s, duration, most float64, up, down side) float64 {
	k := (1/up.accel + 1/down.accel) / 2
	c := duration - (up.accel/up.jerk+down.accel/down.jerk)/2
	if root := c*c - 4*k*s; c > 0 && root >= 0 { // both ramps reach their acceleration
		if v := 2 * s / (c + math.Sqrt(root)); v >= up.threshold() && v >= down.threshold() {
			return v
		}
	}
	low, high := s/duration, most // s/v alone is too long at the one end, all is too short at the other
	for {
		v := low + (high-low)/2
		if v <= low || v >= high { // neighbours
			return high
		}
		if s/v+(up.to(v).duration()+down.to(v).duration())/2 > duration {
			low = v
		} else {
			high = v
		}
	}
}

// OneThird returns the trapezoid whose three parts take a third of the duration
// each: v = 1.5 s/T, a = 4.5 s/T². Of all symmetric trapezoids for a stroke in
// m and a duration in s it has the smallest RMS acceleration, a √(2/3).
//
// Source: derived (minimum of 1/(t_a (T - t_a)²) at t_a = T/3).
func OneThird(stroke, duration float64) (Profile, error) {
	if err := checkStroke(stroke); err != nil {
		return Profile{}, err
	}
	if !(duration > 0) || math.IsInf(duration, 1) {
		return Profile{}, fmt.Errorf("%w: time %g s, must be above 0", ErrLimits, duration)
	}
	if stroke == 0 {
		return Profile{}, nil
	}
	s, third := math.Abs(stroke), duration/3
	r := ramp{flatTime: third, accel: 4.5 * s / (duration * duration)}
	p := assemble(s, 1.5*s/duration, r, r, third)
	p.governs = LimitSpeed
	if stroke < 0 {
		p = p.Scaled(-1)
	}
	return p, nil
}

// LeastAccel returns the smallest acceleration, m/s², with which a stroke in m
// is done in a duration in s without exceeding a speed in m/s, without jerk
// limit and with equal ramps: 4 s/T² as a triangle, or v/(T - s/v) where the
// triangle would be too fast. It returns ErrTooShort if even at once at full
// speed the way takes longer.
//
// Source: derived (kinematics).
func LeastAccel(stroke, duration, speed float64) (float64, error) {
	s := math.Abs(stroke)
	if !(duration > 0) || !(speed > 0) || !(s >= 0) {
		return 0, fmt.Errorf("%w: stroke %g m in %g s at %g m/s", ErrLimits, stroke, duration, speed)
	}
	if 2*s/duration <= speed {
		return 4 * s / (duration * duration), nil
	}
	if spare := duration - s/speed; spare > 0 {
		return speed / spare, nil
	}
	return 0, fmt.Errorf("%w: %.6g s, more than %.6g s is needed", ErrTooShort, duration, s/speed)
}
