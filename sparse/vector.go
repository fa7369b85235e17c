package sparse

// Kernels of the triangular solutions in plain Go; vector_amd64.s takes their place on processors with AVX2. A matrix
// is stored by columns of length lda; width, the number of columns, is at most 4.

// subtractColumnsPortable subtracts A x from 4 quads rows of t.
func subtractColumnsPortable(width, quads int, a []float64, lda int, x, t []float64) {
	t = t[:4*quads]
	if width == 4 {
		x0, x1, x2, x3 := x[0], x[1], x[2], x[3]
		a0, a1, a2, a3 := a[:len(t)], a[lda:][:len(t)], a[2*lda:][:len(t)], a[3*lda:][:len(t)]
		for i, v := range t {
			t[i] = v - a0[i]*x0 - a1[i]*x1 - a2[i]*x2 - a3[i]*x3
		}
		return
	}
	for c := range width {
		xc, ac := x[c], a[c*lda:][:len(t)]
		for i := range t {
			t[i] -= ac[i] * xc
		}
	}
}

// dotColumnsPortable sets s = Aᵀ t over 4 quads rows.
func dotColumnsPortable(width, quads int, a []float64, lda int, t []float64, s *[4]float64) {
	t = t[:4*quads]
	if width == 4 {
		var s0, s1, s2, s3 float64
		a0, a1, a2, a3 := a[:len(t)], a[lda:][:len(t)], a[2*lda:][:len(t)], a[3*lda:][:len(t)]
		for i, v := range t {
			s0 += a0[i] * v
			s1 += a1[i] * v
			s2 += a2[i] * v
			s3 += a3[i] * v
		}
		*s = [4]float64{s0, s1, s2, s3}
		return
	}
	for c := range width {
		sum, ac := 0.0, a[c*lda:][:len(t)]
		for i, v := range t {
			sum += ac[i] * v
		}
		s[c] = sum
	}
}

// subtractColumns4Portable subtracts A X from rows of T for four right sides: X and T hold four numbers a row.
func subtractColumns4Portable(width, rows int, a []float64, lda int, x, t []float64) {
	for c := range width {
		x0, x1, x2, x3 := x[4*c], x[4*c+1], x[4*c+2], x[4*c+3]
		ac := a[c*lda:][:rows]
		for i, v := range ac {
			r := t[4*i:][:4:4]
			r[0] -= v * x0
			r[1] -= v * x1
			r[2] -= v * x2
			r[3] -= v * x3
		}
	}
}

// dotColumns4Portable sets S = Aᵀ T for four right sides; row c of S belongs to column c of A.
func dotColumns4Portable(width, rows int, a []float64, lda int, t []float64, s *[16]float64) {
	for c := range width {
		var s0, s1, s2, s3 float64
		ac := a[c*lda:][:rows]
		for i, v := range ac {
			r := t[4*i:][:4:4]
			s0 += v * r[0]
			s1 += v * r[1]
			s2 += v * r[2]
			s3 += v * r[3]
		}
		s[4*c], s[4*c+1], s[4*c+2], s[4*c+3] = s0, s1, s2, s3
	}
}

// addRunPortable adds src to the beginning of dst.
func addRunPortable(dst, src []float64) {
	dst = dst[:len(src)]
	for i, v := range src {
		dst[i] += v
	}
}

// multiplyRow4Portable sets out = Σ val x[col] for four vectors side by side.
func multiplyRow4Portable(col []int32, val, x, out []float64) {
	var s0, s1, s2, s3 float64
	for k, c := range col {
		v, r := val[k], x[4*int(c):][:4:4]
		s0 += v * r[0]
		s1 += v * r[1]
		s2 += v * r[2]
		s3 += v * r[3]
	}
	out[0], out[1], out[2], out[3] = s0, s1, s2, s3
}
