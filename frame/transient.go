package frame

import (
	"errors"
	"math"
	"sort"
)

// Recurrence carries an oscillator d²q/dt² + 2ζω dq/dt + ω² q = p exactly over one step on which p is linear in time:
//
//	q1  = A q0 + B v0 + C p0 + D p1
//	v1  = A' q0 + B' v0 + C' p0 + D' p1
//
// Source: Nigam & Jennings (1969); Chopra, Dynamics of Structures (both from memory); derived again and checked against
// the differential equation in the tests.
type Recurrence struct {
	A, B, C, D     float64 // 1, s, s², s²
	A1, B1, C1, D1 float64 // 1/s, 1, s, s
}

// NewRecurrence returns the recurrence for the angular frequency w (rad/s, above 0), damping ratio z in [0, 1) and step
// h (s, above 0).
func NewRecurrence(w, z, h float64) Recurrence {
	root := math.Sqrt(1 - z*z)
	wd, r := w*root, z/root
	e := math.Exp(-z * w * h)
	s, c := math.Sincos(wd * h)
	x := 2 * z / (w * h)
	return Recurrence{
		A:  e * (r*s + c),
		B:  e * s / wd,
		C:  (x + e*(((1-2*z*z)/(wd*h)-r)*s-(1+x)*c)) / (w * w),
		D:  (1 - x + e*((2*z*z-1)/(wd*h)*s+x*c)) / (w * w),
		A1: -e * w * s / root,
		B1: e * (c - r*s),
		C1: (-1/h + e*((w/root+r/h)*s+c/h)) / (w * w),
		D1: (1 - e*(r*s+c)) / (w * w * h),
	}
}

// Step carries displacement and velocity over one step.
func (r *Recurrence) Step(q, v, p0, p1 float64) (q1, v1 float64) {
	return r.A*q + r.B*v + r.C*p0 + r.D*p1, r.A1*q + r.B1*v + r.C1*p0 + r.D1*p1
}

// Polyline is a function of time that is linear between its knots and constant outside. Knots rise strictly.
type Polyline struct {
	T []float64 // s
	Y []float64
}

// At evaluates the function.
func (p Polyline) At(t float64) float64 {
	i := sort.SearchFloat64s(p.T, t)
	switch {
	case len(p.T) == 0:
		return 0
	case i == 0:
		return p.Y[0]
	case i == len(p.T):
		return p.Y[i-1]
	}
	f := (t - p.T[i-1]) / (p.T[i] - p.T[i-1])
	return p.Y[i-1] + f*(p.Y[i]-p.Y[i-1])
}

func (p Polyline) sound() bool {
	if len(p.T) != len(p.Y) || len(p.T) == 0 {
		return false
	}
	for i, t := range p.T {
		if math.IsNaN(t) || math.IsInf(t, 0) || math.IsNaN(p.Y[i]) || math.IsInf(p.Y[i], 0) || i > 0 && !(t > p.T[i-1]) {
			return false
		}
	}
	return true
}

// Input is a force pattern that varies in time.
type Input struct {
	Pattern Case     // forces, line loads and fields at the value 1; the field of an axis is -1 m/s² on what it moves
	Value   Polyline // factor over time
}

// Trace is a displacement over time.
type Trace struct {
	T []float64 // s
	Y []float64 // unit of the measure
}

// ErrInput says that an input of a transient is not usable.
var ErrInput = errors.New("frame: transient: times must rise strictly, and values be finite")

// Transient returns measures over time, from rest at the first of the times (s, rising strictly), as superposition of
// modes that is exact for inputs that are linear between their knots: every knot becomes a step. correct adds the
// static response of the modes that are left out; it costs one static solution an input.
//
// The error is ErrResponse, ErrInput, Problems, or that of a static solution.
func (r *Response) Transient(s *System, inputs []Input, measures []Measure, times []float64, correct bool) ([]Trace, error) {
	if err := r.usable(); err != nil {
		return nil, err
	}
	if !(Polyline{times, times}).sound() {
		return nil, ErrInput
	}
	forces := make([][]float64, len(inputs)) // modal force of each input at value 1
	rest := make([][]float64, len(inputs))   // static remainder of each measure
	shapes := make([][]float64, len(measures))
	for k, q := range measures {
		var err error
		if shapes[k], err = r.Modes.along(q); err != nil {
			return nil, err
		}
	}
	for i := range inputs {
		if !inputs[i].Value.sound() {
			return nil, ErrInput
		}
		check := s.checker()
		check.loads(&inputs[i].Pattern)
		if len(check.problems) > 0 {
			return nil, check.problems
		}
		full := s.loading(&inputs[i].Pattern).full
		for _, shape := range r.Modes.shapes {
			forces[i] = append(forces[i], dotProduct(shape, full))
		}
		if !correct {
			continue
		}
		var err error
		if rest[i], err = r.remainder(s, &inputs[i].Pattern, forces[i], measures, shapes); err != nil {
			return nil, err
		}
	}
	out := make([]Trace, len(measures))
	for k := range out {
		out[k] = Trace{times, make([]float64, len(times))}
	}
	for mode := range r.Modes.shapes {
		q := r.march(mode, inputs, forces, times)
		for k := range measures {
			for j := range times {
				out[k].Y[j] += shapes[k][mode] * q[j]
			}
		}
	}
	for i := range rest {
		for k, c := range rest[i] {
			for j, t := range times {
				out[k].Y[j] += c * inputs[i].Value.At(t)
			}
		}
	}
	return out, nil
}

// remainder returns the static response of each measure that the modes do not hold.
func (r *Response) remainder(s *System, pattern *Case, force []float64, measures []Measure, shapes [][]float64) ([]float64, error) {
	st, err := s.static(pattern)
	if err != nil {
		return nil, err
	}
	rest := make([]float64, len(measures))
	for k, q := range measures {
		if rest[k], err = q.Of(st); err != nil {
			return nil, err
		}
		for mode, f := range force {
			rest[k] -= shapes[k][mode] * f / r.Modes.lambda[mode]
		}
	}
	return rest, nil
}

// march returns the modal coordinate at the times, stepping over every knot of the inputs on the way.
func (r *Response) march(mode int, inputs []Input, forces [][]float64, times []float64) []float64 {
	knots := append([]float64(nil), times...)
	for i := range inputs {
		for _, t := range inputs[i].Value.T {
			if t > times[0] && t < times[len(times)-1] {
				knots = append(knots, t)
			}
		}
	}
	sort.Float64s(knots)
	force := func(t float64) float64 {
		p := 0.0
		for i := range inputs {
			p += forces[i][mode] * inputs[i].Value.At(t)
		}
		return p
	}
	w, z := math.Sqrt(r.Modes.lambda[mode]), r.Zeta[mode]
	out := make([]float64, 0, len(times))
	q, v, t, p := 0.0, 0.0, knots[0], force(knots[0])
	var step Recurrence
	var width float64
	next := 0
	for _, to := range knots {
		if h := to - t; h > 0 {
			if h != width {
				step, width = NewRecurrence(w, z, h), h
			}
			p1 := force(to)
			q, v = step.Step(q, v, p, p1)
			t, p = to, p1
		}
		if next < len(times) && to == times[next] {
			out = append(out, q)
			next++
		}
	}
	return out
}
