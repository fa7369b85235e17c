package sparse

import "golang.org/x/sys/cpu"

// vectorUnit says whether the kernels in assembly may run here; tests clear it to reach the portable ones.
var vectorUnit = cpu.X86.HasAVX2 && cpu.X86.HasFMA

//go:noescape
func tile12(k int, a, b, c *float64, ldc int)

//go:noescape
func tile8(k int, a, b, c *float64, ldc int)

//go:noescape
func tile4(k int, a, b, c *float64, ldc int)

//go:noescape
func eliminate(width, quads int, a *float64, lda int, l, inverse *float64)

// addTile is addTilePortable by the vector unit.
func addTile(rows, k int, a, b, c []float64, ldc int) {
	if !vectorUnit {
		addTilePortable(rows, k, a, b, c, ldc)
		return
	}
	switch rows {
	case 12:
		tile12(k, &a[0], &b[0], &c[0], ldc)
	case 8:
		tile8(k, &a[0], &b[0], &c[0], ldc)
	case 4:
		tile4(k, &a[0], &b[0], &c[0], ldc)
	}
}

// eliminateRows is eliminateRowsPortable by the vector unit.
func eliminateRows(width, quads int, a []float64, lda int, l *[64]float64, inverse *[8]float64) {
	if !vectorUnit {
		eliminateRowsPortable(width, quads, a, lda, l, inverse)
		return
	}
	if quads > 0 {
		eliminate(width, quads, &a[0], lda, &l[0], &inverse[0])
	}
}
