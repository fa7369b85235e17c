package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
)

// ModeShape is one natural mode of the machine at a pose.
type ModeShape struct {
	Hz    float64
	Shape Shape // with a modal mass of 1 kg; its sign is without meaning

	// Participation is the share of the machine's whole mass that swings along
	// world x, y, z: the effective modal mass over the mass, 0 to 1.
	//
	//	(φᵀ M r)² / m
	//
	// Source: effective modal mass, Chopra, Dynamics of Structures; over all modes
	// the shares along a direction add up to that of the mass that can move.
	Participation [3]float64

	// Energy is where the strain energy sits, as shares of the whole.
	Energy []Share
	Gap    float64 // by how much the energies miss ω²/2, over ω²/2
}

// ModeShapes finds the n lowest natural modes at a pose, motors held, with the
// payload on or off.
func (s *Study) ModeShapes(q []float64, loaded bool, n int) ([]ModeShape, error) {
	w := s.worker()
	if err := w.set(q, loaded); err != nil {
		return nil, fmt.Errorf("pose %v: %w", q, err)
	}
	modes, err := w.pose.Modes(min(n, s.base.Freedoms()), nil)
	if err != nil {
		return nil, fmt.Errorf("pose %v: %w", q, err)
	}
	ties, err := Ties(s.m, q)
	if err != nil {
		return nil, err
	}
	shaken, err := s.shaken()
	if err != nil {
		return nil, err
	}
	mass := s.m.Mass()
	if loaded {
		mass += s.m.Payload.Kg
	}
	out := make([]ModeShape, len(modes.Hz))
	for i, hz := range modes.Hz {
		o := ModeShape{Hz: hz}
		if o.Shape, err = s.shape(q, modes.Recover(i)); err != nil {
			return nil, err
		}
		for d, load := range shaken {
			f := modes.Work(i, load)
			o.Participation[d] = f * f / mass
		}
		energy := modes.Energy(i)
		omega := 2 * math.Pi * hz
		sum := energy.Sum()
		o.Gap = math.Abs(sum-omega*omega/2) / (omega * omega / 2)
		o.Energy = s.energyShares(ties, energy, sum)
		out[i] = o
	}
	return out, nil
}

// shaken are the loads of a unit acceleration of everything along world x, y, z.
func (s *Study) shaken() ([3]*frame.Prepared, error) {
	var out [3]*frame.Prepared
	for d := range out {
		field := frame.Field{}
		field.Acceleration[d] = 1
		var err error
		if out[d], err = s.base.Prepare(frame.Case{ID: "shaken " + "xyz"[d:d+1], Fields: []frame.Field{field}}); err != nil {
			return out, err
		}
	}
	return out, nil
}

// energyShares are the shares of the strain energy with the names that the
// split of a deflection uses.
func (s *Study) energyShares(ties []frame.Tie, e *frame.Energy, sum float64) []Share {
	var out []Share
	for i, x := range e.Members {
		mem := s.m.Members[i]
		out = append(out, Share{mem.ID, memberGroup(s.m, mem), x / sum})
		if e.Ends[i] != 0 {
			out = append(out, Share{mem.ID + " joints", jointGroup(mem), e.Ends[i] / sum})
		}
	}
	for i, x := range e.Springs {
		out = append(out, Share{s.model.Springs[i].ID, "feet and floor", x / sum})
	}
	for i, x := range e.Ties {
		id := s.model.Ties[i].ID
		out = append(out, Share{id, tieGroup(id), x / sum})
	}
	for i, x := range e.Pose {
		out = append(out, Share{ties[i].ID, tieGroup(ties[i].ID), x / sum})
	}
	return out
}

// Toward is the unit vector along which the tool point moves in the mode; zero
// if it stands still.
func (m *ModeShape) Toward() r3.Vec {
	by := m.Shape.Tool.By
	if n := r3.Norm(by); n > 0 {
		return r3.Scale(1/n, by)
	}
	return r3.Vec{}
}
