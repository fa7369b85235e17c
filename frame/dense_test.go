package frame

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// definite draws a symmetric positive definite matrix of order n as Bᵀ B + d I, rows of n.
func definite(t *rapid.T, n int, d float64) []float64 {
	b := make([]float64, n*n)
	for i := range b {
		b[i] = rapid.Float64Range(-1, 1).Draw(t, "b")
	}
	a := make([]float64, n*n)
	for i := range n {
		for j := range n {
			for k := range n {
				a[i*n+j] += b[k*n+i] * b[k*n+j]
			}
		}
		a[i*n+i] += d
	}
	return a
}

// TestRitzSolvesItsProblem substitutes the pairs into K y = λ M y.
func TestRitzSolvesItsProblem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		k, m := definite(t, n, 0.1), definite(t, n, 1e-3)
		var r ritz
		r.resize(n)
		copy(r.k.a, k)
		copy(r.m, m)
		if !r.solve() {
			t.Fatal("K counted as not definite")
		}
		for i := range n {
			y := r.v[i*n : (i+1)*n]
			if i > 0 && r.values[i] < r.values[i-1] && r.values[i-1] < 1e12 {
				t.Fatalf("values do not rise: %v", r.values)
			}
			if !(math.Abs(r.values[i]) < 1e9) {
				continue // M hardly moves there
			}
			for row := range n {
				ky, my := dotProduct(k[row*n:(row+1)*n], y), dotProduct(m[row*n:(row+1)*n], y)
				if math.Abs(ky-r.values[i]*my) > 1e-9*(1+math.Abs(r.values[i])) {
					t.Fatalf("pair %d: K y = %g, λ M y = %g", i, ky, r.values[i]*my)
				}
			}
		}
	})
}

// TestDominantFindsTheLargest compares with the full solution of the same matrix.
func TestDominantFindsTheLargest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.IntRange(1, 20).Draw(t, "size")
		n := rapid.IntRange(1, min(size, 4)).Draw(t, "n")
		a := definite(t, size, 1e-3)
		var d dominant
		if !d.find(a, size, n, 1e-6) {
			return // two values nearer than the iteration can tell apart in its steps; the caller goes another way
		}
		var r ritz
		r.resize(size)
		for i := range size {
			r.k.a[i*size+i] = 1
		}
		copy(r.m, a)
		if !r.solve() {
			t.Fatal("unit matrix counted as not definite")
		}
		for i := range n {
			near(t, "eigenvalue", d.values[i], 1/r.values[i], 1e-6)
		}
	})
}

// TestLowerSolves multiplies back.
func TestLowerSolves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		a := definite(t, n, 0.1)
		var l lower
		l.resize(n)
		copy(l.a, a)
		if l.factor(0) >= 0 {
			t.Fatal("definite matrix refused")
		}
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(i) - 2.5
		}
		b := append([]float64(nil), x...)
		l.forward(x)
		l.backward(x)
		for i := range n {
			if got := dotProduct(a[i*n:(i+1)*n], x); math.Abs(got-b[i]) > 1e-9 {
				t.Fatalf("row %d: %g, want %g", i, got, b[i])
			}
		}
		l.resize(n)
		copy(l.a, a)
		l.a[0] = -1
		if l.factor(0) != 0 {
			t.Fatal("a negative pivot was taken")
		}
	})
}
