package sparse

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// dense returns m as a gonum matrix, read entry by entry.
func dense(m *Matrix) *mat.SymDense {
	d := mat.NewSymDense(m.N(), nil)
	for i := range m.N() {
		for j := range i + 1 {
			d.SetSym(i, j, m.At(i, j))
		}
	}
	return d
}

// anyPattern draws a symmetric matrix of order n: up to degree random entries a row and a diagonal that is, if definite,
// larger than the sum of the other magnitudes (Gershgorin), and otherwise of either sign.
func anyPattern(r *rand.Rand, n, degree int, definite bool) *Matrix {
	b := NewBuilder(n)
	sum := make([]float64, n)
	for i := range n {
		for range r.IntN(degree + 1) {
			j := r.IntN(n)
			if j == i {
				continue
			}
			v := r.NormFloat64()
			b.Add(i, j, v)
			sum[i] += math.Abs(v)
			sum[j] += math.Abs(v)
		}
	}
	for i := range n {
		d := sum[i] + 0.1 + r.Float64()
		if !definite && r.IntN(2) == 0 {
			d = -d
		}
		b.Add(i, i, d)
	}
	return b.Build()
}

func randomVector(r *rand.Rand, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = r.NormFloat64()
	}
	return x
}

// largest returns the largest magnitude of a - b.
func largest(a, b []float64) float64 {
	big := 0.0
	for i := range a {
		big = max(big, math.Abs(a[i]-b[i]))
	}
	return big
}

func TestBuilderAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		want := mat.NewSymDense(n, nil)
		b := NewBuilder(n)
		for range rapid.IntRange(0, 60).Draw(t, "entries") {
			i, j := rapid.IntRange(0, n-1).Draw(t, "i"), rapid.IntRange(0, n-1).Draw(t, "j")
			v := float64(rapid.IntRange(-8, 8).Draw(t, "v")) // whole numbers add up without rounding
			b.Add(i, j, v)
			want.SetSym(i, j, want.At(i, j)+v)
		}
		m := b.Build()
		diagonal := m.Diagonal()
		x, y := make([]float64, n), make([]float64, n)
		norm := 0.0
		for i := range n {
			x[i] = float64(i*i%7 - 3)
			row := 0.0
			for j := range n {
				if got := m.At(i, j); got != want.At(i, j) {
					t.Fatalf("entry (%d, %d) = %g, want %g", i, j, got, want.At(i, j))
				}
				row += math.Abs(want.At(i, j))
			}
			norm = max(norm, row)
			if diagonal[i] != want.At(i, i) {
				t.Fatalf("diagonal %d = %g, want %g", i, diagonal[i], want.At(i, i))
			}
		}
		if got := m.NormInf(); got != norm {
			t.Fatalf("norm = %g, want %g", got, norm)
		}
		m.MulVec(y, x)
		var product mat.VecDense
		product.MulVec(want, mat.NewVecDense(n, x))
		for i := range y {
			if y[i] != product.AtVec(i) {
				t.Fatalf("product %d = %g, want %g", i, y[i], product.AtVec(i))
			}
		}
	})
}

func TestCombineIsLinear(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := 1; n < 30; n++ {
		a, b := anyPattern(r, n, 4, true), anyPattern(r, n, 2, false)
		c := Combine(2, a, -3, b)
		for i := range n {
			for j := range n {
				if got, want := c.At(i, j), 2*a.At(i, j)-3*b.At(i, j); got != want {
					t.Fatalf("order %d, entry (%d, %d) = %g, want %g", n, i, j, got, want)
				}
			}
		}
		if u := Combine(1, a, 1, a); !u.samePattern(a) {
			t.Errorf("order %d: the union of a pattern with itself differs", n)
		}
	}
}

func TestBuilderRefusesPlaceOutside(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("entry (3, 0) of order 3 was taken")
		}
	}()
	NewBuilder(3).Add(3, 0, 1)
}
