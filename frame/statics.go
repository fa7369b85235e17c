package frame

import (
	"errors"
	"fmt"
	"math"

	"spanwright/sparse"
)

// System is a model cut into elements and numbered, ready to be solved. It is immutable but for what it remembers of
// its own factorisation; one goroutine may use it at a time.
type System struct {
	*grid
	k    *sparse.Matrix
	sym  *sparse.Symbolic
	fact *factored
	work sparse.Scratch
}

// Assemble checks the model and sets up its equations. The error is Problems.
//
// The lists of the model must not be changed in place while the system is in use.
func Assemble(m *Model) (*System, error) {
	if p := m.Check(); len(p) > 0 {
		return nil, p
	}
	own := *m // so that the caller may give the model other ties or cases afterwards
	return &System{grid: newGrid(&own)}, nil
}

// Freedoms returns the number of equations.
func (s *System) Freedoms() int { return s.size() }

// matrix returns K, assembled once.
func (s *System) matrix() *sparse.Matrix {
	if s.k == nil {
		s.k = s.stiffness()
		s.sym = sparse.Analyse(s.k, 1)
	}
	return s.k
}

// factor factors K once.
func (s *System) factor() (*factored, error) {
	if s.fact == nil {
		k := s.matrix()
		f, err := s.factorStiffness(k, s.sym)
		if err != nil {
			return nil, err
		}
		s.fact = &f
	}
	return s.fact, nil
}

// Proof says how well a static solution satisfies its equations. All are ratios.
type Proof struct {
	Residual float64 // |K u - f| / |f| in the infinity norm
	Backward float64 // |K u - f| / (|K| |u| + |f|) in the infinity norm, Rigal & Gaches, J. ACM 14 (1967) 543 (from memory)
	Balance  float64 // imbalance of loads, reactions and joints as a whole, over the sum of their magnitudes
}

// Limits on a proof.
const (
	// maxBackward is far above the 1e-16 of a stable solution and far below the 1e-3 of a lost row.
	maxBackward = 1e-10
	// maxBalance allows for rounding in the sums over large models.
	maxBalance = 1e-8
	// enough is the residual at which refinement stops: nothing is gained below it.
	enough = 1e-15
	// noLoad is the load, N or N m, below which there is none: products with it would fall out of the range of numbers.
	noLoad = 1e-200
	// maxRefinements is enough for a factor that is right in one digit only.
	maxRefinements = 20
)

// ErrInaccurate says that a solution failed its proof: the model mixes stiffnesses too far apart for double precision.
var ErrInaccurate = errors.New("frame: the equations could not be solved accurately")

// Statics solves all cases of the model in their order. The error is a *MechanismError if the structure can move
// freely, or *TipError if its contacts open until it does.
func (s *System) Statics() ([]*State, error) {
	states := make([]*State, 0, len(s.model.Cases))
	for i := range s.model.Cases {
		st, err := s.static(&s.model.Cases[i])
		if err != nil {
			return nil, err
		}
		states = append(states, st)
	}
	return states, nil
}

// Static solves one case, which need not be one of the model. The error is as of Statics, or Problems.
func (s *System) Static(c Case) (*State, error) {
	check := s.checker()
	check.loads(&c)
	if len(check.problems) > 0 {
		return nil, check.problems
	}
	return s.static(&c)
}

// checker returns a checker for things that refer to the grid's model, which itself is known to be right.
func (g *grid) checker() *checker {
	c := &checker{model: g.model}
	c.nodes.at = g.nodes
	c.members.at = g.members
	for i := range g.model.Nodes {
		c.nodes.ids = append(c.nodes.ids, g.model.Nodes[i].ID)
	}
	for i := range g.model.Members {
		c.members.ids = append(c.members.ids, g.model.Members[i].ID)
	}
	return c
}

func (s *System) static(c *Case) (*State, error) {
	l := s.loading(c)
	if s.hasContacts() {
		return s.solveContacts(c.ID, l)
	}
	f, err := s.factor()
	if err != nil {
		return nil, err
	}
	return s.solve(c.ID, l, f)
}

// solve solves K u = f with refinement and proves the result.
//
// The solution is carried as the sum of two numbers, u and lo. The stretch of a part that is far stiffer than the rest is
// a small difference of large displacements, and needs the digits that u alone cannot hold.
func (s *System) solve(id string, l *loading, f *factored) (*State, error) {
	st := &State{Case: id, grid: s.grid, u: make([]float64, s.full), lo: make([]float64, s.full), loads: l}
	if l.settle != nil {
		copy(st.u, l.settle)
	}
	r, x := make([]float64, s.size()), make([]float64, s.size())
	s.residual(r, st)
	force := maxAbs(r) // the largest load, with that of settlements
	last := force
	for range maxRefinements {
		if !(last > enough*force) || force < noLoad {
			break
		}
		f.SolveWith(&s.work, x, r)
		s.correct(st, x, 1)
		s.residual(r, st)
		worst := maxAbs(r)
		if !(worst < last) {
			s.correct(st, x, -1) // it was as good as it gets
			break
		}
		stalled := worst > last/4
		last = worst
		if stalled && !f.soft {
			break
		}
	}
	if force < noLoad {
		last = 0
	} else {
		st.Proof.Residual = last / force
	}
	return st, s.prove(st, last, force)
}

// residual sets r = f - K u over the reduced freedoms, evaluated bar by bar and spring by spring.
func (s *System) residual(r []float64, st *State) {
	inner := make([]float64, s.full)
	for i := range s.elements {
		e := &s.elements[i]
		f := st.endForces(e)
		e.addLocal(inner, &f)
	}
	for i := range s.rows {
		s.rows[i].addTo(inner, st.rowForce(i))
	}
	for i, at := range s.back {
		r[i] = st.loads.full[at] - inner[at]
	}
}

// correct adds sign x to the displacements, u and lo together.
func (s *System) correct(st *State, x []float64, sign float64) {
	for i, at := range s.back {
		d := st.lo[at] + sign*x[i]
		sum := st.u[at] + d
		back := sum - st.u[at]
		st.lo[at] = (st.u[at] - (sum - back)) + (d - back) // exact: Knuth's two-sum
		st.u[at] = sum
	}
}

// prove fills the rest of the proof and judges it.
func (s *System) prove(st *State, residual, force float64) error {
	u := maxAbs(st.u)
	if !(u <= math.MaxFloat64) {
		return fmt.Errorf("%w: case %q: displacements are not finite", ErrInaccurate, st.Case)
	}
	if scale := s.matrix().NormInf()*u + force; scale > 0 {
		st.Proof.Backward = residual / scale
	}
	st.react()
	if !(st.Proof.Backward <= maxBackward) || !(st.Proof.Balance <= maxBalance) {
		return fmt.Errorf("%w: case %q: residual %.2g of the load, backward error %.2g, imbalance %.2g; "+
			"look for stiffnesses that differ by more than about 1e12", ErrInaccurate, st.Case,
			st.Proof.Residual, st.Proof.Backward, st.Proof.Balance)
	}
	return nil
}

// adopt makes a state of given displacements and proves it.
func (s *System) adopt(c *Case, u []float64) (*State, error) {
	l := s.loading(c)
	st := &State{Case: c.ID, grid: s.grid, u: u, loads: l}
	r := make([]float64, s.size())
	s.residual(r, st)
	worst := maxAbs(r)
	s.reduce(r, l.full)
	force := maxAbs(r)
	if force > 0 {
		st.Proof.Residual = worst / force
	}
	return st, s.prove(st, worst, force)
}
