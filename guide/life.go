package guide

import (
	"cmp"

	"spanwright/given"
	"spanwright/rolling"
)

// CubeLawShare is the largest mean load, as a part of the dynamic rating, for
// which the cube law is trusted.
//
// Source: ISO 14728-1 (from memory).
const CubeLawShare = 0.5

// ShortStrokeBlocks is the stroke, in lengths of the block, below which the
// balls no longer carry fresh grease through the block.
//
// Source: common practice, no source.
const ShortStrokeBlocks = 2.0

// LifeFactors are the factors on the life of a guide. All must be given: 1 where
// nothing acts.
type LifeFactors struct {
	Reliability float64 // a_1, rolling.Reliability; 1 for 90 %
	Hardness    float64 // f_h; 1 from 58 HRC up
	Temperature float64 // f_t; 1 to 100 degC
	Contact     float64 // f_c for blocks that touch on one rail, see ContactFactor
	Load        float64 // f_w for speed and shock, see LoadFactorRange, >= 1
}

func (f LifeFactors) check() error {
	return cmp.Or(
		given.Share("reliability factor", f.Reliability),
		given.Share("hardness factor", f.Hardness),
		given.Share("temperature factor", f.Temperature),
		given.Share("contact factor", f.Contact),
		given.Within("load factor", f.Load, 1, 10),
	)
}

// Life returns the rating life of a block under a mean load in N, m of travel;
// +Inf without load.
//
//	L = a_1 s_basis ( f_h f_t f_c C/(f_w P_m) )³
//
// It holds for P_m <= 0.5 C and strokes longer than two blocks; shorter ones
// need a word about lubrication.
//
// Source: published, ISO 14728-1 (scope confirmed, formula and bases from
// memory); the factors are common practice.
func (r DynamicRating) Life(mean float64, f LifeFactors) (float64, error) {
	travel, err := r.Basis.Distance()
	if err := cmp.Or(err, f.check(), given.Positive("dynamic load rating", r.Load)); err != nil {
		return 0, err
	}
	ratings, err := rolling.RatingLife(f.Hardness*f.Temperature*f.Contact*r.Load, f.Load*mean, rolling.BallExponent)
	return f.Reliability * travel * ratings, err
}

// MeanLoad returns the cubic mean of a block's equivalent load over its travel,
// N: weights are distances, linear changes are exact. See rolling.MeanLoad.
//
//	P_m = ( sum P_i³ s_i / sum s_i )^(1/3)
func MeanLoad(spans []rolling.Span) (float64, error) { return rolling.MeanLoad(spans) }

// Preloaded returns the load on the loaded row of a preloaded block, N, which
// takes the place of the equivalent load: F_pr (1 + |P|/(2^1.5 F_pr))^1.5 below
// lift-off, else |P|. See rolling.LoadedRow.
func Preloaded(load, preload float64) (float64, error) { return rolling.LoadedRow(load, preload) }

// Use is how much a guide runs.
type Use struct {
	Stroke        float64 // m
	DoubleStrokes float64 // there and back, per second
	HoursPerDay   float64
	DaysPerYear   float64
}

// LifeTime is a life in time.
type LifeTime struct {
	Seconds float64 // of operation
	Years   float64
}

// Time returns how long a life in m of travel lasts.
//
//	t = L/(2 s n),   years = hours/(h per day x days per year)
func (u Use) Time(life float64) (LifeTime, error) {
	if !(life > 0) {
		return LifeTime{}, given.Positive("life", life)
	}
	if err := cmp.Or(
		given.Positive("stroke", u.Stroke),
		given.Positive("double strokes per second", u.DoubleStrokes),
		given.Within("hours per day", u.HoursPerDay, 0, 24), given.Positive("hours per day", u.HoursPerDay),
		given.Within("days per year", u.DaysPerYear, 0, 366), given.Positive("days per year", u.DaysPerYear),
	); err != nil {
		return LifeTime{}, err
	}
	seconds := life / (2 * u.Stroke * u.DoubleStrokes)
	return LifeTime{Seconds: seconds, Years: seconds / 3600 / (u.HoursPerDay * u.DaysPerYear)}, nil
}

// ContactFactor returns f_c for a number of blocks that touch each other on one
// rail: they never share their load evenly.
//
// Source: common practice, no source.
func ContactFactor(touching int) (float64, error) {
	if err := given.AtLeast("touching blocks", touching, 1); err != nil {
		return 0, err
	}
	factors := [...]float64{1, 0.81, 0.72, 0.66, 0.61, 0.6}
	return factors[min(touching, len(factors))-1], nil
}

// LoadFactorRange returns the usual range of f_w for a speed in m/s; the upper
// end belongs to shock and vibration.
//
// Source: common practice, no source.
func LoadFactorRange(speed float64) (low, high float64, err error) {
	if err := given.NotNegative("speed", speed); err != nil {
		return 0, 0, err
	}
	switch {
	case speed <= 0.25:
		return 1.0, 1.2, nil
	case speed <= 1:
		return 1.2, 1.5, nil
	case speed <= 2:
		return 1.5, 2.0, nil
	default:
		return 2.0, 3.5, nil
	}
}
