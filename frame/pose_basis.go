package frame

import (
	"slices"
	"sync"

	"spanwright/sparse"
)

// modalBasis holds motions of the uncoupled bodies in which the modes of every pose are close to being contained: the
// free movements of the bodies and their lowest deforming modes, with the masses that a pose adds. It serves all poses
// with these masses.
type modalBasis struct {
	masses []Mass
	wanted int
	n      int       // vectors of V, M-orthonormal
	mv     []float64 // M V, by freedoms, rows of n
	y      []float64 // F M V, by freedoms, rows of n
	g      []float64 // Vᵀ M F M V, rows of n
	t      []float64 // Rᵀ M V, rows of n
	cut    float64   // squared angular frequency, 1/s², of the last deforming mode in V
}

// basisCache keeps the bases of a Base, the latest last.
type basisCache struct {
	sync.Mutex
	list []*modalBasis
}

// maxBases bounds the memory for bases: a machine has a few states of payload.
const maxBases = 16

// basisSize returns how many deforming modes a basis for n modes holds. More make a basis dearer and every pose need
// fewer corrections; with these one correction is enough for machines like those of the tests.
func basisSize(n int) int { return 3*n + 28 }

// basisTolerance is rough because any orthonormal vectors near the modes serve; corrections at the pose do the rest.
const basisTolerance = 1e-3

// basisFor returns the basis for the masses of a pose, nil if modes are better found directly. What it returns depends
// on the masses and n only, never on what was asked for before.
func (p *Pose) basisFor(n int) (*modalBasis, error) {
	b := p.base
	if slices.ContainsFunc(b.rest, func(q float64) bool { return q != 0 }) || b.size() < 4*basisSize(n) {
		return nil, nil
	}
	b.bases.Lock()
	defer b.bases.Unlock()
	for i := len(b.bases.list) - 1; i >= 0; i-- {
		if x := b.bases.list[i]; x.wanted == n && slices.Equal(x.masses, p.masses) {
			return x, nil
		}
	}
	x, err := p.newBasis(n)
	if err != nil {
		return nil, err
	}
	if len(b.bases.list) == maxBases {
		b.bases.list = slices.Delete(b.bases.list, 0, 1)
	}
	b.bases.list = append(b.bases.list, x)
	return x, nil
}

// newBasis finds the modes of the uncoupled bodies.
func (p *Pose) newBasis(wanted int) (*modalBasis, error) {
	b, size := p.base, p.base.size()
	d := deflation{mass: p.mulMass, inverse: func(dst, rhs []float64) { b.flexibility(&p.solver, dst, rhs) }, x: make([]float64, size)}
	move := make([]float64, size)
	for j, i := range b.held {
		clear(move)
		copy(move[b.begins[b.bodyOf[i]]:], b.moves[j])
		d.take(move)
	}
	op := sparse.Operator{N: size, Solve: d.solve, MulM: p.mulMass}
	values, shapes, err := sparse.LowestOf(op, basisSize(wanted), sparse.IterationOptions{Tolerance: basisTolerance})
	if err != nil {
		return nil, err
	}
	v := append(d.free, shapes...)
	x := &modalBasis{masses: slices.Clone(p.masses), wanted: wanted, n: len(v)}
	if len(values) > 0 {
		x.cut = values[len(values)-1]
	}
	x.mv, x.y = make([]float64, size*x.n), make([]float64, size*x.n)
	x.g, x.t = make([]float64, x.n*x.n), make([]float64, len(b.held)*x.n)
	mv, y, t := make([]float64, size), make([]float64, size), make([]float64, len(b.held))
	for j := range v {
		p.mulMass(mv, v[j])
		b.flexibility(&p.solver, y, mv)
		b.alongMoves(t, mv)
		for i := range size {
			x.mv[i*x.n+j], x.y[i*x.n+j] = mv[i], y[i]
		}
		for i := range t {
			x.t[i*x.n+j] = t[i]
		}
	}
	for i := range size {
		row := x.y[i*x.n : (i+1)*x.n]
		for j, m := range x.mv[i*x.n : (i+1)*x.n] {
			if m != 0 {
				addScaled(x.g[j*x.n:(j+1)*x.n], m, row)
			}
		}
	}
	return x, nil
}
