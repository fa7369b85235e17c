//go:build !amd64

package sparse

func addTile(rows, k int, a, b, c []float64, ldc int) {
	addTilePortable(rows, k, a, b, c, ldc)
}

func eliminateRows(width, quads int, a []float64, lda int, l *[64]float64, inverse *[8]float64) {
	eliminateRowsPortable(width, quads, a, lda, l, inverse)
}
