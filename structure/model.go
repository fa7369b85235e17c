// Package structure makes frame models of a machine and reads deflections,
// frequencies, forces and shares off them: the stand, the beams, the blocks at
// their real places, the drives, the interfaces, the mast, tool and payload.
//
// It solves the whole machine at any pose. The stand, the beams and the moving
// bodies are one base model that is factored once; guide blocks and drives tie
// the bodies together at each pose. Everything is linear, small displacements,
// SI, in the world frame of package machine.
//
// Not modelled: warping torsion, eccentric joints of braces (bars meet on their
// centre lines), slip, play, and damping other than a modal ratio.
package structure

import (
	"fmt"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
)

// Level picks an end of the uncertain stiffnesses of joints and floor.
type Level uint8

// The levels.
const (
	Low Level = iota
	Nominal
	High
	Levels int = iota // how many there are
)

// String names the level.
func (l Level) String() string { return [...]string{"low", "nominal", "high"}[l] }

// bodyName labels what belongs to a body in the frame model.
func bodyName(b int) string { return fmt.Sprintf("body %d", b) }

// labels of the tool and the payload, which fields can address on their own.
const (
	toolBody    = "tool"
	payloadBody = "payload"
)

// bodiesFrom lists the labels of what axis k moves, with the tool.
func bodiesFrom(m *machine.Machine, k int) []string {
	var out []string
	for b := k + 1; b <= len(m.Axes); b++ {
		out = append(out, bodyName(b))
	}
	return append(out, toolBody)
}

// baseModel is the machine without what depends on the pose.
func baseModel(m *machine.Machine, level Level) (*frame.Model, error) {
	out := &frame.Model{}
	for _, n := range m.Nodes {
		out.Nodes = append(out.Nodes, frame.Node{ID: n.ID, At: array(n.At)})
	}
	if err := addMembers(out, m, level); err != nil {
		return nil, err
	}
	addFeet(out, m, level)
	for _, c := range m.Connections {
		t, err := connectionTie(m, c, level)
		if err != nil {
			return nil, err
		}
		out.Ties = append(out.Ties, t)
	}
	for _, p := range m.Masses {
		out.Masses = append(out.Masses, frame.Mass{
			ID: p.ID, At: frame.Point{Node: m.Nodes[p.Node].ID, Offset: array(p.Offset)},
			M: p.Kg, Inertia: diagonal(p.Inertia), Body: bodyName(m.Nodes[p.Node].Body),
		})
	}
	out.Masses = append(out.Masses, lump(m, toolBody, m.Tool))
	return out, nil
}

func lump(m *machine.Machine, id string, l machine.Lump) frame.Mass {
	return frame.Mass{
		ID: id, At: frame.Point{Node: m.Nodes[m.Flange].ID, Offset: array(l.Centre)},
		M: l.Kg, Inertia: diagonal(l.Inertia), Body: id,
	}
}

// addMembers writes one section and one material a member: the material's
// density carries the rails, belts and covers of the beam too.
func addMembers(out *frame.Model, m *machine.Machine, level Level) error {
	sections, cuts := map[string]bool{}, heldAt(m)
	for i, mem := range m.Members {
		id := mem.Profile.ID
		if !sections[id] {
			sections[id] = true
			s := mem.Section
			out.Sections = append(out.Sections, frame.Section{ID: id, A: s.Area, Iy: s.Iy, Iz: s.Iz, J: s.J, Asy: s.Asy, Asz: s.Asz})
		}
		material := mem.ID
		out.Materials = append(out.Materials, frame.Material{
			ID: material, E: mem.Material.E, G: mem.Material.G, Alpha: mem.Material.Alpha, Rho: mem.MassPerM() / mem.Section.Area,
		})
		member := frame.Member{
			ID: mem.ID, From: m.Nodes[mem.From].ID, To: m.Nodes[mem.To].ID, Section: id, Material: material,
			Roll: mem.Roll, Divide: mem.Divide, Cuts: cuts[i], Body: bodyName(mem.Body),
		}
		for e, end := range [2]*frame.End{&member.FromEnd, &member.ToEnd} {
			if mem.Joints[e] == nil {
				continue
			}
			var err error
			if *end, err = jointEnd(m, i, e, level); err != nil {
				return err
			}
		}
		out.Members = append(out.Members, member)
	}
	return nil
}

