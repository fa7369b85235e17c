// Package rolling computes the rating life of rolling contacts: ball screws,
// rail guides, gears' bearings and cam rollers alike.
//
// It knows the load-life law, mean loads, preloaded pairs and reliability, and
// nothing of the machine element around the contact: what a distance or a
// turn is, which load acts and which rating holds is the caller's.
//
// Loads and ratings in N, weights in any one unit (m, turns, s), lives in
// units of the rating life.
package rolling

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"spanwright/given"
)

// ErrNotTabulated is wrapped where a table has no row for what was asked.
var ErrNotTabulated = errors.New("not in the table")

// Exponents of the load-life law.
//
// Source: published, ISO 281 (rating life).
const (
	BallExponent   = 3.0
	RollerExponent = 10.0 / 3
)

// RatingLife returns the basic rating life (90 % survive) in units of the life
// that belongs to the rating: 1e6 turns, 50 km or 100 km.
//
//	L = (C/P)^p
//
// An unloaded contact never fails by rolling fatigue: P = 0 gives +Inf.
//
// Source: published, ISO 281; ISO 3408-5 and ISO 14728-1 use p = 3.
func RatingLife(rating, load, exponent float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("dynamic load rating", rating),
		given.NotNegative("equivalent load", load),
		given.Positive("life exponent", exponent),
	); err != nil {
		return 0, err
	}
	return math.Pow(rating/load, exponent), nil
}

// RatingFor returns the rating that reaches a life, in units of the rating
// life, under a load: C = P L^(1/p), the inverse of RatingLife.
func RatingFor(load, life, exponent float64) (float64, error) {
	if err := cmp.Or(
		given.NotNegative("equivalent load", load),
		given.Positive("life", life),
		given.Positive("life exponent", exponent),
	); err != nil {
		return 0, err
	}
	return load * math.Pow(life, 1/exponent), nil
}

// Span is a load over a piece of rolling: constant, or changing linearly from
// one end to the other. The weight is what rolls: distance for guides and
// rollers, turns for screws and gears. Time is no weight: a contact at rest
// does not age by rolling.
type Span struct {
	From, To float64 // load at both ends, N, signed
	Weight   float64 // m or turns, >= 0
}

// MeanLoad returns the constant load that uses up as much life as the spans.
//
//	P_m = ( sum P_i^3 w_i / sum w_i )^(1/3)
//
// with the exact mean cube of a linear change. Signs do not matter: one and
// the same contact carries both directions.
//
// Source: published, ISO 14728-1 and ISO 3408-5 (equivalent load); derived for
// the linear change.
func MeanLoad(spans []Span) (float64, error) {
	var cubes, weights float64
	for i, s := range spans {
		if err := cmp.Or(given.Finite("load", s.From), given.Finite("load", s.To), given.NotNegative("weight", s.Weight)); err != nil {
			return 0, fmt.Errorf("span %d: %w", i+1, err)
		}
		cubes += meanCube(s.From, s.To) * s.Weight
		weights += s.Weight
	}
	if err := given.Positive("travelled weight", weights); err != nil {
		return 0, err
	}
	return math.Cbrt(cubes / weights), nil
}

// LinearMean returns the cubic mean of a load that changes linearly from one
// value to the other.
//
//	same sign:    P_m^3 = (a^3 + a^2 b + a b^2 + b^3)/4
//	sign change:  P_m^3 = (a^4 + b^4) / (4 (|a| + |b|))
//
// Source: derived, mean of |P|^3 over the stretch. Handbooks print
// (P_min + 2 P_max)/3, see LinearMeanApprox.
func LinearMean(from, to float64) float64 { return math.Cbrt(meanCube(from, to)) }

// LinearMeanApprox returns (P_min + 2 P_max)/3 of the magnitudes, the handbook
// approximation for a linear change without change of sign. It errs to the
// safe side; for comparison only.
//
// Source: common practice, no source.
func LinearMeanApprox(from, to float64) float64 {
	a, b := math.Abs(from), math.Abs(to)
	return (math.Min(a, b) + 2*math.Max(a, b)) / 3
}

// meanCube is written without the difference a - b in the denominator, so that
// nearly equal loads lose no digits.
func meanCube(from, to float64) float64 {
	a, b := math.Abs(from), math.Abs(to)
	if from*to < 0 {
		return (a*a*a*a + b*b*b*b) / (4 * (a + b))
	}
	return (a*a*a + a*a*b + a*b*b + b*b*b) / 4
}

// weibullSlope is the slope of the life distribution that the rating standards
// use to combine lives.
//
// Source: published, ISO 3408-5 (10/9 for balls).
const weibullSlope = 10.0 / 9

// Combine returns the life of contacts that all must survive.
//
//	L = ( sum L_i^(-10/9) )^(-9/10)
//
// An infinite life counts as such. All lives in the same unit.
//
// Source: published, ISO 3408-5 (formula from memory).
func Combine(lives ...float64) (float64, error) {
	if len(lives) == 0 {
		return 0, fmt.Errorf("%w: no life to combine", given.ErrRefused)
	}
	shortest := math.Inf(1)
	for _, l := range lives {
		if !(l > 0) {
			return 0, given.Positive("life", l)
		}
		shortest = math.Min(shortest, l)
	}
	if math.IsInf(shortest, 1) {
		return shortest, nil
	}
	var sum float64 // relative to the shortest, so that nothing overflows
	for _, l := range lives {
		sum += math.Pow(l/shortest, -weibullSlope)
	}
	return shortest * math.Pow(sum, -1/weibullSlope), nil
}
