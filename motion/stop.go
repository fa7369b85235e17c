package motion

import (
	"errors"
	"fmt"
	"math"
)

// Onset says how the deceleration of a stop comes and goes.
type Onset uint8

// The shapes of a stop.
const (
	OnsetAbrupt Onset = iota // constant deceleration from beginning to end
	OnsetJerk                // rises with the jerk, then stays until rest
	OnsetSCurve              // rises and falls with the jerk
)

// ControlledStop is a stop by the drive, along one axis.
//
// The deceleration must be available from drive, belt, joints and structure at
// the moving mass. The distance is not a safety distance in the sense of
// ISO 13855, which adds the approach of a person.
type ControlledStop struct {
	Speed    float64 // at the moment of the demand, m/s, >= 0
	Decel    float64 // m/s², > 0
	Jerk     float64 // m/s³, > 0; not used by OnsetAbrupt
	Onset    Onset
	Reaction float64 // from the demand until the deceleration begins: switch, controller, drive, s, >= 0
}

// Stopping is the way of a stop.
type Stopping struct {
	Distance  float64 // m, from the demand until rest
	Time      float64 // s, likewise
	PeakDecel float64 // m/s², reached
	PeakSpeed float64 // m/s, when the deceleration begins
	Curve     Curve   // the whole motion, from time 0 and position 0
}

// ErrStop is returned, wrapped with the value, for a stop that cannot be computed.
var ErrStop = errors.New("not a usable stop")

// Stop returns the way of the stop.
//
//	s = v t_r + s_dec
//	abrupt:               s_dec = v²/(2a)                          t = v/a
//	jerk, v >= a²/(2j):   s_dec = v²/(2a) + v t_j/2 - a t_j²/24    t = v/a + t_j/2,  t_j = a/j
//	jerk, below:          s_dec = 2/3 v √(2v/j)                    t = √(2v/j)
//	S-curve, v >= a²/j:   s_dec = v²/(2a) + v a/(2j)               t = v/a + a/j
//	S-curve, below:       s_dec = v √(v/j)                         t = 2 √(v/j)
//
// Source: derived (kinematics).
func (s ControlledStop) Stop() (Stopping, error) {
	if err := s.check(); err != nil {
		return Stopping{}, err
	}
	v, a, j := s.Speed, s.Decel, s.Jerk
	pieces := []Piece{{Duration: s.Reaction}}
	switch s.Onset {
	case OnsetAbrupt:
		pieces = append(pieces, Piece{v / a, -a, 0})
	case OnsetJerk:
		rise := math.Min(a/j, math.Sqrt(2*v/j))
		pieces = append(pieces, Piece{rise, 0, -j}, Piece{(v - j*rise*rise/2) / a, -a, 0})
	case OnsetSCurve:
		r := side{a, j}.to(v)
		pieces = append(pieces, Piece{r.jerkTime, 0, -r.jerk()}, Piece{r.flatTime, -r.accel, 0}, Piece{r.jerkTime, -r.accel, r.jerk()})
	}
	return stopping(v, pieces), nil
}

func (s ControlledStop) check() error {
	switch {
	case !(s.Speed >= 0) || math.IsInf(s.Speed, 1):
		return fmt.Errorf("%w: speed %g m/s", ErrStop, s.Speed)
	case !(s.Decel > 0) || math.IsInf(s.Decel, 1):
		return fmt.Errorf("%w: deceleration %g m/s², must be above 0", ErrStop, s.Decel)
	case !(s.Reaction >= 0) || math.IsInf(s.Reaction, 1):
		return fmt.Errorf("%w: reaction time %g s", ErrStop, s.Reaction)
	case s.Onset > OnsetSCurve:
		return fmt.Errorf("%w: onset %d is not known", ErrStop, s.Onset)
	case s.Onset != OnsetAbrupt && (!(s.Jerk > 0) || math.IsInf(s.Jerk, 1)):
		return fmt.Errorf("%w: jerk %g m/s³, must be above 0", ErrStop, s.Jerk)
	}
	return nil
}

