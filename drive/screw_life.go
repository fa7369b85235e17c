package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/rolling"
)

// turnsPerRating is the life that belongs to a dynamic rating of a ball screw.
//
// Source: published, ISO 3408-5.
const turnsPerRating = 1e6

// ScrewStep is a part of a cycle with one load and one speed. Standstill (speed
// zero) counts in the time shares and not in the load.
type ScrewStep struct {
	Force float64 // on the nut, N; the sign says which flank carries
	Speed float64 // of the screw, rad/s, >= 0
	Share float64 // part of the cycle time, 0 to 1
}

// ScrewCycle is a screw's cycle; the shares add up to one.
type ScrewCycle []ScrewStep

func (c ScrewCycle) check() error {
	var shares float64
	for i, s := range c {
		if err := cmp.Or(
			given.Finite("axial force", s.Force),
			given.NotNegative("screw speed", s.Speed),
			given.Within("time share", s.Share, 0, 1),
		); err != nil {
			return fmt.Errorf("screw step %d: %w", i+1, err)
		}
		shares += s.Share
	}
	const rounding = 1e-6 // shares come from rounded times
	return given.Within("sum of the time shares", shares, 1-rounding, 1+rounding)
}

// MeanSpeed returns sum q_i n_i, rad/s.
//
// Source: published, ISO 3408-5 (clause structure confirmed, formula from memory).
func (c ScrewCycle) MeanSpeed() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	var mean float64
	for _, s := range c {
		mean += s.Speed * s.Share
	}
	return mean, nil
}

// MeanLoad returns the equivalent load as if one flank carried both
// directions, which is on the safe side, N.
//
//	F_m = ( sum |F_i|^3 n_i q_i / sum n_i q_i )^(1/3)
//
// Turns are the weight, not time: a fast unloaded phase counts.
//
// Source: published, ISO 3408-5 (formula from memory).
func (c ScrewCycle) MeanLoad() (float64, error) {
	return c.meanOf(func(force float64) (float64, error) { return math.Abs(force), nil })
}

// FlankLoads returns the equivalent load of each flank of a nut with backlash:
// loads of the other direction count zero, but all turns stay in the
// denominator. Combine the two lives with rolling.Combine.
//
// Source: published, ISO 3408-5 (formula from memory).
func (c ScrewCycle) FlankLoads() (positive, negative float64, err error) {
	positive, err = c.meanOf(func(force float64) (float64, error) { return math.Max(0, force), nil })
	if err != nil {
		return 0, 0, err
	}
	negative, err = c.meanOf(func(force float64) (float64, error) { return math.Max(0, -force), nil })
	return positive, negative, err
}

// NutLoads returns the equivalent loads of both halves of a symmetrically
// preloaded double nut, N; the first half carries positive forces.
//
// Source: ISO 3408-5 (from memory); see DoubleNut.
func (c ScrewCycle) NutLoads(preload float64) (first, second float64, err error) {
	half := func(sign float64) func(float64) (float64, error) {
		return func(force float64) (float64, error) {
			loaded, relieved, err := DoubleNut(force, preload)
			if force*sign >= 0 {
				return loaded, err
			}
			return relieved, err
		}
	}
	if first, err = c.meanOf(half(1)); err != nil {
		return 0, 0, err
	}
	second, err = c.meanOf(half(-1))
	return first, second, err
}

func (c ScrewCycle) meanOf(load func(force float64) (float64, error)) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	spans := make([]rolling.Span, len(c))
	for i, s := range c {
		f, err := load(s.Force)
		if err != nil {
			return 0, fmt.Errorf("screw step %d: %w", i+1, err)
		}
		spans[i] = rolling.Span{From: f, To: f, Weight: s.Speed * s.Share}
	}
	return rolling.MeanLoad(spans)
}

