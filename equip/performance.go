package equip

import (
	"fmt"

	"spanwright/given"
)

// PerformanceLevel is a required performance level.
type PerformanceLevel string

// RequiredLevel estimates the required performance level from the risk graph.
//
// severity S1 slight, S2 serious; exposure F1 seldom or short, F2 often or long;
// avoidance P1 possible, P2 hardly possible. It is an estimate from three
// declared letters: it never says that a level is reached.
//
// Source: ISO 13849-1, Annex A, from memory.
func RequiredLevel(severity, exposure, avoidance string) (PerformanceLevel, error) {
	graph := map[[3]string]PerformanceLevel{
		{"S1", "F1", "P1"}: "a", {"S1", "F1", "P2"}: "b", {"S1", "F2", "P1"}: "b", {"S1", "F2", "P2"}: "c",
		{"S2", "F1", "P1"}: "c", {"S2", "F1", "P2"}: "d", {"S2", "F2", "P1"}: "d", {"S2", "F2", "P2"}: "e",
	}
	level, ok := graph[[3]string{severity, exposure, avoidance}]
	if !ok {
		return "", fmt.Errorf("%w: severity %q, exposure %q, avoidance %q; S1 or S2, F1 or F2, P1 or P2 are needed from the risk assessment",
			given.ErrRefused, severity, exposure, avoidance)
	}
	return level, nil
}

// FailureRates is the range of dangerous failures per hour of a level, 1/s.
type FailureRates struct{ Least, Most float64 }

// Rates returns the range of dangerous failures per hour, converted to 1/s.
// Source: ISO 13849-1, from memory.
func (p PerformanceLevel) Rates() (FailureRates, error) {
	const perHour = 1.0 / 3600
	switch p {
	case "a":
		return FailureRates{1e-5 * perHour, 1e-4 * perHour}, nil
	case "b":
		return FailureRates{3e-6 * perHour, 1e-5 * perHour}, nil
	case "c":
		return FailureRates{1e-6 * perHour, 3e-6 * perHour}, nil
	case "d":
		return FailureRates{1e-7 * perHour, 1e-6 * perHour}, nil
	case "e":
		return FailureRates{1e-8 * perHour, 1e-7 * perHour}, nil
	}
	return FailureRates{}, fmt.Errorf("%w: performance level %q", given.ErrRefused, p)
}

// SetUpSpeed is the most speed while people set the machine up inside the
// guards, m/s. Source: ISO 10218-1, from memory.
const SetUpSpeed = 0.25

// Situation is what the lists of functions and hazards depend on.
type Situation struct {
	VerticalAxis    bool
	PeopleNear      bool
	InterlockedDoor bool
	LightCurtain    bool
	SwitchIsSafety  bool // the over-travel switches serve as a safety function
	Vacuum          bool
	CableCarrier    bool
	Anchored        bool
	Axes            int
}

// SafetyFunctions lists the functions to be realised, in words.
// Source: common practice after ISO 12100 and ISO 10218-2, from memory.
func SafetyFunctions(s Situation) []string {
	list := []string{"emergency stop", "prevention of unexpected start"}
	if s.InterlockedDoor {
		list = append(list, "stop when a guard opens")
	}
	if s.LightCurtain {
		list = append(list, "stop when the light curtain is interrupted")
	}
	if s.SwitchIsSafety {
		list = append(list, "over-travel stop")
	}
	if s.VerticalAxis {
		list = append(list, "safe hold of the vertical axis")
	}
	if s.PeopleNear {
		list = append(list, "reduced speed while setting up, at most 0.25 m/s")
	}
	return list
}

// Hazard is one line of the list for the risk assessment.
type Hazard struct {
	Kind     string
	Where    string
	Measures string
}

// Hazards is the list that the risk assessment starts from, in the order of
// ISO 12100, Annex B (from memory), as far as it fits the machine. It is not
// complete: the assessment is the machine builder's.
func Hazards(s Situation) []Hazard {
	list := []Hazard{
		{"crushing", "carriage against hard stop, bridge against leg, tool against table", "gaps, fence, reduced speed while setting up"},
		{"shearing and drawing in", "carriage along the beam, belt at its pulleys", "covers, distance, no openings within reach"},
		{"impact", "moving beams at head height", "clear height, fence, warning marks"},
		{"thrown or lost parts", "payload in an emergency stop", "grip margin, retention, strength of guards"},
		{"stored energy", "springs, direct-current bus, raised masses", "discharge, blocking, labels, waiting time"},
		{"unexpected start", "return of the mains, reset, remote control", "isolation with lock, no automatic start (ISO 14118)"},
		{"electric shock, hot surfaces, noise", "motors and cabinet", "covers, IEC 60204-1"},
		{"service", "top of the beams", "platform, fall protection, lowered position"},
		{"loss of a protective device", "over-travel switches, brakes, curtains", "cyclic tests, performance level"},
	}
	if s.VerticalAxis {
		list = append(list, Hazard{"fall of the load", "vertical axis after failure of brake, belt, coupling or key", "second means, test of the brake, support for service"})
	}
	if s.Vacuum {
		list = append(list, Hazard{"loss of vacuum", "gripper", "monitoring, check valve or reserve, safe path of travel"})
	}
	if s.CableCarrier {
		list = append(list, Hazard{"trapping", "bend of the cable carriers", "distance or covers"})
	}
	if !s.Anchored {
		list = append(list, Hazard{"tipping", "stand, above all during assembly", "order of assembly, stability computed, anchors"})
	}
	if s.Axes >= 3 {
		list = append(list, Hazard{"work inside the guards", "three or more programmable axes count as a robot (ISO 8373, from memory)", "ISO 10218-1 and -2 apply; performance level d, category 3 unless the risk assessment shows otherwise (2011 edition, from memory)"})
	}
	return list
}
