package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Stepper is a stepper motor with its drive, run without position feedback: a
// lost step is not noticed.
type Stepper struct {
	PullOut   Curve   // torque over speed (rad/s) up to which it keeps step, N m
	StepAngle float64 // full step, rad
}

// PullOutMargin is the least ratio of pull-out torque to needed torque; 1.5 to 2.
//
// Source: common practice, no source.
const PullOutMargin = 1.5

// StepperTorque returns the pull-out torque a stepper must have at a speed, N m.
//
//	T = S (T_L + J alpha)
//
// with the load torque and the inertia of motor and load at the motor shaft.
// The pull-in curve holds only for starting without a ramp.
//
// Source: common practice, no source.
func StepperTorque(load, inertia, acceleration, margin float64) (float64, error) {
	if err := cmp.Or(
		given.NotNegative("load torque", load),
		given.NotNegative("inertia", inertia),
		given.NotNegative("acceleration", acceleration),
		given.Within("pull-out margin", margin, 1, 10),
	); err != nil {
		return 0, err
	}
	return margin * (load + inertia*acceleration), nil
}

// Use returns the largest |torque| over the pull-out torque at its speed, over
// the points of a cycle, and where it occurs. Compare with 1/PullOutMargin. A
// point beyond the curve returns ErrOutsideData.
func (s Stepper) Use(d MotorDemand) (use float64, at TorquePoint, err error) {
	for _, p := range d.Points {
		torque, err := s.PullOut.At(math.Abs(p.Speed))
		if err != nil {
			return 0, p, fmt.Errorf("pull-out torque: %w", err)
		}
		if u := math.Abs(p.Torque) / torque; u > use {
			use, at = u, p
		}
	}
	return use, at, nil
}

// Resonant step rates of usual stepper motors, steps per second: a range to
// pass quickly and not to run in.
//
// Source: common practice, no source.
const (
	ResonantFrom = 50.0
	ResonantTo   = 250.0
)

// ResonantSpeeds returns the motor speeds of the resonant step rates, rad/s.
func (s Stepper) ResonantSpeeds() (from, to float64, err error) {
	if err := given.Positive("step angle", s.StepAngle); err != nil {
		return 0, 0, err
	}
	return ResonantFrom * s.StepAngle, ResonantTo * s.StepAngle, nil
}
