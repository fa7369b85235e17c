package sparse

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// withheld runs the parts of Lowest up to the count and takes the lowest pair out of the basis.
func withheld(t *testing.T, k, m *Matrix, n int) (p *pencil, op *factorLanes) {
	t.Helper()
	p = &pencil{k: k, m: m, rows: newFullRows(m)}
	p.analyse()
	if err := p.chooseShift(); err != nil {
		t.Fatal(err)
	}
	op = p.operator()
	if err := p.ws.begin(op, n, 1, nil); err != nil {
		t.Fatal(err)
	}
	if err := p.converge(op, n); err != nil {
		t.Fatal(err)
	}
	// Go on as if the first Ritz vector had never been there.
	if err := p.ws.widen(op, n+2, n); err != nil {
		t.Fatal(err)
	}
	p.ws.block = 0
	for k := range n - 1 {
		p.ws.move(k, k+1)
	}
	copy(p.ws.ritz.values, p.ws.ritz.values[1:])
	p.ws.keepRitz(n - 1)
	if !p.ws.rayleigh() {
		t.Fatal("no Ritz values")
	}
	return p, op
}

// A mode that the iteration does not see must show in the count, and then be found.
func TestCountFindsWhatWasMissed(t *testing.T) {
	k, m := lattice(4, 4, 4, true, true)
	all, _, _ := lowest(t, k, m, 9, EigenOptions{})
	p, op := withheld(t, k, m, 8)
	if got := p.shift + 1/p.ws.ritz.values[0]; math.Abs(got-all[1]) > 1e-9*all[1] {
		t.Fatalf("lowest Ritz value %.12g, want the second eigenvalue %.12g: nothing is withheld", got, all[1])
	}
	limit := (all[6] + all[7]) / 2
	_, below, err := p.below(limit)
	if err != nil {
		t.Fatal(err)
	}
	if found := p.found(limit); found != 6 || below != 7 {
		t.Fatalf("%d found and %d counted, want 6 and 7", found, below)
	}
	// The rest of the way: as many rounds as it takes.
	if err := p.factor(p.shift); err != nil {
		t.Fatal(err)
	}
	op.f = p.f
	if err := p.ws.widen(op, below, 6); err != nil {
		t.Fatal(err)
	}
	if err := p.ws.iterate(op, below, 100, 0); err != nil {
		t.Fatal(err)
	}
	if found := p.found(limit); found != below {
		t.Errorf("%d found in the end, counted %d", found, below)
	}
	if got := p.shift + 1/p.ws.ritz.values[0]; math.Abs(got-all[0]) > 1e-9*all[0] {
		t.Errorf("lowest value %.12g in the end, want %.12g", got, all[0])
	}
}

// An incomplete proof is an error, never a result.
func TestIncompleteIsAnError(t *testing.T) {
	if (EigenProof{Below: 5, Found: 4}).Complete() || !(EigenProof{Below: 4, Found: 4}).Complete() {
		t.Error("Complete does not compare what was found with what was counted")
	}
}

func TestLowestIndependentOfWorkers(t *testing.T) {
	k, m := lattice(9, 8, 8, false, true)
	values1, vectors1, proof1 := lowest(t, k, m, 6, EigenOptions{Block: 6, Workers: 1})
	for _, workers := range []int{2, 5} {
		values, vectors, proof := lowest(t, k, m, 6, EigenOptions{Block: 6, Workers: workers})
		if !slices.Equal(values, values1) || proof != proof1 {
			t.Errorf("%d goroutines: values %v, %+v; one: %v, %+v", workers, values, proof, values1, proof1)
		}
		for i := range vectors {
			if !slices.Equal(vectors[i], vectors1[i]) {
				t.Errorf("%d goroutines: vector %d differs", workers, i)
			}
		}
	}
}

// Lowest with what the caller already has gives the same as without.
func TestLowestReusesFactor(t *testing.T) {
	k, m := lattice(4, 4, 3, true, true)
	s := Analyse(k, 6)
	f, err := s.Factor(k, FactorOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want, _, _ := lowest(t, k, m, 5, EigenOptions{Block: 6})
	for name, opt := range map[string]EigenOptions{
		"factor":              {Factor: f},
		"factor and symbolic": {Factor: f, Symbolic: s},
		"symbolic":            {Symbolic: s},
	} {
		got, vectors, proof := lowest(t, k, m, 5, opt)
		checkPairs(t, k, m, got, vectors, proof)
		if d := largest(got, want); d > 1e-10*want[4] {
			t.Errorf("%s: values differ by %.3g", name, d)
		}
	}
	b := make([]float64, k.N())
	b[4] = 1
	x := make([]float64, k.N())
	if f.Solve(x, b); backwardError(k, x, b) > solvedWell {
		t.Error("the caller's factor was spoilt")
	}
}

func operator(t testing.TB, k, m *Matrix) Operator {
	f := factored(t, k, 6)
	var s Scratch
	return Operator{N: k.N(), Solve: func(dst, rhs []float64) { f.SolveWith(&s, dst, rhs) }, MulM: m.MulVec}
}

func TestLowestOf(t *testing.T) {
	k, m := lattice(5, 4, 3, true, true)
	want, _, _ := lowest(t, k, m, 10, EigenOptions{})
	op := operator(t, k, m)
	for _, n := range []int{1, 4, 10} {
		values, vectors, err := LowestOf(op, n, IterationOptions{})
		if err != nil {
			t.Fatal(err)
		}
		checkPairs(t, k, m, values, vectors, EigenProof{})
		if d := largest(values, want[:n]); d > 1e-10*want[n-1] {
			t.Errorf("%d values differ by %.3g", n, d)
		}
	}
}

func TestLowestOfDoesNotAllocate(t *testing.T) {
	k, m := lattice(5, 4, 3, true, true)
	op := operator(t, k, m)
	var ws Workspace
	run := func(start [][]float64) {
		if _, _, err := LowestOf(op, 10, IterationOptions{Workspace: &ws, Start: start}); err != nil {
			t.Fatal(err)
		}
	}
	run(nil)
	cold := ws.steps
	if n := testing.AllocsPerRun(5, func() { run(nil) }); n != 0 {
		t.Errorf("%v allocations a call, want 0", n)
	}
	// From the vectors of a structure next to it fewer steps are needed. They may live in the workspace itself.
	near := Combine(1, k, 0.02, m)
	op = operator(t, near, m)
	run(ws.vectors)
	if ws.steps >= cold {
		t.Errorf("%d steps from vectors close by, %d from nothing", ws.steps, cold)
	}
}

func TestRitzOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	var z ritz
	for _, n := range []int{1, 2, 9, 40} {
		const stride = 45
		a := make([]float64, stride*stride)
		for i := range n {
			for j := i; j < n; j++ {
				a[i*stride+j] = r.NormFloat64()
			}
		}
		if !z.solve(a, stride, n) {
			t.Fatal("no convergence")
		}
		for k := range n {
			if k > 0 && z.values[k] > z.values[k-1] {
				t.Errorf("order %d: values rise at %d", n, k)
			}
			for i := range n {
				sum := -z.values[k] * z.vectors[i*n+k]
				for j := range n {
					sum += a[min(i, j)*stride+max(i, j)] * z.vectors[j*n+k]
				}
				if math.Abs(sum) > 1e-13*float64(n) {
					t.Errorf("order %d: pair %d leaves %.2g in row %d", n, k, sum, i)
				}
			}
		}
	}
}
