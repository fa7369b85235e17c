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
func (b *Bounds6) Largest(i int) float64 { return max(math.Abs(b.Min[i]), math.Abs(b.Max[i])) }

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
	Ends   [][2][]Force       // of each member, those of its two ends that have a joint, local axes of the member
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
	return s.forces(poses, combos, true)
}

// JointForces is Forces without the stresses of the members.
func (s *Study) JointForces(poses [][]float64, combos []Combination) (*Forces, error) {
	return s.forces(poses, combos, false)
}

func (s *Study) forces(poses [][]float64, combos []Combination, stress bool) (*Forces, error) {
	about := question{what: "forces", loaded: true}
	if !stress {
		about.what = "joint forces"
	}
	parts, err := recall(s, about, poses, (*poseForces).size, func(w *worker, i int) (*poseForces, error) { return w.forces(poses[i], stress) })
	if err != nil {
		return nil, fmt.Errorf("forces at %w", err)
	}
	out := &Forces{Poses: poses, Combos: combos, Ends: make([][2][]Force, len(s.m.Members)), Stress: make([]Stressed, len(s.m.Members))}
	out.add(s.m, parts)
	return out, nil
}

// poseForces are the forces of the unit cases at one pose: weight, payload, each axis.
type poseForces struct {
	ids    []string
	joints [][]Six // of each id, its cases
	ends   [][2][]Six
	at     [][]float64 // of each member, its stations; none if no stresses are wanted
	cuts   [][]Six     // of each member, the cases of each station
}

// size is about the memory that they take, bytes.
func (p *poseForces) size() int64 {
	const six, slice = 48, 24
	n := 2 * slice * int64(len(p.joints))
	for _, f := range p.joints {
		n += six * int64(len(f))
	}
	for i, e := range p.ends {
		n += 2*six*int64(len(e[0])) + 4*slice
		if p.cuts != nil {
			n += six*int64(len(p.cuts[i])) + 8*int64(len(p.at[i]))
		}
	}
	return n
}

// forces solves all cases at a pose.
func (w *worker) forces(q []float64, stress bool) (*poseForces, error) {
	if err := w.set(q, true); err != nil {
		return nil, err
	}
	cases := append([]*frame.Prepared{w.s.dead, w.s.payload}, w.s.accel...)
	for len(w.states) < len(cases) {
		w.states = append(w.states, nil)
	}
	var err error
	for i, load := range cases {
		if w.states[i], err = w.pose.Static(load, w.states[i]); err != nil {
			return nil, err
		}
	}
	states := w.pose.RecoverAll(w.states[:len(cases)])
	p := &poseForces{}
	w.takeJoints(p, states)
	w.takeEnds(p, states)
	if stress {
		w.takeCuts(p, states)
	}
	return p, nil
}

// takeJoints reads ties, connections and feet.
func (w *worker) takeJoints(p *poseForces, states []*frame.State) {
	m := w.s.m
	put := func(id string, force func(i int) [6]float64) {
		six := make([]Six, len(states))
		for i := range six {
			six[i] = force(i)
		}
		p.ids, p.joints = append(p.ids, id), append(p.joints, six)
	}
	for k, t := range w.ties {
		put(t.ID, func(i int) [6]float64 { return w.states[i].TieForces(k) })
	}
	held := func(id string) {
		put(id, func(i int) [6]float64 {
			f, _ := states[i].JointForces(id)
			return f
		})
	}
	for _, c := range m.Connections {
		held(c.ID)
	}
	for _, f := range m.Feet {
		held("foot " + m.Nodes[f.Node].ID)
	}
}

// takeEnds reads the ends of the members that have a joint.
func (w *worker) takeEnds(p *poseForces, states []*frame.State) {
	members := w.s.m.Members
	p.ends = make([][2][]Six, len(members))
	for k, mem := range members {
		if mem.Joints[0] == nil && mem.Joints[1] == nil {
			continue
		}
		both := make([]Six, 2*len(states))
		p.ends[k] = [2][]Six{both[:len(states)], both[len(states):]}
		for i, state := range states {
			p.ends[k][0][i], p.ends[k][1][i], _ = state.MemberForces(mem.ID)
		}
	}
}

