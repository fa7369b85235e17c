package frame

import (
	"errors"
	"slices"

	"spanwright/sparse"
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
	b.flexibility(&sparse.Scratch{}, p.y, p.f)
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
	net   []float64 // forces on the terms of the places: of ties and of the masses of the pose
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
	into.pose, into.load = p, load
	into.force, into.move = sized(into.force, len(p.rows)), sized(into.move, len(p.base.held))
	into.net, p.extra = sized(into.net, len(p.terms)), sized(p.extra, len(p.terms))
	copy(into.move, load.moves)
	clear(into.net)
	clear(p.extra)
	p.addWeights(into)
	for i := range p.rows {
		into.force[i] = p.stretch(i, load.y)
	}
	p.takeMisfits(into)
	p.solveRows(into.force, into.move)
	for i := range p.legs {
		l := &p.legs[i]
		_, c := p.leg(int32(i))
		addScaled(into.net[p.places[l.place].from:p.places[l.place].to], -into.force[l.row], c)
	}
	return into, nil
}

// stretch returns one row of B (y + F extra).
func (p *Pose) stretch(row int, y []float64) float64 {
	sum := 0.0
	for _, l := range p.rows[row].legs {
		if l < 0 {
			continue
		}
		at, c := p.leg(l)
		from := p.places[p.legs[l].place].from
		for k, i := range at {
			sum += c[k] * (y[i] + p.extra[int(from)+k])
		}
	}
	return sum
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

// addWeights loads the masses of the pose by the fields of the case: their forces go to s.net, their part of Rᵀ f to
// s.move, and what they displace to extra.
func (p *Pose) addWeights(s *PoseState) {
	var moved [18]float64
	for i := range p.masses {
		f := p.weight(i, s.load.c.Fields)
		q := &p.places[p.lumped[i]]
		if q.body < 0 || f == [3]float64{} {
			continue
		}
		g := s.net[q.from:q.to]
		begin := p.base.begins[q.body]
		var own [18]float64
		for k := range g {
			t := int(q.from) + k
			own[k] = p.forms[0][t]*f[0] + p.forms[1][t]*f[1] + p.forms[2][t]*f[2]
			g[k] += own[k]
		}
		terms := p.terms[q.from:q.to]
		for _, j := range p.base.heldBy[q.body] {
			for k, at := range terms {
				s.move[j] += own[k] * p.base.moves[j][at-begin]
			}
		}
		for k := range p.places {
			if o := &p.places[k]; o.body == q.body && !p.base.bare[o.body] {
				at := p.terms[o.from:o.to]
				p.base.flex(moved[:len(at)], at, terms, own[:len(terms)])
				addScaled(p.extra[o.from:o.to], 1, moved[:len(at)])
			}
		}
	}
}

// weight returns the force of the fields on a mass of the pose.
func (p *Pose) weight(i int, fields []Field) (f [3]float64) {
	m := &p.masses[i]
	for k := range fields {
		if a := &fields[k]; len(a.Bodies) == 0 || slices.Contains(a.Bodies, m.Body) {
			f = add(f, scale(m.M, a.Acceleration))
		}
	}
	return f
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
	if p.base.bare[body] {
		return
	}
	var moved [18]float64
	for i := range p.places {
		q := &p.places[i]
		if int(q.to) > len(s.net) {
			break // a point that was first asked for after the solution
		}
		if q.body == body {
			p.base.flex(moved[:len(terms)], terms, p.terms[q.from:q.to], s.net[q.from:q.to])
			addScaled(u, 1, moved[:len(terms)])
		}
	}
}
