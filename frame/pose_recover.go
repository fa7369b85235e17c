package frame

// displacements returns the full displacements of the base's freedoms.
func (s *PoseState) displacements() []float64 {
	b := s.pose.base
	g := append([]float64(nil), s.load.f...)
	for t, f := range s.net {
		g[s.pose.terms[t]] += f
	}
	b.flexibility(&s.pose.solver, g, g)
	b.addMoves(g, s.move)
	u := make([]float64, b.full)
	b.expand(u, g)
	return u
}

// State returns the whole state of the pose on the reference model, proven there by its residual and balance: member
// forces, reactions and the split come from it. The error is ErrInaccurate if the proof fails.
func (s *PoseState) State() (*State, error) {
	whole, err := s.pose.System()
	if err != nil {
		return nil, err
	}
	return whole.adopt(&s.load.c, s.displacements())
}

// Recover returns the state of the base's members and joints at this pose without proving it: member forces, stations,
// forces of springs and of ties of the base. Ties of the pose are asked of the PoseState itself. State proves the same
// numbers at many times the cost.
func (s *PoseState) Recover() *State {
	return &State{Case: s.load.c.ID, grid: s.pose.base.grid, u: s.displacements(), loads: s.load.loads}
}

// Split computes who causes a measure at this pose, ties of the pose included; see System.Split. It works on the whole
// model and costs as much as the reference path.
func (s *PoseState) Split(measure Measure) (*Split, error) {
	whole, err := s.pose.System()
	if err != nil {
		return nil, err
	}
	st, err := whole.adopt(&s.load.c, s.displacements())
	if err != nil {
		return nil, err
	}
	return whole.Split(st, measure)
}

// RecoverAll is Recover for several states of one pose at once, which costs less.
func (p *Pose) RecoverAll(states []*PoseState) []*State {
	b := p.base
	out := make([]*State, len(states))
	g := sized(p.four.x, lanes*b.size())
	p.four.x = g
	for first := 0; first < len(states); first += lanes {
		clear(g)
		some := states[first:min(first+lanes, len(states))]
		for lane, s := range some {
			for i, f := range s.load.f {
				g[lanes*i+lane] = f
			}
			for t, f := range s.net {
				g[lanes*int(p.terms[t])+lane] += f
			}
		}
		b.flexibilityFour(&p.solver, g, g)
		for lane, s := range some {
			x := make([]float64, b.size())
			for i := range x {
				x[i] = g[lanes*i+lane]
			}
			b.addMoves(x, s.move)
			u := make([]float64, b.full)
			b.expand(u, x)
			out[first+lane] = &State{Case: s.load.c.ID, grid: b.grid, u: u, loads: s.load.loads}
		}
	}
	return out
}

// System returns the whole model of the pose for the reference path, for what the fast path does not offer: Split, Gain,
// Buckling.
func (p *Pose) System() (*System, error) {
	if !p.ready {
		return nil, ErrNotSet
	}
	return &System{grid: newGrid(p.reference())}, nil
}
