package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// denseEigen returns the eigenvalues of K x = λ M x by the dense way round, M definite: with M = L Lᵀ, those of L⁻¹ K L⁻ᵀ.
func denseEigen(t testing.TB, k, m *Matrix) []float64 {
	t.Helper()
	var chol mat.Cholesky
	if !chol.Factorize(dense(m)) {
		t.Fatal("reference: M is not definite")
	}
	var l mat.TriDense
	chol.LTo(&l)
	var half, full mat.Dense
	if err := half.Solve(&l, dense(k)); err != nil {
		t.Fatal(err)
	}
	if err := full.Solve(&l, half.T()); err != nil {
		t.Fatal(err)
	}
	sym := mat.NewSymDense(k.N(), nil)
	for i := range k.N() {
		for j := range i + 1 {
			sym.SetSym(i, j, (full.At(i, j)+full.At(j, i))/2)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(sym, false) {
		t.Fatal("reference has not converged")
	}
	return eigen.Values(nil)
}

// checkPairs holds eigenpairs to what Lowest promises of them.
func checkPairs(t *testing.T, k, m *Matrix, values []float64, vectors [][]float64, proof EigenProof) {
	t.Helper()
	if !proof.Complete() {
		t.Errorf("count not complete: %+v", proof)
	}
	if !slices.IsSorted(values) {
		t.Errorf("values do not rise: %v", values)
	}
	mx := make([]float64, k.N())
	for i, x := range vectors {
		m.MulVec(mx, x)
		for j, y := range vectors {
			dot, want := 0.0, 0.0
			for p := range y {
				dot += y[p] * mx[p]
			}
			if i == j {
				want = 1
			}
			if math.Abs(dot-want) > 1e-8 {
				t.Errorf("vectors %d and %d: product %.3g, want %g", i, j, dot, want)
			}
		}
		if big := maxAbs(x); -slices.Min(x) > big*(1-1e-9) && slices.Max(x) < big*(1-1e-5) {
			t.Errorf("vector %d: largest entry is negative", i)
		}
	}
}

// lowest calls Lowest and fails the test on an error.
func lowest(t testing.TB, k, m *Matrix, n int, opt EigenOptions) ([]float64, [][]float64, EigenProof) {
	t.Helper()
	values, vectors, proof, err := Lowest(k, m, n, opt)
	if err != nil {
		t.Fatalf("%v (%+v)", err, proof)
	}
	return values, vectors, proof
}

// A chain of n masses between walls: λ_k = 4 sin²(k π / (2 (n+1))) for unit springs and masses (derived: sines solve it).
func TestChainOfMasses(t *testing.T) {
	for _, n := range []int{1, 2, 3, 5, 9, 40, 333, 3000} {
		kb, mb := NewBuilder(n), NewBuilder(n)
		for i := range n {
			kb.Add(i, i, 2)
			mb.Add(i, i, 1)
			if i > 0 {
				kb.Add(i, i-1, -1)
			}
		}
		k, m := kb.Build(), mb.Build()
		for _, want := range []int{1, 6, 25} {
			values, vectors, proof := lowest(t, k, m, want, EigenOptions{})
			checkPairs(t, k, m, values, vectors, proof)
			if len(values) != min(want, n) {
				t.Errorf("%d masses: %d values, want %d", n, len(values), min(want, n))
			}
			for i, v := range values {
				s := math.Sin(float64(i+1) * math.Pi / (2 * float64(n+1)))
				// Rounding of K is up to 4 units; seen from a small λ it weighs 1/λ.
				if exact := 4 * s * s; math.Abs(v-exact) > 1e-15*(4+exact*100) {
					t.Errorf("%d masses: value %d = %.15g, exactly %.15g", n, i, v, exact)
				}
			}
		}
	}
}

func TestLowestAgainstDense(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	for _, n := range []int{1, 2, 4, 6, 10, 25, 60, 110} {
		for _, degree := range []int{0, 2, 6} {
			k, m := anyPattern(r, n, degree, true), anyPattern(r, n, 1, true)
			want := denseEigen(t, k, m)
			for _, count := range []int{1, 3, n/2 + 1, n} {
				values, vectors, proof := lowest(t, k, m, count, EigenOptions{})
				checkPairs(t, k, m, values, vectors, proof)
				if len(values) != min(count, n) {
					t.Fatalf("order %d: %d values, want %d", n, len(values), min(count, n))
				}
				for i, v := range values {
					// M is diagonally dominant with a condition below 100, so that the reference is good to 1e-13 of the largest.
					if math.Abs(v-want[i]) > 1e-12*want[n-1] {
						t.Errorf("order %d, %d wanted: value %d = %.14g, dense %.14g", n, count, i, v, want[i])
					}
				}
			}
		}
	}
}

// Indefinite K: the lowest values are negative, and the shift has to go below them.
func TestLowestOfIndefinite(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	for _, n := range []int{2, 7, 30, 90} {
		k, m := anyPattern(r, n, 3, false), anyPattern(r, n, 1, true)
		want := denseEigen(t, k, m)
		values, vectors, proof := lowest(t, k, m, 5, EigenOptions{})
		checkPairs(t, k, m, values, vectors, proof)
		for i, v := range values {
			if math.Abs(v-want[i]) > 1e-12*max(-want[0], want[n-1]) {
				t.Errorf("order %d: value %d = %.14g, dense %.14g", n, i, v, want[i])
			}
		}
	}
}

// copies is count equal parts, so that every eigenvalue has that multiplicity.
func copies(m *Matrix, count int) *Matrix {
	b := NewBuilder(m.N() * count)
	for c := range count {
		for j := range m.N() {
			for e := m.start[j]; e < m.start[j+1]; e++ {
				b.Add(c*m.N()+int(m.row[e]), c*m.N()+j, m.val[e])
			}
		}
	}
	return b.Build()
}

func TestRepeatedValues(t *testing.T) {
	r := rand.New(rand.NewPCG(35, 36))
	k1, m1 := anyPattern(r, 20, 3, true), anyPattern(r, 20, 1, true)
	one := denseEigen(t, k1, m1)
	for _, count := range []int{2, 3, 4, 5, 8, 13} {
		k, m := copies(k1, count), copies(m1, count)
		for _, n := range []int{1, count, count + 1, 3 * count} {
			values, vectors, proof := lowest(t, k, m, n, EigenOptions{})
			checkPairs(t, k, m, values, vectors, proof)
			for i, v := range values {
				if want := one[i/count]; math.Abs(v-want) > 1e-12*one[19] {
					t.Errorf("%d copies, %d wanted: value %d = %.14g, want %.14g", count, n, i, v, want)
				}
			}
		}
	}
}

// A symmetric lattice bends alike both ways: its first two modes are one pair.
func TestSymmetricLattice(t *testing.T) {
	k, m := lattice(5, 5, 6, false, true)
	values, vectors, proof := lowest(t, k, m, 8, EigenOptions{Block: 6})
	checkPairs(t, k, m, values, vectors, proof)
	if math.Abs(values[1]-values[0]) > 1e-9*values[0] {
		t.Errorf("sway both ways: %.12g and %.12g", values[0], values[1])
	}
	if values[2] < 1.01*values[1] {
		t.Errorf("twist %.6g is no third mode of its own beside sway %.6g", values[2], values[1])
	}
}

// Free in space: six modes of 0 Hz, and the bending of a slender bar as in the books.
func TestFreeBar(t *testing.T) {
	const n = 31
	s := newStructure(n)
	at := func(node int) [3]float64 { return [3]float64{float64(node) / (n - 1), 0, 0} }
	for i := range n - 1 {
		s.member(beam{0.01}, i, i+1, at)
	}
	k, m := s.k.Build(), s.m.Build()
	values, vectors, proof := lowest(t, k, m, 12, EigenOptions{Block: 6})
	checkPairs(t, k, m, values, vectors, proof)
	if proof.Shift >= 0 {
		t.Errorf("shift %g, want a negative one", proof.Shift)
	}
	// (β l)⁴ E I / (ρ A l⁴) with β l = 4.730041, 7.853205, 10.995608 (Blevins, Formulas for Natural Frequency and Mode Shape,
	// 1979, free-free beam; from memory), each twice. Consistent elements are off by 2 (β l / 30)⁴ / 1440, 2.5e-5 at the third.
	unit := 210e9 * 0.01 * 0.01 / 12 / 7850
	for i, v := range values {
		if i < 6 {
			if math.Abs(v) > 1e-8*values[6] {
				t.Errorf("value %d = %g is no 0 beside %g", i, v, values[6])
			}
			continue
		}
		want := math.Pow([]float64{4.730041, 7.853205, 10.995608}[(i-6)/2], 4) * unit
		if math.Abs(v-want) > 3e-5*want {
			t.Errorf("value %d = %.8g, want %.8g", i, v, want)
		}
	}
}

// Freedoms without mass: the values are those of the matrices condensed to the others.
func TestMasslessFreedoms(t *testing.T) {
	r := rand.New(rand.NewPCG(37, 38))
	for _, n := range []int{3, 8, 24, 70} {
		k := anyPattern(r, n, 4, true)
		heavy := n / 3
		mb := NewBuilder(n)
		for i := range heavy {
			mb.Add(i, i, 1+r.Float64())
		}
		m := mb.Build()
		// K_aa - K_ab K_bb⁻¹ K_ba for the freedoms a with mass (Guyan's reduction, exact here).
		full := dense(k)
		kbb := full.SliceSym(heavy, n).(*mat.SymDense)
		kab := mat.NewDense(heavy, n-heavy, nil)
		kab.Copy(fullSlice(full, 0, heavy, heavy, n))
		var x, sub mat.Dense
		if err := x.Solve(kbb, kab.T()); err != nil {
			t.Fatal(err)
		}
		sub.Mul(kab, &x)
		kb, mbs := NewBuilder(heavy), NewBuilder(heavy)
		for i := range heavy {
			mbs.Add(i, i, m.At(i, i))
			for j := range i + 1 {
				kb.Add(i, j, full.At(i, j)-sub.At(i, j))
			}
		}
		want := denseEigen(t, kb.Build(), mbs.Build())
		for _, count := range []int{1, heavy, n} {
			values, vectors, proof := lowest(t, k, m, count, EigenOptions{})
			checkPairs(t, k, m, values, vectors, proof)
			if len(values) != min(count, heavy) {
				t.Errorf("order %d: %d values, want %d, as many as there are masses", n, len(values), min(count, heavy))
			}
			for i, v := range values {
				if math.Abs(v-want[i]) > 1e-11*want[heavy-1] {
					t.Errorf("order %d: value %d = %.13g, condensed %.13g", n, i, v, want[i])
				}
			}
		}
	}
}

func fullSlice(s *mat.SymDense, i, k, j, l int) mat.Matrix {
	var d mat.Dense
	d.CloneFrom(s)
	return d.Slice(i, k, j, l)
}

func TestLowestRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(39, 40))
	k, m := anyPattern(r, 12, 2, true), anyPattern(r, 12, 1, true)
	bare := NewBuilder(2) // freedom 1 has neither stiffness nor mass
	bare.Add(0, 0, 1)
	nan := NewBuilder(12)
	nan.Add(3, 3, math.NaN())
	above := denseEigen(t, k, m)[2] * 1.01
	var singular *SingularError
	if _, _, _, err := Lowest(bare.Build(), bare.Build(), 1, EigenOptions{}); !errors.As(err, &singular) || singular.Index != 1 {
		t.Errorf("no stiffness and no mass: error %v, want a *SingularError at freedom 1", err)
	}
	for name, f := range map[string]func() error{
		"orders differ":    func() error { _, _, _, err := Lowest(k, bare.Build(), 1, EigenOptions{}); return err },
		"shift among them": func() error { _, _, _, err := Lowest(k, m, 2, EigenOptions{Shift: above}); return err },
		"stiffness is NaN": func() error { _, _, _, err := Lowest(Combine(1, k, 1, nan.Build()), m, 2, EigenOptions{}); return err },
		"mass is NaN":      func() error { _, _, _, err := Lowest(k, Combine(1, m, 1, nan.Build()), 2, EigenOptions{}); return err },
		"start of length 3": func() error {
			_, _, err := LowestOf(Operator{N: 12}, 1, IterationOptions{Start: [][]float64{{1, 2, 3}}})
			return err
		},
	} {
		if f() == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if values, _, _, err := Lowest(k, NewBuilder(12).Build(), 3, EigenOptions{}); err != nil || len(values) != 0 {
		t.Errorf("no mass at all: %v and error %v, want nothing", values, err)
	}
}
