package tuning

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Diagonals are the measured sides and diagonals of a frame, m.
type Diagonals struct {
	A, B   float64 // sides
	D1, D2 float64 // diagonals
}

// Error is the angle by which the corners miss 90 degrees, rad: positive if D1
// is the longer diagonal.
//
//	sin e = (d1² - d2²)/(4 a b)
//
// Source: derived, law of cosines in a parallelogram.
func (d Diagonals) Error() (float64, error) {
	if err := cmp.Or(
		given.Positive("side a", d.A), given.Positive("side b", d.B), given.Positive("diagonal 1", d.D1), given.Positive("diagonal 2", d.D2),
	); err != nil {
		return 0, err
	}
	s := (d.D1 - d.D2) / (2 * d.A) * ((d.D1 + d.D2) / (2 * d.B))
	if !(math.Abs(s) <= 1) {
		return 0, fmt.Errorf("%w: no parallelogram of %g by %g m has diagonals of %g and %g m", given.ErrRefused, d.A, d.B, d.D1, d.D2)
	}
	return math.Asin(s), nil
}

// DiagonalDifference is the difference of the diagonals, m, that an angle error
// (rad) makes in a frame of sides a and b: what to read off when a tolerance of
// squareness is given. Source: derived, small angles: 2 a b e/sqrt(a² + b²).
func DiagonalDifference(a, b, e float64) (float64, error) {
	if err := cmp.Or(given.Positive("side a", a), given.Positive("side b", b), given.Finite("angle error", e)); err != nil {
		return 0, err
	}
	return 2 * a * b * e / math.Hypot(a, b), nil
}
