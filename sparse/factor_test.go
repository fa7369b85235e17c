package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// backwardError returns |b - K x| / (|K| |x| + |b|) in the infinity norm: how little K and b must change for x to be exact.
//
// Source: Rigal, Gaches, J. ACM 14 (1967) 543 (from memory).
func backwardError(k *Matrix, x, b []float64) float64 {
	r := make([]float64, len(b))
	k.MulVec(r, x)
	return largest(r, b) / (k.NormInf()*maxAbs(x) + maxAbs(b))
}

// solvedWell is a backward error that a stable solution stays below: a few units of rounding, growing slowly with the
// number of terms. Measured: at most 3e-16 on all matrices of these tests.
const solvedWell = 5e-15

func factored(t testing.TB, m *Matrix, block int) *Factor {
	t.Helper()
	f, err := Analyse(m, block).Factor(m, FactorOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestSolveDefinite(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for _, n := range []int{1, 2, 3, 4, 5, 7, 8, 9, 11, 12, 13, 16, 17, 23, 24, 25, 31, 33, 48, 49, 64, 65, 96, 100, 150, 193, 250, 400} {
		for _, degree := range []int{0, 1, 3, 8, n} {
			m := anyPattern(r, n, min(degree, 60), true)
			f := factored(t, m, 1)
			b := randomVector(r, n)
			x := make([]float64, n)
			f.Solve(x, b)
			if e := backwardError(m, x, b); !(e <= solvedWell) {
				t.Errorf("order %d, degree %d: backward error %.2g", n, degree, e)
			}
			if f.Negative() != 0 {
				t.Errorf("order %d, degree %d: %d negative pivots of a definite matrix", n, degree, f.Negative())
			}
		}
	}
}

// L D Lᵀ of indefinite matrices: the solution is right, and the signs of D are those of the eigenvalues.
func TestInertia(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		n := rapid.IntRange(1, 80).Draw(t, "n")
		m := anyPattern(r, n, rapid.IntRange(0, 6).Draw(t, "degree"), false)
		f, err := Analyse(m, 1).Factor(m, FactorOptions{})
		if err != nil {
			t.Fatal(err) // diagonally dominant: every leading minor is regular
		}
		var eigen mat.EigenSym
		if !eigen.Factorize(dense(m), false) {
			t.Fatal("reference has not converged")
		}
		want := 0
		for _, v := range eigen.Values(nil) {
			if v < 0 {
				want++
			}
		}
		if got := f.Negative(); got != want {
			t.Fatalf("%d negative pivots, %d negative eigenvalues", got, want)
		}
		b := randomVector(r, n)
		x := make([]float64, n)
		f.Solve(x, b)
		if e := backwardError(m, x, b); !(e <= solvedWell) {
			t.Fatalf("backward error %.2g", e)
		}
	})
}

func TestSolveAgainstDense(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for _, n := range []int{5, 30, 120} {
		m := anyPattern(r, n, 4, true)
		b := randomVector(r, n)
		x := make([]float64, n)
		factored(t, m, 1).Solve(x, b)
		var chol mat.Cholesky
		if !chol.Factorize(dense(m)) {
			t.Fatal("reference is not definite")
		}
		var want mat.VecDense
		if err := chol.SolveVecTo(&want, mat.NewVecDense(n, b)); err != nil {
			t.Fatal(err)
		}
		// Diagonally dominant rows by 0.1 of up to about 50: condition below 1e3.
		if d := largest(x, want.RawVector().Data); !(d <= 1e-12*maxAbs(x)) {
			t.Errorf("order %d: differs from the dense solution by %.2g", n, d)
		}
	}
}

// The plain kernels must do everything the vector unit does; this is all that other processors have.
func TestPlainKernelsSolve(t *testing.T) {
	was := vectorUnit
	vectorUnit = false
	defer func() { vectorUnit = was }()
	k, m := lattice(7, 6, 5, true, true)
	f := factored(t, k, 6)
	b := make([]float64, k.N())
	m.MulVec(b, slices.Repeat([]float64{1, -2, 3}, k.N()/3))
	x := make([]float64, k.N())
	f.Solve(x, b)
	if e := backwardError(k, x, b); !(e <= solvedWell) {
		t.Errorf("backward error %.2g", e)
	}
}

func TestSolveMany(t *testing.T) {
	k, _ := lattice(6, 5, 4, true, true)
	f := factored(t, k, 6)
	r := rand.New(rand.NewPCG(15, 16))
	for count := range 11 {
		b, x := make([][]float64, count), make([][]float64, count)
		for i := range b {
			b[i] = randomVector(r, k.N())
			x[i] = slices.Clone(b[i])
		}
		f.SolveMany(x, x) // in place
		for i := range b {
			if e := backwardError(k, x[i], b[i]); !(e <= solvedWell) {
				t.Errorf("%d right sides: number %d has backward error %.2g", count, i, e)
			}
		}
	}
}

func TestPatterns(t *testing.T) {
	k, m := lattice(3, 3, 2, true, true)
	s := Analyse(k, 6)
	part := NewBuilder(k.N())
	for i, d := range k.Diagonal() {
		part.Add(i, i, d)
	}
	beyond := NewBuilder(k.N())
	beyond.Add(k.N()-1, 0, 1)
	tests := map[string]struct {
		m    *Matrix
		want string // part of the error, empty for none
	}{
		"the same":           {k, ""},
		"other values":       {m, ""},
		"a part of it":       {part.Build(), ""},
		"the union":          {Combine(1, k, 100, m), ""},
		"an entry beyond it": {Combine(1, k, 1, beyond.Build()), "not in the analysed pattern"},
		"another order":      {anyPattern(rand.New(rand.NewPCG(1, 1)), 7, 2, true), "order 7"},
	}
	for name, c := range tests {
		f, err := s.Factor(c.m, FactorOptions{})
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: error %v, want one with %q", name, err, c.want)
		case err == nil:
			b := make([]float64, k.N())
			b[7] = 1
			x := make([]float64, k.N())
			f.Solve(x, b)
			if e := backwardError(c.m, x, b); !(e <= solvedWell) {
				t.Errorf("%s: backward error %.2g", name, e)
			}
		}
	}
}

