package drive

import (
	"cmp"
	"math"

	"spanwright/given"
)

// Pinion is a gear wheel on a rack.
type Pinion struct {
	Module        float64 // normal module m_n, m
	Teeth         int
	Helix         float64 // beta, rad; 0 spur
	PressureAngle float64 // normal, alpha_n, rad; 20 degrees as a rule
}

func (p Pinion) check() error {
	return cmp.Or(
		given.Positive("module", p.Module),
		given.AtLeast("pinion teeth", p.Teeth, 5),
		given.Within("helix angle", p.Helix, 0, math.Pi/4),
		given.Within("pressure angle", p.PressureAngle, math.Pi/18, math.Pi/6),
	)
}

// PitchDiameter returns m_n z/cos(beta), m. Leaving out the cosine is a 6 %
// error in travel on the usual helical racks.
//
// Source: published, gear geometry, ISO 21771.
func (p Pinion) PitchDiameter() (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	return p.Module * float64(p.Teeth) / math.Cos(p.Helix), nil
}

// TravelPerTurn returns pi d, m.
func (p Pinion) TravelPerTurn() (float64, error) {
	d, err := p.PitchDiameter()
	return math.Pi * d, err
}

// Gearing returns the pinion angle per travel, 2/d, rad/m.
func (p Pinion) Gearing() (float64, error) {
	d, err := p.PitchDiameter()
	if err != nil {
		return 0, err
	}
	return 2 / d, nil
}

// RackForces are what a drive force does at the mesh.
type RackForces struct {
	Torque  float64 // on the pinion, F_t d/2, N m
	Radial  float64 // pushes pinion and rack apart and loads the guide, N
	Axial   float64 // along the pinion's axis, N
	Bearing float64 // sqrt(F_t² + F_r²), radial load on the pinion shaft, N
}

// Forces returns the forces of a tangential force in N.
//
//	T = F_t d/2,  F_r = F_t tan(alpha_n)/cos(beta),  F_a = F_t tan(beta)
//
// Source: published, gear geometry, ISO 21771; statics.
func (p Pinion) Forces(tangential float64) (RackForces, error) {
	d, err := p.PitchDiameter()
	if err := cmp.Or(err, given.NotNegative("rack force", tangential)); err != nil {
		return RackForces{}, err
	}
	radial := tangential * math.Tan(p.PressureAngle) / math.Cos(p.Helix)
	return RackForces{
		Torque:  tangential * d / 2,
		Radial:  radial,
		Axial:   tangential * math.Tan(p.Helix),
		Bearing: math.Hypot(tangential, radial),
	}, nil
}

// MeshStiffnessPerWidth is c_gamma of steel gears, N/m of approach per m of
// width: 20 N/(mm µm).
//
// Source: ISO 6336-1 (from memory).
const MeshStiffnessPerWidth = 20e9

// MeshStiffness returns c_gamma b, N/m, for a width in m.
func MeshStiffness(perWidth, width float64) (float64, error) {
	if err := cmp.Or(given.Positive("mesh stiffness per width", perWidth), given.Positive("face width", width)); err != nil {
		return 0, err
	}
	return perWidth * width, nil
}

// ToothFactors are the load factors of a gear calculation, all >= 1.
type ToothFactors struct {
	Application float64 // K_A
	Dynamic     float64 // K_v
	Spread      float64 // K_H, load spread over the width
}

// product returns K_A K_v K_H.
func (k ToothFactors) product() (float64, error) {
	return k.Application * k.Dynamic * k.Spread, cmp.Or(
		given.Within("application factor", k.Application, 1, 10),
		given.Within("dynamic factor", k.Dynamic, 1, 10),
		given.Within("load spread factor", k.Spread, 1, 10),
	)
}

// ToothForm is the combined form and stress factor Y_FS of pinions from 20
// teeth up, 4.2 to 4.6.
//
// Source: common practice, no source.
const ToothForm = 4.5

