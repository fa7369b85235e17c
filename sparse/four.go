package sparse

// Lanes is the number of vectors that the operations of this file take side by side: entry i of vector k stands at
// Lanes*i + k. Four vectors cost little more than one.
const Lanes = lanesMany

// SolveFour sets dst = K⁻¹ rhs for four vectors side by side; dst may be rhs.
func (f *Factor) SolveFour(scratch *Scratch, dst, rhs []float64) {
	const w = lanesMany
	scratch.prepare(f, w)
	for k, i := range f.sym.perm {
		*(*[w]float64)(scratch.x[w*k:]) = *(*[w]float64)(rhs[w*int(i):])
	}
	scratch.forward()
	scratch.scale()
	scratch.backward()
	for k, i := range f.sym.perm {
		*(*[w]float64)(dst[w*int(i):]) = *(*[w]float64)(scratch.x[w*k:])
	}
}

// Rows is a symmetric matrix with both triangles by rows.
type Rows struct{ full *fullRows }

// NewRows copies a matrix.
func NewRows(m *Matrix) *Rows { return &Rows{newFullRows(m)} }

// MulFour sets dst = A x for four vectors side by side, which do not overlap.
func (r *Rows) MulFour(dst, x []float64) { r.full.multiply(dst, x, 0, len(r.full.start)-1) }

// DotFour sets row c of s, for each of count vectors, to the products of vector c with four vectors side by side: the
// entries of vector c stand at a[c*lda:], those of the four in t, as many as there are whole rows of t.
func DotFour(count int, a []float64, lda int, t, s []float64) {
	rows := len(t) / lanesMany
	var sum [step * lanesMany]float64
	for c := 0; c < count; c += step {
		width := min(step, count-c)
		dotColumns4(width, rows, a[c*lda:], lda, t, &sum)
		copy(s[c*lanesMany:], sum[:width*lanesMany])
	}
}

// SubtractFour subtracts from four vectors side by side, t, the sum of count vectors, each times its row of x: the
// entries of vector c stand at a[c*lda:].
func SubtractFour(count int, a []float64, lda int, x, t []float64) {
	rows := len(t) / lanesMany
	for c := 0; c < count; c += step {
		subtractColumns4(min(step, count-c), rows, a[c*lda:], lda, x[c*lanesMany:], t)
	}
}
