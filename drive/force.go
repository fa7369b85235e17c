package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// Direction is the direction of motion, or of motion about to begin.
type Direction int8

// Friction acts against the direction; at Standstill (the axis holds, nothing
// is about to move) it is not counted, neither as load nor as help.
const (
	Backward   Direction = -1
	Standstill Direction = 0
	Forward    Direction = 1
)

// DirectionOf returns the direction of a speed.
func DirectionOf(v float64) Direction {
	switch {
	case v > 0:
		return Forward
	case v < 0:
		return Backward
	default:
		return Standstill
	}
}

// Balance is everything that acts along one axis at one instant.
type Balance struct {
	Mass         float64 // all that this axis moves, kg: carriage, plates, the axes it carries with their motors, moving carrier, tool, payload
	RotaryMass   float64 // rotating parts seen at the carriage, kg; see EquivalentMass. 0 where a Transmission or Train accounts for them
	Incline      float64 // rad; 0 level, pi/2 vertical, +x upwards
	Acceleration float64 // m/s² along +x
	Direction    Direction
	Friction     float64 // guides, seals, wipers at this speed, N, >= 0
	Process      float64 // process force on the moving part, N, + along +x
	Spring       float64 // counterbalance force of a spring or cylinder, N, + along +x
	Weight       Counterweight
}

// Counterweight hangs on a rope and rises when the axis goes down.
type Counterweight struct {
	Mass  float64 // kg, 0 none
	Ratio float64 // travel of the weight per travel of the axis; 1 for a plain rope
}

// SlackAcceleration returns the axis acceleration along +x above which the rope
// goes slack, g/i_c, m/s².
//
// Source: derived; the weight cannot fall faster than g.
func (c Counterweight) SlackAcceleration() (float64, error) {
	if err := given.Positive("counterweight ratio", c.Ratio); err != nil {
		return 0, err
	}
	return quantity.StandardGravity / c.Ratio, nil
}

// Thrust is the force the drive must give, with its parts, N along +x. The
// parts add up to Total.
type Thrust struct {
	Inertia       float64 // (m + rotary mass) a
	Gravity       float64 // m g sin(incline)
	Friction      float64 // with the direction
	Process       float64 // -F_ext
	Spring        float64 // -F_spring
	Counterweight float64 // i² m a - i m g, 0 when the rope is slack
	Total         float64

	RopeSlack bool // the axis accelerates up faster than the weight can follow
}

// Thrust returns the drive force of the instant.
//
//	F = (m + m_rot) a + m g sin(th) + dir F_f - F_ext - F_spring + i² m_cw a - i m_cw g
//
// A counterweight whose rope goes slack neither helps nor loads; RopeSlack
// says so.
//
// Source: derived, Newton's second law.
func (b Balance) Thrust() (Thrust, error) {
	if err := cmp.Or(
		given.Positive("moving mass", b.Mass),
		given.NotNegative("rotary mass", b.RotaryMass),
		given.Within("incline", b.Incline, -math.Pi/2, math.Pi/2),
		given.Finite("acceleration", b.Acceleration),
		given.NotNegative("friction", b.Friction),
		given.Finite("process force", b.Process),
		given.Finite("spring force", b.Spring),
		given.NotNegative("counterweight mass", b.Weight.Mass),
	); err != nil {
		return Thrust{}, err
	}
	t := Thrust{
		Inertia:  (b.Mass + b.RotaryMass) * b.Acceleration,
		Gravity:  b.Mass * quantity.StandardGravity * math.Sin(b.Incline),
		Friction: float64(b.Direction) * b.Friction,
		Process:  -b.Process,
		Spring:   -b.Spring,
	}
	if b.Weight.Mass > 0 {
		limit, err := b.Weight.SlackAcceleration()
		if err != nil {
			return Thrust{}, err
		}
		i, m := b.Weight.Ratio, b.Weight.Mass
		t.RopeSlack = b.Acceleration > limit
		if !t.RopeSlack {
			t.Counterweight = i*i*m*b.Acceleration - i*m*quantity.StandardGravity
		}
	}
	t.Total = t.Inertia + t.Gravity + t.Friction + t.Process + t.Spring + t.Counterweight
	return t, nil
}

// NormalForce returns m g cos(incline), N: the load on the guides of a carriage
// whose load sits centrally. Offset loads and accelerations need package guide.
func (b Balance) NormalForce() float64 {
	return b.Mass * quantity.StandardGravity * math.Cos(b.Incline)
}

// GasSpring is a counterbalance cylinder filled with gas: its force changes
// along the stroke and with the temperature of the gas. Loss of gas is a case
// of its own: the brake must hold without it.
type GasSpring struct {
	StartForce       float64 // at the start of its stroke, N
	EndForce         float64 // at the end of its stroke, N
	Stroke           float64 // m
	RatedTemperature float64 // at which the forces hold, K
}

// Force returns the force at a place in the stroke and a gas temperature, N.
//
//	F = (F_start + (F_end - F_start) s/S) T/T_rated      (absolute temperatures)
//
// Source: derived; linear in the stroke is common practice, proportional to
// the absolute temperature is the ideal gas at constant volume.
func (s GasSpring) Force(place, temperature float64) (float64, error) {
	if err := cmp.Or(
		given.NotNegative("gas spring start force", s.StartForce),
		given.NotNegative("gas spring end force", s.EndForce),
		given.Positive("gas spring stroke", s.Stroke),
		given.Within("place in the gas spring's stroke", place, 0, s.Stroke),
		given.Positive("rated temperature", s.RatedTemperature),
		given.Positive("temperature", temperature),
	); err != nil {
		return 0, err
	}
	rated := s.StartForce + (s.EndForce-s.StartForce)*place/s.Stroke
	return rated * temperature / s.RatedTemperature, nil
}

// Rotor is a rotating part geared to the travel.
type Rotor struct {
	Inertia float64 // kg m²
	Gearing float64 // angle per travel, rad/m: 1/r belt, 2 pi/lead screw, 2/d pinion, times the gear ratio
}

// EquivalentMass returns the mass that has the inertia of all moving parts,
// seen at the carriage, kg.
//
//	m_eq = m + sum J q²
//
// Source: derived, equal kinetic energy.
func EquivalentMass(mass float64, rotors ...Rotor) (float64, error) {
	if err := given.NotNegative("moving mass", mass); err != nil {
		return 0, err
	}
	for i, r := range rotors {
		if err := cmp.Or(given.NotNegative("inertia", r.Inertia), given.Finite("gearing", r.Gearing)); err != nil {
			return 0, fmt.Errorf("rotor %d: %w", i+1, err)
		}
		mass += r.Inertia * r.Gearing * r.Gearing
	}
	return mass, nil
}
