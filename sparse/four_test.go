package sparse

import (
	"math"
	"slices"
	"testing"
)

// TestFourAreFourTimesOne: what is done to four vectors side by side is what is
// done to each. They are summed in another order, so 1e-11 of the largest entry
// is allowed.
func TestFourAreFourTimesOne(t *testing.T) {
	k, m := lattice(4, 3, 3, true, true)
	n := k.n
	f := factored(t, k, 6)
	x := make([]float64, Lanes*n)
	for i := range x {
		x[i] = math.Sin(float64(i * i))
	}
	lane := func(side []float64, which int) []float64 {
		out := make([]float64, len(side)/Lanes)
		for i := range out {
			out[i] = side[Lanes*i+which]
		}
		return out
	}
	same := func(what string, got, want []float64) {
		t.Helper()
		big := maxAbs(want)
		for i := range want {
			if !(math.Abs(got[i]-want[i]) <= 1e-11*big) {
				t.Fatalf("%s, entry %d: %g, alone %g", what, i, got[i], want[i])
			}
		}
	}
	solved, multiplied := make([]float64, len(x)), make([]float64, len(x))
	f.SolveFour(&Scratch{}, solved, x)
	NewRows(m).MulFour(multiplied, x)
	const count = 7
	columns := make([]float64, count*n)
	for i := range columns {
		columns[i] = math.Cos(float64(3 * i))
	}
	dots := make([]float64, Lanes*count)
	DotFour(count, columns, n, x, dots)
	less := append([]float64(nil), x...)
	SubtractFour(count, columns, n, dots, less)
	for which := range Lanes {
		own, want := lane(x, which), make([]float64, n)
		f.Solve(want, own)
		same("solution", lane(solved, which), want)
		m.MulVec(want, own)
		same("product", lane(multiplied, which), want)
		sums := make([]float64, count)
		copy(want, own)
		for c := range count {
			for i, v := range own {
				sums[c] += v * columns[c*n+i]
			}
			for i := range want {
				want[i] -= sums[c] * columns[c*n+i]
			}
		}
		same("dot products", lane(dots, which), sums)
		same("difference", lane(less, which), want)
	}
}

// TestLowestOfByFours: an operator for four vectors gives what one for each gives.
func TestLowestOfByFours(t *testing.T) {
	k, m := lattice(4, 3, 2, true, true)
	f, rows := factored(t, k, 6), NewRows(m)
	scratch := &Scratch{}
	alone, _, err := LowestOf(Operator{N: k.n, Solve: f.Solve, MulM: m.MulVec}, 6, IterationOptions{})
	if err != nil {
		t.Fatal(err)
	}
	four, _, err := LowestOf(Operator{
		N: k.n, SolveFour: func(dst, rhs []float64) { f.SolveFour(scratch, dst, rhs) }, MulFour: rows.MulFour,
	}, 6, IterationOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range alone {
		if !(math.Abs(four[i]-alone[i]) <= 1e-12*alone[i]) {
			t.Errorf("eigenvalue %d: %.15g by fours, %.15g one by one", i, four[i], alone[i])
		}
	}
}

// TestUsedWorkspaceChangesNothing: memory of a larger problem with more eigenpairs
// gives the same to the last bit, also where the iteration has to start afresh.
func TestUsedWorkspaceChangesNothing(t *testing.T) {
	find := func(ws *Workspace, nx, n int) ([]float64, [][]float64) {
		t.Helper()
		k, m := lattice(nx, 4, 4, true, true)
		f := factored(t, k, 6)
		values, vectors, err := LowestOf(Operator{N: k.n, Solve: f.Solve, MulM: m.MulVec}, n, IterationOptions{Tolerance: 1e-13, Workspace: ws})
		if err != nil {
			t.Fatal(err)
		}
		return values, vectors
	}
	used := &Workspace{}
	find(used, 6, 60)
	values, vectors := find(used, 5, 30)
	want, shapes := find(&Workspace{}, 5, 30)
	for i := range want {
		if values[i] != want[i] || !slices.Equal(vectors[i], shapes[i]) {
			t.Fatalf("eigenpair %d: %v, in new memory %v", i, values[i], want[i])
		}
	}
}