// takeCuts reads the members at the ends of their elements.
func (w *worker) takeCuts(p *poseForces, states []*frame.State) {
	members := w.s.m.Members
	p.at, p.cuts = make([][]float64, len(members)), make([][]Six, len(members))
	for k, mem := range members {
		for i, state := range states {
			cuts := state.Cuts(mem.ID, 1)
			if i == 0 {
				p.at[k], p.cuts[k] = make([]float64, len(cuts)), make([]Six, len(cuts)*len(states))
			}
			for n, c := range cuts {
				p.at[k][n] = c.At
				p.cuts[k][n*len(states)+i] = Six{c.N, c.Vy, c.Vz, c.T, c.My, c.Mz}
			}
		}
	}
}

// take adds weight, payload (on or off) and accelerations of any sign.
func (b *Bounds6) take(cases []Six, combo *Combination) {
	b.Min, b.Max = cases[0], cases[0]
	for i, p := range cases[1] {
		if p < 0 {
			b.Min[i] += p
		} else {
			b.Max[i] += p
		}
	}
	for k, a := range combo.Accel {
		own := &cases[2+k]
		for i := range own {
			d := math.Abs(a * own[i])
			b.Min[i] -= d
			b.Max[i] += d
		}
	}
}

// add adds up every combination at every pose.
func (f *Forces) add(m *machine.Machine, parts []*poseForces) {
	n := len(parts) * len(f.Combos)
	all := func(of func(p *poseForces) []Six) []Force {
		out := make([]Force, n)
		for i, p := range parts {
			cases := of(p)
			for c := range f.Combos {
				force := &out[i*len(f.Combos)+c]
				force.Pose, force.Combo = i, c
				force.take(cases, &f.Combos[c])
			}
		}
		return out
	}
	f.Joints = map[string][]Force{}
	if n == 0 {
		return
	}
	for k, id := range parts[0].ids { // the ties of a machine are the same at every pose
		f.Joints[id] = all(func(p *poseForces) []Six { return p.joints[k] })
	}
	for i := range f.Ends {
		for e, joint := range m.Members[i].Joints {
			if joint == nil {
				continue
			}
			f.Ends[i][e] = all(func(p *poseForces) []Six { return p.ends[i][e] })
		}
	}
	if parts[0].cuts == nil {
		return
	}
	for i, p := range parts {
		for c := range f.Combos {
			for k := range f.Stress {
				f.stress(&m.Members[k], k, p, i, c)
			}
		}
	}
}

// stress keeps the largest stress of a member: |N|/A + |My|/Wy + |Mz|/Wz with
// |T|/Wt + |Vy|/Asy + |Vz|/Asz, every resultant at its greatest magnitude.
//
// Source: elementary beam theory; the corner of a box sees all three at once,
// rounded outlines less.
func (f *Forces) stress(mem *machine.Member, i int, p *poseForces, pose, c int) {
	sec, s := &mem.Section, &f.Stress[i]
	cases := 2 + len(f.Combos[c].Accel)
	var b Bounds6
	for k, at := range p.at[i] {
		b.take(p.cuts[i][k*cases:(k+1)*cases], &f.Combos[c])
		sigma := b.Largest(0)/sec.Area + b.Largest(4)/sec.Wy + b.Largest(5)/sec.Wz
		tau := b.Largest(1)/sec.Asy + b.Largest(2)/sec.Asz
		if sec.Wt > 0 {
			tau += b.Largest(3) / sec.Wt
		}
		s.N = math.Max(s.N, -b.Min[0])
		if square := sigma*sigma + 3*tau*tau; square > s.Mises*s.Mises {
			if mises := math.Sqrt(square); mises > s.Mises {
				*s = Stressed{Sigma: sigma, Tau: tau, Mises: mises, At: at, Pose: pose, Combo: c, N: s.N}
			}
		}
	}
}
