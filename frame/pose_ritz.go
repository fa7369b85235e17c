package frame

import "math"

// projection is the memory of project.
type projection struct {
	stretch []float64 // B F M V, rows of the basis size
	x       []float64 // L⁻¹ of it, a column for each vector of V
	z       []float64 // Ls⁻¹ (Rᵀ M V - (L⁻¹ B R)ᵀ x), a column for each vector of V
	a       []float64 // Vᵀ M K⁻¹ M V
	small   dominant
	ritz    ritz
	u, mu   [][]float64
}

// Limits of the refinement of projected modes.
const (
	maxCorrections = 4
	// guardModes are carried beyond those wanted: within the basis, a mode is told apart from its neighbours only as well
	// as they are all contained.
	guardModes = 2
	// startTolerance is enough for the projected problem, which the corrections then improve.
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
func (p *Pose) project(b *modalBasis, n int, into *PoseModes) bool {
	q := &p.projection
	p.projectInverse(b)
	wanted := n
	n += guardModes
	if !q.small.find(q.a, b.n, n, startTolerance) || !(q.small.values[n-1]*b.cut > 1) {
		return false
	}
	size := p.base.size()
	into.resize(n, size)
	for len(q.u) < n {
		q.u, q.mu = append(q.u, make([]float64, size)), append(q.mu, make([]float64, size))
	}
	q.ritz.resize(n)
	for i, z := range q.small.vectors[:n] {
		p.lift(b, z, q.u[i])
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
		if change*reduction <= modeTolerance {
			into.resize(wanted, size)
			return true
		}
		for i := range n { // one more inverse iteration
			p.mulMass(q.mu[i], into.shapes[i])
			p.apply(q.u[i], q.mu[i])
		}
		q.ritz.k.resize(n)
		for i := range n {
			for j := range i + 1 {
				q.ritz.k.a[i*n+j] = dotProduct(q.u[i], q.mu[j])
			}
		}
	}
	return false
}

// projectInverse sets a = Vᵀ M K⁻¹ M V of the coupled bodies.
func (p *Pose) projectInverse(b *modalBasis) {
	q, n, m, r := &p.projection, b.n, len(p.rows), len(p.base.held)
	q.stretch, q.x, q.z, q.a = sized(q.stretch, m*n), sized(q.x, n*m), sized(q.z, n*r), sized(q.a, n*n)
	clear(q.stretch)
	for i := range p.legs {
		l := &p.legs[i]
		if p.base.bare[p.places[l.place].body] {
			continue
		}
		row := q.stretch[int(l.row)*n : (int(l.row)+1)*n]
		at, c := p.leg(int32(i))
		for k, freedom := range at {
			if c[k] != 0 {
				addScaled(row, c[k], b.y[int(freedom)*n:(int(freedom)+1)*n])
			}
		}
	}
	for j := range n {
		x, z := q.x[j*m:(j+1)*m], q.z[j*r:(j+1)*r]
		for i := range m {
			x[i] = q.stretch[i*n+j]
		}
		p.c.forward(x)
		for i := range r {
			z[i] = b.t[i*n+j] - dotProduct(p.p[i*m:(i+1)*m], x)
		}
		p.s.forward(z)
		for i := range j + 1 {
			v := b.g[j*n+i] - dotProduct(x, q.x[i*m:(i+1)*m]) + dotProduct(z, q.z[i*r:(i+1)*r])
			q.a[j*n+i], q.a[i*n+j] = v, v
		}
	}
}

// lift sets u = K⁻¹ M V z.
func (p *Pose) lift(b *modalBasis, z, u []float64) {
	q, n, m, r := &p.projection, b.n, len(p.rows), len(p.base.held)
	clear(p.force)
	clear(p.move)
	for j, f := range z {
		addScaled(p.force, f, q.x[j*m:(j+1)*m])
		addScaled(p.move, f, q.z[j*r:(j+1)*r])
	}
	p.s.backward(p.move)
	for i, a := range p.move {
		addScaled(p.force, a, p.p[i*m:(i+1)*m])
	}
	p.c.backward(p.force)
	for i := range u {
		u[i] = dotProduct(b.y[i*n:(i+1)*n], z)
	}
	p.hold(u)
}

// rayleighRitz makes n modes of the vectors u, whose products with K stand in ritz.k, and returns the largest relative
// change of an eigenvalue among the first ones that are wanted.
func (p *Pose) rayleighRitz(n, wanted int, into *PoseModes) float64 {
	q := &p.projection
	for i := range n {
		p.mulMass(q.mu[i], q.u[i])
		for j := range i + 1 {
			v := dotProduct(q.u[j], q.mu[i])
			q.ritz.m[i*n+j], q.ritz.m[j*n+i] = v, v
		}
	}
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
		clear(into.shapes[i])
		for j := range n { // yᵀ K y = 1, so the modal mass is 1/λ
			addScaled(into.shapes[i], q.ritz.v[i*n+j]*math.Sqrt(lambda), q.u[j])
		}
	}
	return change
}
