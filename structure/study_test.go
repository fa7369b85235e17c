package structure

import (
	"math"
	"os"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/parts"
	"spanwright/quantity"
)

func example(t testing.TB, name string) *machine.Machine {
	t.Helper()
	return exampleFile(t, name, "gantry.yaml")
}

func exampleFile(t testing.TB, name, file string) *machine.Machine {
	t.Helper()
	d, list := design.Load(os.DirFS("../examples/"+name), file)
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return m
}

func study(t testing.TB, m *machine.Machine, l Level) *Study {
	t.Helper()
	s, err := New(m, l)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestFastPathIsTheReference holds the coupled solution of every pose against
// the whole machine assembled and factored there. 1e-6 is the promise; both
// solve the same equations, so rounding alone keeps them apart.
func TestFastPathIsTheReference(t *testing.T) {
	m := example(t, "crate-portal")
	s := study(t, m, Low)
	poses := Grid(m, []int{4, 3})
	fast, err := s.Map(poses, 4)
	if err != nil {
		t.Fatal(err)
	}
	for i, q := range poses {
		system, err := s.Reference(q, true)
		if err != nil {
			t.Fatal(err)
		}
		state, err := system.Static(weightCase())
		if err != nil {
			t.Fatal(err)
		}
		d, err := state.At(s.toolPoint())
		if err != nil {
			t.Fatal(err)
		}
		want := r3.Vec{X: d[0], Y: d[1], Z: d[2]}
		if got := fast[i].Loaded(); !(r3.Norm(r3.Sub(got, want)) <= 1e-6*r3.Norm(want)) {
			t.Errorf("pose %v: tool at %v by the fast path, %v by the reference", q, got, want)
		}
		modes, err := system.Modes(4)
		if err != nil {
			t.Fatal(err)
		}
		for k, hz := range modes.Hz {
			if !(math.Abs(fast[i].Hz[k]-hz) <= 1e-6*hz) {
				t.Errorf("pose %v: mode %d at %.9g Hz by the fast path, %.9g Hz by the reference", q, k+1, fast[i].Hz[k], hz)
			}
		}
	}
}

func TestWeighIsTheMap(t *testing.T) {
	m := example(t, "seedling-gantry")
	s := study(t, m, Low)
	poses := Grid(m, []int{3, 3, 2})
	want, err := s.Map(poses, 0)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Weigh(poses)
	if err != nil {
		t.Fatal(err)
	}
	for i := range got {
		if d := r3.Norm(r3.Sub(got[i], want[i].Loaded())); d > 1e-9*r3.Norm(got[i]) {
			t.Errorf("pose %v: %v in one case, %v as a sum of two", poses[i], got[i], want[i].Loaded())
		}
	}
}

// TestFinerElementsChangeLittle: with elements a quarter as long the tool sags
// less than 2 % more (1.1 % is seen, with all axes at one end) and no frequency
// falls by more than 0.3 % (0.2 % is seen); what is held between nodes is too
// stiff, so the change has a sign.
func TestFinerElementsChangeLittle(t *testing.T) {
	poses := [][]float64{{0, 0, 0}, {2, 0.8, 0.25}, {3.6, 1.4, 0.06}}
	solve := func(times int) []Response {
		m := example(t, "seedling-gantry")
		for i := range m.Members {
			m.Members[i].Divide *= times
		}
		out, err := study(t, m, Nominal).Map(poses, 3)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	coarse, fine := solve(1), solve(4)
	for i, f := range fine {
		c := coarse[i]
		if more := f.Loaded().Z/c.Loaded().Z - 1; !(more > -1e-6 && more < 0.02) {
			t.Errorf("pose %v: the tool sags %.3g of its sag more with finer elements", f.Q, more)
		}
		for k := range f.Hz {
			if less := 1 - f.Hz[k]/c.Hz[k]; !(less > -1e-6 && less < 0.003) {
				t.Errorf("pose %v: mode %d falls by %.3g of itself with finer elements", f.Q, k+1, less)
			}
		}
	}
}

func TestStifferJointsNeverSagMore(t *testing.T) {
	m := example(t, "crate-portal")
	poses := Grid(m, []int{3, 2})
	var before []Response
	for l := Low; l <= High; l++ {
		now, err := study(t, m, l).Map(poses, 1)
		if err != nil {
			t.Fatal(err)
		}
		for i := range before {
			if now[i].Unit[2].Z > before[i].Unit[2].Z || now[i].Hz[0] < before[i].Hz[0] {
				t.Errorf("pose %v at %v: compliance %g after %g, %g Hz after %g Hz", poses[i], l, now[i].Unit[2].Z, before[i].Unit[2].Z, now[i].Hz[0], before[i].Hz[0])
			}
		}
		before = now
	}
}

func TestComplianceIsReciprocal(t *testing.T) {
	m := example(t, "crate-portal")
	out, err := study(t, m, Nominal).Map(Grid(m, []int{2, 2}), 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range out {
		// Maxwell: the movement along y by a force along x is that along x by one along y.
		if d := math.Abs(p.Unit[0].Y - p.Unit[1].X); d > 1e-9*math.Abs(p.Unit[0].X) {
			t.Errorf("pose %v: %g and %g", p.Q, p.Unit[0].Y, p.Unit[1].X)
		}
	}
}

// TestDriveHoldsItsAxis: the drive tie must carry exactly the inertia of what
// the axis moves, whatever the stiffnesses are.
func TestDriveHoldsItsAxis(t *testing.T) {
	m := example(t, "crate-portal")
	s := study(t, m, Nominal)
	f, err := s.Forces([][]float64{{0.4, 0.2}}, []Combination{{Name: "x", Accel: []float64{3, 0}}})
	if err != nil {
		t.Fatal(err)
	}
	got := f.Joints[DriveID(m.Axes[0], 0)][0].Largest(0)
	want := 3 * m.Moved(0, true)
	// Friction is no part of the model; weight has no part along a level axis but for the slope of the sagging beam.
	if !(math.Abs(got-want) <= 2e-3*want) {
		t.Errorf("the belt holds %.3f N, mass times acceleration is %.3f N", got, want)
	}
}

func TestFeetCarryTheWeight(t *testing.T) {
	m := example(t, "crate-portal")
	f, err := study(t, m, Nominal).Forces([][]float64{{1.1, 0.3}}, []Combination{{Name: "at rest", Accel: []float64{0, 0}}})
	if err != nil {
		t.Fatal(err)
	}
	least, most := 0.0, 0.0
	for _, foot := range m.Feet {
		b := f.Joints["foot "+m.Nodes[foot.Node].ID][0]
		least, most = least-b.Max[2], most-b.Min[2]
	}
	empty, loaded := m.Mass()*quantity.StandardGravity, (m.Mass()+m.Payload.Kg)*quantity.StandardGravity
	// Bounds are taken foot by foot: each end adds up to at most one of the two weights.
	if least > empty*(1+1e-9) || most < loaded*(1-1e-9) {
		t.Errorf("feet carry %.3f to %.3f N, the machine weighs %.3f N empty and %.3f N loaded", least, most, empty, loaded)
	}
}

func TestSettleTime(t *testing.T) {
	one := []Swing{{Hz: 8, Amplitude: 1.8568e-3}}
	got, ok := SettleTime(one, 0.1e-3, 0.03)
	// ln(1.8568/0.1)/(0.03 * 2 pi * 8): closed form of a single decay.
	if want := math.Log(18.568) / (0.03 * 2 * math.Pi * 8); !ok || math.Abs(got-want) > 1e-4*want {
		t.Errorf("%v, %v; want %v", got, ok, want)
	}
	if _, ok := SettleTime(one, 0.1e-3, 0); ok {
		t.Error("an undamped swing settled")
	}
	if got, ok := SettleTime(one, 2e-3, 0.01); !ok || got != 0 {
		t.Errorf("inside the band from the start: %v, %v", got, ok)
	}
	two := []Swing{one[0], {Hz: 8, Amplitude: one[0].Amplitude}}
	later, _ := SettleTime(two, 0.1e-3, 0.03)
	if later <= got {
		t.Errorf("two swings settle in %v, one in %v", later, got)
	}
}

// TestMatchedJerkLeavesNoSwing: with the jerk time equal to the period of the
// only mode that matters, little is left; with a sharp ramp much is.
func TestMatchedJerkLeavesNoSwing(t *testing.T) {
	m := example(t, "crate-portal")
	s := study(t, m, Nominal)
	q := []float64{0.9, 0}
	plan := func(jerk float64) float64 {
		p, err := motion.Plan(0.5, motion.Limits{Speed: 0.7, Accel: 2, Jerk: jerk})
		if err != nil {
			t.Fatal(err)
		}
		swings, err := s.After([]Arrival{{Q: q, Loaded: true, Profiles: []motion.Profile{{}, p}}}, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, w := range swings[0] {
			sum += w.Amplitude
		}
		return sum
	}
	swings, err := s.After([]Arrival{{Q: q, Loaded: true, Profiles: []motion.Profile{{}, mustPlan(t)}}}, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	most := 0
	for i, w := range swings[0] {
		if w.Amplitude > swings[0][most].Amplitude {
			most = i
		}
	}
	matched := 2 * swings[0][most].Hz
	if soft, hard := plan(matched), plan(100*matched); soft > hard/3 {
		t.Errorf("jerk matched to %.3g Hz leaves %.3g m, a sharp ramp %.3g m", swings[0][most].Hz, soft, hard)
	}
}

func mustPlan(t *testing.T) motion.Profile {
	t.Helper()
	p, err := motion.Plan(0.5, motion.Limits{Speed: 0.7, Accel: 2, Jerk: 1000})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func BenchmarkPoseMap(b *testing.B) {
	m := example(b, "crate-portal")
	s := study(b, m, Low)
	poses := Grid(m, []int{15, 5})
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Map(poses, 3); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(poses)), "µs/pose")
}

func BenchmarkReferenceMap(b *testing.B) {
	m := example(b, "crate-portal")
	s := study(b, m, Low)
	poses := Grid(m, []int{15, 5})
	for b.Loop() {
		for _, q := range poses {
			system, err := s.Reference(q, true)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := system.Static(weightCase()); err != nil {
				b.Fatal(err)
			}
			if _, err := system.Modes(3); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(poses)), "µs/pose")
}

func BenchmarkStaticMap(b *testing.B) {
	m := example(b, "crate-portal")
	s := study(b, m, Low)
	poses := Grid(m, []int{100, 100})
	for b.Loop() {
		if _, err := s.Weigh(poses); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(poses)), "µs/pose")
}

// TestSurveyKeepsItsBound: on all examples and their faulty twins the frequencies
// of a survey lie above those solved to the end, by no more than it promises;
// deflections are the same to the last bit.
func TestSurveyKeepsItsBound(t *testing.T) {
	for _, name := range []string{"crate-portal", "sample-gantry", "seedling-gantry", "slab-gantry"} {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			m := exampleFile(t, name, file)
			s := study(t, m, Low)
			poses := Grid(m, []int{3, 2, 2}[:len(m.Axes)])
			survey, err := s.Survey(poses)
			if err != nil {
				t.Fatal(err)
			}
			worst := 0.0
			for i, q := range poses {
				exact, err := s.Map([][]float64{q}, 1)
				if err != nil {
					t.Fatal(err)
				}
				got, want := survey[i], exact[0]
				above := got.Hz[0]/want.Hz[0] - 1
				worst = math.Max(worst, above)
				if !(above > -1e-9 && above <= SurveyError) {
					t.Errorf("%s/%s at %v: %.9g Hz in the survey, %.9g Hz", name, file, q, got.Hz[0], want.Hz[0])
				}
				got.Hz, want.Hz, want.Accel = nil, nil, nil
				if !reflect.DeepEqual(got, want) {
					t.Errorf("%s/%s at %v: %v in the survey, %v", name, file, q, got, want)
				}
			}
			t.Logf("%s/%s: at most %.1e too high", name, file, worst)
			sags, err := s.Sags(poses)
			if err != nil {
				t.Fatal(err)
			}
			for i, r := range sags {
				if r.Loaded() != survey[i].Loaded() {
					t.Errorf("%s/%s at %v: %v of weight alone, %v in the survey", name, file, poses[i], r.Loaded(), survey[i].Loaded())
				}
			}
		}
	}
}