// Numbers of goroutines must not be seen in the result, not even in the last bit.
func TestWorkersChangeNothing(t *testing.T) {
	k, _ := lattice(11, 10, 9, true, true)
	s := Analyse(k, 6)
	if len(s.trees) < 2 || s.commonPlaces() == 0 {
		t.Fatal("the lattice is too small to be shared; the test would prove nothing")
	}
	r := rand.New(rand.NewPCG(17, 18))
	b := [][]float64{randomVector(r, k.N()), randomVector(r, k.N()), randomVector(r, k.N())}
	var l []float64
	var single []float64
	var many [][]float64
	for _, workers := range []int{1, 2, 3, 8} {
		f, err := s.Factor(k, FactorOptions{Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		x := make([]float64, k.N())
		f.Solve(x, b[0])
		y := [][]float64{make([]float64, k.N()), make([]float64, k.N()), make([]float64, k.N())}
		f.SolveMany(y, b)
		if e := backwardError(k, x, b[0]); !(e <= solvedWell) {
			t.Errorf("%d goroutines: backward error %.2g", workers, e)
		}
		if l == nil {
			l, single, many = f.l, x, y
			continue
		}
		if !slices.Equal(f.d, factoredD(t, s, k)) || !sameLower(s, f.l, l) {
			t.Errorf("%d goroutines: the factor differs", workers)
		}
		if !slices.Equal(x, single) {
			t.Errorf("%d goroutines: the solution differs", workers)
		}
		for i := range y {
			if !slices.Equal(y[i], many[i]) {
				t.Errorf("%d goroutines: solution %d of several differs", workers, i)
			}
		}
	}
}

// Nor may the number of processors be seen in the order.
func TestProcessorsChangeNothing(t *testing.T) {
	k, _ := lattice(11, 10, 9, true, true)
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	one := Analyse(k, 6)
	runtime.GOMAXPROCS(2)
	two := Analyse(k, 6)
	if !slices.Equal(one.perm, two.perm) || !slices.Equal(one.trees, two.trees) {
		t.Error("the order depends on the number of processors")
	}
}

func factoredD(t *testing.T, s *Symbolic, k *Matrix) []float64 {
	f, err := s.Factor(k, FactorOptions{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	return f.d
}

// sameLower compares L below the diagonal; what lies above in the panels is left over.
func sameLower(s *Symbolic, a, b []float64) bool {
	for i := range s.fronts {
		f := &s.fronts[i]
		for c := range int(f.width) {
			from, to := f.panel+c*int(f.ld)+c+1, f.panel+c*int(f.ld)+int(f.height)
			if !slices.Equal(a[from:to], b[from:to]) {
				return false
			}
		}
	}
	return true
}

func TestSolveConcurrently(t *testing.T) {
	for _, size := range [][3]int{{4, 4, 3}, {10, 10, 8}} {
		k, _ := lattice(size[0], size[1], size[2], true, true)
		f := factored(t, k, 6)
		b := randomVector(rand.New(rand.NewPCG(19, 20)), k.N())
		want := make([]float64, k.N())
		f.Solve(want, b)
		var group sync.WaitGroup
		for range 6 {
			group.Go(func() {
				x := make([]float64, len(b))
				for range 3 {
					f.Solve(x, b)
					if !slices.Equal(x, want) {
						t.Error("a solution at the same time as others differs")
					}
				}
			})
		}
		group.Wait()
	}
}

func TestSolveDoesNotAllocate(t *testing.T) {
	for _, size := range [][3]int{{4, 4, 3}, {10, 10, 8}} {
		k, _ := lattice(size[0], size[1], size[2], true, true)
		f := factored(t, k, 6)
		r := rand.New(rand.NewPCG(21, 22))
		x := [][]float64{randomVector(r, k.N()), randomVector(r, k.N()), randomVector(r, k.N()), randomVector(r, k.N()), randomVector(r, k.N())}
		var s Scratch
		f.SolveManyWith(&s, x, x)
		if n := testing.AllocsPerRun(10, func() { f.SolveWith(&s, x[0], x[0]) }); n != 0 {
			t.Errorf("%v: %v allocations a solution, want 0", size, n)
		}
		if n := testing.AllocsPerRun(10, func() { f.SolveManyWith(&s, x, x) }); n != 0 {
			t.Errorf("%v: %v allocations for several right sides, want 0", size, n)
		}
	}
}

func TestFactorRefusesNaN(t *testing.T) {
	for name, v := range map[string]float64{"NaN": math.NaN(), "infinity": math.Inf(1)} {
		b := NewBuilder(3)
		for i := range 3 {
			b.Add(i, i, 2)
		}
		b.Add(2, 1, v)
		m := b.Build()
		_, err := Analyse(m, 1).Factor(m, FactorOptions{})
		var singular *SingularError
		if err == nil || errors.As(err, &singular) {
			t.Errorf("%s: error %v, want one that speaks of the numbers", name, err)
		}
	}
}
