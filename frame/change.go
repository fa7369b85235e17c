package frame

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Change is a group of ties that a system gets, of its own stiffness between points that it loses, and of springs that
// become stiffer or softer, all at once.
type Change struct {
	s     *System
	extra *grid
	sign  []float64   // of each row: 1 gained, -1 lost
	moved [][]float64 // K⁻¹ bᵀ of each row, full
	d     *mat.Dense  // B K⁻¹ Bᵀ with 1/k on the diagonal, negative for what is lost; scaled
	scale []float64   // of its rows and columns
	lu    mat.LU      // of d
}

// Scaled is a scalar spring of a system whose stiffness is multiplied.
type Scaled struct {
	In    SpringKind
	Index int     // of the member, spring or tie in its list in the model
	Comp  int     // UX to RZ in own axes; for a member RX, RY, RZ at From (0 to 2) and at To (3 to 5)
	Ratio float64 // new stiffness over old, >= 0
}

// SpringKind says where a scalar spring belongs.
type SpringKind uint8

// The kinds of springs.
const (
	MemberEnd SpringKind = iota
	OwnSpring
	OwnTie
)

// spring finds the row of a spring, nil if the model gives it no stiffness.
func (s *System) spring(x Scaled) *row {
	for i := range s.rows {
		r := &s.rows[i]
		switch {
		case x.In == MemberEnd && r.kind == ofEnd && int(s.elements[r.of].member) == x.Index && int(r.comp%6-3+r.comp/6*3) == x.Comp,
			x.In == OwnSpring && r.kind == ofSpring && int(r.of) == x.Index && int(r.comp) == x.Comp,
			x.In == OwnTie && r.kind == ofTie && int(r.of) == x.Index && int(r.comp) == x.Comp:
			return r
		}
	}
	return nil
}

// Beam is the tie that stands for a straight bar without mass between two points a and b at posA and posB (m,
// global), with turns of the stiffness ends between the bar's ends and the points; +Inf is rigid.
//
// A uniform bar is six independent springs in its middle, on rigid arms to its ends: EA/L, GJ/L, EI/L against turning and
// 12 EI/L³ with shear against sliding, each in series with the turns of the ends. Both ends are taken alike.
//
// Source: elastic centre of a uniform beam; derived.
func Beam(id string, a, b Point, posA, posB [3]float64, roll float64, section Section, material Material, ends [3]float64) Tie {
	middle := scale(0.5, add(posA, posB))
	a.Offset, b.Offset = add(a.Offset, sub(middle, posA)), add(b.Offset, sub(middle, posB))
	axes := LocalAxes(sub(posB, posA), roll)
	l := norm(sub(posB, posA))
	e := newBar(&section, &material, l, 0)
	slide := func(ei, phi, turn float64) float64 { return 1 / (l*l*l*(1+phi)/(12*ei) + l*l/(2*turn)) }
	turn := func(stiff, end float64) float64 { return 1 / (l/stiff + 2/end) }
	return Tie{ID: id, From: a, To: b, Axes: axes, K: [6]float64{
		e.ea / l, slide(e.eiz, e.phiY, ends[2]), slide(e.eiy, e.phiZ, ends[1]),
		turn(e.gj, ends[0]), turn(e.eiy, ends[1]), turn(e.eiz, ends[2]),
	}}
}

// NewChange prepares a change: it solves one unit force for each stiffness that is gained or lost. Ties add no mass.
// The error is Problems, a *MechanismError, or ErrContacts. Once the system has been solved, several goroutines may
// prepare changes of it at a time.
//
// Source: Sherman-Morrison-Woodbury identity.
func (s *System) NewChange(gained, lost []Tie, scaled []Scaled) (*Change, error) {
	if s.hasContacts() {
		return nil, fmt.Errorf("frame: change: %w", ErrContacts)
	}
	c := s.checker()
	out := &Change{s: s, extra: &grid{model: s.model, nodes: s.nodes, members: s.members, elements: s.elements, first: s.first}}
	for k, list := range [2][]Tie{gained, lost} {
		for i := range list {
			if wrong := c.tie(&list[i]); len(wrong) > 0 {
				wrong[0].ID = named(list[i].ID, i)
				return nil, wrong
			}
			out.extra.addTie(&list[i], int32(i))
			for len(out.sign) < len(out.extra.rows) {
				out.sign = append(out.sign, float64(1-2*k))
			}
		}
	}
	for _, x := range scaled {
		if r := s.spring(x); r != nil && x.Ratio != 1 {
			more := *r
			more.k = math.Abs(x.Ratio-1) * r.k
			out.extra.rows, out.sign = append(out.extra.rows, more), append(out.sign, math.Copysign(1, x.Ratio-1))
		}
	}
	f, err := s.factor()
	if err != nil {
		return nil, err
	}
	n := len(out.extra.rows)
	if n == 0 {
		return out, nil
	}
	out.d = mat.NewDense(n, n, nil)
	x := make([]float64, s.size())
	for i := range out.extra.rows {
		r := &out.extra.rows[i]
		full := make([]float64, s.full)
		r.addTo(full, 1)
		s.reduce(x, full)
		f.Solve(x, x)
		clear(full)
		s.expand(full, x)
		out.moved = append(out.moved, full)
	}
	for i, u := range out.moved {
		for j := range out.extra.rows {
			out.d.Set(j, i, out.extra.rows[j].stretch(u))
		}
		out.d.Set(i, i, out.d.At(i, i)+out.sign[i]/out.extra.rows[i].k)
	}
	for i := range n { // stiffnesses of unlike kinds and sizes come to the same size
		out.scale = append(out.scale, 1/math.Sqrt(math.Max(math.Abs(out.d.At(i, i)), math.SmallestNonzeroFloat64)))
	}
	for i := range n {
		for j := range n {
			out.d.Set(i, j, out.d.At(i, j)*out.scale[i]*out.scale[j])
		}
	}
	out.lu.Factorize(out.d)
	return out, nil
}

