package structure

import (
	"fmt"
	"math"

	"spanwright/frame"
	"spanwright/machine"
)

// Six is a force and a moment in the axes of what it acts on.
type Six [6]float64

// Bounds6 are the least and the greatest values of each component.
type Bounds6 struct{ Min, Max Six }

// Largest is the greatest magnitude of a component.
func (b Bounds6) Largest(i int) float64 { return math.Max(math.Abs(b.Min[i]), math.Abs(b.Max[i])) }

// Combination is a set of simultaneous accelerations: every axis may have any
// value between minus and plus its own at once.
type Combination struct {
	Name    string
	Accel   []float64 // magnitude of each axis, m/s²
	Working bool      // it belongs to normal operation
}

// Force is what one joint, connection, foot or member has to bear at one pose
// under one combination, with the payload on or off whichever is worse in each
// component: a sum of magnitudes, so it is on the safe side.
type Force struct {
	Pose  int
	Combo int
	Bounds6
}

// Forces are the forces of a machine over a set of poses.
type Forces struct {
	Poses  [][]float64
	Combos []Combination
	Joints map[string][]Force // connections, feet ("foot NODE"), ties of blocks and drives, by id
	Ends   [][2][]Force       // of each member, its two ends, local axes of the member
	Stress []Stressed         // of each member
}

// Stressed is the largest stress of a member.
type Stressed struct {
	Sigma, Tau, Mises float64 // Pa
	At                float64 // m from its beginning
	Pose, Combo       int
	N                 float64 // largest compression, N, >= 0
}

// Forces solves weight, payload and the acceleration of every axis at each pose
// and adds them up for each combination.
func (s *Study) Forces(poses [][]float64, combos []Combination) (*Forces, error) {
	parts, err := recall(s, question{what: "forces", loaded: true}, poses, (*poseForces).size, func(w *worker, i int) (*poseForces, error) { return w.forces(poses[i]) })
	if err != nil {
		return nil, fmt.Errorf("forces at %w", err)
	}
	out := &Forces{Poses: poses, Combos: combos, Joints: map[string][]Force{}, Ends: make([][2][]Force, len(s.m.Members)), Stress: make([]Stressed, len(s.m.Members))}
	for i, p := range parts {
		for c, combo := range combos {
			out.add(s.m, p, i, c, combo)
		}
	}
	return out, nil
}

// poseForces are the forces of the unit cases at one pose: weight, payload, each axis.
type poseForces struct {
	joints map[string][]Six
	order  []string
	ends   [][2][]Six
	inner  [][][]frame.Inner // member, case, station
}

// size is about the memory that they take, bytes.
func (p *poseForces) size() int64 {
	const six, inner = 48, 64
	n := int64(0)
	for _, f := range p.joints {
		n += six*int64(len(f)) + 80
	}
	for i, e := range p.ends {
		n += 2*six*int64(len(e[0])) + 48
		for _, s := range p.inner[i] {
			n += inner * int64(len(s))
		}
	}
	return n
}

func (w *worker) forces(q []float64) (*poseForces, error) {
	if err := w.set(q, true); err != nil {
		return nil, err
	}
	m := w.s.m
	p := &poseForces{joints: map[string][]Six{}, ends: make([][2][]Six, len(m.Members)), inner: make([][][]frame.Inner, len(m.Members))}
	cases := append([]*frame.Prepared{w.s.dead, w.s.payload}, w.s.accel...)
	var err error
	for _, load := range cases {
		if w.state, err = w.pose.Static(load, w.state); err != nil {
			return nil, err
		}
		state := w.state.Recover()
		put := func(id string, f [6]float64) {
			if _, ok := p.joints[id]; !ok {
				p.order = append(p.order, id)
			}
			p.joints[id] = append(p.joints[id], f)
		}
		for i, t := range w.ties {
			put(t.ID, w.state.TieForces(i))
		}
		for _, c := range m.Connections {
			f, _ := state.JointForces(c.ID)
			put(c.ID, f)
		}
		for _, f := range m.Feet {
			id := "foot " + m.Nodes[f.Node].ID
			force, _ := state.JointForces(id)
			put(id, force)
		}
		for i, mem := range m.Members {
			from, to, _ := state.MemberForces(mem.ID)
			p.ends[i][0] = append(p.ends[i][0], from)
			p.ends[i][1] = append(p.ends[i][1], to)
			p.inner[i] = append(p.inner[i], state.Stations(mem.ID, 1))
		}
	}
	return p, nil
}

// bounds adds weight, payload (on or off) and accelerations of any sign.
func bounds(cases []Six, combo Combination) Bounds6 {
	var b Bounds6
	for i := range b.Min {
		low, high := cases[0][i], cases[0][i]
		low += math.Min(0, cases[1][i])
		high += math.Max(0, cases[1][i])
		for k, a := range combo.Accel {
			d := math.Abs(a * cases[2+k][i])
			low, high = low-d, high+d
		}
		b.Min[i], b.Max[i] = low, high
	}
	return b
}

func (f *Forces) add(m *machine.Machine, p *poseForces, pose, c int, combo Combination) {
	for _, id := range p.order {
		f.Joints[id] = append(f.Joints[id], Force{pose, c, bounds(p.joints[id], combo)})
	}
	for i := range p.ends {
		for e := range p.ends[i] {
			f.Ends[i][e] = append(f.Ends[i][e], Force{pose, c, bounds(p.ends[i][e], combo)})
		}
		f.stress(m.Members[i], i, p.inner[i], pose, c, combo)
	}
}

// stress keeps the largest stress of a member: |N|/A + |My|/Wy + |Mz|/Wz with
// |T|/Wt + |Vy|/Asy + |Vz|/Asz, every resultant at its greatest magnitude.
//
// Source: elementary beam theory; the corner of a box sees all three at once,
// rounded outlines less.
func (f *Forces) stress(mem machine.Member, i int, cases [][]frame.Inner, pose, c int, combo Combination) {
	sec := mem.Section
	for k := range cases[0] {
		six := make([]Six, len(cases))
		for n := range cases {
			in := cases[n][k]
			six[n] = Six{in.N, in.Vy, in.Vz, in.T, in.My, in.Mz}
		}
		b := bounds(six, combo)
		sigma := b.Largest(0)/sec.Area + b.Largest(4)/sec.Wy + b.Largest(5)/sec.Wz
		tau := b.Largest(1)/sec.Asy + b.Largest(2)/sec.Asz
		if sec.Wt > 0 {
			tau += b.Largest(3) / sec.Wt
		}
		mises := math.Sqrt(sigma*sigma + 3*tau*tau)
		s := &f.Stress[i]
		s.N = math.Max(s.N, -b.Min[0])
		if mises > s.Mises {
			*s = Stressed{Sigma: sigma, Tau: tau, Mises: mises, At: cases[0][k].At, Pose: pose, Combo: c, N: s.N}
		}
	}
}
