package frame

// Recover returns the state of the base's members and joints at this pose
// without proving it: member forces, stations, forces of springs and of ties of
// the base. Ties of the pose are asked of the PoseState itself. State proves
// the same numbers at many times the cost.
func (s *PoseState) Recover() *State {
	p := s.pose
	g := make([]float64, p.base.size())
	for i := range p.legs {
		at, c := p.leg(int32(i))
		for k, q := range at {
			g[q] -= c[k] * s.force[p.legs[i].row]
		}
	}
	var buffer [18]float64
	for i := 0; 6*i+6 <= len(s.extra); i++ {
		q := &p.places[i]
		if q.body < 0 {
			continue
		}
		for k, f := range p.loadAt(i, s.extra[6*i:6*i+6], &buffer) {
			g[p.terms[int(q.from)+k]] += f
		}
	}
	addScaled(g, 1, s.load.f)
	p.base.factor.Solve(g, g)
	p.base.addMoves(g, s.move)
	u := make([]float64, p.base.full)
	p.base.expand(u, g)
	return &State{Case: s.load.c.ID, grid: p.base.grid, u: u, loads: s.load.loads}
}
