package frame

import "math"

// SwayFactor returns α_cr of a storey: horizontal load H (N) on height h (m) makes the sway delta (m) while V (N) stands
// on it.
//
// Source: EN 1993-1-1, 5.2.1(4) (from memory).
func SwayFactor(horizontal, vertical, height, sway float64) float64 {
	return horizontal * height / (vertical * sway)
}

// SwayAmplification returns 1/(1 - 1/α_cr), by which first-order sway effects grow; +Inf if α_cr is not above 1.
//
// Source: EN 1993-1-1, 5.2.2(5) (from memory).
func SwayAmplification(alphaCr float64) float64 {
	if !(alphaCr > 1) {
		return math.Inf(1)
	}
	return 1 / (1 - 1/alphaCr)
}
