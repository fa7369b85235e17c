package stand

import "math"

// Sliding is a machine that is pushed sideways.
type Sliding struct {
	Friction   float64 // between foot and floor, the low end
	Weight     float64 // N
	Uplift     float64 // N, >= 0
	Horizontal float64 // N
}

// Factor is mu (W - uplift)/H; +Inf without a horizontal force. Source: Coulomb friction.
func (s Sliding) Factor() float64 {
	if s.Horizontal == 0 {
		return math.Inf(1)
	}
	return s.Friction * (s.Weight - s.Uplift) / math.Abs(s.Horizontal)
}

// Least factors against sliding. Source: common practice, no source.
const (
	SlidingOnce      = 1.5
	SlidingReversing = 2.0 // small reversing accelerations make machines walk
)

// Friction of feet, for design. Source: common practice, no source.
const (
	FrictionRubberOnConcrete = 0.3 // 0.5 to 0.8 is measured on clean dry floors
	FrictionSteelPad         = 0.2
)

// Range is an uncertain value: low, nominal, high.
type Range struct{ Low, Nominal, High float64 }

// FloorUnderFoot is the vertical stiffness of a slab under one foot, N/m.
// Source: engineering judgement, no source.
func FloorUnderFoot() Range { return Range{1e7, 3e7, 1e8} }

// LevellingScrew is the axial stiffness of a levelling screw M12 to M16, N/m.
// Source: engineering judgement, no source.
func LevellingScrew() Range { return Range{5e7, 1e8, 2e8} }

// On is the vertical stiffness of a foot on a floor: both in series.
func (foot Range) On(floor Range) Range {
	series := func(a, b float64) float64 { return a * b / (a + b) }
	return Range{series(foot.Low, floor.Low), series(foot.Nominal, floor.Nominal), series(foot.High, floor.High)}
}

// AnchoredBaseRotation is the low end of the rotational stiffness of an
// anchored base plate, N m/rad; a foot on a joint has none.
// Source: engineering judgement, no source.
const AnchoredBaseRotation = 50e3
