package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// InSeries returns the stiffness of springs one behind the other; an infinite
// one is rigid and counts as absent. Any consistent unit.
//
//	1/k = sum 1/k_i
func InSeries(k ...float64) (float64, error) {
	if len(k) == 0 {
		return 0, fmt.Errorf("%w: no stiffness given", given.ErrRefused)
	}
	var compliance float64
	for i, ki := range k {
		if err := given.Stiffness(fmt.Sprintf("stiffness %d of the chain", i+1), ki); err != nil {
			return 0, err
		}
		compliance += 1 / ki
	}
	return 1 / compliance, nil
}

// LinearStiffness returns a torsional stiffness on a shaft as seen along the
// travel, N/m.
//
//	k = k_t q²
//
// with k_t in N m/rad and the gearing q in rad/m (1/r, 2 pi/lead, 2/d).
// Source: derived, equal elastic energy.
func LinearStiffness(torsional, gearing float64) (float64, error) {
	if err := cmp.Or(given.Stiffness("torsional stiffness", torsional), given.Positive("gearing", gearing)); err != nil {
		return 0, err
	}
	return torsional * gearing * gearing, nil
}

// RoundShaftTorsion returns the torsional stiffness of a round shaft, N m/rad.
//
//	k_t = G pi d^4 / (32 l)
//
// shearModulus in Pa, diameter and length in m.
// Source: published, torsion of a circular shaft (any strength-of-materials handbook).
func RoundShaftTorsion(shearModulus, diameter, length float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("shear modulus", shearModulus),
		given.Positive("shaft diameter", diameter),
		given.Positive("shaft length", length),
	); err != nil {
		return 0, err
	}
	return shearModulus * math.Pi * math.Pow(diameter, 4) / (32 * length), nil
}

// LockedFrequency returns the frequency of a load on its drive with the motor
// held still, Hz: what the load does after a stop with a stiff servo.
//
//	f = sqrt(k/m) / (2 pi)
func LockedFrequency(stiffness, mass float64) (float64, error) {
	if err := cmp.Or(given.Positive("drive stiffness", stiffness), given.Positive("moving mass", mass)); err != nil {
		return 0, err
	}
	return math.Sqrt(stiffness/mass) / (2 * math.Pi), nil
}

// TwoMassFrequency returns the frequency of load and motor swinging against
// each other, Hz: what limits the servo gains. The motor counts with its
// equivalent mass J q² at the carriage.
//
//	f = sqrt(k (1/m + 1/m_motor)) / (2 pi)
func TwoMassFrequency(stiffness, mass, motorMass float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("drive stiffness", stiffness),
		given.Positive("moving mass", mass),
		given.Positive("equivalent motor mass", motorMass),
	); err != nil {
		return 0, err
	}
	return math.Sqrt(stiffness*(1/mass+1/motorMass)) / (2 * math.Pi), nil
}
