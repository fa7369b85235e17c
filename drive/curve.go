package drive

import (
	"cmp"
	"fmt"
	"sort"

	"spanwright/given"
)

// CurvePoint is one point of part data.
type CurvePoint struct{ X, Y float64 }

// Curve is part data read from a diagram, straight between its points: tooth
// force over speed, pull-out torque over speed, brake energy over stops per
// hour. X must rise from point to point.
type Curve []CurvePoint

// At returns the value at x. Outside the points it returns ErrOutsideData: a
// diagram is not continued beyond its edge.
func (c Curve) At(x float64) (float64, error) {
	if len(c) == 0 {
		return 0, fmt.Errorf("%w: the curve has no points", ErrOutsideData)
	}
	for i, p := range c {
		if err := cmp.Or(given.Finite("curve x", p.X), given.Finite("curve y", p.Y)); err != nil {
			return 0, err
		}
		if i > 0 && !(p.X > c[i-1].X) {
			return 0, fmt.Errorf("%w: curve x must rise, point %d has %.6g after %.6g", given.ErrRefused, i+1, p.X, c[i-1].X)
		}
	}
	first, last := c[0], c[len(c)-1]
	if !(x >= first.X && x <= last.X) {
		return 0, fmt.Errorf("%w: %.6g, the curve reaches from %.6g to %.6g", ErrOutsideData, x, first.X, last.X)
	}
	i := sort.Search(len(c), func(i int) bool { return c[i].X >= x })
	if i == 0 {
		return first.Y, nil
	}
	a, b := c[i-1], c[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X), nil
}
