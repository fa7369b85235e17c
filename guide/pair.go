package guide

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// A pair is two parallel runways, W apart, that carry one bridge. Side A is
// guided (fixed mounts), side B carries and floats sideways.

// TurningMoment returns what turns a bridge driven on one side, |F e_d - R e_R|,
// N m; offsets from the guide line in m.
func TurningMoment(drive, driveOffset, resistance, loadOffset float64) float64 {
	return math.Abs(drive*driveOffset - resistance*loadOffset)
}

// YawStiffness is what keeps a bridge from skewing.
type YawStiffness struct {
	Guide     float64 // of the guided side's blocks, N m/rad: Group.Springs, k_y L²/2 for two blocks
	Structure float64 // of bridge, plate and joints in series with it, N m/rad, +Inf rigid
	Drive     float64 // stiffness of each drive if both sides are driven, N/m; 0 for one side
	Span      float64 // W, m
}

// Total returns the yaw stiffness, N m/rad.
//
//	k = 1/(1/k_guide + 1/k_structure) + k_drive W²/2
//
// Source: derived; structure is often several times softer than the guide
// (common practice).
func (y YawStiffness) Total() (float64, error) {
	if err := cmp.Or(
		given.Positive("yaw stiffness of the guide", y.Guide), given.Stiffness("yaw stiffness of the structure", y.Structure),
		given.NotNegative("drive stiffness", y.Drive), given.Positive("span", y.Span),
	); err != nil {
		return 0, err
	}
	return 1/(1/y.Guide+1/y.Structure) + y.Drive*y.Span*y.Span/2, nil
}

// Skew is how far a bridge turns in its plane.
type Skew struct {
	Angle float64 // rad
	Lag   float64 // of the far side, m
}

// Skew returns the skew under a turning moment in N m.
func (y YawStiffness) Skew(moment float64) (Skew, error) {
	k, err := y.Total()
	if err := cmp.Or(err, given.Finite("turning moment", moment)); err != nil {
		return Skew{}, err
	}
	return Skew{Angle: moment / k, Lag: moment / k * y.Span}, nil
}

// BlockCouple is the couple of two blocks that hold a bridge straight.
type BlockCouple struct {
	Force  float64 // allowed lateral force of a block, N
	Length float64 // between the two, m
	Yaw    float64 // yaw stiffness of the guided side, N m/rad
	Span   float64 // W, m
}

// AllowedSkew returns the skew at which the two outer blocks of the guided side
// reach their allowed lateral force.
//
//	psi = F_y L/k_yaw        2 F_y/(k_y L) for two blocks
//
// If more is demanded, the far side needs a joint that floats sideways and in
// yaw.
//
// Source: derived, the couple F_y L.
func (a BlockCouple) AllowedSkew() (Skew, error) {
	if err := cmp.Or(
		given.Positive("allowed lateral force", a.Force), given.Positive("guide length", a.Length),
		given.Positive("yaw stiffness", a.Yaw), given.Positive("span", a.Span),
	); err != nil {
		return Skew{}, err
	}
	angle := a.Force * a.Length / a.Yaw
	return Skew{Angle: angle, Lag: angle * a.Span}, nil
}

// TwoDrives is a bridge driven on both sides by springs of unequal load: belts,
// screws, racks.
type TwoDrives struct {
	Force      float64 // together, N
	FromA      float64 // place of the resistance across the bridge, from side A, m
	Span       float64 // W, m
	StiffnessA float64 // drive stiffness at side A, N/m
	StiffnessB float64
}

// DriveShare is how two drives share.
type DriveShare struct {
	A, B float64 // drive forces, N
	Skew Skew    // positive where side A stretches more
}

// Share returns the forces and the skew from unequal stretch. Both vary with
// the places of bridge and load: evaluate the corners of the work space.
//
//	F_A = F (1 - x/W), F_B = F x/W,  skew = F_A/k_A - F_B/k_B
//
// Source: derived, statics of a beam on two springs.
func (t TwoDrives) Share() (DriveShare, error) {
	if err := cmp.Or(
		given.Finite("drive force", t.Force), given.Positive("span", t.Span), given.Within("place of the load", t.FromA, 0, t.Span),
		given.Stiffness("drive stiffness", t.StiffnessA), given.Stiffness("drive stiffness", t.StiffnessB),
	); err != nil {
		return DriveShare{}, err
	}
	s := DriveShare{A: t.Force * (1 - t.FromA/t.Span), B: t.Force * t.FromA / t.Span}
	lag := s.A/t.StiffnessA - s.B/t.StiffnessB
	s.Skew = Skew{Angle: lag / t.Span, Lag: lag}
	return s, nil
}

// SkewSources are what sets two motors apart, m each.
type SkewSources struct {
	Following float64 // difference of the following errors
	Homing    float64 // difference of the home positions
	Pitch     float64 // difference of belt length, lead or rack pitch over the stroke
	Thermal   float64 // difference of growth
}

// Fight returns the skew of two motors and the force with which they fight
// through the bridge.
//
//	skew = sum of the magnitudes,  F = k skew
//
// stiffness is that between the two drives through bridge and guides, N/m. Two
// motors need synchronous control and a home mark on each side.
//
// Source: derived; arithmetic sum is common practice.
func (s SkewSources) Fight(stiffness float64) (skew, force float64, err error) {
	if err := given.Positive("stiffness between the drives", stiffness); err != nil {
		return 0, 0, err
	}
	for i, part := range [...]float64{s.Following, s.Homing, s.Pitch, s.Thermal} {
		if err := given.Finite("skew contribution", part); err != nil {
			return 0, 0, fmt.Errorf("contribution %d: %w", i+1, err)
		}
		skew += math.Abs(part)
	}
	return skew, stiffness * skew, nil
}
