package frame

import (
	"fmt"
	"math"
	"slices"

	"spanwright/sparse"
)

// PoseModes are the lowest natural modes at one pose, valid until the next call of Modes or Set.
type PoseModes struct {
	Hz     []float64   // rising
	lambda []float64   // squared angular frequencies, 1/s²
	shapes [][]float64 // reduced, modal mass 1 kg
	pose   *Pose
}

// Modes returns the n lowest natural modes of the coupled bodies. into is used again if it is not nil. Shapes of a
// neighbouring pose held in it make the iteration shorter.
//
// The modes are those to which the iteration converges; Complete proves by counting that none was missed.
func (p *Pose) Modes(n int, into *PoseModes) (*PoseModes, error) {
	if !p.ready {
		return nil, ErrNotSet
	}
	if into == nil {
		into = &PoseModes{}
	}
	p.spread()
	op := sparse.Operator{N: p.base.size(), Solve: p.apply, MulM: p.mulMass}
	values, vectors, err := sparse.LowestOf(op, min(n, p.base.size()), sparse.IterationOptions{Workspace: &p.eigen})
	if err != nil {
		return nil, fmt.Errorf("frame: modes of a pose: %w", err)
	}
	into.pose = p
	into.lambda = append(into.lambda[:0], values...)
	into.Hz = into.Hz[:0]
	for len(into.shapes) < len(vectors) {
		into.shapes = append(into.shapes, make([]float64, p.base.size()))
	}
	into.shapes = into.shapes[:len(vectors)]
	for i, x := range vectors {
		into.Hz = append(into.Hz, math.Sqrt(math.Max(values[i], 0))/(2*math.Pi))
		p.mulMass(p.y, x)
		f := 1 / math.Sqrt(dotProduct(x, p.y))
		for k := range x {
			into.shapes[i][k] = f * x[k]
		}
	}
	return into, nil
}

// spread sets up F Bᵀ: what a unit force of every leg does to its body. Columns of bare bodies stay empty.
func (p *Pose) spread() {
	b := p.base
	p.wide = p.wide[:0]
	p.wideAt = p.wideAt[:0]
	for i := range p.legs {
		p.wideAt = append(p.wideAt, int32(len(p.wide)))
		body := p.places[p.legs[i].place].body
		if b.bare[body] {
			continue
		}
		from, n := len(p.wide), int(b.begins[body+1]-b.begins[body])
		p.wide = slices.Grow(p.wide, n)[:from+n]
		w := p.wide[from:]
		clear(w)
		at, c := p.leg(int32(i))
		for k, q := range at {
			if c[k] != 0 {
				addScaled(w, c[k], b.column(q))
			}
		}
	}
	p.wideAt = append(p.wideAt, int32(len(p.wide)))
}

// apply sets dst = K⁻¹ rhs of the coupled bodies.
func (p *Pose) apply(dst, rhs []float64) {
	b := p.base
	clear(p.force)
	for i := range p.legs {
		w := p.wide[p.wideAt[i]:p.wideAt[i+1]]
		begin := b.begins[p.places[p.legs[i].place].body]
		p.force[p.legs[i].row] += dotProduct(w, rhs[begin:int(begin)+len(w)])
	}
	b.alongMoves(p.move, rhs)
	p.solveRows(p.force, p.move)
	b.flexibility(&p.solver, dst, rhs)
	for i := range p.legs {
		w := p.wide[p.wideAt[i]:p.wideAt[i+1]]
		begin := b.begins[p.places[p.legs[i].place].body]
		addScaled(dst[begin:int(begin)+len(w)], -p.force[p.legs[i].row], w)
	}
	b.addMoves(dst, p.move)
}

// mulMass sets dst = M x with the masses of the pose.
func (p *Pose) mulMass(dst, x []float64) {
	p.base.mass.MulVec(dst, x)
	for i := range p.masses {
		m := &p.masses[i]
		q := &p.places[p.lumped[i]]
		terms := p.terms[q.from:q.to]
		var u, f [6]float64
		for d := range 6 {
			for k, at := range terms {
				u[d] += p.forms[d][int(q.from)+k] * x[at]
			}
		}
		for d := range 3 {
			f[d] = m.M * u[d]
			f[3+d] = m.Inertia[d][0]*u[3] + m.Inertia[d][1]*u[4] + m.Inertia[d][2]*u[5]
		}
		for k, at := range terms {
			for d := range 6 {
				dst[at] += p.forms[d][int(q.from)+k] * f[d]
			}
		}
	}
}

// Shape returns the six components of mode i at a point; the mode has a modal mass of 1 kg. The error is Problems.
func (m *PoseModes) Shape(i int, at Point) (d [6]float64, err error) {
	p := m.pose
	if !p.fits(at) {
		c := p.base.checker()
		c.point("point", "", "at", at)
		return d, c.problems
	}
	q := &p.places[p.place(at)]
	for k := range 6 {
		for t := q.from; t < q.to; t++ {
			d[k] += p.forms[k][t] * m.shapes[i][p.terms[t]]
		}
	}
	return d, nil
}
