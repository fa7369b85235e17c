package frame

// VirtualWork is the work that each part of a model does: of a state on the movements of a unit load, or of a mode on
// itself. The parts add up to Total.
//
// Each part is proportional to one stiffness. It is therefore minus the derivative of a displacement, or the derivative
// of a squared angular frequency, with respect to the logarithm of that stiffness.
type VirtualWork struct {
	Total   float64
	Members []Contribution // as Model.Members; Ends holds what stands in Ends below
	Ends    [][6]float64   // as Model.Members: semi-rigid turns at From about local x, y, z, then at To
	Springs [][6]float64   // as Model.Springs, in their axes
	Ties    [][6]float64   // as Model.Ties, in their axes
}

// Work is Split with the ends of members apart: the work of a state on the movements of a unit load along a measure.
// Loads between the nodes of an element on which the measured point lies are left out of the parts. The error is
// Problems, or that of solving the unit load; unit is the state under the unit load.
//
// Source: principle of virtual forces.
func (s *System) Work(st *State, measure Measure) (work *VirtualWork, unit *State, err error) {
	if st.full != s.full || len(st.rows) != len(s.rows) {
		return nil, nil, ErrForeign
	}
	total, err := measure.Of(st)
	if err != nil {
		return nil, nil, err
	}
	if unit, err = s.unitState(st, measure); err != nil {
		return nil, nil, err
	}
	work = s.workOf(st, unit)
	work.Total = total
	return work, unit, nil
}

// WorkOn is the work of mode i on the movements of mode j; the modal masses are 1 kg. That of a mode on itself tells
// where it has its strain energy: the parts of (2πf)², 1/s². That of two modes adds up to 0.
//
// Source: Rayleigh's quotient; the derivative of an eigenvalue with respect to a parameter of K is φᵀ K' φ.
func (m *Modes) WorkOn(i, j int) *VirtualWork {
	s := &System{grid: m.grid}
	still := func(i int) *State {
		return &State{grid: m.grid, u: m.shapes[i], loads: &loading{full: make([]float64, m.full)}}
	}
	w := s.workOf(still(i), still(j))
	if i == j {
		w.Total = m.lambda[i]
	}
	return w
}

// workOf sums the work of one state's forces on another's movements by parts.
func (s *System) workOf(st, unit *State) *VirtualWork {
	out := &VirtualWork{
		Members: make([]Contribution, len(s.model.Members)), Ends: make([][6]float64, len(s.model.Members)),
		Springs: make([][6]float64, len(s.model.Springs)), Ties: make([][6]float64, len(s.model.Ties)),
	}
	for i := range out.Members {
		out.Members[i] = s.memberShare(int32(i), st, unit)
	}
	for i := range s.rows {
		r := &s.rows[i]
		k := r.k
		if st.stiff != nil {
			k = st.stiff[i]
		}
		f := st.rowForce(i)
		if f == 0 {
			continue
		}
		work := f * unit.rowForce(i) / k
		switch r.kind {
		case ofEnd:
			member := s.elements[r.of].member
			out.Ends[member][r.comp%6-3+r.comp/6*3] += work
			out.Members[member].Ends += work
		case ofSpring:
			out.Springs[r.of][r.comp] += work
		case ofTie:
			out.Ties[r.of][r.comp] += work
		}
	}
	return out
}
