package fe

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"spanwright/section/internal/mesh"
)

// The rule must integrate every l0^a l1^b l2^c up to degree 4:
// a! b! c! 2/(a+b+c+2)! over a triangle of unit area.
func TestRuleIsExact(t *testing.T) {
	factorial := func(n int) float64 { return math.Gamma(float64(n) + 1) }
	for a := range 5 {
		for b := range 5 - a {
			for c := range 5 - a - b {
				want := 2 * factorial(a) * factorial(b) * factorial(c) / factorial(a+b+c+2)
				got := 0.0
				for _, q := range rule {
					got += q.weight * math.Pow(q.l[0], float64(a)) * math.Pow(q.l[1], float64(b)) * math.Pow(q.l[2], float64(c))
				}
				if math.Abs(got-want) > 1e-14 { // the constants have 15 digits
					t.Errorf("l0^%d l1^%d l2^%d: %.16g, want %.16g", a, b, c, got, want)
				}
			}
		}
	}
}

// Closed integrals of an element must agree with the quadrature rule, which is
// exact for them, on any triangle.
func TestElementIntegrals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-1, 1)
		p := func() [2]float64 { return [2]float64{number.Draw(t, "y"), number.Draw(t, "z")} }
		s := shapeOf(p(), p(), p())
		if !(s.area > 0.01) {
			return
		}
		g := [3]float64{number.Draw(t, "g0"), number.Draw(t, "g1"), number.Draw(t, "g2")}
		k, f := s.stiffness(), s.load(g)
		var byRule [6][6]float64
		var loadByRule [6]float64
		var yy, zz, yz float64
		for _, q := range rule {
			grad, w, at := s.gradients(q.l), q.weight*s.area, s.place(q.l)
			value := q.l[0]*g[0] + q.l[1]*g[1] + q.l[2]*g[2]
			for i := range 6 {
				n := q.l[i%3] * (2*q.l[i%3] - 1)
				if i >= 3 {
					n = 4 * q.l[(i+1)%3] * q.l[(i+2)%3]
				}
				loadByRule[i] += w * n * value
				for j := range 6 {
					byRule[i][j] += w * (grad[i][0]*grad[j][0] + grad[i][1]*grad[j][1])
				}
			}
			yy, zz, yz = yy+w*at[0]*at[0], zz+w*at[1]*at[1], yz+w*at[0]*at[1]
		}
		scale := k[3][3] // the largest term
		for i := range 6 {
			if math.Abs(f[i]-loadByRule[i]) > 1e-13 {
				t.Fatalf("load %d: %g, by the rule %g", i, f[i], loadByRule[i])
			}
			for j := range 6 {
				if math.Abs(k[i][j]-byRule[i][j]) > 1e-12*scale {
					t.Fatalf("stiffness %d %d: %g, by the rule %g", i, j, k[i][j], byRule[i][j])
				}
			}
		}
		a, b, c := s.second()
		if math.Abs(a-yy)+math.Abs(b-zz)+math.Abs(c-yz) > 1e-13 {
			t.Fatalf("second moments %g %g %g, by the rule %g %g %g", a, b, c, yy, zz, yz)
		}
	})
}

// The factor must solve any positive definite system as a dense solver does.
func TestFactorSolves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		e := &entries{n: n}
		dense := mat.NewSymDense(n, nil)
		at := make([][2]float64, n)
		add := func(i, j int, v float64) {
			e.add(int32(i), int32(j), v)
			dense.SetSym(i, j, dense.At(i, j)+v)
		}
		for i := range n {
			add(i, i, 1)
			at[i] = [2]float64{rapid.Float64Range(0, 1).Draw(t, "y"), rapid.Float64Range(0, 1).Draw(t, "z")}
		}
		for range rapid.IntRange(0, 3*n).Draw(t, "links") {
			i, j := rapid.IntRange(0, n-1).Draw(t, "i"), rapid.IntRange(0, n-1).Draw(t, "j")
			if i != j { // a spring between i and j, in two parts: terms at one place add up
				add(i, i, 0.25)
				add(i, i, 0.75)
				add(j, j, 1)
				add(i, j, -1)
			}
		}
		tail := rapid.IntRange(0, n).Draw(t, "tail")
		order := dissect(e.graph(), at, tail)
		sorted := slices.Clone(order)
		slices.Sort(sorted)
		for i, u := range sorted {
			if int(u) != i {
				t.Fatalf("the order %v leaves out %d", order, i)
			}
		}
		f, err := factorise(e, order)
		if err != nil {
			t.Fatal(err)
		}
		b := make([]float64, n)
		for i := range b {
			b[i] = rapid.Float64Range(-1, 1).Draw(t, "b")
		}
		var want mat.VecDense
		if err := want.SolveVec(dense, mat.NewVecDense(n, b)); err != nil {
			t.Fatal(err)
		}
		for i, x := range f.solve(b) {
			if math.Abs(x-want.AtVec(i)) > 1e-10 { // condition up to about 100 n
				t.Fatalf("x[%d] = %g, dense solution %g", i, x, want.AtVec(i))
			}
		}
	})
}

