package view

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/machine"
	"spanwright/structure"
)

// Pose is what the machine does at one pose under its weight, at the stiffness
// on which deflections are judged.
type Pose struct {
	Version   int       `json:"version"`
	Q         []Number  `json:"q"`
	Loaded    bool      `json:"loaded"`
	At        Vec       `json:"at"` // of the tool point, undeformed
	Tool      ToolMoves `json:"tool"`
	Sag       Number    `json:"sag"`           // total, positive downwards
	Hz        []Number  `json:"hz"`            // lowest natural frequencies
	Stiffness [3]Number `json:"stiffness_N_m"` // of the tool point along world x, y, z
	Shape     Shape     `json:"shape"`
	Texts     PoseTexts `json:"texts"`
}

// PoseTexts are the numbers in words, each with a fitting unit.
type PoseTexts struct {
	Dead      [3]string `json:"dead"`
	Payload   [3]string `json:"payload"`
	Total     [3]string `json:"total"`
	Sag       string    `json:"sag"`
	Hz        []string  `json:"hz"`
	Stiffness [3]string `json:"stiffness"`
}

// ToolMoves is how far the tool point moves: by the weight of everything but
// the payload, more by the payload's, and by both.
type ToolMoves struct {
	Dead    Vec `json:"dead"`
	Payload Vec `json:"payload"`
	Total   Vec `json:"total"`
}

// Shape is how the machine moves, for drawing.
type Shape struct {
	Members []BentMember `json:"members"`
	Bodies  []RigidMove  `json:"bodies"`
	Tool    Moved        `json:"tool"`
	Largest Number       `json:"largest"`
}

// BentMember is the line of a member: places at the pose, undeformed, and their
// movements, as finely as they can be drawn (see coarse).
type BentMember struct {
	ID     string `json:"id"`
	Points Floats `json:"points"`
	Moved  Floats `json:"moved"`
}

// RigidMove is how a carriage or the flange moves, with what is fixed to it: U
// of the place At, and R about it, rad.
type RigidMove struct {
	Index int    `json:"index"` // of the body
	ID    string `json:"id"`
	At    Vec    `json:"at"`
	U     Vec    `json:"u"`
	R     Vec    `json:"r"`
}

// Moved is a place and its movement.
type Moved struct {
	At Vec `json:"at"`
	U  Vec `json:"u"`
}

// poseModes is how many natural frequencies a pose is asked for.
const poseModes = 3

// OfPose solves one pose. The error is a *Beyond for a pose that is none.
func OfPose(a *assess.Assessment, q []float64, loaded bool) (*Pose, error) {
	m := a.Machine
	if err := checkPose(m, q); err != nil {
		return nil, err
	}
	p, err := a.Study().Posed(q, loaded, poseModes)
	if err != nil {
		return nil, err
	}
	out := &Pose{
		Q: numbers(q), Loaded: loaded, At: vec(m.ToolPoint(q)),
		Tool: ToolMoves{vec(p.Dead), vec(p.Payload), vec(p.Loaded())},
		Sag:  Number(p.Sag()), Hz: numbers(p.Hz), Shape: shape(m, &p.Shape, 1),
	}
	for d := range out.Stiffness {
		out.Stiffness[d] = Number(p.Stiffness(d))
	}
	out.Texts = poseTexts(p)
	return out, nil
}

func poseTexts(p *structure.Posed) PoseTexts {
	t := PoseTexts{Sag: value(p.Sag(), "m"), Dead: three(p.Dead), Payload: three(p.Payload), Total: three(p.Loaded())}
	for _, hz := range p.Hz {
		t.Hz = append(t.Hz, value(hz, "Hz"))
	}
	for d := range t.Stiffness {
		t.Stiffness[d] = value(p.Stiffness(d), "N/m")
	}
	return t
}

// shape writes a shape, its movements times scale.
func shape(m *machine.Machine, s *structure.Shape, scale float64) Shape {
	out := Shape{Tool: Moved{vec(s.Tool.At), vec(r3.Scale(scale, s.Tool.By))}, Largest: Number(math.Abs(scale) * s.Largest())}
	grain := grainOf(float64(out.Largest))
	for _, b := range s.Members {
		o := BentMember{ID: m.Members[b.Member].ID, Points: make(Floats, 0, 3*len(b.Line)), Moved: make(Floats, 0, 3*len(b.Line))}
		for _, p := range b.Line {
			o.Points.add(coarse(p.At, lineGrain))
			o.Moved.add(coarse(r3.Scale(scale, p.By), grain))
		}
		out.Members = append(out.Members, o)
	}
	for _, r := range s.Rigid {
		n := m.Nodes[r.Node]
		out.Bodies = append(out.Bodies, RigidMove{n.Body, n.ID, vec(r.At), vec(r3.Scale(scale, r.By)), vec(r3.Scale(scale, r.Turn))})
	}
	return out
}

// Lines are drawn on grids: of places 2^-17 m, 8 µm, and of movements at most
// 2^-16 of the largest one, far below a pixel. Numbers with few digits take
// half the way to the page; own choice.
const lineGrain = 1.0 / (1 << 17)

// grainOf is the grid for movements of which the largest is given: a power of
// two, so that its multiples are exact.
func grainOf(largest float64) float64 {
	if !(largest > 0) || math.IsInf(largest, 0) {
		return 0
	}
	_, exponent := math.Frexp(largest)
	return math.Ldexp(1, exponent-17)
}

// coarse rounds to a grid; 0 is none.
func coarse(v r3.Vec, grain float64) r3.Vec {
	if grain == 0 {
		return v
	}
	on := func(x float64) float64 { return math.RoundToEven(x/grain) * grain }
	return r3.Vec{X: on(v.X), Y: on(v.Y), Z: on(v.Z)}
}
