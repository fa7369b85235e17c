package drive

import (
	"cmp"

	"spanwright/given"
	"spanwright/rolling"
)

// GearStep is a part of a cycle at the gear's output.
type GearStep struct {
	Torque float64 // N m
	Speed  float64 // rad/s, >= 0
	Share  float64 // part of the cycle time or time, >= 0
}

// GearMeanTorque returns the cubic mean of the output torque over the turns, N m.
//
//	T_m = ( sum n_i t_i |T_i|³ / sum n_i t_i )^(1/3)
//
// Source: common practice, no source; exponent 3 is the usual simplification.
func GearMeanTorque(steps []GearStep) (float64, error) {
	spans := make([]rolling.Span, len(steps))
	for i, s := range steps {
		spans[i] = rolling.Span{From: s.Torque, To: s.Torque, Weight: s.Speed * s.Share}
	}
	return rolling.MeanLoad(spans)
}

// Lost is the play and give of a gear seen at the carriage.
type Lost struct {
	Backlash  float64 // angle at the output, rad
	Stiffness float64 // torsional, N m/rad, +Inf rigid
	Gearing   float64 // output angle per travel, rad/m
}

func (l Lost) check() error {
	return cmp.Or(given.NotNegative("gear backlash", l.Backlash), given.Stiffness("gear stiffness", l.Stiffness), given.Positive("gearing", l.Gearing))
}

// LostMotion returns the backlash at the carriage, phi/q, m.
func (l Lost) LostMotion() (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	return l.Backlash / l.Gearing, nil
}

// WindUp returns how far an output torque twists the gear, at the carriage,
// T/(C_t q), m.
func (l Lost) WindUp(torque float64) (float64, error) {
	if err := cmp.Or(l.check(), given.Finite("output torque", torque)); err != nil {
		return 0, err
	}
	return torque / l.Stiffness / l.Gearing, nil
}

// BrakeCrash is a motor brake closing at speed: the load is stopped through the
// gear.
type BrakeCrash struct {
	Deceleration  float64 // of the motor shaft, rad/s²
	AtCarriage    float64 // m/s²
	OutputTorque  float64 // at the gear, N m; compare with its emergency-stop torque
	CarriageForce float64 // through belt, screw or rack for the moving mass, N
}

// RealBrakeFactor is how much stronger than its rated static torque a brake may
// be: 2 to 2.5. Use it for what the gear must survive, never for holding.
//
// Source: common practice, no source.
const RealBrakeFactor = 2.5

// BrakeCrash returns the loads when the motor brake closes at speed with a
// torque; friction and gravity are not counted.
//
//	alpha = T_b/(J_M + J_G + J_L/i²),  T_2 = J_L alpha/i
//
// Source: derived, Newton's second law.
func (t Train) BrakeCrash(brakeTorque, mass float64) (BrakeCrash, error) {
	load, err := t.LoadInertia(mass)
	if err := cmp.Or(err, given.Positive("brake torque", brakeTorque)); err != nil {
		return BrakeCrash{}, err
	}
	i := t.Gear.Ratio
	total := t.inputInertia() + load/(i*i)
	if err := given.Positive("inertia of the train", total); err != nil {
		return BrakeCrash{}, err
	}
	alpha := brakeTorque / total
	c := BrakeCrash{Deceleration: alpha, AtCarriage: alpha / (i * t.Transmission.Gearing), OutputTorque: load * alpha / i}
	c.CarriageForce = mass * c.AtCarriage
	return c, nil
}