// heldAt lists for every member the places where a connection holds it: between
// nodes an element can only bend as its shape functions do, so that what holds it
// there would stiffen it.
func heldAt(m *machine.Machine) [][]float64 {
	out := make([][]float64, len(m.Members))
	for _, c := range m.Connections {
		for _, p := range []machine.Place{c.A, c.B} {
			if p.Node < 0 {
				out[p.Member] = append(out[p.Member], p.At)
			}
		}
	}
	return out
}

// addFeet puts the machine on its feet: foot and floor in series vertically,
// the foot's own stiffness sideways. All feet are taken to stay on the floor:
// tipping is judged on its own.
func addFeet(out *frame.Model, m *machine.Machine, level Level) {
	floor := at(level, m.Design.Assumptions.FloorStiff)
	for _, f := range m.Feet {
		id := m.Nodes[f.Node].ID
		kz := 1 / (1/f.Part.Axial + 1/floor)
		s := frame.Spring{ID: "foot " + id, From: id, K: [6]float64{f.Part.Lateral, f.Part.Lateral, kz, 0, 0, 0}}
		if m.Design.Stand.Anchored {
			s.K[3], s.K[4], s.K[5] = f.Part.Rotate, f.Part.Rotate, f.Part.Rotate
		}
		out.Springs = append(out.Springs, s)
	}
}

// Ties are the guide blocks and drives at pose q.
func Ties(m *machine.Machine, q []float64) ([]frame.Tie, error) {
	var out []frame.Tie
	for _, a := range m.Axes {
		own, err := axisTies(m, a, q[a.Index])
		if err != nil {
			return nil, err
		}
		out = append(out, own...)
	}
	return out, nil
}

// axisTies are the guide blocks and drives of one axis. Where the other axes
// stand makes no difference, not even in the last digit.
func axisTies(m *machine.Machine, a *machine.Axis, x float64) ([]frame.Tie, error) {
	q := make([]float64, len(m.Axes))
	q[a.Index] = x
	out := make([]frame.Tie, 0, len(a.Blocks)+len(a.Beams))
	for i, blk := range a.Blocks {
		out = append(out, blockTie(m, a, i, blk, q))
	}
	drives, err := driveTies(m, a, q)
	if err != nil {
		return nil, &PartError{"axes." + a.Spec.ID + ".drive", err}
	}
	return append(out, drives...), nil
}

// ownAxes are the rows of an axis's guide frame: travel, sideways, normal.
func ownAxes(a *machine.Axis) frame.Axes {
	return frame.Axes{array(a.Dir), array(a.Side), array(a.Normal)}
}

func blockTie(m *machine.Machine, a *machine.Axis, i int, blk machine.Block, q []float64) frame.Tie {
	from, to := guidePoints(m, a, blk.Beam, q, blk.Along, r3.Add(r3.Scale(a.Part.RailHeight, a.Normal), r3.Scale(blk.Across, a.Side)))
	p := a.Block
	return frame.Tie{ID: BlockID(a, i), From: from, To: to, Axes: ownAxes(a), K: [6]float64{0, p.Ky, p.Kz, p.KMx, p.KMy, p.KMz}}
}

// BlockID names the tie of the i-th block of an axis.
func BlockID(a *machine.Axis, i int) string { return a.Spec.ID + ".block." + strconv.Itoa(i+1) }

// DriveID names the tie of an axis's drive on one of its beams.
func DriveID(a *machine.Axis, beam int) string { return a.Spec.ID + ".drive." + strconv.Itoa(beam+1) }

// guidePoints returns a place of an axis seen from both sides: rigidly from the
// carriage, and on the beam. along is measured from the carriage centre, lever
// from the beam's centre line.
func guidePoints(m *machine.Machine, a *machine.Axis, beam int, q []float64, along float64, lever r3.Vec) (carriage, rail frame.Point) {
	mem := m.Members[a.Beams[beam]]
	s := a.On(q[a.Index]) + along
	start := m.NodeAt(mem.From, q)
	place := r3.Add(start, r3.Add(r3.Scale(s, a.Dir), lever))
	node := a.Carriages[beam]
	carriage = frame.Point{Node: m.Nodes[node].ID, Offset: array(r3.Sub(place, m.NodeAt(node, q)))}
	at := min(max(s/a.Length, 0), 1)
	onLine := r3.Add(start, r3.Scale(at*a.Length, a.Dir))
	rail = frame.Point{Member: mem.ID, Position: at, Offset: array(r3.Sub(place, onLine))}
	return carriage, rail
}

func array(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

func diagonal(d [3]float64) [3][3]float64 {
	return [3][3]float64{{d[0], 0, 0}, {0, d[1], 0}, {0, 0, d[2]}}
}
