package frame

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"spanwright/sparse"
)

// PoseModes are the lowest natural modes at one pose, valid until the next call of Modes or Set.
type PoseModes struct {
	Hz     []float64   // rising
	lambda []float64   // squared angular frequencies, 1/s²
	shapes [][]float64 // reduced, modal mass 1 kg
	pose   *Pose
}

// Modes returns the n lowest natural modes of the coupled bodies. into is used again if it is not nil.
//
// Modes of a pose are not counted, unlike those of a System: a mode is found if it is not M-orthogonal to all of some
// thirty motions of the bodies. Frequencies agree with those of the reference path to 1e-7 (tests).
func (p *Pose) Modes(n int, into *PoseModes) (*PoseModes, error) {
	return p.modesWithin(n, modeTolerance, into)
}

// Frequencies is Modes with less accuracy for less work: the relative error of a frequency is estimated to be below
// tolerance, from above (tests); the shapes are then good to the root of it only.
func (p *Pose) Frequencies(n int, tolerance float64, into *PoseModes) (*PoseModes, error) {
	return p.modesWithin(n, math.Max(2*tolerance, modeTolerance), into)
}

// modesWithin finds modes whose eigenvalues have an estimated relative error below tolerance.
func (p *Pose) modesWithin(n int, tolerance float64, into *PoseModes) (*PoseModes, error) {
	if !p.ready {
		return nil, ErrNotSet
	}
	if into == nil {
		into = &PoseModes{}
	}
	into.pose = p
	n = min(n, p.base.size())
	p.spread()
	basis, err := p.basisFor(n)
	if err != nil {
		return nil, fmt.Errorf("frame: modes of a pose: %w", err)
	}
	if basis != nil && p.project(basis, n, tolerance, into) {
		return into, nil
	}
	return into, p.iterate(n, into)
}

// ModesOnce is Modes for a pose that stands alone: it makes no basis, which pays only over a dozen poses or more.
func (p *Pose) ModesOnce(n int, into *PoseModes) (*PoseModes, error) {
	if !p.ready {
		return nil, ErrNotSet
	}
	if into == nil {
		into = &PoseModes{}
	}
	into.pose = p
	p.spread()
	return into, p.iterate(min(n, p.base.size()), into)
}

// iterations lends out the memory of iterations, which is large, serves any base and is in use for moments only.
var iterations = sync.Pool{New: func() any { return &sparse.Workspace{} }}

// shapeTolerance bounds the error of a shape where neighbours are well apart; two frequencies that differ by 1 % may mix
// to fifty times as much. That of a frequency is its square. The iteration ends with the last mode wanted: the lower
// ones, which carry a response, are far more accurate. Against 1e-9, no result of gantries of two and three axes moves by
// more than 1e-6 of itself, none that is judged by more than 2e-9.
const shapeTolerance = 1e-4

// iterate finds the modes of the coupled bodies directly.
func (p *Pose) iterate(n int, into *PoseModes) error {
	op := sparse.Operator{N: p.base.size(), SolveFour: p.applyFour, MulFour: p.mulMassFour}
	memory := iterations.Get().(*sparse.Workspace)
	defer iterations.Put(memory)
	values, vectors, err := sparse.LowestOf(op, n, sparse.IterationOptions{Workspace: memory, Tolerance: shapeTolerance})
	if err != nil {
		return fmt.Errorf("frame: modes of a pose: %w", err)
	}
	into.resize(len(vectors), p.base.size())
	for i, x := range vectors {
		into.set(i, values[i])
		copy(into.shapes[i], x)
	}
	return nil
}

func (m *PoseModes) resize(n, size int) {
	m.Hz, m.lambda = sized(m.Hz, n), sized(m.lambda, n)
	m.shapes = slices.Grow(m.shapes[:0], n)[:n] // what lies beyond a shorter use is kept
	for i := range m.shapes {
		m.shapes[i] = sized(m.shapes[i], size)
	}
}

func (m *PoseModes) set(i int, lambda float64) {
	m.lambda[i] = lambda
	m.Hz[i] = math.Sqrt(math.Max(lambda, 0)) / (2 * math.Pi)
}

func scaleBy(x []float64, f float64) {
	for i := range x {
		x[i] *= f
	}
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
