package frame

import "spanwright/sparse"

// lanes is the number of vectors that a pose takes side by side: entry i of vector k stands at lanes*i + k.
const lanes = sparse.Lanes

// fourfold is the memory of a pose for four vectors at once.
type fourfold struct {
	slots  []int32 // freedoms at which ties act on bodies with a stiffness of their own, each once
	slotOf []int32 // of each term: its place in slots, -1 if there is none
	seen   []int32 // of each freedom: its place in slots plus one, while spread is at work; else 0
	net    []float64
	force  []float64 // of the rows
	move   []float64
	x, mx  []float64 // vectors
}

// spread lists the freedoms at which ties act, for hold.
func (p *Pose) spread() {
	f, b := &p.four, p.base
	f.seen = sized(f.seen, b.size())
	f.slots, f.slotOf = f.slots[:0], sized(f.slotOf, len(p.terms))
	for i := range f.slotOf {
		f.slotOf[i] = -1
	}
	for i := range p.legs {
		q := &p.places[p.legs[i].place]
		if b.bare[q.body] {
			continue
		}
		for t := q.from; t < q.to; t++ {
			freedom := p.terms[t]
			if f.seen[freedom] == 0 {
				f.slots = append(f.slots, freedom)
				f.seen[freedom] = int32(len(f.slots))
			}
			f.slotOf[t] = f.seen[freedom] - 1
		}
	}
	for _, freedom := range f.slots {
		f.seen[freedom] = 0
	}
	f.net, f.force, f.move = sized(f.net, lanes*len(f.slots)), sized(f.force, lanes*len(p.rows)), sized(f.move, lanes*len(b.held))
	f.x, f.mx = sized(f.x, lanes*b.size()), sized(f.mx, lanes*b.size())
}

// applyFour sets dst = K⁻¹ rhs of the coupled bodies for four vectors side by side, which do not overlap.
func (p *Pose) applyFour(dst, rhs []float64) {
	f, b := &p.four, p.base
	b.flexibilityFour(&p.solver, dst, rhs)
	for i := range p.rows {
		p.stretchFour(i, dst, (*[lanes]float64)(f.force[lanes*i:]))
	}
	b.alongMovesFour(f.move, rhs)
	p.solveRowsFour(f.force, f.move)
	p.hold(dst)
}

// stretchFour sets s to one row of B u.
func (p *Pose) stretchFour(row int, u []float64, s *[lanes]float64) {
	*s = [lanes]float64{}
	for _, l := range p.rows[row].legs {
		if l < 0 || p.base.bare[p.places[p.legs[l].place].body] {
			continue
		}
		at, c := p.leg(l)
		for k, i := range at {
			v := (*[lanes]float64)(u[lanes*int(i):])
			for lane := range s {
				s[lane] += c[k] * v[lane]
			}
		}
	}
}

// solveRowsFour is solveRows for four right sides.
func (p *Pose) solveRowsFour(force, move []float64) {
	m, r := len(p.rows), len(p.base.held)
	p.c.forwardFour(force)
	along := sized(p.move, lanes*r)
	p.move = along
	sparse.DotFour(r, p.p, m, force, along)
	for i, v := range along {
		move[i] -= v
	}
	p.s.forwardFour(move)
	p.s.backwardFour(move)
	for i, v := range move {
		along[i] = -v
	}
	sparse.SubtractFour(r, p.p, m, along, force)
	p.c.backwardFour(force)
}

// hold takes what the tie forces and movements in four.force and four.move do to the bodies off and onto u:
// u - F Bᵀ force + R move.
func (p *Pose) hold(u []float64) {
	f, b := &p.four, p.base
	clear(f.net)
	for i := range p.legs {
		l := &p.legs[i]
		from := p.places[l.place].from
		g := (*[lanes]float64)(f.force[lanes*int(l.row):])
		_, c := p.leg(int32(i))
		for k, x := range c {
			slot := f.slotOf[int(from)+k]
			if slot < 0 {
				break // a bare body
			}
			n := (*[lanes]float64)(f.net[lanes*int(slot):])
			for lane := range n {
				n[lane] += x * g[lane]
			}
		}
	}
	for k, freedom := range f.slots {
		column := b.column(freedom)
		begin := int(b.begins[b.bodyOf[freedom]])
		sparse.SubtractFour(1, column, len(column), f.net[lanes*k:], u[lanes*begin:lanes*(begin+len(column))])
	}
	b.addMovesFour(u, f.move)
}

// mulMassFour sets dst = M x with the masses of the pose, for four vectors side by side.
func (p *Pose) mulMassFour(dst, x []float64) {
	p.base.inertia.MulFour(dst, x)
	for i := range p.masses {
		m := &p.masses[i]
		q := &p.places[p.lumped[i]]
		terms := p.terms[q.from:q.to]
		for lane := range lanes {
			var u, f [6]float64
			for d := range 6 {
				for k, at := range terms {
					u[d] += p.forms[d][int(q.from)+k] * x[lanes*int(at)+lane]
				}
			}
			for d := range 3 {
				f[d] = m.M * u[d]
				f[3+d] = m.Inertia[d][0]*u[3] + m.Inertia[d][1]*u[4] + m.Inertia[d][2]*u[5]
			}
			for k, at := range terms {
				for d := range 6 {
					dst[lanes*int(at)+lane] += p.forms[d][int(q.from)+k] * f[d]
				}
			}
		}
	}
}

// flexibilityFour sets x = F rhs.
func (b *Base) flexibilityFour(scratch *sparse.Scratch, x, rhs []float64) {
	b.factor.SolveFour(scratch, x, rhs)
	for body, bare := range b.bare {
		if bare {
			clear(x[lanes*b.begins[body] : lanes*b.begins[body+1]])
		}
	}
}

// alongMovesFour sets dst = Rᵀ f.
func (b *Base) alongMovesFour(dst, f []float64) {
	for j, i := range b.held {
		begin, move := int(b.begins[b.bodyOf[i]]), b.moves[j]
		sparse.DotFour(1, move, len(move), f[lanes*begin:lanes*(begin+len(move))], dst[lanes*j:])
	}
}

// addMovesFour adds R a to u.
func (b *Base) addMovesFour(u, a []float64) {
	var less [lanes]float64
	for j, i := range b.held {
		begin, move := int(b.begins[b.bodyOf[i]]), b.moves[j]
		for lane := range less {
			less[lane] = -a[lanes*j+lane]
		}
		sparse.SubtractFour(1, move, len(move), less[:], u[lanes*begin:lanes*(begin+len(move))])
	}
}

// forwardFour replaces x by L⁻¹ x for four vectors side by side.
func (m *lower) forwardFour(x []float64) {
	for i := range m.n {
		r := m.a[i*m.n : i*m.n+i+1]
		own := (*[lanes]float64)(x[lanes*i:])
		var s [lanes]float64
		if i > 0 {
			sparse.DotFour(1, r, m.n, x[:lanes*i], s[:])
		}
		for lane := range own {
			own[lane] = (own[lane] - s[lane]) * r[i]
		}
	}
}

// backwardFour replaces x by L⁻ᵀ x for four vectors side by side.
func (m *lower) backwardFour(x []float64) {
	for i := m.n - 1; i >= 0; i-- {
		r := m.a[i*m.n : i*m.n+i+1]
		own := (*[lanes]float64)(x[lanes*i:])
		for lane := range own {
			own[lane] *= r[i]
		}
		if i > 0 {
			sparse.SubtractFour(1, r, m.n, own[:], x[:lanes*i])
		}
	}
}
