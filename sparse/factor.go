package sparse

import (
	"fmt"
	"math"
)

// FactorOptions governs one factorisation. The zero value is right for stiffness matrices.
type FactorOptions struct {
	// PivotTolerance is the ratio of pivot to diagonal entry below which a pivot counts as vanished; 0 means 1e-11.
	PivotTolerance float64
	// Workers limits the goroutines; 0 means GOMAXPROCS. The result does not depend on it.
	Workers int
}

const defaultPivotTolerance = 1e-11

// Factor is K = L D Lᵀ of one matrix.
type Factor struct {
	sym      *Symbolic
	cols     [][]int32
	vals     [][]float64
	d        []float64
	negative int
}

// Scratch is working memory of Solve for one goroutine; the zero value is ready.
type Scratch struct {
	x []float64
}

// Factor computes L D Lᵀ of m, whose pattern must lie within the analysed one.
func (s *Symbolic) Factor(m *Matrix, opt FactorOptions) (*Factor, error) {
	if m.n != s.n {
		return nil, fmt.Errorf("sparse: matrix of order %d, analysed was order %d", m.n, s.n)
	}
	tol := opt.PivotTolerance
	if tol == 0 {
		tol = defaultPivotTolerance
	}
	n := s.n
	f := &Factor{sym: s, cols: make([][]int32, n), vals: make([][]float64, n), d: make([]float64, n)}
	rowc, rowv := make([][]int32, n), make([][]float64, n)
	for j := range n {
		for k := m.start[j]; k < m.start[j+1]; k++ {
			a, b := s.inv[m.row[k]], s.inv[j]
			if a < b {
				a, b = b, a
			}
			rowc[a], rowv[a] = append(rowc[a], b), append(rowv[a], m.val[k])
		}
	}
	var sing *SingularError
	parent := make([]int32, n)
	flag := make([]int32, n)
	y := make([]float64, n)
	pattern := make([]int32, n)
	for k := range n {
		parent[k], flag[k] = -1, int32(k)
		top := n
		diag := 0.0
		for q, c := range rowc[k] {
			if int(c) == k {
				diag += rowv[k][q]
				continue
			}
			y[c] += rowv[k][q]
			ln := 0
			for i := c; flag[i] != int32(k); i = parent[i] {
				if parent[i] == -1 {
					parent[i] = int32(k)
				}
				pattern[ln] = i
				ln++
				flag[i] = int32(k)
			}
			for ln > 0 {
				ln--
				top--
				pattern[top] = pattern[ln]
			}
		}
		dk := diag
		for ; top < n; top++ {
			i := pattern[top]
			yi := y[i]
			y[i] = 0
			for p, r := range f.cols[i] {
				y[r] -= f.vals[i][p] * yi
			}
			l := yi / f.d[i]
			dk -= l * yi
			f.cols[i] = append(f.cols[i], int32(k))
			f.vals[i] = append(f.vals[i], l)
		}
		if !(math.Abs(dk) > tol*math.Abs(diag)) {
			if sing == nil {
				sing = &SingularError{Index: int(s.perm[k]), Pivot: dk, Diagonal: diag, Null: f.null(k)}
			}
			sing.Count++
			dk = math.Abs(diag)
			if !(dk > 0) {
				dk = 1
			}
		}
		f.d[k] = dk
		if dk < 0 {
			f.negative++
		}
	}
	if sing != nil {
		return nil, sing
	}
	return f, nil
}

func (f *Factor) null(k int) []float64 {
	v := make([]float64, f.sym.n)
	v[k] = 1
	for j := k - 1; j >= 0; j-- {
		for p, r := range f.cols[j] {
			v[j] -= f.vals[j][p] * v[r]
		}
	}
	big := 0.0
	for _, x := range v {
		if math.Abs(x) > math.Abs(big) {
			big = x
		}
	}
	o := make([]float64, len(v))
	for i, x := range v {
		o[f.sym.perm[i]] = x / big
	}
	return o
}

// Negative returns the number of negative pivots, which is the number of negative eigenvalues (Sylvester's law).
func (f *Factor) Negative() int { return f.negative }

// Solve sets dst = K⁻¹ b. dst may be b. Scratch comes from a pool.
func (f *Factor) Solve(dst, b []float64) {
	var s Scratch
	f.SolveWith(&s, dst, b)
}

// SolveWith is Solve with the caller's scratch, one a goroutine; it allocates nothing once the scratch has grown.
func (f *Factor) SolveWith(scratch *Scratch, dst, b []float64) {
	n := f.sym.n
	checkLength("Solve", n, dst, b)
	if len(scratch.x) < n {
		scratch.x = make([]float64, n)
	}
	x := scratch.x[:n]
	for k, i := range f.sym.perm {
		x[k] = b[i]
	}
	for j := range n {
		for p, r := range f.cols[j] {
			x[r] -= f.vals[j][p] * x[j]
		}
	}
	for j := range n {
		x[j] /= f.d[j]
	}
	for j := n - 1; j >= 0; j-- {
		for p, r := range f.cols[j] {
			x[j] -= f.vals[j][p] * x[r]
		}
	}
	for k, i := range f.sym.perm {
		dst[i] = x[k]
	}
}

// SolveMany sets dst[k] = K⁻¹ b[k] for every k; dst[k] may be b[k].
func (f *Factor) SolveMany(dst, b [][]float64) {
	var s Scratch
	f.SolveManyWith(&s, dst, b)
}

// SolveManyWith is SolveMany with the caller's scratch.
func (f *Factor) SolveManyWith(scratch *Scratch, dst, b [][]float64) {
	for k := range b {
		f.SolveWith(scratch, dst[k], b[k])
	}
}
