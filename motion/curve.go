package motion

import (
	"math"
	"slices"
	"sort"
)

// State is a motion at one instant.
type State struct {
	Position float64 // m
	Speed    float64 // m/s, signed
	Accel    float64 // m/s², signed
}

// Segment is a stretch of time with constant jerk. Acceleration may jump from
// one segment to the next (a motion without jerk limit); position and speed do
// not.
type Segment struct {
	Start    float64 // s
	Duration float64 // s, >= 0
	State            // at Start
	Jerk     float64 // m/s³, signed
}

// At returns the state at time t, in s. Outside the segment its law is
// continued.
func (s Segment) At(t float64) State { return s.after(t - s.Start) }

// after returns the state a time u, in s, after the start of the segment.
// Durations are known to more digits than the difference of two late times.
func (s Segment) after(u float64) State {
	return State{
		Position: s.Position + u*(s.Speed+u*(s.Accel/2+u*s.Jerk/6)),
		Speed:    s.Speed + u*(s.Accel+u*s.Jerk/2),
		Accel:    s.Accel + u*s.Jerk,
	}
}

// End returns the time at which the segment ends, s.
func (s Segment) End() float64 { return s.Start + s.Duration }

// Last returns the state at the end of the segment.
func (s Segment) Last() State { return s.after(s.Duration) }

// Curve is a motion over time: segments that follow each other without a gap.
type Curve []Segment

// Piece is a stretch of a motion given by its own law alone.
type Piece struct {
	Duration float64 // s, >= 0
	Accel    float64 // m/s², at its start
	Jerk     float64 // m/s³
}

// Chain strings pieces together, from a position and speed at time start.
// Pieces without duration are left out.
func Chain(start float64, from State, pieces ...Piece) Curve {
	c := make(Curve, 0, len(pieces))
	at := from
	for _, p := range pieces {
		if !(p.Duration > 0) {
			continue
		}
		at.Accel = p.Accel
		s := Segment{Start: start, Duration: p.Duration, State: at, Jerk: p.Jerk}
		c = append(c, s)
		at, start = s.Last(), s.End()
	}
	return c
}

// Start returns the time of the first segment, s; 0 for an empty curve.
func (c Curve) Start() float64 {
	if len(c) == 0 {
		return 0
	}
	return c[0].Start
}

// End returns the time at which the last segment ends, s; 0 for an empty curve.
func (c Curve) End() float64 {
	if len(c) == 0 {
		return 0
	}
	return c[len(c)-1].End()
}

// Last returns the state at the end.
func (c Curve) Last() State {
	if len(c) == 0 {
		return State{}
	}
	return c[len(c)-1].Last()
}

// At returns the state at time t, in s. Before its start the curve stands at
// its first position, from its end on at its last. Where the acceleration
// jumps, the value after the jump is returned.
func (c Curve) At(t float64) State {
	switch i := c.index(t); {
	case len(c) == 0:
		return State{}
	case i < 0:
		return State{Position: c[0].Position}
	case i >= len(c):
		return State{Position: c.Last().Position}
	default:
		return c[i].At(t)
	}
}

// index returns which segment holds at time t: -1 before the start, len(c)
// from the end on.
func (c Curve) index(t float64) int {
	if t >= c.End() {
		return len(c)
	}
	return sort.Search(len(c), func(i int) bool { return c[i].Start > t }) - 1
}

// Between returns the part of the curve from time t1 to time t2, in s. What is
// left of a segment only by rounding is dropped.
func (c Curve) Between(t1, t2 float64) Curve {
	var part Curve
	sliver := sameTime * max(math.Abs(t1), math.Abs(t2), math.Abs(c.End()))
	for _, s := range c {
		from, to := math.Max(s.Start, t1), math.Min(s.End(), t2)
		switch {
		case from == s.Start && to == s.End():
			part = append(part, s) // with all digits of its duration
		case to-from > sliver:
			part = append(part, Segment{Start: from, Duration: to - from, State: s.At(from), Jerk: s.Jerk})
		}
	}
	return part
}

// Corners returns the times at which the law changes, start and end included,
// in s, ascending.
func (c Curve) Corners() []float64 {
	var times []float64
	for _, s := range c {
		times = append(times, s.Start)
	}
	if len(c) > 0 {
		times = append(times, c.End())
	}
	return distinct(times)
}

// sameTime is the part of a whole time span below which two corners are one:
// a few hundred roundings of the sums from which corners come.
const sameTime = 1e-13

// distinct sorts times and drops those that only rounding sets apart.
func distinct(times []float64) []float64 {
	if len(times) == 0 {
		return times
	}
	slices.Sort(times)
	span := math.Max(math.Abs(times[0]), math.Abs(times[len(times)-1]))
	return slices.CompactFunc(times, func(a, b float64) bool { return math.Abs(a-b) <= sameTime*span })
}

// PeakSpeed returns the greatest |speed|, m/s.
func (c Curve) PeakSpeed() float64 {
	peak := 0.0
	for _, s := range c {
		peak = max(peak, math.Abs(s.Speed), math.Abs(s.Last().Speed))
		if u := -s.Accel / s.Jerk; u > 0 && u < s.Duration { // speed turns where acceleration passes 0
			peak = math.Max(peak, math.Abs(s.after(u).Speed))
		}
	}
	return peak
}

// PeakAccel returns the greatest |acceleration|, m/s².
func (c Curve) PeakAccel() float64 {
	peak := 0.0
	for _, s := range c {
		peak = max(peak, math.Abs(s.Accel), math.Abs(s.Accel+s.Jerk*s.Duration))
	}
	return peak
}

// PeakJerk returns the greatest |jerk| inside the segments, m/s³. Jumps of the
// acceleration are not counted.
func (c Curve) PeakJerk() float64 {
	peak := 0.0
	for _, s := range c {
		peak = math.Max(peak, math.Abs(s.Jerk))
	}
	return peak
}

// SquareAccel returns the integral of acceleration squared over time, m²/s³.
//
// On a segment from a1 to a2 in time T it is T (a1² + a1 a2 + a2²)/3.
// Source: derived (square of a linear function).
func (c Curve) SquareAccel() float64 {
	sum := 0.0
	for _, s := range c {
		a1, a2 := s.Accel, s.Accel+s.Jerk*s.Duration
		sum += s.Duration * (a1*a1 + a1*a2 + a2*a2) / 3
	}
	return sum
}

// CubeAccel returns the integral of |acceleration|³ over time, m³/s⁵.
//
// On a segment from a1 to a2 of one sign it is T (|a1| + |a2|)(a1² + a2²)/4;
// a segment that changes sign is split there. Source: derived.
func (c Curve) CubeAccel() float64 {
	sum := 0.0
	for _, s := range c {
		a1, a2 := s.Accel, s.Accel+s.Jerk*s.Duration
		if a1*a2 < 0 {
			sum += s.Duration * (math.Pow(a1, 4) + math.Pow(a2, 4)) / (4 * math.Abs(a2-a1))
			continue
		}
		sum += s.Duration * (math.Abs(a1) + math.Abs(a2)) * (a1*a1 + a2*a2) / 4
	}
	return sum
}

// RMSAccel returns the root mean square of the acceleration over a period in
// s, m/s²; the time beyond the curve counts as standstill.
func (c Curve) RMSAccel(period float64) float64 {
	return math.Sqrt(c.SquareAccel() / period)
}
