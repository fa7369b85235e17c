package frame

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// TestRecurrenceSolvesTheEquation holds the recurrence to the differential equation: the exact solution for a force that
// is linear in time is checked by substitution at the end of the step.
func TestRecurrenceSolvesTheEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, z := rapid.Float64Range(5, 500).Draw(t, "w"), rapid.Float64Range(0, 0.9).Draw(t, "z")
		h := rapid.Float64Range(0.05, 3).Draw(t, "wh") / w
		q0, v0 := rapid.Float64Range(-1, 1).Draw(t, "q0"), w*rapid.Float64Range(-1, 1).Draw(t, "v0")
		p0, p1 := w*w*rapid.Float64Range(-1, 1).Draw(t, "p0"), w*w*rapid.Float64Range(-1, 1).Draw(t, "p1")
		at := func(x float64) (q, v float64) { // after the part x of the step
			r := NewRecurrence(w, z, h*x)
			return r.Step(q0, v0, p0, p0+x*(p1-p0))
		}
		q, v := at(1)
		const d = 1e-4
		qa, va := at(1 - d)
		qb, vb := at(1 + d)
		// v is the derivative of q, and q'' + 2zw q' + w² q = p, by central differences: error d² = 1e-8 and rounding 1e-12/d.
		if got := (qb - qa) / (2 * d * h); math.Abs(got-v) > 1e-6*(math.Abs(v)+w) {
			t.Fatalf("dq/dt = %g, v = %g", got, v)
		}
		if got := (vb-va)/(2*d*h) + 2*z*w*v + w*w*q; math.Abs(got-p1) > 1e-5*w*w {
			t.Fatalf("equation gives %g, p = %g", got, p1)
		}
		q, v = at(1e-5) // so small a step changes 1e-4 at most
		if math.Abs(q-q0) > 3e-4 || math.Abs(v-v0) > 3e-4*w {
			t.Fatalf("begins at %g, %g instead of %g, %g", q, v, q0, v0)
		}
	})
}