func TestFactoriseRefuses(t *testing.T) {
	for name, v := range map[string]float64{"negative": -1, "zero": 0, "not a number": math.NaN()} {
		t.Run(name, func(t *testing.T) {
			e := &entries{n: 1}
			e.add(0, 0, v)
			if _, err := factorise(e, []int32{0}); err != ErrSingular {
				t.Errorf("got %v", err)
			}
		})
	}
}

// A thin web full of unknowns must be cut across: cut lengthwise, its factor
// would be dense.
func TestThinWallsAreCutAcross(t *testing.T) {
	const n = 2000
	e := &entries{n: 2 * n}
	at := make([][2]float64, 2*n)
	for i := range n {
		at[2*i], at[2*i+1] = [2]float64{-1e-6, float64(i)}, [2]float64{1e-6, float64(i)}
		e.add(int32(2*i), int32(2*i), 9)
		e.add(int32(2*i+1), int32(2*i+1), 9)
		e.add(int32(2*i+1), int32(2*i), -1)
		if i > 0 {
			e.add(int32(2*i), int32(2*i-2), -1)
			e.add(int32(2*i+1), int32(2*i-1), -1)
		}
	}
	at[0] = [2]float64{-1e5, 0} // makes the set wider than high
	f, err := factorise(e, dissect(e.graph(), at, 2*n))
	if err != nil {
		t.Fatal(err)
	}
	if terms := len(f.val); terms > 20*2*n { // 12 a row in practice, 1000 if cut lengthwise
		t.Errorf("%d terms for %d unknowns", terms, 2*n)
	}
}

// Brackets must hold the exact values of closed forms on every mesh, however
// coarse, and close as the mesh is refined.
func TestBracketsHoldExactValues(t *testing.T) {
	const w, h = 0.04, 0.08
	rectangle := [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}}
	const side = 0.05
	triangle := [][2]float64{{0, 0}, {side, 0}, {side / 2, side * math.Sqrt(3) / 2}}
	tests := map[string]struct {
		loop         [][2]float64
		torsion      float64 // Timoshenko & Goodier, Theory of Elasticity: series for the rectangle
		shear        float64 // 5/6 of the area; 0 where no closed form is used
		lastHalfOver float64
	}{
		"rectangle":            {rectangle, rectangleTorsion(w, h), 5. / 6 * w * h, 1e-4},
		"equilateral triangle": {triangle, math.Sqrt(3) / 80 * math.Pow(side, 4), 0, 1e-3},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			m, err := mesh.Build([][][2]float64{c.loop})
			if err != nil {
				t.Fatal(err)
			}
			var r *Result
			for range 5 {
				if r, err = Solve(m, 1); err != nil {
					t.Fatal(err)
				}
				// The region is drawn on a grid of 3e-8 of its size.
				holds(t, "torsion", r.Torsion, c.torsion, 1e-6)
				if c.shear > 0 {
					holds(t, "shear along y", r.Shear[0], c.shear, 1e-6)
					holds(t, "shear along z", r.Shear[1], c.shear, 1e-6)
				}
				holds(t, "shear centre", Bracket{1 + r.Centre[0].Low, 1 + r.Centre[0].High}, 1, 1e-6)
				if !(r.Mismatch < 1e-9) {
					t.Errorf("the widths and the differences of the fields disagree by %g", r.Mismatch)
				}
				all := make([]bool, len(r.Share))
				for i := range all {
					all[i] = true
				}
				m.Refine(all, 0.5)
			}
			if !(r.Torsion.Half() < c.lastHalfOver) {
				t.Errorf("after four refinements the torsion bracket is still %g wide", r.Torsion.Half())
			}
		})
	}
}

func holds(t *testing.T, what string, b Bracket, exact, tol float64) {
	t.Helper()
	if !(b.Low <= exact*(1+tol) && exact*(1-tol) <= b.High) {
		t.Errorf("%s: [%.9g, %.9g] does not hold %.9g", what, b.Low, b.High, exact)
	}
}

// rectangleTorsion is the series of Timoshenko & Goodier for width w <= height h.
func rectangleTorsion(w, h float64) float64 {
	sum := 0.0
	for n := 1.0; n < 100; n += 2 {
		sum += math.Tanh(n*math.Pi*h/(2*w)) / math.Pow(n, 5)
	}
	return h * w * w * w / 3 * (1 - 192/math.Pow(math.Pi, 5)*w/h*sum)
}
