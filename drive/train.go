package drive

import (
	"cmp"
	"math"

	"spanwright/given"
)

// Transmission turns a shaft's turning into travel: belt and pulley, screw and
// nut, pinion and rack.
type Transmission struct {
	Gearing        float64 // shaft angle per travel, rad/m: 1/r belt, 2 pi/lead screw, 2/d pinion
	Inertia        float64 // of all that turns with this shaft, kg m²: pulleys, idler at its own gearing, screw, coupling half
	Efficiency     float64 // when the shaft drives the load; 1 for belt and pinion if the friction stands in the force already
	BackEfficiency float64 // when the load drives the shaft; BallScrew.BackEfficiency for a screw, may be below zero
	Drag           float64 // constant torque against the motion, N m: nut preload, bearings, seals
}

// Gear is a gearbox between motor and transmission. A direct drive has ratio 1,
// efficiency 1 and no inertia.
type Gear struct {
	Ratio      float64 // i, motor turns per output turn
	Efficiency float64 // eta, the same both ways
	Inertia    float64 // on the motor side, kg m²
}

// Train is motor, gear and transmission of one axis.
type Train struct {
	MotorInertia float64 // rotor, brake and coupling on the motor shaft, kg m²
	Gear         Gear
	Transmission Transmission
}

func (t Train) check() error {
	return cmp.Or(
		given.NotNegative("motor inertia", t.MotorInertia),
		given.Positive("gear ratio", t.Gear.Ratio),
		given.Share("gear efficiency", t.Gear.Efficiency),
		given.NotNegative("gear inertia", t.Gear.Inertia),
		given.Positive("gearing of the transmission", t.Transmission.Gearing),
		given.NotNegative("inertia on the transmission shaft", t.Transmission.Inertia),
		given.Share("transmission efficiency", t.Transmission.Efficiency),
		given.Finite("transmission back efficiency", t.Transmission.BackEfficiency),
		given.NotNegative("transmission drag", t.Transmission.Drag),
	)
}

// MotorSpeed returns the motor speed at a carriage speed, i q v, rad/s, signed.
func (t Train) MotorSpeed(speed float64) float64 {
	return speed * t.Transmission.Gearing * t.Gear.Ratio
}

// inputInertia is what turns with the motor, kg m².
func (t Train) inputInertia() float64 { return t.MotorInertia + t.Gear.Inertia }

// LoadInertia returns the inertia at the gear's output with a moving mass,
// J_L = m/q² + J, kg m².
func (t Train) LoadInertia(mass float64) (float64, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	j, err := ReflectedInertia(mass, t.Transmission.Gearing)
	return j + t.Transmission.Inertia, err
}

// RotaryMass returns all rotating parts as a mass at the carriage, kg.
//
//	m_rot = (J_motor side i² + J) q²
func (t Train) RotaryMass() (float64, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	q := t.Transmission.Gearing
	return EquivalentMass(0, Rotor{t.inputInertia(), q * t.Gear.Ratio}, Rotor{t.Transmission.Inertia, q})
}

// InertiaRatio returns load inertia over motor inertia at the motor shaft,
//
//	lambda = (J_L/i²)/(J_M + J_G)
//
// at most 3 for high dynamics, 5 for screws, 10 for belts and racks, up to 20
// with low bandwidth (common practice).
func (t Train) InertiaRatio(mass float64) (float64, error) {
	load, err := t.LoadInertia(mass)
	if err := cmp.Or(err, given.Positive("motor and gear inertia", t.inputInertia())); err != nil {
		return 0, err
	}
	return load / (t.Gear.Ratio * t.Gear.Ratio) / t.inputInertia(), nil
}

// RatioForLeastTorque returns the gear ratio with the least motor torque on a
// pure inertia, i = sqrt(J_L/(J_M + J_G)).
//
// Source: derived.
func RatioForLeastTorque(loadInertia, motorInertia float64) (float64, error) {
	if err := cmp.Or(given.Positive("load inertia", loadInertia), given.Positive("motor and gear inertia", motorInertia)); err != nil {
		return 0, err
	}
	return math.Sqrt(loadInertia / motorInertia), nil
}

// Instant is what the carriage asks for at one moment.
type Instant struct {
	Force        float64   // drive force at the carriage with the inertia of all that moves straight, N along +x; without rotating parts
	Acceleration float64   // m/s² along +x
	Direction    Direction // of the motion; decides who drives whom
}

// Torque is the torque at one moment, N m, positive along +x.
type Torque struct {
	Motor  float64
	Output float64 // at the gear's output, with the inertia beyond it
}

// Torque returns what the motor must give.
//
//	T_S = F/(q eta) or F eta_b/q          the force drives with or against the motion
//	      + J q a + dir T_drag
//	T_M = (J_M + J_G) i q a + T_S/(i eta) if T_S drives (motoring)
//	      (J_M + J_G) i q a + T_S eta/i   if the load drives (braking)
//
// At Standstill no loss helps or hinders.
//
// Source: derived, Newton's second law and power balance.
func (t Train) Torque(at Instant) (Torque, error) {
	if err := cmp.Or(t.check(), given.Finite("drive force", at.Force), given.Finite("acceleration", at.Acceleration)); err != nil {
		return Torque{}, err
	}
	return t.torque(at), nil
}

// torque is Torque for checked values.
func (t Train) torque(at Instant) Torque {
	x, g, dir := t.Transmission, t.Gear, float64(at.Direction)
	shaft := at.Force / x.Gearing
	switch {
	case at.Direction == Standstill:
	case at.Force*dir >= 0:
		shaft /= x.Efficiency
	default:
		shaft *= x.BackEfficiency
	}
	shaft += x.Inertia*x.Gearing*at.Acceleration + dir*x.Drag
	through := shaft / g.Ratio
	switch {
	case at.Direction == Standstill:
	case shaft*dir >= 0:
		through /= g.Efficiency
	default:
		through *= g.Efficiency
	}
	return Torque{Motor: t.inputInertia()*g.Ratio*x.Gearing*at.Acceleration + through, Output: shaft}
}

// PushingForce returns the steady force at the carriage that a motor torque
// gives against a resistance, N: what still pushes when an axis runs into its
// hard stop.
//
//	F = (T i eta - T_drag) q eta_transmission, at least 0
func (t Train) PushingForce(torque float64) (float64, error) {
	if err := cmp.Or(t.check(), given.NotNegative("motor torque", torque)); err != nil {
		return 0, err
	}
	x := t.Transmission
	return math.Max(0, torque*t.Gear.Ratio*t.Gear.Efficiency-x.Drag) * x.Gearing * x.Efficiency, nil
}