func assembled(t *testing.T, m *Model) *System {
	t.Helper()
	s, err := Assemble(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// posed is the gantry with its ties as a plain model.
func posed() *Model {
	m := gantry()
	m.Ties = gantryTies(1.1, 0.5, 1.3)
	m.Masses = append(m.Masses, payload(12)...)
	return m
}

// TestReceptance compares the superposition of modes with the static solution at 0 Hz, with the peak of one mode, and
// with what Maxwell says.
func TestReceptance(t *testing.T) {
	s := assembled(t, posed())
	modes, err := s.Modes(12)
	if err != nil {
		t.Fatal(err)
	}
	tool := Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}
	out, in := Direction(tool, UY), Direction(Point{Member: "bridge", Position: 0.4}, UX)
	r := Response{Modes: modes, Zeta: make([]float64, len(modes.Hz))}
	for i := range r.Zeta {
		r.Zeta[i] = 0.015
	}
	st, err := s.Static(in.unit())
	if err != nil {
		t.Fatal(err)
	}
	static, _ := out.Of(st)
	h, err := r.Receptance(out, in, static, []float64{0, 30})
	if err != nil {
		t.Fatal(err)
	}
	if cmplx.Abs(h[0]-complex(static, 0)) > 1e-12*math.Abs(static) {
		t.Errorf("at 0 Hz %g, static %g", h[0], static)
	}
	back, err := r.Receptance(in, out, static, []float64{0, 30})
	if err != nil || cmplx.Abs(back[1]-h[1]) > 1e-12*cmplx.Abs(h[1]) {
		t.Errorf("%g one way, %g the other (%v)", h[1], back[1], err)
	}
	// Without correction the modes alone come close to the static value as they get more.
	few, _ := r.Receptance(Direction(tool, UY), Direction(tool, UY), math.NaN(), []float64{0})
	own, err := s.Static(Direction(tool, UY).unit())
	if err != nil {
		t.Fatal(err)
	}
	want, _ := Direction(tool, UY).Of(own)
	if x := real(few[0]); !(x < want && x > 0.5*want) {
		t.Errorf("twelve modes make %g of %g m/N", x, want)
	}
	if _, err := (&Response{Modes: modes}).Receptance(out, in, static, []float64{1}); !errors.Is(err, ErrResponse) {
		t.Errorf("without damping: %v", err)
	}
	grid := r.Grid(1, 100, 20)
	for i := 1; i < len(grid); i++ {
		if !(grid[i] > grid[i-1]) {
			t.Fatal("grid does not rise")
		}
	}
}

// TestWorstDirection holds the closed form of the largest singular value to definitions that are easy.
func TestWorstDirection(t *testing.T) {
	i := 1i
	tests := map[string]struct {
		h    [3][3]complex128
		want float64
	}{
		"nothing":           {[3][3]complex128{}, 0},
		"unit":              {[3][3]complex128{{1}, {0, 1}, {0, 0, 1}}, 1},
		"diagonal":          {[3][3]complex128{{2 * i}, {0, -5}, {0, 0, 3}}, 5},
		"one direction":     {[3][3]complex128{{1, 2, 2}, {2, 4, 4}, {2 * i, 4 * i, 4 * i}}, 9},
		"with a quarter":    {[3][3]complex128{{0, 3 * i}, {-3 * i, 0}, {0, 0, 1}}, 3},
		"very small though": {[3][3]complex128{{1e-9}, {0, 2e-9}, {0, 0, 1e-9 * i}}, 2e-9},
	}
	for name, tt := range tests {
		if got := Worst(tt.h); !(math.Abs(got-tt.want) <= 1e-8*tt.want) { // two equal ones cost half the digits
			t.Errorf("%s: %.12g, want %g", name, got, tt.want)
		}
	}
}

// TestTransientOfAStepOvershoots: a force that comes at once makes a lightly damped structure swing to nearly twice the
// static displacement and come to rest on it; with the correction the end is exactly static.
func TestTransientOfAStepOvershoots(t *testing.T) {
	s := assembled(t, posed())
	modes, err := s.Modes(8)
	if err != nil {
		t.Fatal(err)
	}
	r := Response{Modes: modes, Zeta: []float64{0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02}}
	tool := Direction(Point{Node: "mast0"}, UX)
	pattern := Case{ID: "push", Forces: []Force{{At: Point{Node: "mast0"}, Force: [3]float64{100, 0, 0}}}}
	st, err := s.Static(pattern)
	if err != nil {
		t.Fatal(err)
	}
	static, _ := tool.Of(st)
	var times []float64
	for i := range 4000 {
		times = append(times, float64(i)*0.005)
	}
	step := Polyline{T: []float64{0, 1e-4}, Y: []float64{0, 1}}
	traces, err := r.Transient(s, []Input{{pattern, step}}, []Measure{tool}, times, true)
	if err != nil {
		t.Fatal(err)
	}
	y := traces[0].Y
	peak := 0.0
	for _, v := range y {
		peak = math.Max(peak, v)
	}
	if !(peak > 1.5*static && peak < 2*static) {
		t.Errorf("peak %g of static %g", peak, static)
	}
	if end := y[len(y)-1]; math.Abs(end-static) > 1e-3*static {
		t.Errorf("comes to rest at %g, static %g", end, static)
	}
	if y[0] != 0 {
		t.Errorf("begins at %g", y[0])
	}
	// Steps of any size give the same displacements at the same times.
	coarse, err := r.Transient(s, []Input{{pattern, step}}, []Measure{tool}, []float64{0, 0.35, 1.7}, true)
	if err != nil {
		t.Fatal(err)
	}
	for k, i := range map[int]int{1: 70, 2: 340} {
		near(t, "coarse", coarse[0].Y[k], y[i], 1e-9)
	}
	for name, bad := range map[string]Polyline{"falls": {[]float64{1, 0}, []float64{0, 0}}, "empty": {}, "NaN": {[]float64{0, math.NaN()}, []float64{0, 1}}} {
		if _, err := r.Transient(s, []Input{{pattern, bad}}, []Measure{tool}, times, false); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestParticipationAddsUpToTheMass: all modes together move the whole mass that is not on fixed freedoms.
func TestParticipationAddsUpToTheMass(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 0.5, 0.2, 0.7)
	b.member("m", "a", "b", "80x80", 2)
	b.Springs = []Spring{{From: "a", K: [6]float64{1e6, 1e6, 1e6, 1e4, 1e4, 1e4}}}
	b.Masses = []Mass{{At: Point{Node: "b", Offset: [3]float64{0, 0.1, 0}}, M: 3, Inertia: diagonal(0.1, 0.1, 0.1)}}
	s := assembled(t, &b.Model)
	modes, err := s.Modes(s.Freedoms())
	if err != nil {
		t.Fatal(err)
	}
	parts, reachable := modes.Participation()
	for d := range 3 {
		sum := 0.0
		for _, p := range parts {
			sum += p.Mass[d]
		}
		near(t, "sum of effective masses", sum, s.Mass(), 1e-6)
		near(t, "reachable mass", reachable[d], s.Mass(), 1e-12)
	}
}

// TestDampingByStrainEnergy: a mass on a spring has half the loss factor of the spring.
func TestDampingByStrainEnergy(t *testing.T) {
	m := &Model{Nodes: []Node{{ID: "a"}}, Springs: []Spring{{From: "a", K: [6]float64{1e5, 4e5, 9e5, 1, 1, 1}, Loss: 0.06}},
		Masses: []Mass{{At: Point{Node: "a"}, M: 2, Inertia: diagonal(1, 1, 1)}}}
	modes, err := assembled(t, m).Modes(6)
	if err != nil {
		t.Fatal(err)
	}
	for _, z := range modes.Damping() {
		near(t, "damping", z, 0.03, 1e-12)
	}
	all, err := assembled(t, posed()).Modes(4)
	if err != nil {
		t.Fatal(err)
	}
	for i, z := range all.Damping() {
		if !(z > alu.Loss/2*0.999 && z < 0.05/2) {
			t.Errorf("mode %d: damping %g outside that of its parts", i, z)
		}
	}
}

// TestEulerColumns: factors of the four classical columns, and of a portal that sways.
func TestEulerColumns(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 0, 0, 3)
	b.member("c", "a", "b", "40x80", 16)
	b.Sections[1].Asy, b.Sections[1].Asz = 0, 0
	b.Supports = []Support{{"a", all}}
	b.Cases = []Case{{ID: "weight", Forces: []Force{{At: Point{Node: "b"}, Force: [3]float64{0, 0, -1000}}}}}
	s, st := system(t, &b.Model)
	got, err := s.Buckling(st, 3)
	if err != nil {
		t.Fatal(err)
	}
	weak, strong := math.Pi*math.Pi*alu.E*flat.Iz/(4*9)/1000, math.Pi*math.Pi*alu.E*flat.Iy/(4*9)/1000
	near(t, "first", got.Factors[0], weak, 1e-4)
	near(t, "other axis", got.Factors[1], strong, 1e-4)
	near(t, "three half waves", got.Factors[2], 9*weak, 1e-4)
	if !got.Proven {
		t.Error("not proven")
	}
	if shape, err := got.Shape(0, Point{Node: "b"}); err != nil || math.Abs(shape[UY]) < 0.5 && math.Abs(shape[UX]) < 0.5 {
		t.Errorf("shape at the tip %v (%v)", shape, err)
	}
	b.Cases[0].Forces[0].Force[2] = 1000
	s, st = system(t, &b.Model)
	if got, err := s.Buckling(st, 3); err != nil || len(got.Factors) != 0 {
		t.Errorf("a column in tension buckles: %v, %v", got, err)
	}
	// Second order: at half the buckling load a sideways push moves the tip by about 1/(1-1/2) as much.
	b.Cases[0].Forces[0].Force = [3]float64{0, 1, 0}
	_, st = system(t, &b.Model)
	first := displacement(st, "b")[UY]
	b.Members[0].Axial = -weak * 1000 / 2
	_, st = system(t, &b.Model)
	if ratio := displacement(st, "b")[UY] / first; !(ratio > 1.9 && ratio < 2.05) {
		t.Errorf("second order amplifies by %g", ratio)
	}
}

// TestModesAreCompleteAndRepeated: a square post has pairs of equal frequencies; the count below each agrees.
func TestModesAreCompleteAndRepeated(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 0, 0, 1)
	b.member("c", "a", "b", "80x80", 10)
	b.Supports = []Support{{"a", all}}
	s := assembled(t, &b.Model)
	modes, err := s.Modes(8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "second of the first pair", modes.Hz[1], modes.Hz[0], 1e-9)
	for i, hz := range modes.Hz {
		n, err := s.CountBelow(hz * (1 + 1e-6))
		if err != nil {
			t.Fatal(err)
		}
		if want := i + 1; n != want && n != want+1 {
			t.Errorf("%d frequencies up to number %d (%g Hz)", n, i, hz)
		}
	}
	for i := range modes.Hz { // orthonormal in the mass
		for j := range i + 1 {
			sum := 0.0
			m := s.massMatrix()
			x, y, my := make([]float64, s.size()), make([]float64, s.size()), make([]float64, s.size())
			s.reduce(x, modes.shapes[i])
			s.reduce(y, modes.shapes[j])
			m.MulVec(my, y)
			sum = dotProduct(x, my)
			if want := map[bool]float64{true: 1}[i == j]; math.Abs(sum-want) > 1e-7 {
				t.Errorf("modes %d and %d: %g", i, j, sum)
			}
		}
	}
}

// TestModesAskedForTooMany returns what there is.
func TestModesAskedForTooMany(t *testing.T) {
	m := &Model{Nodes: []Node{{ID: "a"}}, Springs: []Spring{{From: "a", K: [6]float64{1, 2, 3, 4, 5, 6}}}, Masses: []Mass{{At: Point{Node: "a"}, M: 1}}}
	modes, err := assembled(t, m).Modes(50)
	if err != nil {
		t.Fatal(err)
	}
	if len(modes.Hz) != 3 { // no inertia, so the rotations have no frequency
		t.Errorf("modes %v, want three", modes.Hz)
	}
	for i, hz := range modes.Hz {
		near(t, "mode", hz, math.Sqrt(float64(i+1))/(2*math.Pi), 1e-9)
	}
	m.Masses = nil
	if _, err := assembled(t, m).Modes(1); !errors.Is(err, ErrNoMass) {
		t.Errorf("without mass: %v", err)
	}
}
