package frame

// Line returns the displacements of n equally spaced places on the line of a member, both ends included and n at least
// 2, in global axes: as the element's own shape functions have them, with what a load bends the element between its
// nodes. It returns nil if there is no such member.
func (s *State) Line(member string, n int) [][6]float64 {
	if _, ok := s.members[member]; !ok || n < 2 {
		return nil
	}
	out := make([][6]float64, n)
	var a anchor
	for i := range out {
		s.resolve(&a, Point{Member: member, Position: float64(i) / float64(n-1)})
		out[i] = a.displacement(s.u)
		for k, own := range s.between(&a) {
			out[i][k] += own
		}
	}
	return out
}

// Recover returns mode i as a state of the base's members and joints, free of loads: the shape with a modal mass of
// 1 kg in place of displacements. It stays valid when the pose is set anew.
func (m *PoseModes) Recover(i int) *State {
	b := m.pose.base
	u := make([]float64, b.full)
	b.expand(u, m.shapes[i])
	return &State{Case: "mode", grid: b.grid, u: u, loads: &loading{}}
}

// Energy is the strain energy of a movement, part by part, in J where the movement is in m; of a mode with its modal
// mass of 1 kg, in (rad/s)²/2 kg. The parts add up to the strain energy of the whole.
//
// Source: k x²/2 of every spring and bar; the parts of ω²/2 of a mode are also the derivatives of its squared angular
// frequency with respect to the logarithm of each stiffness, halved (Rayleigh's quotient).
type Energy struct {
	Members []float64 // bars between their semi-rigid ends, in the order of Model.Members
	Ends    []float64 // semi-rigid ends of each member
	Springs []float64 // in the order of Model.Springs
	Ties    []float64 // of the base, in the order of Model.Ties
	Pose    []float64 // ties of the pose, in the order given to Set
}

// Sum adds all parts.
func (e *Energy) Sum() float64 {
	sum := 0.0
	for _, list := range [...][]float64{e.Members, e.Ends, e.Springs, e.Ties, e.Pose} {
		for _, x := range list {
			sum += x
		}
	}
	return sum
}

// Energy returns where the strain energy of mode i sits.
func (m *PoseModes) Energy(i int) *Energy {
	p := m.pose
	s := m.Recover(i)
	g := s.grid
	e := &Energy{
		Members: make([]float64, len(g.model.Members)), Ends: make([]float64, len(g.model.Members)),
		Springs: make([]float64, len(g.model.Springs)), Ties: make([]float64, len(g.model.Ties)), Pose: make([]float64, len(p.ties)),
	}
	for k := range g.elements {
		e.Members[g.elements[k].member] += g.elements[k].energy(s.u)
	}
	for k := range g.rows {
		r := &g.rows[k]
		stretch := r.stretch(s.u)
		list, at := e.Ties, r.of
		switch r.kind {
		case ofEnd:
			list, at = e.Ends, g.elements[r.of].member
		case ofSpring:
			list = e.Springs
		}
		list[at] += r.k * stretch * stretch / 2
	}
	for k := range p.rows {
		r := &p.rows[k]
		stretch := 0.0
		for _, l := range r.legs {
			if l < 0 {
				continue
			}
			at, c := p.leg(l)
			for j, f := range at {
				stretch += c[j] * m.shapes[i][f]
			}
		}
		e.Pose[r.tie] += r.k * stretch * stretch / 2
	}
	return e
}
