package frame

import (
	"errors"
	"fmt"
	"math"
)

// Measure is a displacement of interest as a weighted sum: Σ Along · u(At). One term with Along = [0 0 1 0 0 0] is the
// vertical displacement of a point; two terms make a relative displacement or a mean.
type Measure []Weight

// Weight is one term of a Measure.
type Weight struct {
	At    Point
	Along [6]float64 // weights of ux, uy, uz (1) and rx, ry, rz (m/rad), global axes
}

// Direction is the displacement of a point along one global direction, UX to RZ.
func Direction(at Point, direction int) Measure {
	w := Weight{At: at}
	w.Along[direction] = 1
	return Measure{w}
}

// unit is the case whose forces are the weights of the measure.
func (m Measure) unit() Case {
	c := Case{ID: "unit load"}
	for _, w := range m {
		c.Forces = append(c.Forces, Force{At: w.At, Force: [3]float64(w.Along[:3]), Moment: [3]float64(w.Along[3:])})
	}
	return c
}

// Of evaluates the measure in a state, m. The error is Problems.
func (m Measure) Of(s *State) (float64, error) {
	sum := 0.0
	for _, w := range m {
		d, err := s.At(w.At)
		if err != nil {
			return 0, err
		}
		for k := range 6 {
			sum += w.Along[k] * d[k]
		}
	}
	return sum, nil
}

// Contribution says how much of a displacement a member causes, by kind of deformation. All in the unit of the measure.
type Contribution struct {
	Axial       float64 // ∫ N n/(EA)
	BendingY    float64 // ∫ My my/(EIy)
	BendingZ    float64 // ∫ Mz mz/(EIz)
	ShearY      float64 // ∫ Vy vy/(G Asy)
	ShearZ      float64 // ∫ Vz vz/(G Asz)
	Torsion     float64 // ∫ T t/(GJ)
	Ends        float64 // springs of its semi-rigid ends
	Thermal     float64 // free expansion: n alpha ΔT L
	Local       float64 // bending and shear of a loaded element between its nodes, where the measured point lies
	SecondOrder float64 // geometric stiffness of its axial force
}

// Sum adds all kinds.
func (c Contribution) Sum() float64 {
	return c.Axial + c.BendingY + c.BendingZ + c.ShearY + c.ShearZ + c.Torsion + c.Ends + c.Thermal + c.Local + c.SecondOrder
}

// MemberShare is what one member contributes.
type MemberShare struct {
	Member string
	Contribution
}

// JointShare is what one spring or tie contributes, in its axes.
type JointShare struct {
	ID     string     // "" where the model gives none
	Index  int        // place in Model.Springs or Model.Ties
	By     [6]float64 // F f/k of each stiffness
	Misfit float64    // lack of fit
}

// Sum adds all six and the misfit.
func (j JointShare) Sum() float64 {
	s := j.Misfit
	for _, x := range j.By {
		s += x
	}
	return s
}

// Split says who causes a displacement. The parts add up to Total.
//
// A part that is proportional to a stiffness (all but Thermal, Local, Misfit and Settlement) is also minus the
// derivative of Total with respect to the logarithm of that stiffness, as long as the loads stay.
type Split struct {
	Total      float64 // the measure in the state
	Members    []MemberShare
	Springs    []JointShare
	Ties       []JointShare
	Settlement float64 // moved supports
	Gap        float64 // |sum of the parts - Total| over the sum of the magnitudes of the parts
}

// ErrForeign says that a state comes from another model than the system that is asked about it.
var ErrForeign = errors.New("frame: the state belongs to another model")

// maxSplitGap is the gap above which a split is refused: well above rounding, well below any part worth naming.
const maxSplitGap = 1e-9

// Split computes who causes the measure in a state of this system: the virtual work of a unit load along the measure.
// The error is Problems, ErrInaccurate if the parts do not add up, or that of solving the unit load.
//
// Source: principle of virtual forces, e.g. any text on structural analysis; the closed integrals over a bar whose
// moments are linear and whose loads are uniform are derived.
func (s *System) Split(st *State, measure Measure) (*Split, error) {
	if st.full != s.full || len(st.rows) != len(s.rows) {
		return nil, ErrForeign
	}
	total, err := measure.Of(st)
	if err != nil {
		return nil, err
	}
	unit, err := s.unitState(st, measure)
	if err != nil {
		return nil, err
	}
	out := &Split{Total: total}
	size := 0.0
	for i := range s.model.Members {
		c := s.memberShare(int32(i), st, unit)
		for _, w := range measure {
			c.Local += s.localShare(int32(i), st, w)
		}
		out.Members = append(out.Members, MemberShare{s.model.Members[i].ID, c})
		size += math.Abs(c.Axial) + math.Abs(c.BendingY) + math.Abs(c.BendingZ) + math.Abs(c.ShearY) + math.Abs(c.ShearZ) +
			math.Abs(c.Torsion) + math.Abs(c.Thermal) + math.Abs(c.Local) + math.Abs(c.SecondOrder)
	}
	for i := range s.model.Springs {
		out.Springs = append(out.Springs, JointShare{ID: s.model.Springs[i].ID, Index: i})
	}
	for i := range s.model.Ties {
		out.Ties = append(out.Ties, JointShare{ID: s.model.Ties[i].ID, Index: i})
	}
	for i := range s.rows {
		size += s.rowShare(out, i, st, unit)
	}
	if st.loads.settle != nil {
		for i, move := range st.loads.settle {
			out.Settlement -= move * (unit.reaction[i] - unit.ground[i])
		}
		size += math.Abs(out.Settlement)
	}
	sum := out.Settlement
	for i := range out.Members {
		sum += out.Members[i].Sum()
	}
	for _, joints := range [][]JointShare{out.Springs, out.Ties} {
		for i := range joints {
			sum += joints[i].Sum()
		}
	}
	if size > 0 {
		out.Gap = math.Abs(sum-total) / size
	}
	if !(out.Gap <= maxSplitGap) {
		return nil, fmt.Errorf("%w: the parts of a displacement add up to %.9g, not to %.9g", ErrInaccurate, sum, total)
	}
	return out, nil
}

