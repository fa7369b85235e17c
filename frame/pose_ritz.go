package frame

import (
	"math"

	"spanwright/sparse"
)

// projection is the memory of project.
type projection struct {
	of      *modalBasis
	valid   int       // rows of x that belong to the leading ties and to the basis
	stretch []float64 // B F M V, rows of the basis size
	x       []float64 // L⁻¹ of it, a column for each vector of V
	z       []float64 // Ls⁻¹ (Rᵀ M V - (L⁻¹ B R)ᵀ x), a column for each vector of V
	a       []float64 // Vᵀ M K⁻¹ M V
	small   dominant
	ritz    ritz
	size    int
	u, mu   []float64 // vectors by fours, side by side
	turned  []float64
	side    []float64 // -z, side by side
}

// Limits of the refinement of projected modes.
const (
	maxCorrections = 4
	// guardModes are carried beyond those wanted: within the basis, a mode is told apart from its neighbours only as well
	// as they are all contained.
	guardModes = 2
	// startTolerance is enough for the projected problem, which the corrections then improve; the error of an eigenvalue
	// is its square.
	startTolerance = 1e-5
	// modeTolerance is the relative error of an eigenvalue that is estimated to be left.
	modeTolerance = 2e-9
)

// project finds the modes of the pose in two steps: the eigenproblem of K⁻¹ projected on the basis, which is small, and
// then one exact inverse iteration with a Rayleigh-Ritz step, repeated if need be. It reports whether that converged.
//
// What V lacks deforms the bodies with squared frequencies above the cut, and ties only add stiffness. An inverse
// iteration therefore reduces the part e of a mode outside V to λ/cut of it. The projected eigenvalue was wrong by |e|²;
// the quotient of the corrected vector is wrong by (cut/λ) (λ/cut)² |e|², which is the change of the eigenvalue in the
// step times λ/cut.
func (p *Pose) project(b *modalBasis, n int, tolerance float64, into *PoseModes) bool {
	q := &p.projection
	p.projectInverse(b)
	wanted := n
	n += guardModes
	if !q.small.find(q.a, b.n, n, math.Max(startTolerance, 0.1*math.Sqrt(tolerance))) || !(q.small.values[n-1]*b.cut > 1) {
		return false
	}
	size := p.base.size()
	into.resize(n, size)
	q.ritz.resize(n)
	q.room(n, size)
	for first := 0; first < n; first += lanes {
		p.lift(b, q.small.vectors[first:min(first+lanes, n)], q.four(q.u, first))
	}
	for i, z := range q.small.vectors[:n] {
		for j := range i + 1 {
			q.ritz.k.a[i*n+j] = 0
			for k := range b.n { // uᵢᵀ K uⱼ = zᵢᵀ A zⱼ
				q.ritz.k.a[i*n+j] += z[k] * dotProduct(q.a[k*b.n:(k+1)*b.n], q.small.vectors[j])
			}
		}
		into.lambda[i] = 1 / q.small.values[i]
	}
	reduction := into.lambda[wanted-1] / b.cut
	for range maxCorrections {
		change := p.rayleighRitz(n, wanted, into)
		if math.IsNaN(change) {
			return false
		}
		if change*reduction <= tolerance {
			p.shape(n, wanted, into)
			into.resize(wanted, size)
			return true
		}
		p.invert(n, into)
	}
	return false
}

// room makes room for n vectors of a length, by fours.
func (q *projection) room(n, size int) {
	q.size = size
	fours := (n + lanes - 1) / lanes
	q.u, q.mu, q.turned = sized(q.u, fours*lanes*size), sized(q.mu, fours*lanes*size), sized(q.turned, fours*lanes*size)
}

// four returns the four vectors of a list among which vector i is.
func (q *projection) four(list []float64, i int) []float64 {
	from := i / lanes * lanes * q.size
	return list[from : from+lanes*q.size]
}

// invert replaces u by its modes, takes one more inverse iteration and sets up ritz.k.
func (p *Pose) invert(n int, into *PoseModes) {
	q := &p.projection
	p.turn(n, into)
	q.u, q.turned = q.turned, q.u
	for first := 0; first < n; first += lanes {
		p.mulMassFour(q.four(q.mu, first), q.four(q.u, first))
		p.applyFour(q.four(q.u, first), q.four(q.mu, first))
	}
	q.ritz.k.resize(n)
	q.products(n, func(i, j int, v float64) { q.ritz.k.a[i*n+j] = v })
}

