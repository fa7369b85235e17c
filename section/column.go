package section

import (
	"errors"
	"fmt"
	"math"
)

// Effective length factors of a column, buckling length over length.
//
// Source: Euler; Timoshenko & Gere, Theory of Elastic Stability.
const (
	PinnedPinned  = 1.0
	FixedFree     = 2.0
	FixedFixed    = 0.5
	FixedPinned   = 0.699156 // root of tan u = u over pi, inverted
	SwayFixedBoth = 1.0      // both ends held against turning, one free to move sideways
)

// EulerLoad returns the elastic buckling load pi² E I/L², N, of a column of
// bending stiffness ei, N m², and buckling length, m: the length times the
// factor of its ends. Inf for a length of zero.
//
// Source: Euler; Timoshenko & Gere, Theory of Elastic Stability.
func EulerLoad(ei, bucklingLength float64) float64 {
	return math.Pi * math.Pi * ei / (bucklingLength * bucklingLength)
}

// BucklingCurve holds the imperfections of a column: Alpha grows with them,
// up to slenderness Plateau they have no effect.
type BucklingCurve struct {
	Alpha   float64
	Plateau float64
	Source  string
}

// AluminiumClassA is for heat-treated tempers (T5, T6, T66) and AluminiumClassB
// for others. SteelCurveA to C are for hot-finished hollow sections (a),
// rolled I-sections about the weak axis (b), cold-formed hollow sections,
// angles, channels and solid bars (c).
var (
	AluminiumClassA = BucklingCurve{0.20, 0.10, "EN 1999-1-1 6.3.1.2, Table 6.6, class A (from memory)"}
	AluminiumClassB = BucklingCurve{0.32, 0.00, "EN 1999-1-1 6.3.1.2, Table 6.6, class B (from memory)"}
	SteelCurveA     = BucklingCurve{0.21, 0.20, "EN 1993-1-1 6.3.1.2, Table 6.1, curve a"}
	SteelCurveB     = BucklingCurve{0.34, 0.20, "EN 1993-1-1 6.3.1.2, Table 6.1, curve b"}
	SteelCurveC     = BucklingCurve{0.49, 0.20, "EN 1993-1-1 6.3.1.2, Table 6.1, curve c"}
)

// Reduction returns chi, the share of the yield load that a column of relative
// slenderness lambda can carry, and the intermediate phi:
//
//	phi = (1 + alpha (lambda - plateau) + lambda²)/2
//	chi = 1/(phi + sqrt(phi² - lambda²)), at most 1
//
// Source: EN 1993-1-1 and EN 1999-1-1, both 6.3.1.2.
func (c BucklingCurve) Reduction(lambda float64) (chi, phi float64) {
	phi = 0.5 * (1 + c.Alpha*(lambda-c.Plateau) + lambda*lambda)
	return min(1, 1/(phi+math.Sqrt(phi*phi-lambda*lambda))), phi
}

// Column is a straight member under central compression.
type Column struct {
	Area           float64       // m²
	Inertia        float64       // second moment about the axis of bending, m⁴
	Modulus        float64       // Young's modulus, Pa
	Strength       float64       // 0.2 % proof stress or yield strength, Pa
	BucklingLength float64       // m
	Curve          BucklingCurve // imperfections
	Partial        float64       // partial factor gamma_M1, 1.10 for aluminium and 1.00 for steel
}

// Buckling is the resistance of a column.
type Buckling struct {
	Euler      float64 // elastic buckling load, N
	Lambda     float64 // relative slenderness sqrt(A f/Ncr)
	Phi        float64
	Chi        float64 // share of the yield load
	Resistance float64 // design resistance Nb,Rd, N
	Source     string
}

// ErrColumn says that a column's data allow no calculation.
var ErrColumn = errors.New("column data must be above zero")

// Resistance returns the design resistance against flexural buckling,
//
//	Nb,Rd = chi A f/gamma_M1,
//
// for walls that do not buckle locally (see Walls.Slender). Torsional buckling
// of open sections is not covered.
//
// Source: EN 1999-1-1 6.3.1 and EN 1993-1-1 6.3.1.
func (c Column) Resistance() (Buckling, error) {
	for _, v := range []struct {
		name  string
		value float64
	}{{"area", c.Area}, {"inertia", c.Inertia}, {"modulus", c.Modulus}, {"strength", c.Strength},
		{"buckling length", c.BucklingLength}, {"partial factor", c.Partial}} {
		if !(v.value > 0) || math.IsInf(v.value, 0) {
			return Buckling{}, fmt.Errorf("%w: %s is %g", ErrColumn, v.name, v.value)
		}
	}
	b := Buckling{Euler: EulerLoad(c.Modulus*c.Inertia, c.BucklingLength), Source: c.Curve.Source}
	b.Lambda = math.Sqrt(c.Area * c.Strength / b.Euler)
	b.Chi, b.Phi = c.Curve.Reduction(b.Lambda)
	b.Resistance = b.Chi * c.Area * c.Strength / c.Partial
	return b, nil
}