// unitState solves the unit load of a measure, with the contacts as they are in st.
func (s *System) unitState(st *State, measure Measure) (*State, error) {
	c := measure.unit()
	if st.stiff == nil {
		return s.static(&c)
	}
	defer s.closeContacts()
	for i := range s.contacts {
		s.contacts[i].closed = st.stiff[s.contacts[i].first] != 0
	}
	return s.solveSet(c.ID, s.loading(&c), 0)
}

// memberShare sums the virtual work in the elements of a member.
func (s *System) memberShare(member int32, st, unit *State) (c Contribution) {
	for i := s.first[member]; i < s.first[member+1]; i++ {
		e := &s.elements[i]
		du, dv := st.strain(e), unit.strain(e)
		n := e.ea / e.l * dv.stretch
		if st.loads.bars != nil {
			warm := e.alpha * st.loads.bars[i].rise * e.l
			c.Thermal += n * warm
			du.stretch -= warm
		}
		c.Axial += n * du.stretch
		c.Torsion += e.gj / e.l * dv.twist * du.twist
		b, q := planeWork(e.eiz, e.phiY, e.l, [2]float64{du.y1, du.y2}, [2]float64{dv.y1, dv.y2})
		c.BendingZ += b
		c.ShearY += q
		b, q = planeWork(e.eiy, e.phiZ, e.l, [2]float64{du.z1, du.z2}, [2]float64{dv.z1, dv.z2})
		c.BendingY += b
		c.ShearZ += q
		if e.axial != 0 {
			lu, g := e.local(st.u), e.geometricForces(e.local(unit.u))
			for k := range g {
				c.SecondOrder += g[k] * lu[k]
			}
		}
	}
	return c
}

// planeWork returns the virtual work of bending and of shear in one plane from the end slopes of the state and of the
// unit state. Moments are linear between the nodes: what a uniform load adds between clamped ends does no work on the
// linear moments of the unit state.
func planeWork(ei, phi, l float64, state, unit [2]float64) (bending, shear float64) {
	if ei == 0 {
		return 0, 0
	}
	m1, m2 := endMoments(ei, phi, l, state[0], state[1])
	u1, u2 := endMoments(ei, phi, l, unit[0], unit[1])
	bending = l / (6 * ei) * (2*m1*u1 + 2*m2*u2 - m1*u2 - m2*u1)
	// V = (m1+m2)/L, and L/(G As) = phi L³/(12 EI)
	shear = (m1 + m2) * (u1 + u2) * phi * l / (12 * ei)
	return bending, shear
}

// localShare is the part of a weight that lies between the nodes of a loaded element of the member.
func (s *System) localShare(member int32, st *State, w Weight) float64 {
	if w.At.Member == "" || w.At.Member != s.model.Members[member].ID {
		return 0
	}
	a := s.anchorAt(w.At)
	d := st.between(&a)
	sum := 0.0
	for k := range 6 {
		sum += w.Along[k] * d[k]
	}
	return sum
}

// rowShare adds the virtual work of one scalar spring and returns its magnitude.
func (s *System) rowShare(out *Split, i int, st, unit *State) float64 {
	r := &s.rows[i]
	f := unit.rowForce(i)
	work := st.rowForce(i) // k (stretch - misfit)
	if work != 0 {
		k := r.k
		if st.stiff != nil {
			k = st.stiff[i]
		}
		work *= f / k
	}
	gap := 0.0
	if st.loads.misfit != nil {
		gap = f * st.loads.misfit[i]
	}
	switch r.kind {
	case ofEnd:
		out.Members[s.elements[r.of].member].Ends += work
	case ofSpring:
		out.Springs[r.of].By[r.comp] += work
		out.Springs[r.of].Misfit += gap
	case ofTie:
		out.Ties[r.of].By[r.comp] += work
		out.Ties[r.of].Misfit += gap
	}
	return math.Abs(work) + math.Abs(gap)
}
