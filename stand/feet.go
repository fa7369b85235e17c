package stand

import (
	"errors"
	"fmt"
	"math"

	"spanwright/given"
)

// ErrTips is returned, wrapped in a [TipsError], when the feet that press cannot
// hold the machine up.
var ErrTips = errors.New("tips over")

// TipsError names the edge that the machine tips about.
type TipsError struct{ Edge Tipping }

func (e TipsError) Error() string {
	return fmt.Sprintf("%v about the edge of feet %d and %d: %.4g N m hold against %.4g N m", ErrTips,
		e.Edge.From+1, e.Edge.To+1, e.Edge.Stabilising, e.Edge.Overturning)
}

// Unwrap lets errors.Is find ErrTips.
func (e TipsError) Unwrap() error { return ErrTips }

// Foot is a spring under the rigid machine.
type Foot struct {
	At        Point
	Stiffness float64 // N/m, > 0
	High      float64 // how much longer than the others the foot is, m; negative: too short
	Anchored  bool    // may pull
}

// Loads are the forces of the floor on the machine.
type Loads struct {
	Feet     []float64 // N, positive upwards; negative only where anchored
	Lifted   []bool    // the foot hangs free
	Residual float64   // |sum of forces and of moments over the size of the footprint| over the weight: proof of the solution
}

// MostLeast returns the largest and the smallest foot load, N.
func (l Loads) MostLeast() (most, least float64) {
	most, least = math.Inf(-1), math.Inf(1)
	for _, r := range l.Feet {
		most, least = math.Max(most, r), math.Min(least, r)
	}
	return most, least
}

// Settle returns the loads of the feet under a rigid machine. With the vertical
// displacement u = w + a y - b x of the machine at a foot,
//
//	R_i = max(0, k_i (h_i - u_i))      sum R = -sum F_z     sum R y = -sum M_x     sum R x = sum M_y
//
// An anchored foot may pull, too. The displacement is the minimum of a convex
// potential, found by Newton steps with an exact line search.
//
// It returns a [TipsError] if no pressing of the feet balances the actions.
// Source: rigid-body statics on one-sided springs.
func Settle(feet []Foot, w Weight, actions []Action) (Loads, error) {
	if err := validate(w, actions); err != nil {
		return Loads{}, err
	}
	places := make([]Point, len(feet))
	for i, f := range feet {
		if !(f.Stiffness > 0) || !finite(f.Stiffness, f.High) {
			return Loads{}, fmt.Errorf("%w: foot %d with %g N/m, %g m high", given.ErrRefused, i+1, f.Stiffness, f.High)
		}
		places[i] = f.At
	}
	outline, err := NewFootprint(places)
	if err != nil {
		return Loads{}, err
	}
	s := newSettling(feet, outline.size, w, actions)
	if err := s.run(); err != nil {
		return Loads{}, err
	}
	loads := s.loads()
	if !(loads.Residual < balanced) { // the faint springs hold the rest
		edges, err := outline.Tipping(w, actions)
		if err != nil {
			return Loads{}, err
		}
		return Loads{}, TipsError{critical(edges)}
	}
	return loads, nil
}

// Unlevel is the effect of one foot that is wrong by a step.
type Unlevel struct {
	Foot  int
	High  float64 // m
	Loads Loads
}

// MisplaceEach sets every foot too high and too low by a step (m) in turn and
// returns the loads. A stiff machine then stands on three feet and the foot
// across from the high one unloads.
func MisplaceEach(feet []Foot, w Weight, actions []Action, step float64) ([]Unlevel, error) {
	var out []Unlevel
	for i := range feet {
		for _, high := range [...]float64{step, -step} {
			moved := append([]Foot(nil), feet...)
			moved[i].High += high
			loads, err := Settle(moved, w, actions)
			if err != nil {
				return nil, fmt.Errorf("foot %d %+g m: %w", i+1, high, err)
			}
			out = append(out, Unlevel{Foot: i, High: high, Loads: loads})
		}
	}
	return out, nil
}
