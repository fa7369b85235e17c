package sparse

import (
	"errors"
	"math"
	"slices"
	"testing"
)

// free factors m and returns the error, which must say that it is singular.
func free(t *testing.T, m *Matrix, block int) *SingularError {
	t.Helper()
	_, err := Analyse(m, block).Factor(m, FactorOptions{})
	var s *SingularError
	if !errors.As(err, &s) {
		t.Fatalf("error %v, want a *SingularError", err)
	}
	return s
}

// checkMovement holds the movement of an error to what it claims: largest entry 1, no force.
func checkMovement(t *testing.T, m *Matrix, s *SingularError) {
	t.Helper()
	if got := maxAbs(s.Null); math.Abs(got-1) > 1e-12 {
		t.Errorf("largest entry of the movement %.15g, want 1", got)
	}
	force := make([]float64, m.N())
	m.MulVec(force, s.Null)
	// Each force is a sum of terms of the size of the matrix that cancel.
	if got := maxAbs(force); !(got <= 1e-13*m.NormInf()) {
		t.Errorf("the movement needs a force of %.3g, matrix %.3g", got, m.NormInf())
	}
	if s.Null[s.Index] == 0 {
		t.Errorf("freedom %d, which is named, does not move", s.Index)
	}
}

// A chain of springs of which link a is missing: everything beyond moves as one.
func TestChainWithAGap(t *testing.T) {
	const n = 30
	for gap := 1; gap < n; gap += 4 {
		b := NewBuilder(n)
		spring := func(i, j int) {
			b.Add(i, i, 5)
			if j >= 0 {
				b.Add(j, j, 5)
				b.Add(i, j, -5)
			}
		}
		for i := range n {
			if i != gap {
				spring(i, i-1)
			}
		}
		m := b.Build()
		s := free(t, m, 1)
		checkMovement(t, m, s)
		if s.Index < gap {
			t.Errorf("gap %d: freedom %d named, which is held", gap, s.Index)
		}
		for i, v := range s.Null {
			want := 0.0
			if i >= gap {
				want = 1
			}
			if math.Abs(v-want) > 1e-12 {
				t.Errorf("gap %d: freedom %d moves by %g, want %g", gap, i, v, want)
			}
		}
		if s.Count != 1 {
			t.Errorf("gap %d: %d movements, want 1", gap, s.Count)
		}
	}
}

// A frame free in space has six movements.
func TestFreeFrame(t *testing.T) {
	for _, size := range [][3]int{{2, 1, 1}, {3, 2, 2}, {12, 1, 1}, {5, 5, 4}, {10, 10, 7}} {
		k, _ := lattice(size[0], size[1], size[2], true, false)
		s := free(t, k, 6)
		checkMovement(t, k, s)
		if s.Count != 6 {
			t.Errorf("%v: %d movements, want 6", size, s.Count)
		}
	}
}

// A node whose rotation about z nothing resists: the movement is that rotation alone.
func TestLocalRelease(t *testing.T) {
	k, _ := lattice(4, 3, 2, true, true)
	const loose = 6*17 + 5
	b := NewBuilder(k.N())
	for j := range k.N() {
		for e := k.start[j]; e < k.start[j+1]; e++ {
			if i := int(k.row[e]); i != loose && j != loose {
				b.Add(i, j, k.val[e])
			}
		}
	}
	for name, m := range map[string]*Matrix{"nothing stored": b.Build(), "a stored zero": func() *Matrix { b.Add(loose, loose, 0); return b.Build() }()} {
		s := free(t, m, 6)
		checkMovement(t, m, s)
		if s.Index != loose || s.Null[loose] != 1 || s.Count != 1 {
			t.Errorf("%s: freedom %d of %d movements, want %d of 1", name, s.Index, s.Count, loose)
		}
	}
}

// Very soft is not loose: a cantilever of n members is regular, though its last pivot is only about 1/n³ of the diagonal.
func TestSoftIsNotSingular(t *testing.T) {
	for _, n := range []int{10, 100, 500} {
		s := newStructure(n)
		at := func(node int) [3]float64 { return [3]float64{float64(node), 0, 0} }
		for i := range n - 1 {
			s.member(beam{0.05}, i, i+1, at)
		}
		s.ground(0, 1e9)
		k := s.k.Build()
		f, err := Analyse(k, 6).Factor(k, FactorOptions{})
		if err != nil {
			t.Fatalf("%d members: %v", n, err)
		}
		b, x := make([]float64, k.N()), make([]float64, k.N())
		b[6*(n-1)+2] = 1
		f.Solve(x, b)
		l := float64(n - 1)
		second := math.Pow(0.05, 4) / 12
		// Tip deflection P L³ / 3 E I, and the ground springs: 1/k at the foot and L²/k by its rotation. The error is that of
		// the condition, which grows with the fourth power of n.
		want := l*l*l/(3*210e9*second) + 1/1e9 + l*l/1e9
		if got, tol := x[6*(n-1)+2], 1e-15*math.Pow(float64(n), 4); math.Abs(got-want) > max(tol, 1e-12)*want {
			t.Errorf("%d members: tip sinks %.12g, want %.12g", n, got, want)
		}
	}
}

// Stiffness 1e-14 of its neighbours is rounding, 1e-12 is not.
func TestStiffnessRange(t *testing.T) {
	pair := func(ground float64) *Matrix {
		b := NewBuilder(2)
		b.Add(0, 0, 1+ground)
		b.Add(1, 1, 1)
		b.Add(1, 0, -1)
		return b.Build()
	}
	if _, err := Analyse(pair(1e-12), 1).Factor(pair(1e-12), FactorOptions{}); err != nil {
		t.Errorf("a spring of 1e-12 to the ground: %v", err)
	}
	s := free(t, pair(1e-16), 1)
	checkMovement(t, pair(1e-16), s)
}

// Many soft supports and one loose part among them: the soft ones are factored, the loose one is named.
func TestLooseAmongSoft(t *testing.T) {
	const pairs = 40
	build := func(loose int) *Matrix {
		b := NewBuilder(2 * pairs)
		for p := range pairs {
			ground := 1e-11
			if p == loose {
				ground = 0
			}
			b.Add(2*p, 2*p, 1+ground)
			b.Add(2*p+1, 2*p+1, 1)
			b.Add(2*p+1, 2*p, -1)
		}
		return b.Build()
	}
	m := build(-1)
	f := factored(t, m, 1)
	x := slices.Repeat([]float64{1}, 2*pairs)
	f.Solve(x, x)
	for i, v := range x {
		// Both ends of a pair move by 2/1e-11 (and one by 1 more); 1 + 1e-11 is known to 1e-16/1e-11 only.
		if math.Abs(v*1e-11-2) > 1e-4 {
			t.Errorf("freedom %d moves by %g, want %g", i, v, 2e11)
		}
	}
	for _, loose := range []int{0, 17, pairs - 1} {
		m := build(loose)
		s := free(t, m, 1)
		checkMovement(t, m, s)
		if s.Index/2 != loose || s.Count != 1 {
			t.Errorf("loose pair %d: freedom %d of %d movements named", loose, s.Index, s.Count)
		}
	}
}
