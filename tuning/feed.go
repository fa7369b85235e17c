package tuning

import (
	"cmp"
	"math"

	"spanwright/given"
)

// Feed is what turns motor angle into travel.
type Feed struct {
	PerTurn float64 // travel per turn of pulley, screw or pinion, m
	Ratio   float64 // gear ratio, motor speed over pulley speed; 1 without a gear
	Counts  float64 // encoder counts of one motor turn
}

// FeedSettings are the numbers that a drive controller asks for.
type FeedSettings struct {
	PerMotorTurn float64 // travel per motor turn, m
	CountsPerM   float64 // encoder counts per travel, 1/m; 0 where the counts are not known
	MotorSpeed   float64 // at the axis speed, rad/s
	MotorAccel   float64 // at the axis acceleration, rad/s²
}

// Settings returns them for a speed (m/s) and an acceleration (m/s²) of the axis.
//
//	per motor turn = FC/i   counts = c/(FC/i)   omega = 2 pi v/(FC/i)   alpha = 2 pi a/(FC/i)
//
// Source: derived.
func (f Feed) Settings(speed, accel float64) (FeedSettings, error) {
	if err := cmp.Or(
		given.Positive("travel per turn", f.PerTurn), given.Positive("gear ratio", f.Ratio), given.NotNegative("encoder counts", f.Counts),
		given.Finite("speed", speed), given.Finite("acceleration", accel),
	); err != nil {
		return FeedSettings{}, err
	}
	d := f.PerTurn / f.Ratio
	return FeedSettings{PerMotorTurn: d, CountsPerM: f.Counts / d, MotorSpeed: 2 * math.Pi * speed / d, MotorAccel: 2 * math.Pi * accel / d}, nil
}

// PositionLoop is a proportional position loop with velocity feed-forward over a
// velocity loop.
type PositionLoop struct {
	Gain        float64 // K_v, 1/s
	FeedForward float64 // k_ff, 0 to 1
}

// windowFactor is the following-error window over the following error; factor
// inPosition is the least window over the in-position window. Common practice,
// no source.
const (
	windowFactor = 2
	inPosition   = 10
)

// Following returns the following error at a constant speed, m, and the window
// beyond which the drive is to trip: twice the error, and at least ten times
// the in-position window.
//
//	e = v/K_v (1 - k_ff)
//
// Source: steady state of a loop of type 1; the factors are common practice, no source.
func (p PositionLoop) Following(speed, inPositionWindow float64) (e, window float64, err error) {
	if err := cmp.Or(
		given.Positive("position gain", p.Gain), given.Within("feed-forward", p.FeedForward, 0, 1),
		given.NotNegative("speed", speed), given.NotNegative("in-position window", inPositionWindow),
	); err != nil {
		return 0, 0, err
	}
	e = speed / p.Gain * (1 - p.FeedForward)
	return e, math.Max(windowFactor*e, inPosition*inPositionWindow), nil
}

// Bandwidth of the loop, Hz: K_v/(2 pi), where the open loop has a gain of 1
// while the velocity loop still follows. Derived.
func (p PositionLoop) Bandwidth() float64 { return p.Gain / (2 * math.Pi) }

// FirstGain is the position gain to begin with, 1/s: a quarter of the angular
// frequency of the load on its drive with the motor held, and at most 60.
// Source: common practice 0.2 to 0.3 and 20 to 100 1/s, no source.
func FirstGain(locked float64) (float64, error) {
	if err := given.Positive("frequency on the locked drive", locked); err != nil {
		return 0, err
	}
	return math.Min(0.25*2*math.Pi*locked, mostGain), nil
}

// mostGain is where a first tuning ends, 1/s.
const mostGain = 60

// InPositionWindow is within which the axis counts as arrived, m: a quarter of
// the band in which the tool must settle (0: not known), and at least ten
// encoder counts. Source: common practice, no source.
func InPositionWindow(band, countsPerM float64) float64 {
	w := band / 4
	if countsPerM > 0 {
		w = math.Max(w, 10/countsPerM)
	}
	return w
}
