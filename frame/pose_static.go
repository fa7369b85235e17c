package frame

import (
	"errors"
	"slices"
)

// Prepared is a case solved on the grounded base, to be used at many poses.
type Prepared struct {
	c     Case
	loads *loading
	f     []float64 // reduced forces
	y     []float64 // F f
	moves []float64 // Rᵀ f
}

// Prepare solves a case on the grounded base. The case may act on points of the base; misfits of the ties of a pose
// come in by Pose.Static. The error is Problems; a settlement is not allowed.
func (b *Base) Prepare(c Case) (*Prepared, error) {
	check := b.checker()
	check.loads(&c)
	if len(c.Settlements) > 0 {
		check.add("loads", c.ID, "settlement", "", "is not possible in a base; use a misfit of a ground spring")
	}
	if len(check.problems) > 0 {
		return nil, check.problems
	}
	n := b.size()
	p := &Prepared{c: c, loads: b.loading(&c), f: make([]float64, n), y: make([]float64, n), moves: make([]float64, len(b.held))}
	b.reduce(p.f, p.loads.full)
	if p.loads.misfit != nil {
		inner, r := make([]float64, b.full), make([]float64, n)
		b.takeMisfit(inner, p.loads)
		b.reduce(r, inner)
		addScaled(p.f, -1, r)
	}
	b.factor.Solve(p.y, p.f)
	b.alongMoves(p.moves, p.f)
	return p, nil
}

// alongMoves sets dst = Rᵀ f.
func (b *Base) alongMoves(dst, f []float64) {
	for j, i := range b.held {
		begin := int(b.begins[b.bodyOf[i]])
		dst[j] = dotProduct(b.moves[j], f[begin:begin+len(b.moves[j])])
	}
}

// addMoves adds R a to u.
func (b *Base) addMoves(u, a []float64) {
	for j, i := range b.held {
		begin := int(b.begins[b.bodyOf[i]])
		addScaled(u[begin:begin+len(b.moves[j])], a[j], b.moves[j])
	}
}

// PoseState is the solution of one case at one pose. It holds what ties and bodies do; the displacement of a point is
// evaluated from it at need.
type PoseState struct {
	pose  *Pose
	load  *Prepared
	force []float64 // of the tie rows: K (u_from - u_to - misfit)
	move  []float64
	extra []float64 // of the places: force and moment, 6 each
}

// ErrNotSet says that a pose is used before Set succeeded.
var ErrNotSet = errors.New("frame: the pose has no ties yet, or they were refused")

// Static solves a prepared case at this pose. Fields of the case act on the masses of the pose too. into is used again
// if it is not nil; it is valid until Set is called.
func (p *Pose) Static(load *Prepared, into *PoseState) (*PoseState, error) {
	if !p.ready {
		return nil, ErrNotSet
	}
	if into == nil {
		into = &PoseState{}
	}
	m, r := len(p.rows), len(p.base.held)
	into.pose, into.load = p, load
	into.force, into.move = sized(into.force, m), sized(into.move, r)
	into.extra = sized(into.extra, 6*len(p.places))
	clear(into.extra)
	p.addWeights(into)
	copy(into.move, load.moves)
	p.addExtraMoves(into)
	for i := range p.rows {
		into.force[i] = p.stretchFrom(i, load.y, into.extra)
	}
	p.takeMisfits(into)
	p.solveRows(into.force, into.move)
	return into, nil
}

// solveRows turns B F f into tie forces and Rᵀ f into movements.
func (p *Pose) solveRows(force, move []float64) {
	m := len(p.rows)
	p.c.forward(force)
	for j := range move {
		move[j] -= dotProduct(p.p[j*m:(j+1)*m], force)
	}
	p.s.forward(move)
	p.s.backward(move)
	for j, a := range move {
		addScaled(force, a, p.p[j*m:(j+1)*m])
	}
	p.c.backward(force)
}

// addWeights loads the masses of the pose by the fields of the case.
func (p *Pose) addWeights(s *PoseState) {
	for i := range p.masses {
		m := &p.masses[i]
		f := s.extra[6*p.lumped[i]:]
		for k := range s.load.c.Fields {
			if a := &s.load.c.Fields[k]; len(a.Bodies) == 0 || slices.Contains(a.Bodies, m.Body) {
				for d := range 3 {
					f[d] += m.M * a.Acceleration[d]
				}
			}
		}
	}
}

// loadAt returns the forces on the terms of a place from a force and moment there.
func (p *Pose) loadAt(place int, f []float64, into *[18]float64) []float64 {
	q := &p.places[place]
	n := int(q.to - q.from)
	for i := range n {
		s := 0.0
		for d := range 6 {
			s += p.forms[d][int(q.from)+i] * f[d]
		}
		into[i] = s
	}
	return into[:n]
}

func zero(f []float64) bool {
	for _, x := range f {
		if x != 0 {
			return false
		}
	}
	return true
}

