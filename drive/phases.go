package drive

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Phase is a part of a move.
type Phase uint8

// The phases of a move. Break-away is motion about to begin: no acceleration
// yet, friction already against it.
const (
	Accelerating Phase = iota + 1
	Cruising
	Decelerating
	BreakAway
	Holding
)

// String names the phase.
func (p Phase) String() string {
	switch p {
	case Accelerating:
		return "accelerating"
	case Cruising:
		return "at constant speed"
	case Decelerating:
		return "decelerating"
	case BreakAway:
		return "breaking away"
	case Holding:
		return "holding"
	default:
		return "no phase"
	}
}

// Duty is what an axis does, for all phases at once.
type Duty struct {
	Base         Balance // what does not change; Mass, Acceleration and Direction are set by each phase
	Empty        float64 // moving mass without payload, kg
	Loaded       float64 // moving mass with payload, kg
	Acceleration float64 // m/s², > 0
	Deceleration float64 // m/s², > 0
}

// PhaseThrust is the drive force in one phase.
type PhaseThrust struct {
	Phase     Phase
	Direction Direction
	WithLoad  bool
	Thrust    Thrust
}

// String says when the force occurs.
func (p PhaseThrust) String() string {
	load, way := "empty", "holding still"
	if p.WithLoad {
		load = "with payload"
	}
	switch p.Direction {
	case Forward:
		way = "toward +"
	case Backward:
		way = "toward -"
	}
	if p.Phase == Holding {
		return fmt.Sprintf("%v, %s", p.Phase, load)
	}
	return fmt.Sprintf("%v, %s, %s", p.Phase, way, load)
}

// Phases returns the drive force in every phase, in both directions, without
// and with payload, in a fixed order.
func (d Duty) Phases() ([]PhaseThrust, error) {
	if err := given.Positive("acceleration", d.Acceleration); err != nil {
		return nil, err
	}
	if err := given.Positive("deceleration", d.Deceleration); err != nil {
		return nil, err
	}
	var out []PhaseThrust
	add := func(p PhaseThrust, mass, acceleration float64) error {
		b := d.Base
		b.Mass, b.Acceleration, b.Direction = mass, acceleration, p.Direction
		var err error
		if p.Thrust, err = b.Thrust(); err != nil {
			return fmt.Errorf("%v: %w", p, err)
		}
		out = append(out, p)
		return nil
	}
	for _, withLoad := range []bool{false, true} {
		mass := d.Empty
		if withLoad {
			mass = d.Loaded
		}
		for _, dir := range []Direction{Forward, Backward} {
			for _, phase := range []Phase{Accelerating, Cruising, Decelerating, BreakAway} {
				a := 0.0
				switch phase {
				case Accelerating:
					a = float64(dir) * d.Acceleration
				case Decelerating:
					a = -float64(dir) * d.Deceleration
				}
				if err := add(PhaseThrust{Phase: phase, Direction: dir, WithLoad: withLoad}, mass, a); err != nil {
					return nil, err
				}
			}
		}
		if err := add(PhaseThrust{Phase: Holding, WithLoad: withLoad}, mass, 0); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Largest returns the phase with the largest magnitude of force, the first of
// equals; ok is false for an empty list.
func Largest(phases []PhaseThrust) (p PhaseThrust, ok bool) {
	for i, c := range phases {
		if i == 0 || math.Abs(c.Thrust.Total) > math.Abs(p.Thrust.Total) {
			p = c
		}
	}
	return p, len(phases) > 0
}