// Safeties of the tooth screening.
//
// Source: common practice, no source.
const (
	RootSafety  = 1.5
	FlankSafety = 1.1
)

// ToothScreening is a first look at a spur or helical pinion on its rack. It is
// a simplified form of ISO 6336-2 and -3 without contact ratio, helix, life and
// roughness factors; the rack maker's rated force wins where it is given.
type ToothScreening struct {
	Pinion  Pinion
	Width   float64 // common face width, m
	Force   float64 // tangential, N
	Form    float64 // Y_FS
	Factors ToothFactors
	Modulus float64 // E of pinion and rack, Pa
	Poisson float64
}

// ToothStress are the screening stresses, Pa.
type ToothStress struct{ Root, Flank float64 }

// Stresses returns root and flank stress.
//
//	sigma_F = F_t/(b m_n) Y_FS K
//	sigma_H = Z_E Z_H sqrt(F_t K/(d b))        u infinite for a rack
//
// Source: ISO 6336-2 and -3, simplified.
func (s ToothScreening) Stresses() (ToothStress, error) {
	d, err := s.Pinion.PitchDiameter()
	k, errK := s.Factors.product()
	zE, errE := ElasticityFactor(s.Modulus, s.Poisson)
	if err := cmp.Or(err, errK, errE,
		given.Positive("face width", s.Width),
		given.NotNegative("rack force", s.Force),
		given.Positive("tooth form factor", s.Form),
	); err != nil {
		return ToothStress{}, err
	}
	zH, err := ZoneFactor(s.Pinion.PressureAngle)
	if err != nil {
		return ToothStress{}, err
	}
	return ToothStress{
		Root:  s.Force / (s.Width * s.Pinion.Module) * s.Form * k,
		Flank: zE * zH * math.Sqrt(s.Force*k/(d*s.Width)),
	}, nil
}

// ElasticityFactor returns Z_E of two bodies of one material, sqrt(Pa).
//
//	Z_E = sqrt(E/(2 pi (1 - nu²)))
//
// Source: ISO 6336-2 (from memory); derived from Hertz contact.
func ElasticityFactor(modulus, poisson float64) (float64, error) {
	if err := cmp.Or(given.Positive("elastic modulus", modulus), given.Within("Poisson's ratio", poisson, 0, 0.5)); err != nil {
		return 0, err
	}
	return math.Sqrt(modulus / (2 * math.Pi * (1 - poisson*poisson))), nil
}

// ZoneFactor returns Z_H of spur teeth without profile shift,
// sqrt(2/(cos(alpha) sin(alpha))).
//
// Source: ISO 6336-2 (from memory).
func ZoneFactor(pressureAngle float64) (float64, error) {
	if err := given.Within("pressure angle", pressureAngle, math.Pi/18, math.Pi/6); err != nil {
		return 0, err
	}
	return math.Sqrt(2 / (math.Cos(pressureAngle) * math.Sin(pressureAngle))), nil
}

// LewisTooth is a spur tooth as a bending beam.
type LewisTooth struct {
	Width   float64 // face width, m
	Module  float64 // m
	Form    float64 // Lewis form factor Y
	Stress  float64 // allowed, Pa
	Dynamic float64 // K_v, >= 1
}

// Force returns the tangential force the tooth carries in bending, N.
//
//	W_t = sigma b Y m/K_v
//
// Source: published, Shigley, Mechanical Engineering Design, ch. 14.
func (t LewisTooth) Force() (float64, error) {
	if err := cmp.Or(
		given.Positive("face width", t.Width),
		given.Positive("module", t.Module),
		given.Positive("Lewis form factor", t.Form),
		given.Positive("allowed bending stress", t.Stress),
		given.Within("dynamic factor", t.Dynamic, 1, 10),
	); err != nil {
		return 0, err
	}
	return t.Stress * t.Width * t.Form * t.Module / t.Dynamic, nil
}