// stopping sums up a stop from its pieces, from speed v.
func stopping(v float64, pieces []Piece) Stopping {
	c := Chain(0, State{Speed: v}, pieces...)
	end := c.Last()
	out := Stopping{Distance: end.Position, Time: c.End(), PeakSpeed: v, Curve: c}
	for _, s := range c {
		out.PeakDecel = max(out.PeakDecel, -s.Accel, -s.Last().Accel)
		out.PeakSpeed = max(out.PeakSpeed, s.Speed)
	}
	return out
}

// SpeedAfter returns how fast the axis still is when a distance in m from the
// demand has been run, m/s; 0 if it rests before. It is the speed at a hard
// stop that stands nearer than the stop takes.
func (s Stopping) SpeedAfter(distance float64) float64 {
	if distance >= s.Distance {
		return 0
	}
	for _, seg := range s.Curve {
		if seg.Last().Position <= distance {
			continue
		}
		if seg.Jerk == 0 {
			gone := math.Max(0, distance-seg.Position)
			return math.Sqrt(math.Max(0, seg.Speed*seg.Speed+2*seg.Accel*gone))
		}
		low, high := 0.0, seg.Duration // the axis runs one way, so position rises with time
		for range 60 {                 // halves a time of one second to a quintillionth
			middle := (low + high) / 2
			if seg.after(middle).Position < distance {
				low = middle
			} else {
				high = middle
			}
		}
		return seg.after(low).Speed
	}
	return 0
}

// WithMargin returns the distance with a fraction of it on top, at least the
// given length in m. A tenth or 10 mm is common practice, no source.
func (s Stopping) WithMargin(fraction, least float64) float64 {
	return s.Distance + math.Max(s.Distance*fraction, least)
}

// FastestWithin returns the greatest speed, m/s, from which the stop needs no
// more than a distance in m; the Speed of the stop is not used.
func (s ControlledStop) FastestWithin(distance float64) (float64, error) {
	s.Speed = 0
	if err := s.check(); err != nil {
		return 0, err
	}
	if !(distance >= 0) || math.IsInf(distance, 1) {
		return 0, fmt.Errorf("%w: distance %g m", ErrStop, distance)
	}
	low, high := 0.0, math.Sqrt(2*s.Decel*distance) // no onset and no reaction stops sooner than that
	for {
		middle := low + (high-low)/2
		if middle <= low || middle >= high { // neighbours
			return low, nil
		}
		s.Speed = middle
		stop, err := s.Stop()
		if err != nil {
			return 0, err
		}
		if stop.Distance <= distance {
			low = middle
		} else {
			high = middle
		}
	}
}

// Runaway is a drive that pushes at its full acceleration until a stop takes
// effect.
type Runaway struct {
	Speed    float64 // at the beginning, m/s, >= 0
	Accel    float64 // while running away, m/s², >= 0
	Reaction float64 // until the deceleration begins, s, >= 0
	Decel    float64 // m/s², > 0
	TopSpeed float64 // which the drive cannot exceed, m/s, >= Speed; 0 or +Inf: no such limit
}

// Stop returns the way of the run-away and its stop:
//
//	v_1 = min(v + a t_r, v_top)      s = v t_r + a t_r²/2 + v_1²/(2 d)
//
// where s holds while v_1 stays below the top speed; from there on the rest of
// the reaction time runs at the top speed.
//
// Source: derived (kinematics).
func (r Runaway) Stop() (Stopping, error) {
	top := r.TopSpeed
	if top == 0 {
		top = math.Inf(1)
	}
	if err := (ControlledStop{Speed: r.Speed, Decel: r.Decel, Reaction: r.Reaction}).check(); err != nil {
		return Stopping{}, err
	}
	if !(r.Accel >= 0) || math.IsInf(r.Accel, 1) {
		return Stopping{}, fmt.Errorf("%w: run-away acceleration %g m/s²", ErrStop, r.Accel)
	}
	if !(top >= r.Speed) {
		return Stopping{}, fmt.Errorf("%w: top speed %g m/s is below the speed %g m/s", ErrStop, r.TopSpeed, r.Speed)
	}
	rising := r.Reaction
	if r.Accel > 0 {
		rising = math.Min(rising, (top-r.Speed)/r.Accel)
	}
	v1 := math.Min(r.Speed+r.Accel*rising, top)
	return stopping(r.Speed, []Piece{{rising, r.Accel, 0}, {r.Reaction - rising, 0, 0}, {v1 / r.Decel, -r.Decel, 0}}), nil
}
