package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
)

// Shape is how the whole machine moves, for pictures: its members along their
// lines, the carriages and the flange as rigid pieces, the tool point.
type Shape struct {
	Members []BentMember // in the order of machine.Machine.Members
	Rigid   []RigidMove  // the carriages of all axes and the flange
	Tool    Moved
}

// Moved is a place of the machine at rest at its pose, and how far it moves, m in W.
type Moved struct{ At, By r3.Vec }

// BentMember is the line of a member, from its From to its To node.
type BentMember struct {
	Member int
	Line   []Moved
}

// RigidMove is the movement of what is fixed to a node.
type RigidMove struct {
	Node int
	Moved
	Turn r3.Vec // rad, right-handed about the axes of W
}

// Largest is the greatest movement of any place of the shape, m.
func (s *Shape) Largest() float64 {
	most := r3.Norm(s.Tool.By)
	for _, m := range s.Members {
		for _, p := range m.Line {
			most = math.Max(most, r3.Norm(p.By))
		}
	}
	for _, p := range s.Rigid {
		most = math.Max(most, r3.Norm(p.By))
	}
	return most
}

// linePlaces is the number of places of a member's line in a shape: eight
// stretches show the bow of a bar between its ends, and long beams of many
// elements get one for each.
func linePlaces(mem machine.Member) int { return max(9, mem.Divide+1) }

// Posed is what the machine does at one pose under its weight.
type Posed struct {
	Response
	Shape Shape
}

// Posed solves one pose with the payload on or off; modes is the number of
// natural frequencies wanted. What a force at the tool does is the same loaded
// or not. Whoever asks for one pose soon asks for more, so the frequencies are
// found in a basis that all poses share.
func (s *Study) Posed(q []float64, loaded bool, modes int) (*Posed, error) {
	w := s.worker()
	w.many = true
	if err := w.set(q, loaded); err != nil {
		return nil, fmt.Errorf("pose %v: %w", q, err)
	}
	out := &Posed{}
	var err error
	if out.Response, err = w.read(q, modes); err != nil {
		return nil, fmt.Errorf("pose %v: %w", q, err)
	}
	state, err := w.pose.Static(s.weight, w.state)
	if err != nil {
		return nil, err
	}
	if out.Shape, err = s.shape(q, state.Recover()); err != nil {
		return nil, err
	}
	return out, nil
}

// shape reads the movement of the machine off a state of its frame model.
func (s *Study) shape(q []float64, state *frame.State) (Shape, error) {
	var out Shape
	for i, mem := range s.m.Members {
		n := linePlaces(mem)
		moved := state.Line(mem.ID, n)
		from, to := s.m.NodeAt(mem.From, q), s.m.NodeAt(mem.To, q)
		line := make([]Moved, n)
		for k, u := range moved {
			at := r3.Add(from, r3.Scale(float64(k)/float64(n-1), r3.Sub(to, from)))
			line[k] = Moved{At: at, By: vector(u[:3])}
		}
		out.Members = append(out.Members, BentMember{Member: i, Line: line})
	}
	for _, a := range s.m.Axes {
		for _, n := range a.Carriages {
			out.Rigid = append(out.Rigid, s.rigid(q, state, n))
		}
	}
	out.Rigid = append(out.Rigid, s.rigid(q, state, s.m.Flange))
	u, err := state.At(s.toolPoint())
	if err != nil {
		return out, err
	}
	out.Tool = Moved{At: s.m.ToolPoint(q), By: vector(u[:3])}
	return out, nil
}

func (s *Study) rigid(q []float64, state *frame.State, node int) RigidMove {
	u, _ := state.Displacement(s.m.Nodes[node].ID) // every node of the machine is one of the model
	return RigidMove{Node: node, Moved: Moved{At: s.m.NodeAt(node, q), By: vector(u[:3])}, Turn: vector(u[3:])}
}

func vector(c []float64) r3.Vec { return r3.Vec{X: c[0], Y: c[1], Z: c[2]} }

// Group is the cause under which a member stands in a split.
func Group(m *machine.Machine, member int) string { return memberGroup(m, m.Members[member]) }
