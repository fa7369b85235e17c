package frame

import (
	"errors"
	"fmt"
	"math"

	"spanwright/sparse"
)

// Buckling holds the factors by which the loads of a state may grow until the elastic structure buckles.
type Buckling struct {
	Factors []float64 // α_cr, rising, all positive; empty if the state does not buckle however large
	Proven  bool      // the count of negative pivots above the last factor agrees: none was missed

	*grid
	shapes [][]float64 // full
}

// Bounds of the search for the first buckling factor, over the first guess.
const (
	farthestFactor = 1e12
	bracketRatio   = 1.2
)

// Buckling returns the n lowest buckling factors of a state, from the axial forces of its members:
//
//	(K + α Kg(N)) φ = 0
//
// Members must be divided (four elements or more) where they can buckle between their nodes. The axial force of an element
// is that at its middle.
//
// Source: linear buckling analysis; Euler's columns are cases of the tests.
func (s *System) Buckling(st *State, n int) (*Buckling, error) {
	k := s.matrix()
	if _, err := s.factor(); err != nil {
		return nil, err
	}
	kg := s.geometric(st)
	b := bucklingSearch{k: k, kg: kg, sym: sparse.Analyse(sparse.Combine(1, k, 1, kg), 1)}
	out := &Buckling{grid: s.grid}
	low, found, err := b.bracket()
	if err != nil || !found {
		out.Proven = err == nil
		return out, err
	}
	shift := -1 / low
	f, err := b.sym.Factor(sparse.Combine(1, kg, -shift, k), sparse.FactorOptions{})
	if err != nil {
		return nil, fmt.Errorf("frame: buckling: %w", err)
	}
	values, vectors, err := sparse.LowestOf(sparse.Operator{N: s.size(), Shift: shift, Solve: f.Solve, MulM: k.MulVec},
		min(n, s.size()), sparse.IterationOptions{})
	if err != nil {
		return nil, fmt.Errorf("frame: buckling: %w", err)
	}
	for i, mu := range values {
		if alpha := -1 / mu; mu < 0 && alpha <= farthestFactor*low {
			out.Factors = append(out.Factors, alpha)
			u := make([]float64, s.full)
			s.expand(u, vectors[i])
			if big := maxAbs(u); big > 0 {
				for q := range u {
					u[q] /= big
				}
			}
			out.shapes = append(out.shapes, u)
		}
	}
	return out, b.prove(out, n)
}

// geometric assembles Kg of the axial forces of a state.
func (s *System) geometric(st *State) *sparse.Matrix {
	b := sparse.NewBuilder(s.size())
	s.addDiagonal(b)
	at := 0
	s.addElements(b, func(e *bar, k *[12][12]float64) {
		f := st.barForces(int32(at))
		at++
		e.addGeometric(k, (f[6]-f[0])/2)
	})
	return b.Build()
}

type bucklingSearch struct {
	k, kg *sparse.Matrix
	sym   *sparse.Symbolic
}

// count returns the number of buckling factors below alpha; where alpha is one of them to rounding, below a little more.
func (b *bucklingSearch) count(alpha float64) (int, error) {
	f, err := b.sym.Factor(sparse.Combine(1, b.k, alpha, b.kg), sparse.FactorOptions{})
	if err != nil {
		const aside = 1 + 1e-8
		f, err = b.sym.Factor(sparse.Combine(1, b.k, alpha*aside, b.kg), sparse.FactorOptions{})
	}
	if err != nil {
		return 0, err
	}
	return f.Negative(), nil
}

// bracket returns a load factor just below the first buckling factor.
func (b *bucklingSearch) bracket() (low float64, found bool, err error) {
	guess := math.Inf(1)
	kd, gd := b.k.Diagonal(), b.kg.Diagonal()
	for i := range kd {
		if g := math.Abs(gd[i]); g > 0 && kd[i] > 0 {
			guess = math.Min(guess, kd[i]/g/2)
		}
	}
	if math.IsInf(guess, 1) {
		return 0, false, nil // no axial forces
	}
	low, high := guess, guess
	for n := 0; ; {
		if n, err = b.count(high); err != nil {
			return 0, false, fmt.Errorf("frame: buckling: %w", err)
		}
		if n > 0 {
			break
		}
		low = high
		if high *= 4; high > farthestFactor*guess {
			return 0, false, nil
		}
	}
	for low == high || high/low > bracketRatio {
		mid := math.Sqrt(low * high)
		if low == high {
			mid = high / 4
		}
		n, err := b.count(mid)
		if err != nil || mid < guess/farthestFactor {
			return 0, false, errors.Join(errors.New("frame: buckling: no load factor is stable"), err)
		}
		switch {
		case n == 0:
			low = mid
		case low == high:
			low, high = mid, mid
		default:
			high = mid
		}
	}
	return low, true, nil
}

// prove counts the factors just above the last one.
func (b *bucklingSearch) prove(out *Buckling, wanted int) error {
	m := len(out.Factors)
	if m == 0 {
		return nil
	}
	last := out.Factors[m-1]
	n, err := b.count(last * (1 + 1e-6))
	if err != nil {
		return fmt.Errorf("frame: buckling: %w", err)
	}
	// Further factors equal to the last one within rounding are no loss when all that were wanted were found.
	below, err := b.count(last * (1 - 1e-6))
	if err != nil {
		return fmt.Errorf("frame: buckling: %w", err)
	}
	out.Proven = below < m && (n == m || n > m && m == wanted)
	if !out.Proven {
		return fmt.Errorf("%w: %d buckling factors up to %.6g, found %d", ErrIncomplete, n, last, m)
	}
	return nil
}

// Shape returns the six components of a buckling shape at a point, the largest component of all freedoms being 1. The
// error is Problems.
func (b *Buckling) Shape(i int, p Point) ([6]float64, error) {
	c := b.checker()
	c.point("point", "", "at", p)
	if len(c.problems) > 0 {
		return [6]float64{}, c.problems
	}
	a := b.anchorAt(p)
	return a.displacement(b.shapes[i]), nil
}
