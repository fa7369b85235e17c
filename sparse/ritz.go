package sparse

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// ritz is the small dense eigenvalue problem of a projected operator.
type ritz struct {
	values  []float64 // falling
	vectors []float64 // column k belongs to values[k]: vectors[i*order+k]
	order   int
	dense   []float64
	rising  []float64
	work    []float64
}

// solve finds the eigenpairs of the leading square of t, whose upper triangle is given by rows of length stride.
func (r *ritz) solve(t []float64, stride, order int) bool {
	r.order = order
	if size := order * order; len(r.dense) < size {
		size = stride * stride
		r.dense, r.vectors = make([]float64, size), make([]float64, size)
		r.values, r.rising = make([]float64, stride), make([]float64, stride)
	}
	a := blas64.Symmetric{Uplo: blas.Upper, N: order, Stride: order, Data: r.dense[:order*order]}
	for i := range order {
		copy(a.Data[i*order+i:(i+1)*order], t[i*stride+i:i*stride+order])
	}
	if need := 40 * order; len(r.work) < need { // more than 3 n, so that Dsyev may work in blocks
		r.work = make([]float64, 40*stride)
	}
	if !lapack64.Syev(lapack.EVCompute, a, r.rising[:order], r.work, len(r.work)) {
		return false
	}
	for k := range order {
		from := order - 1 - k
		r.values[k] = r.rising[from]
		for i := range order {
			r.vectors[i*order+k] = a.Data[i*order+from]
		}
	}
	return true
}