// DoubleNut returns the loads on the two halves of a symmetrically preloaded
// double nut under an outer force, N.
//
//	|F| < 2^1.5 F_pr:  F_1 = F_pr (1 + |F|/(2^1.5 F_pr))^1.5,  F_2 = F_1 - |F|
//	else:              F_1 = |F|,  F_2 = 0
//
// rolling.PreloadedPair gives the exact contact solution; this standard form
// lies 2 to 3 % above it on the loaded side.
//
// Source: ISO 3408-5 (from memory).
func DoubleNut(force, preload float64) (loaded, relieved float64, err error) {
	loaded, err = rolling.LoadedRow(force, preload)
	return loaded, loaded - math.Abs(force), err
}

// ScrewLife is a life in the three units people ask for. A screw that carries
// nothing lives for ever (+Inf).
type ScrewLife struct {
	Turns    float64
	Distance float64 // m
	Time     float64 // s of the cycle the mean speed belongs to
}

// ScrewRating is the dynamic rating of a nut, reduced as needed.
type ScrewRating struct {
	Dynamic     float64 // C_a, N
	Lead        float64 // m
	Reliability float64 // a_1; 1 for 90 %
}

// Life returns the rating life under an equivalent load at a mean speed in rad/s.
//
//	L = a_1 (C_a/F_m)^3 1e6 turns,  distance L P,  time 2 pi L/w_m
//
// Source: published, ISO 3408-5 (formula from memory).
func (r ScrewRating) Life(load, meanSpeed float64) (ScrewLife, error) {
	if err := cmp.Or(
		given.Positive("screw lead", r.Lead),
		given.Share("reliability factor", r.Reliability),
		given.Positive("mean screw speed", meanSpeed),
	); err != nil {
		return ScrewLife{}, err
	}
	ratings, err := rolling.RatingLife(r.Dynamic, load, rolling.BallExponent)
	if err != nil {
		return ScrewLife{}, err
	}
	turns := r.Reliability * ratings * turnsPerRating
	return ScrewLife{Turns: turns, Distance: turns * r.Lead, Time: 2 * math.Pi * turns / meanSpeed}, nil
}

// RatingCorrection are the factors on a catalogue rating.
type RatingCorrection struct {
	Dynamic  float64 // f_h, on C_a
	Static   float64 // f_h0, on C_0a
	Accuracy float64 // f_ac, on both
}

// CorrectRating returns the factors for the surface hardness of the screw (HV10)
// and its accuracy grade.
//
//	f_h = (HV10/654)², f_h0 = (HV10/654)³, at most 1;  f_ac 1 to grade 5, 0.9 grade 7, 0.7 grade 10
//
// Source: ISO 3408-5 clause 6 (from memory).
func CorrectRating(hardness float64, grade Grade) (RatingCorrection, error) {
	if err := cmp.Or(given.Positive("hardness HV10", hardness), grade.check()); err != nil {
		return RatingCorrection{}, err
	}
	h := math.Min(1, hardness/654)
	c := RatingCorrection{Dynamic: h * h, Static: h * h * h, Accuracy: 1}
	switch grade {
	case 7:
		c.Accuracy = 0.9
	case 10:
		c.Accuracy = 0.7
	}
	return c, nil
}

// StaticSafety returns C_0/F_max: 1.5 smooth, 2 normal, 3 or more with shock
// (common practice). An unloaded element gives +Inf.
//
// Source: published, ISO 3408-5 (definition).
func StaticSafety(static, largest float64) (float64, error) {
	if err := cmp.Or(given.Positive("static load rating", static), given.NotNegative("largest axial load", largest)); err != nil {
		return 0, err
	}
	return static / largest, nil
}

// DN limits of ball screws, m rad/s: the usual recirculation tube should stay
// below the first, nothing goes above the second (70 000 and 150 000 mm/min).
//
// Source: common practice, no source; part data wins.
const (
	DNWarn = 70e3 * 1e-3 * 2 * math.Pi / 60
	DNMost = 150e3 * 1e-3 * 2 * math.Pi / 60
)

// DN returns nominal diameter times speed, m rad/s. The trade's value in mm/min
// is this times 1000*60/(2 pi).
func DN(nominalDiameter, speed float64) (float64, error) {
	if err := cmp.Or(given.Positive("nominal diameter", nominalDiameter), given.NotNegative("screw speed", speed)); err != nil {
		return 0, err
	}
	return nominalDiameter * speed, nil
}
