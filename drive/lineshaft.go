package drive

import (
	"cmp"
	"math"

	"spanwright/given"
)

// LineShaft carries the torque of a paired axis from one side to the other.
type LineShaft struct {
	ShearModulus float64 // G, Pa
	Diameter     float64 // m
	Length       float64 // between the pulleys or pinions, m
	Coupling     float64 // torsional stiffness of all couplings and clamps in series, N m/rad, +Inf rigid
	Radius       float64 // of pulley or pinion, m
}

// Stiffness returns the torsional stiffness of shaft and couplings, N m/rad.
func (s LineShaft) Stiffness() (float64, error) {
	shaft, err := RoundShaftTorsion(s.ShearModulus, s.Diameter, s.Length)
	if err := cmp.Or(err, given.Stiffness("coupling stiffness", s.Coupling)); err != nil {
		return 0, err
	}
	return InSeries(shaft, s.Coupling)
}

// WindUp is the twist of a line shaft and what it does to the bridge.
type WindUp struct {
	Torque float64 // in the shaft, N m
	Angle  float64 // of twist, rad
	Skew   float64 // the far side lags by this, m
	Linear float64 // stiffness at the far carriage, N/m
}

// WindUp returns the twist when the motor sits on one side and the far side
// needs a force, N.
//
//	T = F r,  phi = T/k_t,  skew = phi r,  k = k_t/r²
//
// Source: derived, torsion of a shaft.
func (s LineShaft) WindUp(farForce float64) (WindUp, error) {
	k, err := s.Stiffness()
	if err := cmp.Or(err, given.Positive("pulley radius", s.Radius), given.Finite("far side force", farForce)); err != nil {
		return WindUp{}, err
	}
	linear, err := LinearStiffness(k, 1/s.Radius)
	if err != nil {
		return WindUp{}, err
	}
	torque := farForce * s.Radius
	return WindUp{Torque: torque, Angle: torque / k, Skew: torque / k * s.Radius, Linear: linear}, nil
}

// MiddleSkew returns the skew when the motor sits in the middle and the two
// halves carry different torques, m; Length is the half.
//
//	skew = |T_A - T_B|/k_t r
//
// Source: derived, torsion of a shaft.
func (s LineShaft) MiddleSkew(torqueA, torqueB float64) (float64, error) {
	k, err := s.Stiffness()
	if err := cmp.Or(err, given.Positive("pulley radius", s.Radius), given.Finite("torque", torqueA), given.Finite("torque", torqueB)); err != nil {
		return 0, err
	}
	return math.Abs(torqueA-torqueB) / k * s.Radius, nil
}
