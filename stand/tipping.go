package stand

import (
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// Weight is a mass with its centre.
type Weight struct {
	Mass   float64    // kg
	Centre [3]float64 // m, W
}

// Together is the weight of several parts as one.
func Together(parts []Weight) Weight {
	var w Weight
	for _, p := range parts {
		w.Mass += p.Mass
		for k := range w.Centre {
			w.Centre[k] += p.Mass * p.Centre[k]
		}
	}
	for k := range w.Centre {
		w.Centre[k] /= w.Mass
	}
	return w
}

// Action is a force on the machine besides its weight.
type Action struct {
	Force [3]float64 // N, W
	At    [3]float64 // m, W
}

// Reaction is the force -m a of a mass that the machine accelerates, on the machine.
func Reaction(part Weight, acceleration [3]float64) Action {
	a := Action{At: part.Centre}
	for k := range a.Force {
		a.Force[k] = -part.Mass * acceleration[k]
	}
	return a
}

// Tipping is the balance about one edge of the footprint.
type Tipping struct {
	From, To    int     // feet at the ends of the edge
	Stabilising float64 // M_stab, N m
	Overturning float64 // M_tip, N m, >= 0
	Factor      float64 // M_stab/M_tip; +Inf where nothing overturns
}

// LimitState is the utilisation 1.5 M_tip/(0.9 M_stab) of the formal proof with
// partial factors. Source: EN 1990, EQU, factors from memory.
func (t Tipping) LimitState() float64 {
	switch {
	case t.Overturning == 0 && t.Stabilising >= 0:
		return 0
	case t.Stabilising <= 0:
		return math.Inf(1)
	}
	return 1.5 * t.Overturning / (0.9 * t.Stabilising)
}

// newTipping forms the factor. A weight whose centre lies outside the edge
// overturns by itself: its factor is 0 or below, whatever else acts.
func newTipping(e edge, stabilising, overturning float64) Tipping {
	t := Tipping{From: e.from, To: e.to, Stabilising: stabilising, Overturning: math.Max(0, overturning)}
	switch {
	case t.Overturning > 0:
		t.Factor = stabilising / t.Overturning
	case stabilising > 0:
		t.Factor = math.Inf(1)
	}
	return t
}

// Tipping returns the balance about every edge of the footprint.
//
//	M_stab = m g d      d: centre of mass to the edge, positive inside
//	M_tip  = max(0, sum [F_out z + F_z d])      F_out: force outwards, F_z: upwards
//
// The weight alone stabilises; forces that act inwards take from the
// overturning ones of the same set but never add to the weight.
//
// Source: rigid-body statics.
func (f Footprint) Tipping(w Weight, actions []Action) ([]Tipping, error) {
	if err := validate(w, actions); err != nil {
		return nil, err
	}
	out := make([]Tipping, len(f.edges))
	for k, e := range f.edges {
		overturning := 0.0
		for _, a := range actions {
			outwards := a.Force[0]*e.out.X + a.Force[1]*e.out.Y
			overturning += outwards*a.At[2] + a.Force[2]*e.inside(a.At[0], a.At[1])
		}
		out[k] = newTipping(e, w.Mass*quantity.StandardGravity*e.inside(w.Centre[0], w.Centre[1]), overturning)
	}
	return out, nil
}

// Pushed returns the balance about every edge when a horizontal force (N) at a
// height (m) pushes straight over it.
func (f Footprint) Pushed(w Weight, force, height float64) ([]Tipping, error) {
	if err := validate(w, nil); err != nil {
		return nil, err
	}
	if !(force >= 0) || !(height >= 0) {
		return nil, fmt.Errorf("%w: push of %g N at %g m", given.ErrRefused, force, height)
	}
	out := make([]Tipping, len(f.edges))
	for k, e := range f.edges {
		out[k] = newTipping(e, w.Mass*quantity.StandardGravity*e.inside(w.Centre[0], w.Centre[1]), force*height)
	}
	return out, nil
}

// Tilted returns the balance about every edge when the floor is tilted by an
// angle (rad) straight over it.
//
//	M_stab = m g d cos a      M_tip = m g z sin a
//
// Source: rigid-body statics.
func (f Footprint) Tilted(w Weight, angle float64) ([]Tipping, error) {
	if err := validate(w, nil); err != nil {
		return nil, err
	}
	if !(angle >= 0 && angle < math.Pi/2) {
		return nil, fmt.Errorf("%w: tilt of %g rad", given.ErrRefused, angle)
	}
	weight := w.Mass * quantity.StandardGravity
	out := make([]Tipping, len(f.edges))
	for k, e := range f.edges {
		out[k] = newTipping(e, weight*e.inside(w.Centre[0], w.Centre[1])*math.Cos(angle), weight*w.Centre[2]*math.Sin(angle))
	}
	return out, nil
}

func validate(w Weight, actions []Action) error {
	if !(w.Mass > 0) || !(w.Centre[2] >= 0) || !finite(w.Mass, w.Centre[0], w.Centre[1], w.Centre[2]) {
		return fmt.Errorf("%w: %g kg at %v m", given.ErrRefused, w.Mass, w.Centre)
	}
	for _, a := range actions {
		if !finite(a.Force[:]...) || !finite(a.At[:]...) {
			return fmt.Errorf("%w: force %v N at %v m", given.ErrRefused, a.Force, a.At)
		}
	}
	return nil
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
