package rolling

import (
	"cmp"
	"math"

	"spanwright/given"
)

// A preloaded pair is two rows of balls pressed against each other. An outer
// load adds to one and relieves the other; with Hertz contact (approach
// grows as load^(2/3)) the relieved row goes free when its approach is used up.

// liftOffRatio is outer load over preload at which the relieved row goes free:
// the approach of the loaded row has doubled, 2^(3/2).
//
// Source: derived from Hertz contact, approach ~ load^(2/3).
const liftOffRatio = 2 * math.Sqrt2

// LiftOff returns the outer load at which a symmetrically preloaded pair loses
// its preload, 2^1.5 F_pr, N.
func LiftOff(preload float64) float64 { return liftOffRatio * preload }

// LoadedRow returns the load on the row that the outer load presses on, in the
// form the standards use.
//
//	|F| < 2^1.5 F_pr:  F_pr (1 + |F|/(2^1.5 F_pr))^1.5
//	else:              |F|
//
// Without preload it is |F|. It lies up to 3 % above the exact share of
// PreloadedPair.
//
// Source: ISO 3408-5 (from memory); for guides common practice.
func LoadedRow(load, preload float64) (float64, error) {
	if err := cmp.Or(given.Finite("outer load", load), given.NotNegative("preload", preload)); err != nil {
		return 0, err
	}
	f := math.Abs(load)
	if limit := LiftOff(preload); f < limit {
		return preload * math.Pow(1+f/limit, 1.5), nil
	}
	return f, nil
}

// PreloadedPair returns the exact loads of both rows of a symmetrically
// preloaded pair with Hertz contact: the common shift s, as part of the preload
// approach, satisfies
//
//	F_1 = F_pr (1+s)^1.5,  F_2 = F_pr (1-s)^1.5,  F_1 - F_2 = |F|
//
// Beyond lift-off F_1 = |F| and F_2 = 0.
//
// Source: derived from Hertz contact.
func PreloadedPair(load, preload float64) (loaded, relieved float64, err error) {
	if err := cmp.Or(given.Finite("outer load", load), given.NotNegative("preload", preload)); err != nil {
		return 0, 0, err
	}
	f := math.Abs(load)
	if f >= LiftOff(preload) {
		return f, 0, nil
	}
	low, high := 0.0, 1.0 // the difference grows with s from 0 to 2^1.5 F_pr
	for range 60 {        // halves down to the last digit
		s := (low + high) / 2
		if preload*(math.Pow(1+s, 1.5)-math.Pow(1-s, 1.5)) < f {
			low = s
		} else {
			high = s
		}
	}
	s := (low + high) / 2
	return preload * math.Pow(1+s, 1.5), preload * math.Pow(1-s, 1.5), nil
}
