package motion

import (
	"errors"
	"math"
	"math/cmplx"
)

// Impulse is one copy of the command in a shaper.
type Impulse struct {
	Time      float64 // s, the first at 0
	Amplitude float64 // part of the command; all sum to 1
}

// Shaper is a train of impulses. A command is replaced by the sum of its copies
// at the impulses' times and amplitudes, which makes the swings that the copies
// cause cancel. The move grows by the time of the last impulse.
//
// A shaper tuned at one place of an axis loses its effect where the frequency
// differs; see Residual and Band.
type Shaper []Impulse

// ZV returns the two-impulse shaper of zero residual at the mode:
// K = exp(-ζπ/√(1-ζ²)), amplitudes [1, K]/(1+K) at 0 and half a period.
//
// Source: Singer & Seering, J. Dyn. Sys. Meas. Control 112 (1990) 76–82.
func ZV(m Mode) Shaper {
	k, half := m.halfSwing(), m.Period()/2
	return Shaper{{0, 1 / (1 + k)}, {half, k / (1 + k)}}
}

// ZVD returns the three-impulse shaper whose residual also has no slope at the
// mode: amplitudes [1, 2K, K²]/(1+K)² at 0, half and one period.
//
// Source: Singer & Seering, J. Dyn. Sys. Meas. Control 112 (1990) 76–82.
func ZVD(m Mode) Shaper {
	k, half := m.halfSwing(), m.Period()/2
	sum := (1 + k) * (1 + k)
	return Shaper{{0, 1 / sum}, {half, 2 * k / sum}, {2 * half, k * k / sum}}
}

// halfSwing returns K, the part of an amplitude that half a free swing leaves.
func (m Mode) halfSwing() float64 {
	return math.Exp(-m.Damping * math.Pi / math.Sqrt(1-m.Damping*m.Damping))
}

// Delay returns the time by which moves grow, s.
func (s Shaper) Delay() float64 {
	if len(s) == 0 {
		return 0
	}
	return s[len(s)-1].Time
}

// Residual returns V, the swing of a mode under the shaped impulse relative to
// the unshaped one: exp(-ζω t_n) √(C² + S²) with C = Σ A_i exp(ζω t_i) cos(ω_d t_i)
// and S likewise with the sine. 0: no swing, 1: the shaper does nothing.
//
// Source: Singer & Seering 1990.
func (s Shaper) Residual(m Mode) float64 {
	lambda := complex(-m.Damping*m.omega(), m.damped())
	var sum complex128
	for _, i := range s {
		sum += complex(i.Amplitude, 0) * cmplx.Exp(lambda*complex(s.Delay()-i.Time, 0))
	}
	return cmplx.Abs(sum)
}

// Band returns the range of frequencies around that of a mode, in Hz, within
// which the residual V stays at or below a limit (0.05 is common practice, no
// source); ok is false if it is above the limit at the mode itself.
//
// It walks outwards by a thousandth of the frequency and then halves the step
// that crosses; the walk ends at 0 and at twice the frequency.
func (s Shaper) Band(m Mode, limit float64) (low, high float64, ok bool) {
	residual := func(f float64) float64 { return s.Residual(Mode{f, m.Damping}) }
	if !(residual(m.Frequency) <= limit) {
		return 0, 0, false
	}
	edge := func(direction float64) float64 {
		inside := m.Frequency
		for i := 1; i <= 1000; i++ {
			outside := m.Frequency * (1 + direction*float64(i)/1000)
			if residual(outside) <= limit {
				inside = outside
				continue
			}
			for math.Abs(outside-inside) > 1e-9*m.Frequency {
				if middle := (inside + outside) / 2; residual(middle) <= limit {
					inside = middle
				} else {
					outside = middle
				}
			}
			break
		}
		return inside
	}
	return edge(-1), edge(1), true
}

// ErrNotAtRest is returned for shaping a motion that does not begin and end at
// rest: its copies would jump.
var ErrNotAtRest = errors.New("a motion must begin and end at rest to be shaped")

// Shape returns the shaped command: a curve with the corners of all copies.
func (s Shaper) Shape(c Curve) (Curve, error) {
	if len(c) == 0 || len(s) == 0 {
		return c, nil
	}
	// Rounding leaves the end of a curve a few units in the last place from rest.
	if rest := 1e-9 * c.PeakSpeed(); !(math.Abs(c[0].Speed) <= rest && math.Abs(c.Last().Speed) <= rest) {
		return nil, ErrNotAtRest
	}
	var corners []float64
	for _, i := range s {
		for _, t := range c.Corners() {
			corners = append(corners, t+i.Time)
		}
	}
	corners = distinct(corners)
	shaped := make(Curve, 0, len(corners)-1)
	for k := 1; k < len(corners); k++ {
		from, to := corners[k-1], corners[k]
		sum := Segment{Start: from, Duration: to - from}
		for _, i := range s {
			law := c.lawAt((from+to)/2 - i.Time)
			state := law.At(from - i.Time)
			sum.Position += i.Amplitude * state.Position
			sum.Speed += i.Amplitude * state.Speed
			sum.Accel += i.Amplitude * state.Accel
			sum.Jerk += i.Amplitude * law.Jerk
		}
		shaped = append(shaped, sum)
	}
	return shaped, nil
}

// lawAt returns the segment that holds at time t, or standstill before and
// after the curve.
func (c Curve) lawAt(t float64) Segment {
	i := c.index(t)
	switch {
	case i < 0:
		return Segment{State: State{Position: c[0].Position}}
	case i >= len(c):
		return Segment{State: State{Position: c.Last().Position}}
	}
	return c[i]
}
