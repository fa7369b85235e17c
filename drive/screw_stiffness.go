package drive

import (
	"cmp"
	"math"

	"spanwright/given"
)

// AxialShaft is a screw shaft as an axial spring.
type AxialShaft struct {
	Modulus           float64 // E, Pa
	EffectiveDiameter float64 // mean effective shaft diameter d_c, m; the root diameter if unknown
	Length            float64 // bearing to bearing, m
}

func (s AxialShaft) check() error {
	return cmp.Or(
		given.Positive("elastic modulus", s.Modulus),
		given.Positive("effective shaft diameter", s.EffectiveDiameter),
		given.Positive("shaft length", s.Length),
	)
}

// tension returns E A, N.
func (s AxialShaft) tension() float64 {
	return s.Modulus * math.Pi * s.EffectiveDiameter * s.EffectiveDiameter / 4
}

// OneSided returns the shaft stiffness at a nut at distance l from the only
// axial bearing, E A/l, N/m.
//
// Source: published, ISO 3408-4 (clause titles confirmed, formula elementary).
func (s AxialShaft) OneSided(l float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Positive("distance bearing to nut", l), given.Within("distance bearing to nut", l, 0, s.Length)); err != nil {
		return 0, err
	}
	return s.tension() / l, nil
}

// TwoSided returns the stiffness at a nut at distance l from one of two axial
// bearings of stiffness bearing each (N/m, +Inf rigid), N/m.
//
//	R = 1/(l/(E A) + 1/R_b) + 1/((L-l)/(E A) + 1/R_b)
//
// With rigid bearings this is E A (1/l + 1/(L-l)), least 4 E A/L in the middle.
//
// Source: published, ISO 3408-4; with bearings derived.
func (s AxialShaft) TwoSided(l, bearing float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Within("distance bearing to nut", l, 0, s.Length), given.Stiffness("bearing stiffness", bearing)); err != nil {
		return 0, err
	}
	ea := s.tension()
	return 1/(l/ea+1/bearing) + 1/((s.Length-l)/ea+1/bearing), nil
}

// ThermalGrowth returns alpha L dT, m.
func ThermalGrowth(expansion, length, rise float64) (float64, error) {
	if err := cmp.Or(given.NotNegative("thermal expansion", expansion), given.NotNegative("length", length), given.Finite("temperature rise", rise)); err != nil {
		return 0, err
	}
	return expansion * length * rise, nil
}

// StretchForce returns the force that stretches the shaft as much as a
// temperature rise would, E A alpha dT, N: a shaft stretched by it at assembly
// stays taut up to that rise.
//
// Source: derived, Hooke's law.
func (s AxialShaft) StretchForce(expansion, rise float64) (float64, error) {
	if err := cmp.Or(s.check(), given.NotNegative("thermal expansion", expansion), given.NotNegative("temperature rise", rise)); err != nil {
		return 0, err
	}
	return s.tension() * expansion * rise, nil
}

// NutStiffness returns a nut's stiffness at a preload other than the one its
// catalogue value belongs to (a tenth of the dynamic rating), N/m.
//
//	R = 0.8 R_cat (F_pr/(0.1 C_a))^(1/3)
//
// Source: common practice, no source; the cube root follows from Hertz contact.
func NutStiffness(catalogue, preload, dynamic float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("catalogue nut stiffness", catalogue),
		given.Positive("nut preload", preload),
		given.Positive("dynamic load rating", dynamic),
	); err != nil {
		return 0, err
	}
	return 0.8 * catalogue * math.Cbrt(preload/(0.1*dynamic)), nil
}

// RoundBarInertia returns the inertia of a round bar about its axis, kg m².
//
//	J = pi rho L d^4/32
func RoundBarInertia(density, length, diameter float64) (float64, error) {
	if err := cmp.Or(given.Positive("density", density), given.Positive("length", length), given.Positive("diameter", diameter)); err != nil {
		return 0, err
	}
	return math.Pi * density * length * math.Pow(diameter, 4) / 32, nil
}

// ReflectedInertia returns the inertia of a mass on the shaft that moves it,
// m/q², kg m²: m (P/2 pi)² for a screw, m r² for a belt or pinion.
//
// Source: derived, equal kinetic energy.
func ReflectedInertia(mass, gearing float64) (float64, error) {
	if err := cmp.Or(given.NotNegative("moving mass", mass), given.Positive("gearing", gearing)); err != nil {
		return 0, err
	}
	return mass / (gearing * gearing), nil
}
