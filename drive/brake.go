package drive

import (
	"cmp"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// GravityAxis is a vertical or inclined axis with a hold brake, as it loses
// power. A brake in front of a belt does not hold the load if the belt breaks;
// a hold brake alone does not make it safe to stand under a load (ISO 12100 and
// ISO 13849-1 decide what else is needed).
type GravityAxis struct {
	Mass         float64 // moving mass, kg
	Incline      float64 // rad, pi/2 vertical
	Inertia      float64 // of all that turns, at the brake shaft, kg m²; see Train.BrakeInertia
	Gearing      float64 // brake shaft angle per travel, rad/m: 2 pi/lead, i/r
	BrakeTorque  float64 // least static torque, run-in and warm, N m; not the nominal one
	Counterforce float64 // of a spring or cylinder, upwards, N; 0 is the case of its failure
	Weight       Counterweight
	Friction     float64 // N; 0 unless its presence is certain
	Reaction     float64 // detection + switching + apply time, s
	Speed        float64 // at power loss, m/s, positive downwards
}

// PowerOff reduces the axis to its travel, positive downwards.
//
//	m_eq = m + J q² + i² m_cw,  F_B = T_B q,  F_g = m g sin(incline) - F_cb - i m_cw g
//
// The free phase moves m_eq, not m: a screw axis falls slowly, a belt axis much
// faster.
//
// Source: derived, equal kinetic energy and work.
func (g GravityAxis) PowerOff() (PowerOff, error) {
	if err := cmp.Or(
		given.Positive("moving mass", g.Mass),
		given.Within("incline", g.Incline, 0, math.Pi/2),
		given.Positive("incline of a gravity axis", g.Incline),
		given.NotNegative("inertia at the brake shaft", g.Inertia),
		given.Positive("gearing of the brake shaft", g.Gearing),
		given.NotNegative("brake torque", g.BrakeTorque),
		given.Finite("counterbalance force", g.Counterforce),
		given.NotNegative("counterweight mass", g.Weight.Mass),
	); err != nil {
		return PowerOff{}, err
	}
	rotors := []Rotor{{g.Inertia, g.Gearing}}
	load := g.Mass*quantity.StandardGravity*math.Sin(g.Incline) - g.Counterforce
	if g.Weight.Mass > 0 {
		if err := given.Positive("counterweight ratio", g.Weight.Ratio); err != nil {
			return PowerOff{}, err
		}
		rotors = append(rotors, Rotor{g.Weight.Mass, g.Weight.Ratio})
		load -= g.Weight.Ratio * g.Weight.Mass * quantity.StandardGravity
	}
	mass, err := EquivalentMass(g.Mass, rotors...)
	if err != nil {
		return PowerOff{}, err
	}
	p := PowerOff{
		EquivalentMass: mass, Load: load, Brake: g.BrakeTorque * g.Gearing,
		Friction: g.Friction, Reaction: g.Reaction, Speed: g.Speed, Weight: g.Weight,
	}
	return p, p.check()
}

// Stop returns the stop of the axis by its brake; see PowerOff.Stop.
func (g GravityAxis) Stop() (Stop, error) {
	p, err := g.PowerOff()
	if err != nil {
		return Stop{}, err
	}
	return p.Stop()
}

// StaticTorque returns the torque of the load at the brake shaft, |F_g|/q, N m,
// without credit for friction or losses.
func (g GravityAxis) StaticTorque() (float64, error) {
	p, err := g.PowerOff()
	return math.Abs(p.Load) / g.Gearing, err
}

// CyclicTestFactor is the torque of the repeated brake test over the static
// load torque.
//
// Source: guidance of a national accident insurer on gravity-loaded axes (from
// memory, no clause).
const CyclicTestFactor = 1.3

// BrakeTest is a static test of a closed hold brake by its own motor.
type BrakeTest struct {
	OnBrake      float64 // torque the brake must hold, either way, N m
	MotorAlong   float64 // motor torque in the direction of the load: gravity gives the rest, N m
	MotorAgainst float64 // motor torque against the load: gravity must be overcome first, N m
}

// Test returns the torques of the repeated brake test with a factor on the
// static load torque, at the brake shaft.
//
//	on the brake f T,  along the load (f-1) T,  against it (f+1) T
//
// Test at low height or with the load supported: the brake may fail it.
//
// Source: derived; the factor is CyclicTestFactor.
func (g GravityAxis) Test(factor float64) (BrakeTest, error) {
	torque, err := g.StaticTorque()
	if err := cmp.Or(err, given.Within("test factor", factor, 1, 3)); err != nil {
		return BrakeTest{}, err
	}
	return BrakeTest{OnBrake: factor * torque, MotorAlong: (factor - 1) * torque, MotorAgainst: (factor + 1) * torque}, nil
}

// HoldFactorLeast is the least static brake torque over load torque; 2 is usual.
//
// Source: common practice, no source.
const HoldFactorLeast = 1.5

// BrakeInertia returns what turns with a brake on the motor shaft, seen there,
// kg m²: motor, gear and the transmission's shaft over i².
func (t Train) BrakeInertia() (float64, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	i := t.Gear.Ratio
	return t.inputInertia() + t.Transmission.Inertia/(i*i), nil
}

// WearStops returns how many stops the friction lining lasts: total wear energy
// over energy per stop, both J. Compare with the planned emergency stops.
func WearStops(total, perStop float64) (float64, error) {
	if err := cmp.Or(given.Positive("wear energy", total), given.Positive("energy per stop", perStop)); err != nil {
		return 0, err
	}
	return total / perStop, nil
}

// BrakeHeat returns the mean heat of repeated stops, W: energy per stop in J
// times stops per hour over 3600 s. Compare with the brake's continuous
// friction power where part data give no curve.
func BrakeHeat(perStop, stopsPerHour float64) (float64, error) {
	if err := cmp.Or(given.NotNegative("energy per stop", perStop), given.NotNegative("stops per hour", stopsPerHour)); err != nil {
		return 0, err
	}
	return perStop * stopsPerHour / 3600, nil
}
