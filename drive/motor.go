package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// MotorCurve are the two torque lines of a servo motor with its drive and supply.
type MotorCurve struct {
	StallTorque float64 // continuous at standstill, N m
	RatedTorque float64 // continuous at the rated speed, N m
	RatedSpeed  float64 // rad/s
	PeakTorque  float64 // short-time up to the knee, N m
	KneeSpeed   float64 // from where the peak torque falls, rad/s
	NoLoadSpeed float64 // at which the peak torque is zero, rad/s
}

func (m MotorCurve) check() error {
	if err := cmp.Or(
		given.Positive("stall torque", m.StallTorque),
		given.Positive("rated torque", m.RatedTorque),
		given.Positive("rated speed", m.RatedSpeed),
		given.Positive("peak torque", m.PeakTorque),
		given.Positive("knee speed", m.KneeSpeed),
		given.Positive("no-load speed", m.NoLoadSpeed),
	); err != nil {
		return err
	}
	if !(m.NoLoadSpeed > m.KneeSpeed) {
		return fmt.Errorf("%w: the no-load speed %.6g rad/s must lie above the knee %.6g rad/s", given.ErrRefused, m.NoLoadSpeed, m.KneeSpeed)
	}
	return nil
}

// Continuous returns the torque the motor gives for ever at a speed, N m:
// straight from the stall torque to the rated point. Beyond the rated speed it
// returns ErrOutsideData.
//
// Source: common practice, no source; the real line is part data.
func (m MotorCurve) Continuous(speed float64) (float64, error) {
	n := math.Abs(speed)
	if err := cmp.Or(m.check(), given.Finite("motor speed", n)); err != nil {
		return 0, err
	}
	if n > m.RatedSpeed {
		return 0, fmt.Errorf("%w: continuous torque at %.5g rad/s, known to %.5g rad/s", ErrOutsideData, n, m.RatedSpeed)
	}
	return m.StallTorque + (m.RatedTorque-m.StallTorque)*n/m.RatedSpeed, nil
}

// Peak returns the short-time torque at a speed, N m: constant to the knee,
// then straight to zero at the no-load speed, and zero beyond.
//
// Source: common practice, no source; the real line is part data.
func (m MotorCurve) Peak(speed float64) (float64, error) {
	n := math.Abs(speed)
	if err := cmp.Or(m.check(), given.Finite("motor speed", n)); err != nil {
		return 0, err
	}
	return m.peak(n), nil
}

func (m MotorCurve) peak(n float64) float64 {
	switch {
	case n <= m.KneeSpeed:
		return m.PeakTorque
	case n >= m.NoLoadSpeed:
		return 0
	default:
		return m.PeakTorque * (m.NoLoadSpeed - n) / (m.NoLoadSpeed - m.KneeSpeed)
	}
}

// BlockedRotorShare is the part of the stall torque a motor may give for ever
// while its rotor stands still on one phase.
//
// Source: common practice, no source.
const BlockedRotorShare = 0.7

// Ramp is a value that changes linearly over a time: torque or speed of a
// simple cycle.
type Ramp struct {
	From, To float64
	Duration float64 // s
}

// RootMeanSquare returns the rms value of ramps over a period in s; what the
// period has beyond them counts zero.
//
//	sqrt( sum t (T_1² + T_1 T_2 + T_2²)/3 / T )
//
// Source: derived, definition of the rms value.
func RootMeanSquare(ramps []Ramp, period float64) (float64, error) {
	sum, err := overPeriod(ramps, period, func(r Ramp) float64 {
		return r.Duration * (r.From*r.From + r.From*r.To + r.To*r.To) / 3
	})
	return math.Sqrt(sum), err
}

// MeanMagnitude returns the mean of |value| of ramps over a period: for a speed,
// the speed at which the rms torque is judged. A ramp from zero counts half.
func MeanMagnitude(ramps []Ramp, period float64) (float64, error) {
	return overPeriod(ramps, period, func(r Ramp) float64 {
		a, b := math.Abs(r.From), math.Abs(r.To)
		if r.From*r.To < 0 {
			return r.Duration * (a*a + b*b) / (2 * (a + b))
		}
		return r.Duration * (a + b) / 2
	})
}

func overPeriod(ramps []Ramp, period float64, integral func(Ramp) float64) (float64, error) {
	if err := given.Positive("period", period); err != nil {
		return 0, err
	}
	var sum, time float64
	for i, r := range ramps {
		if err := cmp.Or(given.Finite("value", r.From), given.Finite("value", r.To), given.NotNegative("duration", r.Duration)); err != nil {
			return 0, fmt.Errorf("ramp %d: %w", i+1, err)
		}
		sum += integral(r)
		time += r.Duration
	}
	const rounding = 1e-9
	if time > period*(1+rounding) {
		return 0, fmt.Errorf("%w: the ramps take %.6g s, the period is %.6g s", given.ErrRefused, time, period)
	}
	return sum / period, nil
}
