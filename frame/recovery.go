package frame

import "math"

// barForces returns what the rest of the structure exerts on the two ends of an element, local axes.
func (s *State) barForces(i int32) [12]float64 {
	e := &s.elements[i]
	f := s.endForces(e)
	if s.loads.bars != nil {
		held := e.nodalForces(&s.loads.bars[i])
		for k := range f {
			f[k] -= held[k]
		}
	}
	return f
}

// MemberForces returns what the rest of the structure exerts on the ends of a member, local axes
// [Fx Fy Fz Mx My Mz]; ok is false if there is no such member.
func (s *State) MemberForces(member string) (from, to [6]float64, ok bool) {
	i, ok := s.members[member]
	if !ok {
		return from, to, false
	}
	f := s.barForces(s.first[i])
	copy(from[:], f[:6])
	f = s.barForces(s.first[i+1] - 1)
	copy(to[:], f[6:])
	return from, to, true
}

// Inner holds the stress resultants of a member's cross-section.
//
// They act on the part of the member towards From, at its cut, whose outward normal is +x.
type Inner struct {
	At         float64 // m from the beginning of the member
	N          float64 // N, tension positive
	Vy, Vz     float64 // N, shear along y and z
	T          float64 // N m, torsion about x
	My, Mz     float64 // N m, moment about y and z
	X, Y, Z    float64 // m, global place
	Ux, Uy, Uz float64 // m, global displacement
}

// Stations returns the stress resultants along a member, at n equally spaced places of every element and at the end of the
// last, n at least 1. At a node inside the member, where a tie may make the shear force jump, they are those of the element
// that begins there. It returns nil if there is no such member.
func (s *State) Stations(member string, n int) []Inner {
	m, ok := s.members[member]
	if !ok || n < 1 {
		return nil
	}
	var out []Inner
	at := 0.0
	for i := s.first[m]; i < s.first[m+1]; i++ {
		e := &s.elements[i]
		last := n - 1
		if i == s.first[m+1]-1 {
			last = n
		}
		for k := 0; k <= last; k++ {
			out = append(out, s.station(i, at, float64(k)/float64(n)))
		}
		at += e.l
	}
	return out
}

// Cut holds the stress resultants of a member's cross-section, with the signs of Inner.
type Cut struct {
	At     float64 // m from the beginning of the member
	N      float64 // N
	Vy, Vz float64 // N
	T      float64 // N m
	My, Mz float64 // N m
}

// Cuts is Stations without places and displacements, at a fraction of the cost.
func (s *State) Cuts(member string, n int) []Cut {
	m, ok := s.members[member]
	if !ok || n < 1 {
		return nil
	}
	first, end := s.first[m], s.first[m+1]
	out := make([]Cut, 0, int(end-first)*n+1)
	at := 0.0
	for i := first; i < end; i++ {
		e, f, q := &s.elements[i], s.barForces(i), s.lineLoad(i)
		last := n - 1
		if i == end-1 {
			last = n
		}
		for k := 0; k <= last; k++ {
			c := cutAt(&f, q, float64(k)/float64(n)*e.l)
			c.At += at
			out = append(out, c)
		}
		at += e.l
	}
	return out
}

// lineLoad is the load along an element, local axes, N/m.
func (s *State) lineLoad(i int32) (q [3]float64) {
	if s.loads.bars != nil {
		q = s.loads.bars[i].q
	}
	return q
}

// cutAt returns the stress resultants at x from the beginning of an element with end forces f under a line load.
func cutAt(f *[12]float64, q [3]float64, x float64) Cut {
	return Cut{
		At: x,
		N:  -f[0] - q[0]*x,
		Vy: -f[1] - q[1]*x,
		Vz: -f[2] - q[2]*x,
		T:  -f[3],
		My: -f[4] - f[2]*x - q[2]*x*x/2,
		Mz: -f[5] + f[1]*x + q[1]*x*x/2,
	}
}

