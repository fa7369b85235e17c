package guide

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Wedge is a bridge guided on one side only and driven off that side's line.
// Offsets are measured sideways from the guide line, all on the same side
// positive.
type Wedge struct {
	Length      float64 // between the load centres of the outermost blocks on the guided rail, m
	Friction    float64 // coefficient of the guide
	DriveOffset float64 // of the drive force, m
	LoadOffset  float64 // of the resultant resistance, m
	Resistance  float64 // inertia, friction of the far side (seals too), process, N, >= 0
}

func (w Wedge) check() error {
	return cmp.Or(
		given.Positive("guide length", w.Length),
		given.NotNegative("guide friction", w.Friction),
		given.Finite("drive offset", w.DriveOffset),
		given.Finite("load offset", w.LoadOffset),
		given.NotNegative("resistance", w.Resistance),
	)
}

// WedgeForces is what a drive off the guide line costs.
type WedgeForces struct {
	Drive         float64 // drive force, N
	Couple        float64 // normal force of the two blocks against the turning, N each
	Amplification float64 // drive force over resistance
}

// Forces returns the drive force and the couple on the guide.
//
// The blocks answer the turning moment with a couple N at distance L, and each
// N makes friction against the motion:
//
//	N L = |F e_d - R e_R|,   F = R + 2 mu N
//	e_d > e_R:  F = R (1 - 2 mu e_R/L)/(1 - 2 mu e_d/L)
//	e_d < e_R:  F = R (1 + 2 mu e_R/L)/(1 + 2 mu e_d/L)
//
// It returns ErrWedged where the denominator is zero or less: then every force,
// however large, makes more friction than it pushes. With the drive on the
// guide line (e_d = 0) it never wedges; it only costs force.
//
// Source: derived, statics with Coulomb friction.
func (w Wedge) Forces() (WedgeForces, error) {
	if err := w.check(); err != nil {
		return WedgeForces{}, err
	}
	pull, load := 2*w.Friction*w.DriveOffset/w.Length, 2*w.Friction*w.LoadOffset/w.Length
	if w.DriveOffset > w.LoadOffset || (w.DriveOffset == w.LoadOffset && w.DriveOffset > 0) {
		pull, load = -pull, -load
	}
	if !(1+pull > 0) {
		return WedgeForces{}, fmt.Errorf("%w: drive offset %.4g m on a guide length of %.4g m with friction %.4g; the length must exceed %.4g m",
			ErrWedged, w.DriveOffset, w.Length, w.Friction, w.NeededLength())
	}
	gain := (1 + load) / (1 + pull)
	drive := w.Resistance * gain
	return WedgeForces{
		Drive:         drive,
		Couple:        math.Abs(drive*w.DriveOffset-w.Resistance*w.LoadOffset) / w.Length,
		Amplification: gain,
	}, nil
}

// NeededLength returns the guide length below which the bridge wedges,
// 2 mu |e_d|, m.
//
// Source: derived, see Forces.
func (w Wedge) NeededLength() float64 { return 2 * w.Friction * math.Abs(w.DriveOffset) }

// LimitRatio returns the ratio |e_d|/L at which a friction wedges, 1/(2 mu);
// without friction it is +Inf. Rolling guides reach 167: they do not wedge by
// friction, but by moment, skew and over-constraint.
//
// Source: derived, see Forces.
func LimitRatio(friction float64) (float64, error) {
	if err := given.NotNegative("guide friction", friction); err != nil {
		return 0, err
	}
	return 1 / (2 * friction), nil
}

// FrictionAtRatio returns the friction at which a ratio |e_d|/L wedges,
// 1/(2 ratio): 0.25 for two, 1/6 for three.
//
// Source: derived, see Forces.
func FrictionAtRatio(ratio float64) (float64, error) {
	if err := given.Positive("offset over guide length", ratio); err != nil {
		return 0, err
	}
	return 1 / (2 * ratio), nil
}

// Margins for plain guides.
//
// Source: common practice, no source.
const (
	WedgeSafety       = 1.5 // on friction: |e_d|/L <= 1/(2 mu)/1.5 = 1/(3 mu)
	MostAmplification = 2.0 // drive force over resistance
)

// TradeRatio is the offset the trade allows per guide length: "two to one".
//
// Source: common practice, no source.
const TradeRatio = 2.0

// RatioRule compares an offset with the trade's ratio. It is a rule of thumb
// beside Wedge, not physics: it equals the wedging limit at one friction, 0.25,
// without margin, and says nothing of rolling guides.
type RatioRule struct {
	Ratio       float64 // |e_d|/L
	Allowed     float64 // by the trade
	Utilisation float64 // ratio over allowed
	WedgesAt    float64 // friction at which this ratio wedges, 1/(2 ratio); +Inf on the guide line
}

// RatioRule applies the trade's ratio to the bridge.
func (w Wedge) RatioRule(allowed float64) (RatioRule, error) {
	if err := cmp.Or(w.check(), given.Positive("allowed offset over guide length", allowed)); err != nil {
		return RatioRule{}, err
	}
	ratio := math.Abs(w.DriveOffset) / w.Length
	return RatioRule{Ratio: ratio, Allowed: allowed, Utilisation: ratio / allowed, WedgesAt: 1 / (2 * ratio)}, nil
}

// DrawerFriction returns the friction at which a slide of a guide length, pulled
// at its edge (half its guide width off the line), wedges: L/b. The rule "guide
// length at least 1.5 to 2 times guide width" therefore is about tilting within
// the play, edge pressure and stick-slip, not about wedging.
//
// Source: derived, LimitRatio with e_d = b/2.
func DrawerFriction(length, width float64) (float64, error) {
	if err := cmp.Or(given.Positive("guide length", length), given.Positive("guide width", width)); err != nil {
		return 0, err
	}
	return FrictionAtRatio(width / 2 / length)
}
