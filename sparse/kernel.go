package sparse

// Dense kernels in plain Go. On processors with AVX2 the assembly of kernel_amd64.s takes their place; it sums in the
// same order but fuses multiplication and addition, so that the last digits differ.

// slab is the number of rows of a packed strip of A, strip the number of columns of a packed strip of B.
const (
	slab  = 12
	strip = 4
)

// addTilePortable adds A B to a tile of C with rows rows (12, 8 or 4) and 4 columns: C[i + j ldc] += Σ a[p*12 + i] b[p*4 + j].
func addTilePortable(rows, k int, a, b, c []float64, ldc int) {
	for i := 0; i < rows; i += 2 {
		var s00, s01, s02, s03, s10, s11, s12, s13 float64
		for p := range k {
			x := a[p*slab+i : p*slab+i+2 : p*slab+i+2]
			y := b[p*strip : p*strip+4 : p*strip+4]
			s00 += x[0] * y[0]
			s01 += x[0] * y[1]
			s02 += x[0] * y[2]
			s03 += x[0] * y[3]
			s10 += x[1] * y[0]
			s11 += x[1] * y[1]
			s12 += x[1] * y[2]
			s13 += x[1] * y[3]
		}
		c[i] += s00
		c[i+1] += s10
		c[i+ldc] += s01
		c[i+ldc+1] += s11
		c[i+2*ldc] += s02
		c[i+2*ldc+1] += s12
		c[i+3*ldc] += s03
		c[i+3*ldc+1] += s13
	}
}

// eliminateRowsPortable solves X D Lᵀ = A for 4 quads rows of A in place, L unit lower of order width (at most 8) in l
// by rows of 8, inverse the reciprocals of D.
func eliminateRowsPortable(width, quads int, a []float64, lda int, l *[64]float64, inverse *[8]float64) {
	for i := range 4 * quads {
		var w [8]float64
		for c := range width {
			s := a[c*lda+i]
			for j := range c {
				s -= w[j] * l[8*c+j]
			}
			w[c] = s
			a[c*lda+i] = s * inverse[c]
		}
	}
}
