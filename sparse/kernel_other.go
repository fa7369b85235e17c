//go:build !amd64

package sparse

// vectorUnit is false: there is no assembly for this processor.
var vectorUnit = false

func addTile(rows, k int, a, b, c []float64, ldc int) {
	addTilePortable(rows, k, a, b, c, ldc)
}

func eliminateRows(width, quads int, a []float64, lda int, l *[64]float64, inverse *[8]float64) {
	eliminateRowsPortable(width, quads, a, lda, l, inverse)
}

func subtractColumns(width, quads int, a []float64, lda int, x, t []float64) {
	subtractColumnsPortable(width, max(0, quads), a, lda, x, t)
}

func dotColumns(width, quads int, a []float64, lda int, t []float64, s *[4]float64) {
	dotColumnsPortable(width, max(0, quads), a, lda, t, s)
}

func subtractColumns4(width, rows int, a []float64, lda int, x, t []float64) {
	subtractColumns4Portable(width, max(0, rows), a, lda, x, t)
}

func dotColumns4(width, rows int, a []float64, lda int, t []float64, s *[16]float64) {
	dotColumns4Portable(width, max(0, rows), a, lda, t, s)
}

func addRun(dst, src []float64) {
	addRunPortable(dst, src)
}

func multiplyRow4(col []int32, val, x, out []float64) {
	multiplyRow4Portable(col, val, x, out)
}
