package equip

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// BumperKind is what a carriage runs into.
type BumperKind string

// The kinds.
const (
	Hydraulic BumperKind = "hydraulic"
	Elastomer BumperKind = "elastomer"
	Spring    BumperKind = "spring"
	Rubber    BumperKind = "rubber"
	Solid     BumperKind = "solid"
)

// Efficiency is energy over largest force times stroke: 1 for a constant force.
// Source: common practice, no source; 0.85 appears in public sizing guides.
func (k BumperKind) Efficiency() (float64, error) {
	switch k {
	case Hydraulic:
		return 0.85, nil
	case Elastomer, Spring:
		return 0.5, nil
	case Rubber:
		return 0.35, nil
	}
	return 0, fmt.Errorf("%w: a %s stop has no stroke that takes energy; a bumper is needed", given.ErrRefused, k)
}

// Rotor is a rotating part of the drive.
type Rotor struct {
	Inertia float64 // kg m²
	Gearing float64 // turn of the part per travel, rad/m: gear ratio over pulley radius, 2 pi over lead
}

// EquivalentMass is m + sum J q², kg: rotors stop with the load. Source: kinetic energy.
func EquivalentMass(mass float64, rotors []Rotor) float64 {
	for _, r := range rotors {
		mass += r.Inertia * r.Gearing * r.Gearing
	}
	return mass
}

// Impact is a body that runs into a bumper.
type Impact struct {
	Mass        float64 // equivalent mass, kg
	Speed       float64 // at first contact, m/s
	Drive       float64 // force of the drive that still pushes, N; 0 with the torque off
	Weight      float64 // part of the weight along the motion, N: m g moving down, -m g moving up
	Stroke      float64 // s_b, m
	Efficiency  float64 // eta, 0 to 1
	HitsPerHour float64 // 0 for emergencies only
}

// Hit is what the impact does.
type Hit struct {
	Kinetic       float64 // J
	Pushed        float64 // work of drive and weight over the stroke, J
	Energy        float64 // one hit, J
	Hourly        float64 // J in the hour
	EffectiveMass float64 // m_e = 2 E/v²: must lie in the bumper's range, kg
	Force         float64 // on the stop, N: a load case for bolts, beam end, feet, grip and guides
	Deceleration  float64 // of the equivalent mass, m/s²
}

// Hit returns energy and force of the impact.
//
//	E = m v²/2 + (F_drive + F_weight) s_b      F = E/(eta s_b)      a = (F - F_drive - F_weight)/m
//
// Two parallel stops of a pair do not share evenly: size each for the whole
// unless both are adjusted and the bridge is stiff (common practice).
//
// Source: work and energy.
func (i Impact) Hit() (Hit, error) {
	if err := cmp.Or(
		given.Positive("mass at the hard stop", i.Mass), given.NotNegative("impact speed", i.Speed),
		given.NotNegative("drive force at the hard stop", i.Drive), given.Finite("weight along the motion", i.Weight),
		given.Positive("bumper stroke", i.Stroke), given.Share("bumper efficiency", i.Efficiency),
		given.NotNegative("hits per hour", i.HitsPerHour),
	); err != nil {
		return Hit{}, err
	}
	push := i.Drive + i.Weight
	h := Hit{Kinetic: i.Mass * i.Speed * i.Speed / 2, Pushed: push * i.Stroke}
	h.Energy = math.Max(0, h.Kinetic+h.Pushed) // a body that its weight stops first asks nothing of the bumper
	h.Hourly = h.Energy * i.HitsPerHour
	if i.Speed > 0 {
		h.EffectiveMass = 2 * h.Energy / (i.Speed * i.Speed)
	}
	h.Force = h.Energy / (i.Efficiency * i.Stroke)
	h.Deceleration = (h.Force - push) / i.Mass
	return h, nil
}

// SpringHit is what a linear spring does.
type SpringHit struct {
	Stroke float64 // m
	Force  float64 // largest, N
}

// OnSpring returns stroke and force on a linear spring (N/m); stroke and
// efficiency of the impact are not used.
//
//	s = (F + sqrt(F² + k m v²))/k      F_peak = k s
//
// Source: work and energy, exact.
func (i Impact) OnSpring(stiffness float64) (SpringHit, error) {
	if err := cmp.Or(
		given.Positive("spring stiffness", stiffness), given.Positive("mass at the hard stop", i.Mass), given.NotNegative("impact speed", i.Speed),
		given.Finite("drive force at the hard stop", i.Drive), given.Finite("weight along the motion", i.Weight),
	); err != nil {
		return SpringHit{}, err
	}
	push := i.Drive + i.Weight
	s := (push + math.Sqrt(push*push+stiffness*i.Mass*i.Speed*i.Speed)) / stiffness
	return SpringHit{Stroke: s, Force: stiffness * s}, nil
}

// SecondHit is the largest belt force (N) when rotors with an energy (J) run on
// behind a belt of the given stiffness (N/m) after the carriage has stopped.
//
//	F = sqrt(2 E k)
//
// Source: derived, energy in a spring.
func SecondHit(energy, belt float64) float64 { return math.Sqrt(2 * energy * belt) }

// MostSideLoadAngle is how far an impact may be off the absorber's axis, rad.
// Source: common practice, no source.
const MostSideLoadAngle = 3 * math.Pi / 180
