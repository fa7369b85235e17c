package structure

import (
	"fmt"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
	"spanwright/quantity"
)

// form is everything that the solutions of a study depend on but for the ties of
// a pose: what does not stand here, no solution may use.
type form struct {
	empty
	Payload []frame.Mass // none or one
}

// empty is a form without its payload, which comes in at the poses.
type empty struct {
	Model  *frame.Model
	Dead   frame.Case   // weight of everything but the payload
	Load   frame.Case   // weight of the payload
	Weight frame.Case   // of everything
	Accel  []frame.Case // each axis at +1 m/s²: d'Alembert load of what it moves, payload included
	Unit   [3]frame.Case
	Tool   frame.Point
}

// formOf reads the form of a machine at a level.
func formOf(m *machine.Machine, level Level) (*form, error) {
	model, err := baseModel(m, level)
	if err != nil {
		return nil, err
	}
	f := &form{empty: empty{Model: model, Tool: toolPoint(m)}}
	all := append([]string{bodyName(0)}, bodiesFrom(m, 0)...)
	down := [3]float64{0, 0, -quantity.StandardGravity}
	f.Dead = field("weight", down, all)
	f.Load = field("payload", down, []string{payloadBody})
	f.Weight = field("all weight", down, append(all, payloadBody))
	for k, a := range m.Axes {
		f.Accel = append(f.Accel, field("acceleration "+a.Spec.ID, array(r3.Scale(-1, a.Dir)), append(bodiesFrom(m, k), payloadBody)))
	}
	for d := range f.Unit {
		var force [3]float64
		force[d] = 1
		f.Unit[d] = frame.Case{ID: "unit " + "xyz"[d:d+1], Forces: []frame.Force{{At: f.Tool, Force: force}}}
	}
	if m.Payload.Kg > 0 {
		f.Payload = []frame.Mass{lump(m, payloadBody, m.Payload)}
	}
	return f, nil
}

func field(id string, a [3]float64, bodies []string) frame.Case {
	return frame.Case{ID: id, Fields: []frame.Field{{Acceleration: a, Bodies: bodies}}}
}

// toolPoint is the tool point as the frame model knows it.
func toolPoint(m *machine.Machine) frame.Point {
	return frame.Point{Node: m.Nodes[m.Flange].ID, Offset: array(m.Point)}
}

// core is an empty form factored once for all poses, with the load cases solved
// on the uncoupled bodies: every other case is a sum of them. Machines that differ
// by their payload alone share it.
type core struct {
	model *frame.Model
	base  *frame.Base

	dead, payload, weight *frame.Prepared
	accel                 []*frame.Prepared
	unit                  [3]*frame.Prepared
	tool                  frame.Point

	unloaded memory    // answers about poses without the payload
	idle     sync.Pool // of *worker, to be used again
}

// solved is a form factored once for all poses.
type solved struct {
	*core
	carried []frame.Mass // the payload
	loaded  memory       // answers about poses with the payload
}

func solve(f *empty) (*core, error) {
	s := &core{model: f.Model, tool: f.Tool}
	var err error
	if s.base, err = frame.NewBase(f.Model); err != nil {
		return nil, err
	}
	prepare := func(c frame.Case) *frame.Prepared {
		p, e := s.base.Prepare(c)
		if e != nil && err == nil {
			err = fmt.Errorf("%s: %w", c.ID, e)
		}
		return p
	}
	s.dead, s.payload, s.weight = prepare(f.Dead), prepare(f.Load), prepare(f.Weight)
	for _, c := range f.Accel {
		s.accel = append(s.accel, prepare(c))
	}
	for d, c := range f.Unit {
		s.unit[d] = prepare(c)
	}
	return s, err
}

// answers is the memory of poses with the payload or without.
func (s *solved) answers(loaded bool) *memory {
	if loaded {
		return &s.loaded
	}
	return &s.unloaded
}

// size is the memory that a study takes, roughly, bytes. What it shares with
// others counts for each.
func (s *solved) size() int64 {
	const each = 8 * 2 * 12 // forces, displacements and loads of a freedom in each of a dozen cases
	return s.base.Bytes() + s.loaded.size() + s.unloaded.size() + int64(s.base.Freedoms())*each
}