// addExtraMoves adds Rᵀ of the forces at the places.
func (p *Pose) addExtraMoves(s *PoseState) {
	var buffer [18]float64
	for i := range p.places {
		f := s.extra[6*i : 6*i+6]
		q := &p.places[i]
		if q.body < 0 || zero(f) {
			continue
		}
		g := p.loadAt(i, f, &buffer)
		begin := p.base.begins[q.body]
		for _, j := range p.base.heldBy[q.body] {
			for k, at := range p.terms[q.from:q.to] {
				s.move[j] += g[k] * p.base.moves[j][at-begin]
			}
		}
	}
}

// stretchFrom returns one row of B (y + F extra).
func (p *Pose) stretchFrom(row int, y, extra []float64) float64 {
	sum := 0.0
	var buffer, moved [18]float64
	for _, l := range p.rows[row].legs {
		if l < 0 {
			continue
		}
		at, c := p.leg(l)
		for k, i := range at {
			sum += c[k] * y[i]
		}
		for q := range p.places {
			f := extra[6*q : 6*q+6]
			if p.places[q].body != p.places[p.legs[l].place].body || zero(f) {
				continue
			}
			g := p.loadAt(q, f, &buffer)
			p.base.flex(moved[:len(at)], at, p.terms[p.places[q].from:p.places[q].to], g)
			sum += dotProduct(c, moved[:len(at)])
		}
	}
	return sum
}

// takeMisfits takes the lack of fit of ties off their stretch.
func (p *Pose) takeMisfits(s *PoseState) {
	for k := range s.load.c.Mismatches {
		gap := &s.load.c.Mismatches[k]
		for i := range p.rows {
			if r := &p.rows[i]; p.ties[r.tie].ID == gap.Tie && gap.Tie != "" {
				s.force[i] -= gap.Gap[r.comp]
			}
		}
	}
}

// JointForces returns the force that a tie of the pose exerts on its To side, in its axes; ok is false if there is no
// such tie.
func (s *PoseState) JointForces(tie string) (f [6]float64, ok bool) {
	for i := range s.pose.ties {
		if s.pose.ties[i].ID == tie {
			return s.TieForces(i), true
		}
	}
	return f, false
}

// TieForces is JointForces by the place of the tie in the list given to Set.
func (s *PoseState) TieForces(tie int) (f [6]float64) {
	for i := range s.pose.rows {
		if r := &s.pose.rows[i]; int(r.tie) == tie {
			f[r.comp] = s.force[i]
		}
	}
	return f
}

// At returns the six displacements of a point, global axes. On a loaded member it adds what the load bends the element
// between its nodes. A point that Set used costs nothing to resolve; others are resolved once a pose. The error is
// Problems.
func (s *PoseState) At(at Point) (d [6]float64, err error) {
	p := s.pose
	if !p.fits(at) {
		c := p.base.checker()
		c.point("point", "", "at", at)
		return d, c.problems
	}
	i := p.place(at)
	q := &p.places[i]
	if q.body < 0 {
		return d, nil
	}
	var u [18]float64
	terms := p.terms[q.from:q.to]
	p.displace(u[:len(terms)], terms, q.body, s)
	for k := range 6 {
		d[k] = dotProduct(p.forms[k][q.from:q.to], u[:len(terms)])
	}
	if s.load.loads.bars != nil && q.anchor.element >= 0 {
		own := (&State{grid: p.base.grid, loads: s.load.loads}).between(&q.anchor)
		for k := range d {
			d[k] += own[k]
		}
	}
	return d, nil
}

// displace sets u to the displacements of some freedoms of one body.
func (p *Pose) displace(u []float64, terms []int32, body int32, s *PoseState) {
	for k, i := range terms {
		u[k] = s.load.y[i]
	}
	begin := p.base.begins[body]
	for _, j := range p.base.heldBy[body] {
		for k, i := range terms {
			u[k] += s.move[j] * p.base.moves[j][i-begin]
		}
	}
	var moved, buffer [18]float64
	for i := range p.legs {
		l := &p.legs[i]
		if p.places[l.place].body != body || s.force[l.row] == 0 {
			continue
		}
		at, c := p.leg(int32(i))
		p.base.flex(moved[:len(terms)], terms, at, c)
		addScaled(u, -s.force[l.row], moved[:len(terms)])
	}
	for i := range p.places {
		if 6*i+6 > len(s.extra) {
			break // a point that was first asked for after the solution
		}
		f := s.extra[6*i : 6*i+6]
		if p.places[i].body != body || zero(f) {
			continue
		}
		g := p.loadAt(i, f, &buffer)
		p.base.flex(moved[:len(terms)], terms, p.terms[p.places[i].from:p.places[i].to], g)
		addScaled(u, 1, moved[:len(terms)])
	}
}

// State returns the whole state of the pose on the reference model, proven there by its residual and balance: member
// forces, reactions and the split come from it. The error is ErrInaccurate if the proof fails.
func (s *PoseState) State() (*State, error) {
	p := s.pose
	n := p.base.size()
	g := make([]float64, n)
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
	whole := &System{grid: newGrid(p.reference())}
	u := make([]float64, whole.full)
	p.base.expand(u, g)
	return whole.adopt(&s.load.c, u)
}
