package structure

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ringing is where free swings have taken the tool point after a time, m, if
// every one of them is at its greatest, on the same side, when they begin:
//
//	Σ Y d exp(-2 pi f zeta t) cos(2 pi f sqrt(1 - zeta²) t)
//
// The phases are not known: a swing's amplitude is an envelope. The curve shows
// how the tool trembles; what is judged is the sum of the envelopes, within
// which it lies.
//
// Source: free damped vibration, Chopra, Dynamics of Structures.
func Ringing(swings []Swing, t, damping float64) r3.Vec {
	var at r3.Vec
	for _, s := range Later(swings, t, damping) {
		at = r3.Add(at, r3.Scale(s.Amplitude*math.Cos(2*math.Pi*s.Hz*math.Sqrt(max(0, 1-damping*damping))*t), s.Direction))
	}
	return at
}
