package structure

import (
	"math"

	"spanwright/frame"
	"spanwright/machine"
	"spanwright/quantity"
)

// Sensitivity holds, at one pose with the payload, what every part of a machine
// has of the tool point's sag and of the lowest natural modes. From it the sag
// and the frequency of a changed machine are estimated without solving that.
type Sensitivity struct {
	m      *machine.Machine
	level  Level
	q      []float64
	model  *frame.Model
	system *frame.System

	weight, unit *frame.State // all weight; 1 N down at the tool point
	sag          *frame.VirtualWork
	modes        *frame.Modes
	swing        [][]*frame.VirtualWork // of each mode on itself and on those before it
}

// sensitiveModes is the number of modes that are followed through a change: what
// stiffens the lowest one may leave the next as the lowest.
const sensitiveModes = 6

// NewSensitivity solves a machine at pose q for its sag and its lowest modes.
func NewSensitivity(m *machine.Machine, level Level, q []float64) (*Sensitivity, error) {
	model, err := poseModel(m, level, q)
	if err != nil {
		return nil, err
	}
	s := &Sensitivity{m: m, level: level, q: q, model: model}
	if s.system, err = frame.Assemble(model); err != nil {
		return nil, err
	}
	if s.weight, err = s.system.Static(weightCase()); err != nil {
		return nil, err
	}
	down := frame.Measure{{At: toolPoint(m), Along: [6]float64{0, 0, -1}}}
	if s.sag, s.unit, err = s.system.Work(s.weight, down); err != nil {
		return nil, err
	}
	if s.modes, err = s.system.Modes(sensitiveModes); err != nil {
		return nil, err
	}
	for i := range s.modes.Hz {
		var on []*frame.VirtualWork
		for j := range i + 1 {
			on = append(on, s.modes.WorkOn(i, j))
		}
		s.swing = append(s.swing, on)
	}
	return s, nil
}

// poseModel is the whole machine with its ties and its payload at one pose.
func poseModel(m *machine.Machine, level Level, q []float64) (*frame.Model, error) {
	model, err := baseModel(m, level)
	if err != nil {
		return nil, err
	}
	ties, err := Ties(m, q)
	if err != nil {
		return nil, err
	}
	model.Ties = append(model.Ties, ties...)
	if m.Payload.Kg > 0 {
		model.Masses = append(model.Masses, lump(m, payloadBody, m.Payload))
	}
	return model, nil
}

// Sag is the tool point's sag at the pose, m, positive downwards.
func (s *Sensitivity) Sag() float64 { return s.sag.Total }

// Frequency is the lowest natural frequency at the pose, Hz.
func (s *Sensitivity) Frequency() float64 { return s.modes.Hz[0] }

// Expected is what a change is expected to lead to at the pose.
type Expected struct {
	Sag       float64 // m
	Frequency float64 // Hz
}

// After estimates sag and frequency of a changed machine.
//
// A bar whose stiffness k becomes r k had the share w of a displacement u; then
//
//	u' = u + Σ w (1/r - 1)
//
// which has the right derivative for any machine and is exact where the part
// lies in series with the rest. The same holds for the squared period of a mode
// with the shares of its strain energy; more mass m lengthens it by m φ². Bars
// that come or go, joints, blocks, drives and feet that change count exactly by a
// small system of their own, for the frequency in the space of the lowest modes. Weight that is added sags the tool
// by g m times the movement of its place under 1 N at the tool.
//
// What the bars' changes do to each other's shares is left out, as is where the
// pose with the lowest frequency moves.
//
// Source: principle of virtual forces, Rayleigh's quotient, Sherman-Morrison-Woodbury
// identity; derived.
func (s *Sensitivity) After(changed *machine.Machine) (Expected, error) {
	d, err := s.compare(changed)
	if err != nil {
		return Expected{}, err
	}
	change, err := s.system.NewChange(d.gained, d.lost, d.scaled)
	if err != nil {
		return Expected{}, err
	}
	out := Expected{Sag: s.sag.Total + d.softer(s.sag)}
	by, err := change.Of(s.weight, s.unit)
	if err != nil {
		return out, err
	}
	out.Sag += by
	out.Sag += s.unit.Carry([3]float64{0, 0, -quantity.StandardGravity}, d.masses)
	softer := make([][]float64, len(s.swing))
	for i := range softer {
		softer[i] = make([]float64, len(s.swing))
	}
	for i, on := range s.swing {
		for j, work := range on {
			softer[i][j] = d.softer(work)
			softer[j][i] = softer[i][j]
		}
	}
	lambda, err := change.Modes(s.modes, softer, d.masses)
	if err != nil {
		return out, err
	}
	out.Frequency = math.Sqrt(lambda[0]) / (2 * math.Pi)
	return out, nil
}

// softer is how much the ratios of the stiffnesses add to a work at the same forces.
func (d *difference) softer(w *frame.VirtualWork) float64 {
	sum := 0.0
	add := func(work, ratio float64) {
		if work != 0 && ratio != 1 {
			sum += work * (1/ratio - 1)
		}
	}
	for i, r := range d.members {
		c := w.Members[i]
		add(c.Axial, r.axial)
		add(c.Torsion, r.torsion)
		add(c.BendingY, r.bendingY)
		add(c.BendingZ, r.bendingZ)
		add(c.ShearY, r.shearY)
		add(c.ShearZ, r.shearZ)
	}
	return sum
}

// SagShares says who has how much of the sag, as parts of the whole.
func (s *Sensitivity) SagShares() []Share { return s.shares(s.sag) }

// SwingShares says who has how much of the strain energy of the lowest mode, as
// parts of the whole.
func (s *Sensitivity) SwingShares() []Share { return s.shares(s.swing[0][0]) }

func (s *Sensitivity) shares(w *frame.VirtualWork) []Share {
	var out []Share
	total := func(list [6]float64) (sum float64) {
		for _, x := range list {
			sum += x / w.Total
		}
		return sum
	}
	for i, c := range w.Members {
		mem := s.m.Members[i]
		out = append(out, Share{mem.ID, memberGroup(s.m, mem), (c.Sum() - c.Ends) / w.Total})
		if c.Ends != 0 {
			out = append(out, Share{mem.ID + " joints", jointGroup(mem), c.Ends / w.Total})
		}
	}
	for i, list := range w.Springs {
		out = append(out, Share{s.model.Springs[i].ID, "feet and floor", total(list)})
	}
	for i, list := range w.Ties {
		out = append(out, Share{s.model.Ties[i].ID, tieGroup(s.model.Ties[i].ID), total(list)})
	}
	return out
}
