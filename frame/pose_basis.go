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
	y      []float64 // F M V, one vector after the other
	rows   []float64 // the same by freedoms, rows of n
	g      []float64 // Vᵀ M F M V, lower triangle by rows of n
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
// fewer corrections; with these one correction is enough for machines like those of the tests. One mode alone, as
// wanted over whole maps, has none beside it that must be told apart as well.
func basisSize(n int) int {
	if n == 1 {
		return 17
	}
	return 3*n + 28
}

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
	d := deflation{mass: p.mulMass, x: make([]float64, size)}
	move := make([]float64, size)
	for j, i := range b.held {
		clear(move)
		copy(move[b.begins[b.bodyOf[i]]:], b.moves[j])
		d.take(move)
	}
	inverse := func(dst, rhs []float64) { b.flexibilityFour(&p.solver, dst, rhs) }
	op := sparse.Operator{N: size, SolveFour: func(dst, rhs []float64) { d.solveFour(inverse, dst, rhs) }, MulFour: p.mulMassFour}
	memory := iterations.Get().(*sparse.Workspace)
	defer iterations.Put(memory)
	values, shapes, err := sparse.LowestOf(op, basisSize(wanted), sparse.IterationOptions{Tolerance: basisTolerance, Workspace: memory})
	if err != nil {
		return nil, err
	}
	v := append(d.free, shapes...)
	x := &modalBasis{masses: slices.Clone(p.masses), wanted: wanted, n: len(v)}
	if len(values) > 0 {
		x.cut = values[len(values)-1]
	}
	p.spanBy(x, v)
	return x, nil
}

// spanBy sets up a basis of the vectors v.
func (p *Pose) spanBy(x *modalBasis, v [][]float64) {
	b, size := p.base, p.base.size()
	x.y, x.rows = make([]float64, size*x.n), make([]float64, size*x.n)
	x.g, x.t = make([]float64, x.n*x.n), make([]float64, len(b.held)*x.n)
	u, mu, y := make([]float64, lanes*size), make([]float64, lanes*size), make([]float64, lanes*size)
	t, s := make([]float64, lanes*len(b.held)), make([]float64, lanes*x.n)
	mv := make([]float64, size*x.n)
	for first := 0; first < x.n; first += lanes {
		clear(u)
		count := min(lanes, x.n-first)
		for lane := range count {
			for i, c := range v[first+lane] {
				u[lanes*i+lane] = c
			}
		}
		p.mulMassFour(mu, u)
		b.flexibilityFour(&p.solver, y, mu)
		b.alongMovesFour(t, mu)
		for i := range size {
			copy(x.rows[i*x.n+first:], y[lanes*i:lanes*i+count])
		}
		for i := range b.held {
			copy(x.t[i*x.n+first:], t[lanes*i:lanes*i+count])
		}
		for lane := range count {
			own, massed := x.y[(first+lane)*size:(first+lane+1)*size], mv[(first+lane)*size:(first+lane+1)*size]
			for i := range own {
				own[i], massed[i] = y[lanes*i+lane], mu[lanes*i+lane]
			}
		}
		sparse.DotFour(first+count, mv, size, y, s)
		for lane := range count {
			for i := range first + count {
				x.g[(first+lane)*x.n+i] = s[lanes*i+lane]
			}
		}
	}
}
