package frame

import (
	"errors"
	"fmt"
	"math"

	"spanwright/sparse"
)

// freeModes returns the lowest modes of a structure that can move freely: the free movements themselves, then the
// lowest deforming modes, found on what is M-orthogonal to the free ones with the grounded stiffness.
//
// Source: deflation of a known null space, derived.
func (s *System) freeModes(k, m *sparse.Matrix, n int) (values []float64, vectors [][]float64, proof sparse.EigenProof, err error) {
	var sing *sparse.SingularError
	if _, err := s.sym.Factor(k, sparse.FactorOptions{}); err == nil || !errors.As(err, &sing) {
		return sparse.Lowest(k, m, n, sparse.EigenOptions{Block: 1, Tolerance: vectorTolerance}) // only idle freedoms were free
	}
	held, diag, f := s.ground(k, s.sym, sing)
	if f == nil {
		return sparse.Lowest(k, m, n, sparse.EigenOptions{Block: 1, Tolerance: vectorTolerance})
	}
	d := deflation{mass: m.MulVec, inverse: func(dst, rhs []float64) { f.SolveWith(&s.work, dst, rhs) }, x: make([]float64, s.size())}
	for _, i := range held {
		v := s.swing(f, []int{i}, held, diag)
		if s.energyRatio(v, k.Diagonal()) > rigidEnergy {
			return sparse.Lowest(k, m, n, sparse.EigenOptions{Block: 1, Tolerance: vectorTolerance}) // something soft is among them
		}
		if !d.take(v) {
			return nil, nil, proof, fmt.Errorf("%w: %w", ErrIdle, s.mechanism(v))
		}
	}
	const spare = 2 // beyond the last mode wanted, to find a gap for the count
	want := min(max(n-len(d.free), 0)+spare, s.size()-len(d.free))
	flexible, shapes, err := sparse.LowestOf(sparse.Operator{N: s.size(), Solve: d.solve, MulM: m.MulVec}, want, sparse.IterationOptions{})
	if err != nil {
		return nil, nil, proof, err
	}
	values = append(make([]float64, len(d.free)), flexible...)
	vectors = append(append(vectors, d.free...), shapes...)
	proof.Limit = limitAbove(values, n, len(d.free))
	for _, v := range values {
		if v < proof.Limit {
			proof.Found++
		}
	}
	if proof.Below, err = s.countBelow(k, m, proof.Limit); err != nil {
		return nil, nil, proof, err
	}
	if !proof.Complete() {
		return nil, nil, proof, fmt.Errorf("%w: %d below %.6g 1/s², found %d", sparse.ErrIncomplete, proof.Below, proof.Limit, proof.Found)
	}
	n = min(n, len(values))
	return values[:n], vectors[:n], proof, nil
}

// limitAbove returns a value in the widest gap (as a ratio) above the n-th value, or above the last free one; above all
// values if there is no gap between them.
func limitAbove(values []float64, n, free int) float64 {
	last := len(values) - 1
	if last < 0 {
		return 0
	}
	limit, widest := values[last]*1.01, 1.02
	if values[last] == 0 {
		return 1 // 1/s²; nothing deforms, so any limit lies above all
	}
	for i := max(n, free, 1); i <= last; i++ {
		low := values[i-1]
		if i == free {
			low = values[i] * 1e-4
		}
		if ratio := values[i] / low; ratio > widest {
			limit, widest = math.Sqrt(values[i]*low), ratio
		}
	}
	return limit
}

// countBelow returns the number of eigenvalues of K - λM below a limit.
func (g *grid) countBelow(k, m *sparse.Matrix, limit float64) (int, error) {
	shifted := sparse.Combine(1, k, -limit, m)
	f, err := sparse.Analyse(shifted, 1).Factor(shifted, sparse.FactorOptions{})
	if err != nil {
		return 0, err
	}
	return f.Negative(), nil
}