// station returns the stress resultants at xi of an element.
func (s *State) station(i int32, begin, xi float64) Inner {
	e := &s.elements[i]
	f := s.barForces(i)
	x := xi * e.l
	c := cutAt(&f, s.lineLoad(i), x)
	a := anchor{element: i, xi: xi}
	s.formInElement(&a)
	d := a.displacement(s.u)
	own := s.between(&a)
	start := add(s.at[e.node[0]], e.arm[0])
	place := add(start, scale(x, e.axes[0]))
	return Inner{
		At: begin + x, N: c.N, Vy: c.Vy, Vz: c.Vz, T: c.T, My: c.My, Mz: c.Mz,
		X: place[0], Y: place[1], Z: place[2],
		Ux: d[0] + own[0], Uy: d[1] + own[1], Uz: d[2] + own[2],
	}
}

// Extreme holds the largest magnitudes of the stress resultants along a member.
type Extreme struct {
	N, Vy, Vz, T, My, Mz float64 // N and N m, >= 0
}

// Extremes returns the largest magnitudes along a member, also between nodes where a line load bends it: at the ends
// of the elements and where the shear force passes zero.
func (s *State) Extremes(member string) (Extreme, bool) {
	m, ok := s.members[member]
	if !ok {
		return Extreme{}, false
	}
	var x Extreme
	for i := s.first[m]; i < s.first[m+1]; i++ {
		f := s.barForces(i)
		places := []float64{0, 1}
		if s.loads.bars != nil {
			q := s.loads.bars[i].q
			for k := 1; k <= 2; k++ {
				if at := -f[k] / (q[k] * s.elements[i].l); at > 0 && at < 1 {
					places = append(places, at)
				}
			}
		}
		for _, xi := range places {
			r := s.station(i, 0, xi)
			x.N, x.Vy, x.Vz = math.Max(x.N, math.Abs(r.N)), math.Max(x.Vy, math.Abs(r.Vy)), math.Max(x.Vz, math.Abs(r.Vz))
			x.T, x.My, x.Mz = math.Max(x.T, math.Abs(r.T)), math.Max(x.My, math.Abs(r.My)), math.Max(x.Mz, math.Abs(r.Mz))
		}
	}
	return x, true
}

// Reaction returns what supports and ground springs exert on the structure at a node, global axes; ok is false if the
// node has neither.
func (s *State) Reaction(node string) (r [6]float64, ok bool) {
	i, ok := s.nodes[node]
	if !ok || !s.held()[i] {
		return r, false
	}
	copy(r[:], s.reaction[6*i:])
	return r, true
}

// held tells for every node of the model whether a support or a ground joint is there.
func (g *grid) held() []bool {
	held := make([]bool, len(g.model.Nodes))
	for i := range g.model.Supports {
		held[g.nodes[g.model.Supports[i].Node]] = true
	}
	for i := range g.model.Springs {
		if g.model.Springs[i].To == "" {
			held[g.nodes[g.model.Springs[i].From]] = true
		}
	}
	for i := range g.model.Ties {
		if t := &g.model.Ties[i]; t.To.Ground() && t.From.Node != "" {
			held[g.nodes[t.From.Node]] = true
		}
	}
	return held
}

// JointForces returns the force that a spring or tie exerts on its To side, in its axes: K (u_from - u_to - misfit);
// ok is false if there is no such spring or tie.
func (s *State) JointForces(id string) (f [6]float64, ok bool) {
	kind, of, ok := s.joint(id)
	if !ok {
		return f, false
	}
	for i := range s.rows {
		if r := &s.rows[i]; r.kind == kind && r.of == of {
			f[r.comp] = s.rowForce(i)
		}
	}
	return f, true
}

// joint finds a spring or tie by its id.
func (g *grid) joint(id string) (rowKind, int32, bool) {
	if id == "" {
		return 0, 0, false
	}
	for i := range g.model.Springs {
		if g.model.Springs[i].ID == id {
			return ofSpring, int32(i), true
		}
	}
	for i := range g.model.Ties {
		if g.model.Ties[i].ID == id {
			return ofTie, int32(i), true
		}
	}
	return 0, 0, false
}
