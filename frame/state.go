package frame

import "math"

// State is the solution of one static case.
type State struct {
	Case  string
	Proof Proof

	*grid
	u        []float64 // full displacements
	lo       []float64 // what rounding took off u, so that stretches of stiff parts keep their digits; nil if not carried
	loads    *loading
	reaction []float64 // full: what supports and ground joints exert on the structure
	ground   []float64 // full: the part of ground joints
	stiff    []float64 // stiffness of each row as contacts left it; nil without contacts
}

// Displacement returns the six displacements of a node in global axes; ok is false if there is no such node.
func (s *State) Displacement(node string) (d [6]float64, ok bool) {
	i, ok := s.nodes[node]
	if ok {
		copy(d[:], s.u[6*i:])
	}
	return d, ok
}

// At returns the six displacements of a point in global axes. On a loaded member it adds what the load bends the
// element between its nodes. The error is Problems.
func (s *State) At(p Point) ([6]float64, error) {
	c := s.checker()
	c.point("point", "", "at", p)
	if len(c.problems) > 0 {
		return [6]float64{}, c.problems
	}
	a := s.anchorAt(p)
	d := a.displacement(s.u)
	own := s.between(&a)
	for k := range d {
		d[k] += own[k]
	}
	return d, nil
}

// between returns the part of a point's displacement that comes from the load on its own element.
func (s *State) between(a *anchor) [6]float64 {
	if a.element < 0 || s.loads.bars == nil {
		return [6]float64{}
	}
	e := &s.elements[a.element]
	l := e.loadedBy(s.loads.bars[a.element].q, a.xi)
	t := e.axes.toGlobal([3]float64{l[0], l[1], l[2]})
	r := e.axes.toGlobal([3]float64{l[3], l[4], l[5]})
	t = add(t, cross(r, a.offset))
	return [6]float64{t[0], t[1], t[2], r[0], r[1], r[2]}
}

// strain returns the deformation of an element.
func (s *State) strain(e *element) strain {
	d := e.deform(s.u)
	if s.lo != nil {
		d.add(e.deform(s.lo))
	}
	return d
}

// endForces returns the forces that hold the deformation of an element, local axes.
func (s *State) endForces(e *element) [12]float64 {
	f := e.elasticForces(s.strain(e))
	if e.axial != 0 {
		for i, g := range e.geometricForces(e.local(s.u)) {
			f[i] += g
		}
	}
	return f
}

// stretch returns the stretch of a scalar spring.
func (s *State) stretch(r *row) float64 {
	x := r.stretch(s.u)
	if s.lo != nil {
		x += r.stretch(s.lo)
	}
	return x
}

// rowForce returns the force k (c · u - misfit) of a scalar spring.
func (s *State) rowForce(i int) float64 {
	r := &s.rows[i]
	k := r.k
	if s.stiff != nil {
		k = s.stiff[i]
	}
	x := s.stretch(r)
	if s.loads.misfit != nil {
		x -= s.loads.misfit[i]
	}
	return k * x
}

// toGround reports whether a row leads to the ground.
func (g *grid) toGround(r *row) bool {
	switch r.kind {
	case ofSpring:
		return g.model.Springs[r.of].To == ""
	case ofTie:
		return g.model.Ties[r.of].To.Ground()
	default:
		return false
	}
}

// react computes the reactions and the balance of the whole.
func (s *State) react() {
	bars := make([]float64, s.full)  // what the bars call for at every freedom
	inner := make([]float64, s.full) // the part of it that need not balance on the undeformed frame, and the joints
	s.ground = make([]float64, s.full)
	for i := range s.elements {
		e := &s.elements[i]
		f := e.elasticForces(s.strain(e))
		e.addLocal(bars, &f)
		if e.axial != 0 {
			f = e.geometricForces(e.local(s.u))
			e.addLocal(inner, &f)
		}
	}
	for i := range s.rows {
		r := &s.rows[i]
		f := s.rowForce(i)
		if s.toGround(r) {
			r.addTo(s.ground, -f)
		} else {
			r.addTo(inner, f)
		}
	}
	s.reaction = append([]float64(nil), s.ground...)
	total := make([]float64, s.full)
	size := 0.0
	for i, load := range s.loads.full {
		if s.eq[i] < 0 {
			s.reaction[i] = bars[i] + inner[i] - load // with the ground joints there
		}
		total[i] = load + s.reaction[i] - inner[i]
		size += math.Abs(load) + math.Abs(s.reaction[i]) + math.Abs(inner[i])
	}
	if !(size > 0) {
		return
	}
	sum := s.resultant(total)
	s.Proof.Balance = math.Max(maxAbs(sum[:3]), maxAbs(sum[3:])/(1+s.reach())) / size
}

// reach returns the largest coordinate, m.
func (g *grid) reach() float64 {
	far := 0.0
	for i := range g.at {
		far = math.Max(far, maxAbs(g.at[i][:]))
	}
	return far
}
