package equip

import (
	"cmp"

	"spanwright/given"
)

// Usual distances at the end of travel. Source: common practice, no source.
const (
	SoftMargin    = 0.005 // software limit beyond the task, or twice the following error, m
	SwitchMargin  = 0.010 // switch beyond the software limit: its hysteresis and the overshoot while settling, m
	StopClearance = 0.005 // left between the end of a full-speed stop and the hard stop, m
)

// End is the layout of one end of travel for a switch that stops a full-speed
// crash in front of the hard stop.
type End struct {
	Task         float64 // last point that the task needs, with the tool's offset, m
	SoftMargin   float64 // c_soft, m
	SwitchMargin float64 // c_sw, m
	StopDistance float64 // from the trip of the switch to standstill, with its margin, m
	Clearance    float64 // c_clear, m
	Bumper       float64 // stroke of the bumper, m
}

// Places are the places along one end of travel, m.
type Places struct {
	Soft     float64 // software limit
	Switch   float64 // over-travel switch trips
	HardStop float64 // first contact with the bumper
	Last     float64 // bumper fully compressed
	Cam      float64 // least length over which the switch stays actuated
}

// Places returns the places in order.
//
//	x_soft = x_task + c_soft     x_sw = x_soft + c_sw     x_hs = x_sw + s_stop + c_clear     x_end = x_hs + s_b
//	l_cam >= x_end - x_sw        (no dead zone behind the switch)
//
// At x_end the carriage must still be on its rail and nothing else may touch.
// The switch has a positively opening, normally closed contact in the stop
// function (IEC 60947-5-1, Annex K, from memory).
//
// Source: derived.
func (e End) Places() (Places, error) {
	if err := cmp.Or(
		given.Finite("end of the task", e.Task), given.NotNegative("margin of the software limit", e.SoftMargin),
		given.NotNegative("margin of the switch", e.SwitchMargin), given.NotNegative("stop distance", e.StopDistance),
		given.NotNegative("clearance", e.Clearance), given.NotNegative("bumper stroke", e.Bumper),
	); err != nil {
		return Places{}, err
	}
	var p Places
	p.Soft = e.Task + e.SoftMargin
	p.Switch = p.Soft + e.SwitchMargin
	p.HardStop = p.Switch + e.StopDistance + e.Clearance
	p.Last = p.HardStop + e.Bumper
	p.Cam = p.Last - p.Switch
	return p, nil
}

// MechanicalTravel is the travel between the first contacts of both hard stops
// (m) for a task that spans a length; plus and minus are the distances from the
// task's ends to the hard stops.
func MechanicalTravel(task, plus, minus float64) float64 { return task + plus + minus }

// Shortened is an end of travel into which something reaches: an overhanging
// part, a plate wider than its carriage, a neighbour.
type Shortened struct {
	By           float64 // how far the obstacle reaches in, m
	Was          Places  // places without it
	StopDistance float64 // m
	Task         float64 // last point that the task needs, m
	SoftMargin   float64 // c_soft, m
}

// ShortenedPlaces is what the obstacle makes of the end.
type ShortenedPlaces struct {
	Places                      // everything moves in by the same length
	LargestTask         float64 // last point that may be used, m
	Reached             bool    // the task's last point is still allowed
	ClearanceIfNotMoved float64 // left to the obstacle if the switch stayed where it was, m; negative: a crash
}

// Places moves hard stop, switch, cam and software limit in by the length that
// the obstacle takes. Sources: arithmetic, derived; that they must move, common
// practice.
func (s Shortened) Places() (ShortenedPlaces, error) {
	if err := cmp.Or(
		given.NotNegative("length that the obstacle takes", s.By), given.NotNegative("stop distance", s.StopDistance),
		given.Finite("end of the task", s.Task), given.NotNegative("margin of the software limit", s.SoftMargin),
		given.Finite("hard stop", s.Was.HardStop), given.Finite("switch", s.Was.Switch), given.Finite("software limit", s.Was.Soft),
	); err != nil {
		return ShortenedPlaces{}, err
	}
	p := ShortenedPlaces{Places: s.Was, ClearanceIfNotMoved: s.Was.HardStop - s.By - s.Was.Switch - s.StopDistance}
	p.Soft -= s.By
	p.Switch -= s.By
	p.HardStop -= s.By
	p.Last -= s.By
	p.LargestTask = p.Soft - s.SoftMargin
	p.Reached = s.Task <= p.LargestTask
	return p, nil
}