// projectInverse sets a = Vᵀ M K⁻¹ M V of the coupled bodies.
func (p *Pose) projectInverse(b *modalBasis) {
	q, n, m, r := &p.projection, b.n, len(p.rows), len(p.base.held)
	if q.of != b || len(q.x) != n*m {
		q.of, q.valid = b, 0
	}
	q.stretch, q.x, q.z, q.a = sized(q.stretch, m*n), sized(q.x, n*m), sized(q.z, n*r), sized(q.a, n*n)
	from := q.valid
	clear(q.stretch[from*n:])
	for i := range p.legs {
		l := &p.legs[i]
		if int(l.row) < from || p.base.bare[p.places[l.place].body] {
			continue
		}
		row := q.stretch[int(l.row)*n : (int(l.row)+1)*n]
		at, c := p.leg(int32(i))
		for k, freedom := range at {
			if c[k] != 0 {
				addScaled(row, c[k], b.rows[int(freedom)*n:(int(freedom)+1)*n])
			}
		}
	}
	for j := range n {
		x, z := q.x[j*m:(j+1)*m], q.z[j*r:(j+1)*r]
		for i := from; i < m; i++ {
			x[i] = q.stretch[i*n+j]
		}
		p.c.forwardFrom(from, p.first, x)
		for i := range r {
			z[i] = b.t[i*n+j] - dotProduct(p.p[i*m:(i+1)*m], x)
		}
		p.s.forward(z)
		for i := range j + 1 {
			v := b.g[j*n+i] - dotProduct(x, q.x[i*m:(i+1)*m]) + dotProduct(z, q.z[i*r:(i+1)*r])
			q.a[j*n+i], q.a[i*n+j] = v, v
		}
	}
	q.valid = m
}

// lift sets u = K⁻¹ M V z for up to four z; u holds them side by side.
func (p *Pose) lift(b *modalBasis, list [][]float64, u []float64) {
	q, f, n, m, r := &p.projection, &p.four, b.n, len(p.rows), len(p.base.held)
	q.side = sized(q.side, lanes*n)
	clear(q.side)
	for lane, z := range list {
		for j, v := range z {
			q.side[lanes*j+lane] = -v
		}
	}
	clear(f.force)
	clear(f.move)
	sparse.SubtractFour(n, q.x, m, q.side, f.force)
	sparse.SubtractFour(n, q.z, r, q.side, f.move)
	p.s.backwardFour(f.move)
	along := sized(p.move, lanes*r)
	p.move = along
	for i, v := range f.move {
		along[i] = -v
	}
	sparse.SubtractFour(r, p.p, m, along, f.force)
	p.c.backwardFour(f.force)
	clear(u)
	sparse.SubtractFour(n, b.y, p.base.size(), q.side, u)
	p.hold(u)
}

// products tells the products of the vectors u with mu, for i >= j, those of the first n.
func (q *projection) products(n int, tell func(i, j int, v float64)) {
	for first := 0; first < n; first += lanes {
		u := q.four(q.u, first)
		for second := 0; second <= first; second += lanes {
			mu := q.four(q.mu, second)
			var sum [lanes][lanes]float64
			for k := 0; k+lanes <= len(u); k += lanes {
				x, y := (*[lanes]float64)(u[k:]), (*[lanes]float64)(mu[k:])
				for i, v := range x {
					sum[i][0] += v * y[0]
					sum[i][1] += v * y[1]
					sum[i][2] += v * y[2]
					sum[i][3] += v * y[3]
				}
			}
			for i := range min(lanes, n-first) {
				for j := range min(lanes, n-second) {
					if first+i >= second+j {
						tell(first+i, second+j, sum[i][j])
					}
				}
			}
		}
	}
}

// rayleighRitz solves for n modes within the vectors u, whose products with K stand in ritz.k, and returns the largest
// relative change of an eigenvalue among the first ones that are wanted.
func (p *Pose) rayleighRitz(n, wanted int, into *PoseModes) float64 {
	q := &p.projection
	for first := 0; first < n; first += lanes {
		p.mulMassFour(q.four(q.mu, first), q.four(q.u, first))
	}
	q.products(n, func(i, j int, v float64) { q.ritz.m[i*n+j], q.ritz.m[j*n+i] = v, v })
	if !q.ritz.solve() {
		return math.NaN()
	}
	change := 0.0
	for i := range n {
		lambda := q.ritz.values[i]
		if i < wanted {
			change = math.Max(change, math.Abs(lambda-into.lambda[i])/lambda)
		}
		into.set(i, lambda)
	}
	return change
}

// turn sets turned to the n modes that rayleighRitz found within u, of modal mass 1 kg.
func (p *Pose) turn(n int, into *PoseModes) {
	q := &p.projection
	for first := 0; first < n; first += lanes {
		to := q.four(q.turned, first)
		clear(to)
		for second := 0; second < n; second += lanes {
			var c [lanes][lanes]float64 // from, to
			for i := range min(lanes, n-first) {
				f := math.Sqrt(into.lambda[first+i]) // yᵀ K y = 1, so the modal mass is 1/λ
				for j := range min(lanes, n-second) {
					c[j][i] = q.ritz.v[(first+i)*n+second+j] * f
				}
			}
			from := q.four(q.u, second)
			for k := 0; k+lanes <= len(to); k += lanes {
				x, y := (*[lanes]float64)(from[k:]), (*[lanes]float64)(to[k:])
				for j, v := range x {
					y[0] += v * c[j][0]
					y[1] += v * c[j][1]
					y[2] += v * c[j][2]
					y[3] += v * c[j][3]
				}
			}
		}
	}
}

// shape gives the shapes of the first modes to into.
func (p *Pose) shape(n, wanted int, into *PoseModes) {
	q := &p.projection
	p.turn(n, into)
	for i := range wanted {
		from, x := q.four(q.turned, i)[i%lanes:], into.shapes[i]
		for k := range x {
			x[k] = from[lanes*k]
		}
	}
}
