package guide

import (
	"cmp"
	"math"

	"spanwright/given"
)

// BothFixed is a pair whose two sides both hold sideways: every error of
// parallelism becomes force, all the time, and belongs into the life load.
// Therefore one side is fixed and the other floats.
type BothFixed struct {
	Error      float64 // parallelism error, m
	StiffnessA float64 // lateral stiffness of side A, sum k_y, N/m
	StiffnessB float64
	Frame      float64 // stiffness of bridge and stand in between, N/m, +Inf rigid
}

// ForcedLoad is what an error of position costs.
type ForcedLoad struct {
	Stiffness float64 // of the chain, N/m
	Force     float64 // N
}

// Force returns the lateral force between the sides.
//
//	F = d/(1/k_A + 1/k_B + 1/k_frame)
//
// Source: derived, springs in series.
func (b BothFixed) Force() (ForcedLoad, error) {
	if err := cmp.Or(
		given.Finite("parallelism error", b.Error), given.Stiffness("lateral stiffness of side A", b.StiffnessA),
		given.Stiffness("lateral stiffness of side B", b.StiffnessB), given.Stiffness("frame stiffness", b.Frame),
	); err != nil {
		return ForcedLoad{}, err
	}
	give := 1/b.StiffnessA + 1/b.StiffnessB + 1/b.Frame
	if err := given.Positive("compliance of sides and frame", give); err != nil {
		return ForcedLoad{}, err
	}
	return ForcedLoad{Stiffness: 1 / give, Force: math.Abs(b.Error) / give}, nil
}

// HeightError is a difference in height of two runways.
type HeightError struct {
	Error    float64 // m
	Span     float64 // m
	Carriage float64 // roll stiffness of one side's blocks, N m/rad
	Bridge   float64 // roll stiffness of the bridge's end connection, N m/rad, +Inf rigid
}

// Tilt is a roll angle and the moment it forces on each side.
type Tilt struct {
	Angle  float64 // rad
	Moment float64 // on each side's blocks, N m
}

// Tilt returns the roll of the bridge and the moment per side.
//
//	theta = dz/W,  M = theta/(1/k_carriage + 1/k_bridge)
//
// Source: derived.
func (h HeightError) Tilt() (Tilt, error) {
	if err := cmp.Or(
		given.Finite("height error", h.Error), given.Positive("span", h.Span),
		given.Positive("roll stiffness of the carriage", h.Carriage), given.Stiffness("roll stiffness of the bridge end", h.Bridge),
	); err != nil {
		return Tilt{}, err
	}
	angle := math.Abs(h.Error) / h.Span
	return Tilt{Angle: angle, Moment: angle / (1/h.Carriage + 1/h.Bridge)}, nil
}

// FloatNeed is what the floating side of a pair must follow sideways.
type FloatNeed struct {
	Parallelism   float64 // tolerance over the runway, m
	Assembly      float64 // tolerance, m
	BridgeGrowth  float64 // thermal expansion of the bridge, 1/K
	BaseGrowth    float64 // thermal expansion of what carries the runways, 1/K; 0 if it keeps its temperature
	Span          float64 // m
	Rise          float64 // temperature change since assembly, K
	ElasticSpread float64 // of the frame under load, m
}

// FloatTravel is the needed float, in each direction, m.
type FloatTravel struct{ Thermal, Total float64 }

// Travel returns the needed float, plus and minus.
//
//	parallelism + assembly + |alpha_bridge - alpha_base| W |dT| + spread
//
// Source: derived; the arithmetic sum is common practice.
func (f FloatNeed) Travel() (FloatTravel, error) {
	if err := cmp.Or(
		given.NotNegative("parallelism tolerance", f.Parallelism), given.NotNegative("assembly tolerance", f.Assembly),
		given.NotNegative("thermal expansion of the bridge", f.BridgeGrowth), given.NotNegative("thermal expansion of the base", f.BaseGrowth),
		given.Positive("span", f.Span), given.Finite("temperature change", f.Rise), given.NotNegative("elastic spread", f.ElasticSpread),
	); err != nil {
		return FloatTravel{}, err
	}
	thermal := math.Abs(f.BridgeGrowth-f.BaseGrowth) * f.Span * math.Abs(f.Rise)
	return FloatTravel{Thermal: thermal, Total: f.Parallelism + f.Assembly + thermal + f.ElasticSpread}, nil
}

// Parallelism of runways that the trade accepts, m over the length.
//
// Source: common practice, no source; the guide's own data win.
const (
	ParallelRigid    = 0.3e-3 // at most, without a float (0.1 to 0.3 mm)
	ParallelFloating = 0.5e-3 // from here on only with a float
)
