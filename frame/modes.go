package frame

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"spanwright/sparse"
)

// Modes are undamped natural modes in rising order of frequency, each as often as its multiplicity.
type Modes struct {
	Hz    []float64         // natural frequencies; rigid-body modes are 0 to rounding
	Proof sparse.EigenProof // Sturm count: none was missed

	*grid
	lambda []float64   // squared angular frequencies, 1/s²
	shapes [][]float64 // full vectors with modal mass 1 kg
}

// Errors of Modes.
var (
	ErrNoMass = errors.New("frame: nothing that can move has mass, so there are no natural frequencies")
	// ErrIdle says that a movement has neither stiffness nor mass. It is wrapped with the *MechanismError that names it.
	ErrIdle = errors.New("frame: no natural frequencies: a movement has neither stiffness nor mass")
	// ErrIncomplete says that the count of eigenvalues below the last frequency differs from those found.
	ErrIncomplete = errors.New("frame: natural frequencies may be missing")
)

// vectorTolerance bounds the residual |K x - λ M x| / |λ M x| of eigenvectors. Most are good to 1e-9; a slender frame cut
// into short elements has stiffnesses 1e10 times its lowest inertia forces, and rounding of K x alone then shows as 1e-6.
// The frequencies are Rayleigh quotients, whose relative error is the square of this.
const vectorTolerance = 1e-4

// Modes returns the n lowest natural modes, fewer if the model has fewer freedoms with mass. A structure that can move
// freely has modes of 0 Hz. Contacts count as closed.
//
// The count of eigenvalues below the last one is checked (Sylvester's law of inertia); the error is ErrIncomplete if
// it disagrees, ErrNoMass or ErrIdle. A single freedom that has neither stiffness nor mass takes no part.
func (s *System) Modes(n int) (*Modes, error) {
	m := s.massMatrix()
	if !(maxAbs(m.Diagonal()) > 0) {
		return nil, ErrNoMass
	}
	n = min(n, s.size())
	k := s.withoutIdle(s.matrix(), m)
	var values []float64
	var vectors [][]float64
	var proof sparse.EigenProof
	var free *MechanismError
	f, err := s.factor()
	switch {
	case err == nil:
		values, vectors, proof, err = sparse.Lowest(k, m, n, sparse.EigenOptions{Block: 1, Factor: f.Factor, Tolerance: vectorTolerance})
	case errors.As(err, &free):
		values, vectors, proof, err = s.freeModes(k, m, n)
	}
	var sing *sparse.SingularError
	switch {
	case errors.As(err, &sing):
		return nil, fmt.Errorf("%w: %w", ErrIdle, s.mechanism(sing.Null))
	case errors.Is(err, sparse.ErrIncomplete):
		return nil, fmt.Errorf("%w: %w", ErrIncomplete, err)
	case err != nil:
		return nil, fmt.Errorf("frame: natural frequencies: %w", err)
	}
	return s.newModes(values, vectors, m, proof), nil
}

// withoutIdle gives freedoms that have neither stiffness nor mass a stiffness of their own, which moves them to
// infinite frequency and touches nothing else: both matrices have empty rows there.
func (g *grid) withoutIdle(k, m *sparse.Matrix) *sparse.Matrix {
	kd, md := k.Diagonal(), m.Diagonal()
	one := math.Max(maxAbs(kd), 1)
	var b *sparse.Builder
	for i := range kd {
		if kd[i] == 0 && md[i] == 0 {
			if b == nil {
				b = sparse.NewBuilder(len(kd))
			}
			b.Add(i, i, one)
		}
	}
	if b == nil {
		return k
	}
	return sparse.Combine(1, k, 1, b.Build())
}

// newModes expands, scales and orders eigenvectors. The eigenvalues become Rayleigh quotients whose strain energy is
// summed over differences of displacements, which brings rigid-body modes much closer to 0.
func (g *grid) newModes(values []float64, vectors [][]float64, m *sparse.Matrix, proof sparse.EigenProof) *Modes {
	type mode struct {
		lambda float64
		shape  []float64
	}
	list := make([]mode, len(values))
	mx := make([]float64, g.size())
	for i, x := range vectors {
		m.MulVec(mx, x)
		mass := 0.0
		for k := range x {
			mass += x[k] * mx[k]
		}
		u := make([]float64, g.full)
		f := 1 / math.Sqrt(mass)
		for k, at := range g.back {
			u[at] = x[k] * f
		}
		list[i] = mode{2 * g.energy(u), u}
		if !(math.Abs(list[i].lambda) <= math.MaxFloat64) {
			list[i].lambda = values[i]
		}
	}
	slices.SortStableFunc(list, func(a, b mode) int {
		switch {
		case a.lambda < b.lambda:
			return -1
		case a.lambda > b.lambda:
			return 1
		}
		return 0
	})
	out := &Modes{grid: g, Proof: proof}
	for _, x := range list {
		out.lambda = append(out.lambda, x.lambda)
		out.shapes = append(out.shapes, x.shape)
		out.Hz = append(out.Hz, math.Copysign(math.Sqrt(math.Abs(x.lambda))/(2*math.Pi), x.lambda))
	}
	return out
}

// Shape returns the six components of mode i at a point; the mode has a modal mass of 1 kg. The error is Problems.
func (m *Modes) Shape(i int, p Point) ([6]float64, error) {
	c := m.checker()
	c.point("point", "", "at", p)
	if len(c.problems) > 0 {
		return [6]float64{}, c.problems
	}
	a := m.anchorAt(p)
	return a.displacement(m.shapes[i]), nil
}
