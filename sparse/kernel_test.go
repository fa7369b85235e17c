package sparse

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The kernels of the vector unit are held to the plain ones. Both sum in the same order or, for dot products, in a few
// parts; they differ by rounding of at most one unit a term.
const kernelTolerance = 1e-13

func close(t *testing.T, what string, got, want []float64) {
	t.Helper()
	for i := range want {
		if !(math.Abs(got[i]-want[i]) <= kernelTolerance*(1+math.Abs(want[i]))) {
			t.Fatalf("%s: entry %d = %.17g, plain kernel gives %.17g", what, i, got[i], want[i])
		}
	}
}

// both runs f with the vector unit and without on copies of x and returns what it leaves.
func both(x []float64, f func(x []float64)) (fast, plain []float64) {
	fast, plain = append([]float64(nil), x...), append([]float64(nil), x...)
	f(fast)
	was := vectorUnit
	vectorUnit = false
	f(plain)
	vectorUnit = was
	return fast, plain
}

func TestKernels(t *testing.T) {
	if !vectorUnit {
		t.Skip("this processor has no AVX2 with FMA: the plain kernels are the only ones")
	}
	r := rand.New(rand.NewPCG(3, 4))
	for _, k := range []int{1, 2, 3, 4, 5, 7, 8, 13, 48} {
		a, b := randomVector(r, slab*k), randomVector(r, strip*k)
		for _, rows := range []int{4, 8, 12} {
			fast, plain := both(randomVector(r, 4*15), func(c []float64) { addTile(rows, k, a, b, c, 15) })
			close(t, "tile", fast, plain)
		}
	}
	for width := 1; width <= 8; width++ {
		for quads := range 5 {
			var l [64]float64
			var inverse [8]float64
			copy(l[:], randomVector(r, 64))
			copy(inverse[:], randomVector(r, 8))
			for i := range l { // factors of small size, so that the substitution does not magnify rounding
				l[i] /= 8
			}
			fast, plain := both(randomVector(r, 8*24), func(a []float64) { eliminateRows(width, quads, a, 24, &l, &inverse) })
			close(t, "eliminate", fast, plain)
		}
	}
	for width := 1; width <= step; width++ {
		for quads := range 7 {
			a, x := randomVector(r, step*40), randomVector(r, 4*step)
			fast, plain := both(randomVector(r, 40), func(y []float64) { subtractColumns(width, quads, a, 40, x, y) })
			close(t, "subtract", fast, plain)
			fast, plain = both(randomVector(r, 40), func(y []float64) {
				var s [4]float64
				dotColumns(width, quads, a, 40, y, &s)
				copy(y, s[:width])
			})
			close(t, "dot", fast, plain)
			fast, plain = both(randomVector(r, 160), func(y []float64) { subtractColumns4(width, quads, a, 40, x, y) })
			close(t, "subtract four", fast, plain)
			fast, plain = both(randomVector(r, 160), func(y []float64) {
				var s [16]float64
				dotColumns4(width, quads, a, 40, y, &s)
				copy(y, s[:4*width])
			})
			close(t, "dot four", fast, plain)
		}
	}
	for n := range 70 {
		x := randomVector(r, n)
		fast, plain := both(randomVector(r, n+1), func(y []float64) { addRun(y, x) })
		close(t, "add", fast, plain)
		col := make([]int32, n)
		for i := range col {
			col[i] = int32(r.IntN(20))
		}
		val := randomVector(r, n)
		fast, plain = both(randomVector(r, 80), func(y []float64) {
			var s [4]float64
			multiplyRow4(col, val, y, s[:])
			copy(y, s[:])
		})
		close(t, "row", fast, plain)
	}
}
