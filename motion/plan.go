package motion

import "math"

// Plan returns the quickest move from rest to rest over a stroke in m (of
// either sign) within the limits.
//
// With t_j the time of one jerk part and T_r the whole time of a ramp to
// speed v under acceleration a and jerk j,
//
//	v >= a²/j:  t_j = a/j       T_r = v/a + a/j      (acceleration limit reached)
//	otherwise:  t_j = √(v/j)    T_r = 2 √(v/j)
//	distance of both ramps  D(v) = v/2 (T_up + T_down)
//
// If D(v_max) < s the rest of the stroke runs at v_max; otherwise the peak
// speed solves D(v) = s. Without jerk limit this is the trapezoid or triangle,
// with it the seven-segment move in all its shorter forms, each also with
// different limits on the way down.
//
// It returns ErrLimits, wrapped, for a limit or stroke that is no number of
// the right sign.
//
// Source: Biagiotti & Melchiorri, Trajectory Planning for Automatic Machines
// and Robots, Springer 2008, sections 3.2 and 3.4 (numbers from memory); the
// form with unequal ramps is derived.
func Plan(stroke float64, l Limits) (Profile, error) {
	up, down, err := l.sides()
	if err == nil {
		err = checkStroke(stroke)
	}
	if err != nil || stroke == 0 {
		return Profile{}, err
	}
	s := math.Abs(stroke)
	speed, cruise := l.Speed, 0.0
	if ramps := rampDistance(l.Speed, up, down); s > ramps*(1+sameStroke) {
		cruise = (s - ramps) / l.Speed
	} else {
		speed = math.Min(l.Speed, peakSpeed(s, up, down))
	}
	p := assemble(s, speed, up.to(speed), down.to(speed), cruise)
	switch {
	case cruise > 0:
		p.governs = LimitSpeed
	case p.up.accel >= up.accel || p.down.accel >= down.accel:
		p.governs = LimitAccel
	default:
		p.governs = LimitJerk
	}
	if stroke < 0 {
		p = p.Scaled(-1)
	}
	return p, nil
}

// sameStroke is the part of the stroke below which a constant-speed part is
// rounding and no part of the move: some tens of roundings.
const sameStroke = 1e-14

// to returns the quickest ramp from rest to a speed.
func (l side) to(speed float64) ramp {
	if speed*l.jerk >= l.accel*l.accel {
		t := l.accel / l.jerk
		return ramp{jerkTime: t, flatTime: math.Max(0, speed/l.accel-t), accel: l.accel}
	}
	t := math.Sqrt(speed / l.jerk)
	return ramp{jerkTime: t, accel: l.jerk * t}
}

func rampDistance(speed float64, up, down side) float64 {
	return speed / 2 * (up.to(speed).duration() + down.to(speed).duration())
}

// peakSpeed solves D(v) = s for the peak speed of a move without constant
// speed, s > 0.
//
// Each ramp covers v²/(2a) + v a/(2j) above v = a²/j and √(v³/j) below. With
// both above, D is a quadratic, with both below a power; between the two
// thresholds it is a quartic in √v, increasing and convex, on which Newton's
// iteration from above cannot miss.
func peakSpeed(s float64, up, down side) float64 {
	late, early := up, down // the one with the higher threshold, and the other
	if early.threshold() > late.threshold() {
		late, early = early, late
	}
	switch {
	case s >= rampDistance(late.threshold(), up, down):
		return quadraticSpeed(s, (1/up.accel+1/down.accel)/2, (up.accel/up.jerk+down.accel/down.jerk)/2)
	case s <= rampDistance(early.threshold(), up, down):
		r := math.Cbrt(s / (1/math.Sqrt(up.jerk) + 1/math.Sqrt(down.jerk)))
		return r * r
	}
	k4, k3, k2 := 1/(2*early.accel), 1/math.Sqrt(late.jerk), early.accel/(2*early.jerk)
	// No term alone exceeds s: this starts above the root, by a factor of √3 at most.
	w := min(math.Sqrt(math.Sqrt(s/k4)), math.Cbrt(s/k3), math.Sqrt(s/k2))
	for range maxNewton {
		excess := w*w*(k2+w*(k3+w*k4)) - s
		step := excess / (w * (2*k2 + w*(3*k3+w*4*k4)))
		w -= step
		if !(step > 1e-15*w) {
			break
		}
	}
	return w * w
}

// maxNewton is twice what the worst start needs: at first each step takes at
// least a quarter of the excess, then the digits double.
const maxNewton = 20

// threshold returns the speed from which on the ramp reaches its acceleration limit.
func (l side) threshold() float64 { return l.accel * l.accel / l.jerk }

// quadraticSpeed returns the positive root of k v² + c v = s in the form
// without cancellation.
func quadraticSpeed(s, k, c float64) float64 {
	return 2 * s / (c + math.Sqrt(c*c+4*k*s))
}
