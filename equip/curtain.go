package equip

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// CurtainEdition is the edition whose formulas are used. The 2024 edition
// restructures them (other terms, from memory).
const CurtainEdition = "ISO 13855:2010"

// Approach speeds. Source: ISO 13855:2010, 6.2 (2.0 and 1.6 m/s confirmed in public operating manuals).
const (
	handSpeed = 2.0 // m/s
	walkSpeed = 1.6 // m/s
)

// StopTime is the time chain from the interruption of a guard to standstill.
type StopTime struct {
	Sensor float64 // s
	Logic  float64 // s
	Drive  float64 // reaction of the drive, s
	Stop   float64 // deceleration at the worst speed, load and stop category, s
	Wear   float64 // factor on the stop, 1.1 unless the stop is monitored
}

// Total is the whole time, s.
func (t StopTime) Total() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("sensor time", t.Sensor), given.NotNegative("logic time", t.Logic),
		given.NotNegative("drive reaction time", t.Drive), given.NotNegative("stopping time", t.Stop), given.Within("wear factor", t.Wear, 1, 2),
	); err != nil {
		return 0, err
	}
	return t.Sensor + t.Logic + t.Drive + t.Wear*t.Stop, nil
}

// Distance is a least distance from a guard to the hazard.
type Distance struct {
	Least   float64 // S, m
	Speed   float64 // K, m/s
	Added   float64 // C, m: reach through or past the field
	Formula string  // which one governs
}

// CurtainDistance is the least distance of a light curtain approached at right
// angles, for a stopping time T (s) and a detection capability d (m).
//
//	d <= 40 mm:  C = max(0, 8 (d - 14 mm)),  S = 2 m/s T + C
//	             above 500 mm  S = max(500 mm, 1.6 m/s T + C), and never below 100 mm
//	40 < d <= 70 mm:  S = 1.6 m/s T + 850 mm
//
// Reaching over the curtain needs a further table and is not in it. Where a
// power-off stop makes T too long, lock the guard instead.
//
// Source: ISO 13855:2010, 6.2 (formula and rule of 500 mm confirmed in public
// operating manuals, the rest from memory).
func CurtainDistance(stopTime, detection float64) (Distance, error) {
	if err := cmp.Or(given.NotNegative("stopping time", stopTime), given.Positive("detection capability", detection)); err != nil {
		return Distance{}, err
	}
	switch {
	case detection > 0.070:
		return Distance{}, fmt.Errorf("%w: detection capability %.3g m, light curtains up to 0.07 m", ErrOutsideTable, detection)
	case detection > 0.040:
		return BeamDistance(stopTime)
	}
	// 14 mm is written in whole millimetres in the standard; round-off of 0.014 must not add.
	added := math.Max(0, 8*(detection-0.014))
	d := Distance{Least: handSpeed*stopTime + added, Speed: handSpeed, Added: added, Formula: "S = 2 m/s T + 8 (d - 14 mm)"}
	if d.Least > 0.5 {
		d = Distance{Least: math.Max(0.5, walkSpeed*stopTime+added), Speed: walkSpeed, Added: added, Formula: "S = max(500 mm, 1.6 m/s T + 8 (d - 14 mm))"}
	}
	if d.Least < 0.1 {
		d.Least, d.Formula = 0.1, "S = 100 mm, the least"
	}
	return d, nil
}

// BeamDistance is the least distance of two, three or four separate beams
// (heights 400 and 900; 300, 700 and 1100; 300, 600, 900 and 1200 mm), m.
//
//	S = 1.6 m/s T + 850 mm
//
// Source: ISO 13855:2010, 6.2, from memory.
func BeamDistance(stopTime float64) (Distance, error) {
	if err := given.NotNegative("stopping time", stopTime); err != nil {
		return Distance{}, err
	}
	return Distance{Least: walkSpeed*stopTime + 0.85, Speed: walkSpeed, Added: 0.85, Formula: "S = 1.6 m/s T + 850 mm"}, nil
}

// ParallelDistance is the least distance of a level field at a height H (m)
// that people walk into.
//
//	S = 1.6 m/s T + max(850 mm, 1200 mm - 0.4 H),   15 (d - 50 mm) <= H <= 1000 mm
//
// Source: ISO 13855:2010, 6.3, from memory.
func ParallelDistance(stopTime, height, detection float64) (Distance, error) {
	if err := cmp.Or(given.NotNegative("stopping time", stopTime), given.NotNegative("detection capability", detection)); err != nil {
		return Distance{}, err
	}
	if least := math.Max(0, 15*(detection-0.050)); !(height >= least && height <= 1) {
		return Distance{}, fmt.Errorf("%w: field at %.4g m, allowed %.4g to 1 m for this detection capability", ErrOutsideTable, height, least)
	}
	added := math.Max(0.85, 1.2-0.4*height)
	return Distance{Least: walkSpeed*stopTime + added, Speed: walkSpeed, Added: added, Formula: "S = 1.6 m/s T + max(850 mm, 1200 mm - 0.4 H)"}, nil
}

// TwoHandDistance is the least distance of a two-hand device; shrouded says that
// the hands cannot reach past it.
//
//	S = 1.6 m/s T + 250 mm;  shrouded: S = max(100 mm, 1.6 m/s T)
//
// Source: ISO 13855:2010, from memory.
func TwoHandDistance(stopTime float64, shrouded bool) (Distance, error) {
	if err := given.NotNegative("stopping time", stopTime); err != nil {
		return Distance{}, err
	}
	if shrouded {
		return Distance{Least: math.Max(0.1, walkSpeed*stopTime), Speed: walkSpeed, Formula: "S = max(100 mm, 1.6 m/s T)"}, nil
	}
	return Distance{Least: walkSpeed*stopTime + 0.25, Speed: walkSpeed, Added: 0.25, Formula: "S = 1.6 m/s T + 250 mm"}, nil
}

// DoorDistance is the least distance of an interlocked door without locking; the
// machine must rest before a hand arrives. reach is what an arm gains through an
// opening (m). Nearer than that, the door must stay locked until standstill, or
// for longer than the longest stop, the power-off stop included.
//
//	S = 1.6 m/s T + reach
//
// Source: ISO 14119 with the speed of ISO 13855, from memory.
func DoorDistance(stopTime, reach float64) (Distance, error) {
	if err := cmp.Or(given.NotNegative("stopping time", stopTime), given.NotNegative("reach through the opening", reach)); err != nil {
		return Distance{}, err
	}
	return Distance{Least: walkSpeed*stopTime + reach, Speed: walkSpeed, Added: reach, Formula: "S = 1.6 m/s T + C"}, nil
}
