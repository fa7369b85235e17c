package asbuilt

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"spanwright/given"
)

// Pull is the evaluation of a pull test.
type Pull struct {
	Stiffness  float64 // N/m
	Offset     float64 // deflection at no force on the line, m
	Hysteresis float64 // largest gap of unloading over loading, m
	Scatter    float64 // standard deviation about the line, m
	Slope      float64 // standard deviation of the compliance, m/N
}

// FitPull draws the straight line x = x_0 + F/k through all points of a pull
// test, forces (N) up and down again, deflections (m) in the same order. The
// hysteresis is the largest difference of an unloading point from the loading
// branch at its force, along straight lines between the loading points.
//
// Source: least squares; definitions of measuring.
func FitPull(force, deflection []float64) (Pull, error) {
	n := len(force)
	if len(deflection) != n || n < 3 {
		return Pull{}, fmt.Errorf("%w: a line through %d forces and %d deflections; three of each are needed", given.ErrRefused, n, len(deflection))
	}
	top, least, most := 0, math.Inf(1), math.Inf(-1)
	for i := range force {
		if math.IsNaN(force[i]+deflection[i]) || math.IsInf(force[i]+deflection[i], 0) {
			return Pull{}, fmt.Errorf("%w: point %d is no number", given.ErrRefused, i+1)
		}
		if math.Abs(force[i]) > math.Abs(force[top]) {
			top = i
		}
		least, most = math.Min(least, force[i]), math.Max(most, force[i])
	}
	if !(most > least) {
		return Pull{}, fmt.Errorf("%w: the force is the same in all points", given.ErrRefused)
	}
	offset, compliance := stat.LinearRegression(force, deflection, nil, false)
	if !(compliance > 0) {
		return Pull{}, fmt.Errorf("%w: the deflection does not grow with the force", given.ErrRefused)
	}
	p := Pull{Stiffness: 1 / compliance, Offset: offset}
	squares, mean := 0.0, stat.Mean(force, nil)
	spread := 0.0
	for i := range force {
		e := deflection[i] - offset - compliance*force[i]
		squares += e * e
		spread += (force[i] - mean) * (force[i] - mean)
	}
	p.Scatter = math.Sqrt(squares / float64(n-2))
	p.Slope = p.Scatter / math.Sqrt(spread)
	for i := top + 1; i < n; i++ {
		if x, ok := onBranch(force[:top+1], deflection[:top+1], force[i]); ok {
			p.Hysteresis = math.Max(p.Hysteresis, math.Abs(deflection[i]-x))
		}
	}
	return p, nil
}

// onBranch interpolates between loading points; false outside them.
func onBranch(force, deflection []float64, f float64) (float64, bool) {
	for i := range force {
		if force[i] == f {
			return deflection[i], true
		}
		if i > 0 && (force[i-1]-f)*(force[i]-f) < 0 {
			return deflection[i-1] + (f-force[i-1])/(force[i]-force[i-1])*(deflection[i]-deflection[i-1]), true
		}
	}
	return 0, false
}

// uncertainty is the expanded uncertainty of the stiffness, N/m: scatter about
// the line, and gauge and force meter over the whole span (k = 2 each).
// Source: derived from k = F/x, contributions added as root of the sum of squares.
func (p Pull) uncertainty(forceSpan, uDeflection, uForce float64) float64 {
	scatter := 2 * p.Slope * p.Stiffness
	gauge := uDeflection * p.Stiffness / forceSpan
	return p.Stiffness * math.Sqrt(scatter*scatter+gauge*gauge+(uForce/forceSpan)*(uForce/forceSpan))
}