// held solves D x = b, the forces of the ties for their stretches b before the change.
func (c *Change) held(b []float64) ([]float64, error) {
	var x mat.VecDense
	scaled := mat.NewVecDense(len(b), nil)
	for i := range b {
		scaled.SetVec(i, b[i]*c.scale[i])
	}
	if err := c.lu.SolveVecTo(&x, false, scaled); err != nil {
		return nil, fmt.Errorf("%w: change of ties: %w", ErrInaccurate, err)
	}
	out := x.RawVector().Data
	for i := range out {
		out[i] *= c.scale[i]
	}
	return out, nil
}

// Of returns how much the measure behind the unit state changes in a state, exactly.
func (c *Change) Of(st, unit *State) (float64, error) {
	if st.full != c.s.full || unit.full != c.s.full {
		return 0, ErrForeign
	}
	if len(c.moved) == 0 {
		return 0, nil
	}
	bu, bv := make([]float64, len(c.moved)), make([]float64, len(c.moved))
	for i := range c.extra.rows {
		bu[i], bv[i] = st.stretch(&c.extra.rows[i]), unit.stretch(&c.extra.rows[i])
	}
	held, err := c.held(bu)
	if err != nil {
		return 0, err
	}
	return -dotProduct(bv, held), nil
}

// Modes returns the squared angular frequencies, rising, of the changed system from the modes of the system as it
// stands, with more masses. softer is what parts whose own stiffness changes
// add to the strain energies between modes i and j, see Modes.WorkOn; nil for none.
//
// The shapes tried are the old ones after one inverse iteration with the changed stiffness. Without softer the lowest
// frequency comes out too high by the square of what they miss.
//
// Source: Rayleigh-Ritz with one step of subspace iteration (Bathe, Finite Element Procedures).
func (c *Change) Modes(m *Modes, softer [][]float64, more []Mass) ([]float64, error) {
	n := len(m.shapes)
	w := make([][]float64, n)
	tried := make([][]float64, n) // K'⁻¹ M φ
	for i, shape := range m.shapes {
		tried[i] = make([]float64, c.s.full)
		for k, x := range shape {
			tried[i][k] = x / m.lambda[i]
		}
		for j := range softer {
			addScaled(tried[i], softer[i][j]/(m.lambda[i]*m.lambda[j]), m.shapes[j])
		}
		if len(c.moved) == 0 {
			continue
		}
		b := make([]float64, len(c.moved))
		for k := range b {
			b[k] = c.extra.rows[k].stretch(shape) / m.lambda[i]
		}
		var err error
		if w[i], err = c.held(b); err != nil {
			return nil, err
		}
		for k, f := range w[i] {
			for at, x := range c.moved[k] {
				tried[i][at] -= f * x
			}
		}
	}
	return c.s.ritzOf(m, tried, more)
}

// ritzOf solves for the frequencies in the shapes K'⁻¹ M φ: K' between them is that of φᵀ M with them.
func (s *System) ritzOf(m *Modes, tried [][]float64, more []Mass) ([]float64, error) {
	n := len(tried)
	mass := s.massMatrix()
	carried := make([][]float64, n) // M tried
	x := make([]float64, s.size())
	for i, u := range tried {
		s.reduce(x, u)
		carried[i] = make([]float64, s.size())
		mass.MulVec(carried[i], x)
	}
	lumps := make([]lump, len(more))
	for i := range more {
		lumps[i] = s.lump(&more[i])
	}
	moved := make([][6]float64, 0, n*len(lumps)) // of each lump in each shape
	for _, u := range tried {
		for k := range lumps {
			moved = append(moved, lumps[k].displacement(u))
		}
	}
	var r ritz
	r.resize(n)
	for i := range n {
		s.reduce(x, m.shapes[i])
		for j := range n {
			if j <= i {
				r.k.a[i*n+j] = dotProduct(x, carried[j])
			}
		}
		s.reduce(x, tried[i])
		for j := range n {
			sum := dotProduct(x, carried[j])
			for k := range lumps {
				sum += lumps[k].between(&moved[i*len(lumps)+k], &moved[j*len(lumps)+k])
			}
			r.m[i*n+j] = sum
		}
	}
	if !r.solve() {
		return nil, fmt.Errorf("%w: the shapes of the changed modes", ErrInaccurate)
	}
	return append([]float64(nil), r.values...), nil
}

// between is the product of two movements with the masses of the lump.
func (l *lump) between(p, q *[6]float64) float64 {
	sum := l.m * (p[0]*q[0] + p[1]*q[1] + p[2]*q[2])
	for i := range 3 {
		for j := range 3 {
			sum += p[3+i] * l.inertia[i][j] * q[3+j]
		}
	}
	return sum
}

// Carry is the work of a uniform acceleration, m/s², on masses that the state does not have, over its movements, J.
func (s *State) Carry(acceleration [3]float64, more []Mass) float64 {
	sum := 0.0
	for i := range more {
		l := s.lump(&more[i])
		u := l.displacement(s.u)
		sum += l.m * (acceleration[0]*u[0] + acceleration[1]*u[1] + acceleration[2]*u[2])
	}
	return sum
}
