package sparse

//go:noescape
func subtract4(quads int, a *float64, lda int, x, t *float64)

//go:noescape
func subtract1(quads int, a *float64, lda int, x, t *float64)

//go:noescape
func dot4(quads int, a *float64, lda int, t, s *float64)

//go:noescape
func dot1(quads int, a *float64, lda int, t, s *float64)

//go:noescape
func subtract4x4(rows int, a *float64, lda int, x, t *float64)

//go:noescape
func subtract1x4(rows int, a *float64, lda int, x, t *float64)

//go:noescape
func dot4x4(rows int, a *float64, lda int, t, s *float64)

//go:noescape
func dot1x4(rows int, a *float64, lda int, t, s *float64)

//go:noescape
func addInto(quads int, src, dst *float64)

//go:noescape
func gather4(count int, col *int32, val, x, out *float64)

// subtractColumns is subtractColumnsPortable by the vector unit.
func subtractColumns(width, quads int, a []float64, lda int, x, t []float64) {
	switch {
	case quads <= 0:
	case !vectorUnit:
		subtractColumnsPortable(width, quads, a, lda, x, t)
	case width == 4:
		subtract4(quads, &a[0], lda, &x[0], &t[0])
	default:
		for c := range width {
			subtract1(quads, &a[c*lda], lda, &x[c], &t[0])
		}
	}
}

// dotColumns is dotColumnsPortable by the vector unit.
func dotColumns(width, quads int, a []float64, lda int, t []float64, s *[4]float64) {
	switch {
	case quads <= 0:
		*s = [4]float64{}
	case !vectorUnit:
		dotColumnsPortable(width, quads, a, lda, t, s)
	case width == 4:
		dot4(quads, &a[0], lda, &t[0], &s[0])
	default:
		for c := range width {
			dot1(quads, &a[c*lda], lda, &t[0], &s[c])
		}
	}
}

// subtractColumns4 is subtractColumns4Portable by the vector unit.
func subtractColumns4(width, rows int, a []float64, lda int, x, t []float64) {
	switch {
	case rows <= 0:
	case !vectorUnit:
		subtractColumns4Portable(width, rows, a, lda, x, t)
	case width == 4:
		subtract4x4(rows, &a[0], lda, &x[0], &t[0])
	default:
		for c := range width {
			subtract1x4(rows, &a[c*lda], lda, &x[4*c], &t[0])
		}
	}
}

// dotColumns4 is dotColumns4Portable by the vector unit.
func dotColumns4(width, rows int, a []float64, lda int, t []float64, s *[16]float64) {
	switch {
	case rows <= 0:
		*s = [16]float64{}
	case !vectorUnit:
		dotColumns4Portable(width, rows, a, lda, t, s)
	case width == 4:
		dot4x4(rows, &a[0], lda, &t[0], &s[0])
	default:
		for c := range width {
			dot1x4(rows, &a[c*lda], lda, &t[0], &s[4*c])
		}
	}
}

// multiplyRow4 is multiplyRow4Portable by the vector unit.
func multiplyRow4(col []int32, val, x, out []float64) {
	if !vectorUnit || len(col) == 0 {
		multiplyRow4Portable(col, val, x, out)
		return
	}
	gather4(len(col), &col[0], &val[0], &x[0], &out[0])
}

// addRun adds src to the beginning of dst.
func addRun(dst, src []float64) {
	n := 0
	if len(src) >= 16 && vectorUnit {
		n = len(src) &^ 3
		addInto(n/4, &src[0], &dst[:len(src)][0])
	}
	addRunPortable(dst[n:], src[n:])
}
