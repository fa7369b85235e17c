package frame

import (
	"math"
	"slices"
)

// ritz solves K y = λ M y for small dense matrices.
type ritz struct {
	n      int
	k      lower
	m      []float64 // rows of n, both triangles
	v      []float64 // eigenvectors, rows of n: v[k*n:] belongs to values[k]
	values []float64 // λ, rising
	order  []int
	sorted []float64
}

func (r *ritz) resize(n int) {
	r.n = n
	r.k.resize(n)
	r.m, r.v = sized(r.m, n*n), sized(r.v, n*n)
	r.values = sized(r.values, n)
	if cap(r.order) < n {
		r.order = make([]int, n)
	}
	r.order = r.order[:n]
}

// solve takes K from k (lower triangle, definite) and M from m; it reports whether K is definite. Vectors have yᵀ K y = 1.
//
// Source: reduction by Cholesky and cyclic Jacobi rotations (Golub & Van Loan, Matrix Computations, from memory).
func (r *ritz) solve() bool {
	n := r.n
	if r.k.factor(0) >= 0 {
		return false
	}
	for range 2 { // M becomes L⁻¹ M L⁻ᵀ: rows, then, M being symmetric, columns
		for i := range n {
			r.k.forward(r.m[i*n : (i+1)*n])
		}
		for i := range n {
			for j := range i {
				r.m[i*n+j], r.m[j*n+i] = r.m[j*n+i], r.m[i*n+j]
			}
		}
	}
	clear(r.v)
	for i := range n {
		r.v[i*n+i] = 1
	}
	r.jacobi()
	for i := range n {
		r.order[i] = i
	}
	slices.SortStableFunc(r.order, func(a, b int) int { // largest 1/λ first
		switch x, y := r.m[a*n+a], r.m[b*n+b]; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	r.sorted = append(r.sorted[:0], r.v...)
	for k, i := range r.order {
		r.values[k] = 1 / r.m[i*n+i]
		copy(r.v[k*n:(k+1)*n], r.sorted[i*n:(i+1)*n])
		r.k.backward(r.v[k*n : (k+1)*n])
	}
	return true
}

// jacobi turns m into its eigenvalues on the diagonal; the rows of v become the eigenvectors.
func (r *ritz) jacobi() {
	n := r.n
	for range 30 {
		off, diag := 0.0, 0.0
		for i := range n {
			diag += r.m[i*n+i] * r.m[i*n+i]
			for j := range i {
				off += r.m[i*n+j] * r.m[i*n+j]
			}
		}
		if !(off > 1e-30*diag) {
			return
		}
		for i := 1; i < n; i++ {
			for j := range i {
				r.rotate(i, j)
			}
		}
	}
}

// rotate makes the entry (i, j) of m vanish.
func (r *ritz) rotate(i, j int) {
	n, m := r.n, r.m
	a := m[i*n+j]
	if a == 0 {
		return
	}
	theta := (m[j*n+j] - m[i*n+i]) / (2 * a)
	t := 1 / (math.Abs(theta) + math.Sqrt(theta*theta+1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Sqrt(t*t+1)
	s := t * c
	for k := range n {
		x, y := m[k*n+i], m[k*n+j]
		m[k*n+i], m[k*n+j] = c*x-s*y, s*x+c*y
	}
	for k := range n {
		x, y := m[i*n+k], m[j*n+k]
		m[i*n+k], m[j*n+k] = c*x-s*y, s*x+c*y
		x, y = r.v[i*n+k], r.v[j*n+k]
		r.v[i*n+k], r.v[j*n+k] = c*x-s*y, s*x+c*y
	}
}
