package frame

import "math"

// lower is a dense symmetric matrix of which the lower triangle is kept, row by row in full rows; factoring leaves
// L of L Lᵀ in its place.
type lower struct {
	n int
	a []float64
}

// resize makes it n by n, all zero, and reuses its memory.
func (m *lower) resize(n int) {
	m.n = n
	if cap(m.a) < n*n {
		m.a = make([]float64, n*n)
	}
	m.a = m.a[:n*n]
	clear(m.a)
}

// factor computes L. A pivot not above tolerance times its diagonal entry stops it; the place is returned, else -1.
func (m *lower) factor(tolerance float64) int {
	n := m.n
	for i := range n {
		ri := m.a[i*n : i*n+i+1]
		diag := ri[i]
		for j := range i {
			rj := m.a[j*n : j*n+j+1]
			ri[j] = (ri[j] - dotProduct(ri[:j], rj[:j])) * rj[j]
		}
		d := diag - dotProduct(ri[:i], ri[:i])
		if !(d > tolerance*diag) || !(d > 0) {
			return i
		}
		ri[i] = 1 / math.Sqrt(d) // the inverse, so that solving multiplies
	}
	return -1
}

// factorFrom is factor where the rows before from are factored already and row i is zero before column first[i].
func (m *lower) factorFrom(from int, first []int32, tolerance float64) int {
	n := m.n
	for i := from; i < n; i++ {
		ri, begin := m.a[i*n:i*n+i+1], int(first[i])
		diag := ri[i]
		for j := begin; j < i; j++ {
			rj, k := m.a[j*n:j*n+j+1], max(begin, int(first[j]))
			if k < j {
				ri[j] -= dotProduct(ri[k:j], rj[k:j])
			}
			ri[j] *= rj[j]
		}
		d := diag - dotProduct(ri[begin:i], ri[begin:i])
		if !(d > tolerance*diag) || !(d > 0) {
			return i
		}
		ri[i] = 1 / math.Sqrt(d)
	}
	return -1
}

// forwardFrom goes on with forward from row from on; row i is zero before column first[i].
func (m *lower) forwardFrom(from int, first []int32, x []float64) {
	for i := from; i < m.n; i++ {
		r, k := m.a[i*m.n:i*m.n+i+1], int(first[i])
		x[i] = (x[i] - dotProduct(r[k:i], x[k:i])) * r[i]
	}
}

// forward replaces x by L⁻¹ x.
func (m *lower) forward(x []float64) {
	for i := range m.n {
		r := m.a[i*m.n : i*m.n+i+1]
		x[i] = (x[i] - dotProduct(r[:i], x[:i])) * r[i]
	}
}

// backward replaces x by L⁻ᵀ x.
func (m *lower) backward(x []float64) {
	for i := m.n - 1; i >= 0; i-- {
		r := m.a[i*m.n : i*m.n+i+1]
		x[i] *= r[i]
		addScaled(x[:i], -x[i], r[:i])
	}
}

// dotProduct of two slices of the same length, summed in four strands.
func dotProduct(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}

// addScaled adds f b to a.
func addScaled(a []float64, f float64, b []float64) {
	b = b[:len(a)]
	for i := range a {
		a[i] += f * b[i]
	}
}
