package motion

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func moving(name string, moves ...AxisMove) Step {
	return Step{Name: name, Kind: KindMove, Moves: moves}
}

func waiting(name string, seconds float64) Step {
	return Step{Name: name, Kind: KindDwell, Duration: seconds}
}

func inTurn(name string, steps ...Step) Step {
	return Step{Name: name, Kind: KindSequence, Steps: steps}
}

func atOnce(name string, steps ...Step) Step {
	return Step{Name: name, Kind: KindParallel, Steps: steps}
}

// crateCycle is a loading cycle of two axes: over, down, grip, up while a
// door closes, back.
func crateCycle(t testing.TB) Step {
	x, z := Limits{Speed: 2, Accel: 5, Jerk: 100}, Limits{Speed: 1, Accel: 4}
	over, down := mustPlan(t, 1.2, x), mustPlan(t, -0.4, z)
	back, up := mustPlan(t, -1.2, x), mustPlan(t, 0.4, z)
	return inTurn("cycle",
		moving("over", AxisMove{"x", over}),
		Step{Name: "settle over", Kind: KindSettle, Duration: 0.2},
		moving("down", AxisMove{"z", down}),
		waiting("grip", 0.3),
		atOnce("away",
			moving("up", AxisMove{"z", up}),
			waiting("door", 0.1)),
		moving("back", AxisMove{"x", back}),
	)
}

func TestLay(t *testing.T) {
	line, err := Lay(crateCycle(t), Place{"z", 0.5})
	if err != nil {
		t.Fatal(err)
	}
	// 1.05 s over (case M10), 0.2 settle, 0.65 down (0.4/1 + 1/4), 0.3 grip, 0.65 up, 1.05 back.
	if want := 1.05 + 0.2 + 0.65 + 0.3 + 0.65 + 1.05; math.Abs(line.Duration-want) > 1e-12 {
		t.Errorf("cycle takes %.12g s, want %.12g", line.Duration, want)
	}
	if diff := cmp.Diff([]string{"z", "x"}, line.Axes()); diff != "" {
		t.Errorf("axes (-want +got):\n%s", diff)
	}
	var path []string
	for _, i := range line.CriticalPath() {
		path = append(path, i.Name)
	}
	if diff := cmp.Diff([]string{"over", "settle over", "down", "grip", "up", "back"}, path); diff != "" {
		t.Errorf("critical path (-want +got):\n%s", diff)
	}
	door := line.Intervals[5]
	if door.Name != "door" || math.Abs(door.Slack-0.55) > 1e-12 || !slices.Equal(door.Group, []string{"cycle", "away"}) {
		t.Errorf("door: %+v, want a slack of 0.55 s", door)
	}
	states := map[string]struct{ at, x, z float64 }{
		"at the start":        {0, 0, 0.5},
		"while settling":      {1.15, 1.2, 0.5},
		"half way down":       {1.25 + 0.325, 1.2, 0.3},
		"while gripping":      {2, 1.2, 0.1},
		"half way back":       {2.85 + 0.525, 0.6, 0.5},
		"at the end":          {3.9, 0, 0.5},
		"long after the end":  {39, 0, 0.5},
		"long before it":      {-1, 0, 0.5},
		"an axis of no cycle": {1, math.NaN(), math.NaN()},
	}
	for name, s := range states {
		if math.IsNaN(s.x) {
			if got := line.At("y", s.at); got != (State{}) {
				t.Errorf("%s: %+v", name, got)
			}
			continue
		}
		x, z := line.At("x", s.at).Position, line.At("z", s.at).Position
		if math.Abs(x-s.x) > 1e-12 || math.Abs(z-s.z) > 1e-12 {
			t.Errorf("%s: at %g, %g; want %g, %g", name, x, z, s.x, s.z)
		}
	}
	if least, greatest := line.Range("z"); math.Abs(least-0.1) > 1e-12 || greatest != 0.5 {
		t.Errorf("z runs from %g to %g", least, greatest)
	}
	if d := line.Drift("x"); math.Abs(d) > 1e-12 {
		t.Errorf("x drifts by %g m", d)
	}
	if got, want := line.PerHour(), 3600/3.9; math.Abs(got-want) > 1e-9 {
		t.Errorf("%g an hour, want %g", got, want)
	}
	if n := len(line.Phases()); n != len(line.Corners())-1 || n != 7+1+3+1+3+7 {
		t.Errorf("%d phases", n)
	}
	for _, p := range line.Phases() { // z never accelerates while x does
		if ax, az := line.At("x", p.Middle()).Accel, line.At("z", p.Middle()).Accel; ax != 0 && az != 0 {
			t.Errorf("both accelerate at %g s", p.Middle())
		}
	}
}

func TestLayRefuses(t *testing.T) {
	p := mustPlan(t, 1, Limits{Speed: 1, Accel: 1}) // 2 s
	x := AxisMove{"x", p}
	tests := map[string]struct {
		step  Step
		place Place
		err   error
	}{
		"no kind":                   {inTurn("c", Step{Name: "?"}), Place{}, ErrStep},
		"a kind out of range":       {Step{Name: "?", Kind: 77}, Place{}, ErrStep},
		"negative dwell":            {waiting("w", -1), Place{}, ErrStep},
		"endless dwell":             {waiting("w", math.Inf(1)), Place{}, ErrStep},
		"dwell NaN":                 {atOnce("c", waiting("w", math.NaN())), Place{}, ErrStep},
		"dwell with moves":          {Step{Kind: KindDwell, Duration: 1, Moves: []AxisMove{x}}, Place{}, ErrStep},
		"move with a duration":      {Step{Kind: KindMove, Duration: 1, Moves: []AxisMove{x}}, Place{}, ErrStep},
		"move with inner steps":     {Step{Kind: KindMove, Steps: []Step{waiting("w", 1)}}, Place{}, ErrStep},
		"start not a number":        {moving("m", x), Place{"x", math.NaN()}, ErrStep},
		"one axis twice in a move":  {moving("m", x, x), Place{}, ErrOverlap},
		"one axis in two branches":  {atOnce("c", moving("m", x), inTurn("s", waiting("w", 1.9), moving("n", x))), Place{}, ErrOverlap},
		"in turn within a branch":   {inTurn("s", moving("m", x), moving("n", x)), Place{}, nil},
		"two branches, not at once": {atOnce("c", inTurn("s", waiting("w", 2), moving("m", x)), moving("n", x)), Place{}, nil},
		"nothing at all":            {inTurn("c"), Place{}, nil},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			line, err := Lay(tt.step, tt.place)
			if !errors.Is(err, tt.err) {
				t.Fatalf("%v, want %v", err, tt.err)
			}
			if tt.err == nil && line.Duration > 0 && math.Abs(line.Drift("x")-2) > 1e-12 {
				t.Errorf("x went %g m, want 2", line.Drift("x"))
			}
		})
	}
}

// anyCycle draws a tree of steps in which every move has an axis of its own.
func anyCycle(t *rapid.T, depth int, axes *int) Step {
	kind := KindDwell
	if depth > 0 {
		kind = rapid.SampledFrom([]Kind{KindDwell, KindMove, KindSettle, KindSequence, KindParallel}).Draw(t, "kind")
	}
	s := Step{Name: "step", Kind: kind}
	switch kind {
	case KindMove:
		*axes++
		p, err := OneThird(1, spread(t, "time", 0.01, 10))
		if err != nil {
			t.Fatal(err)
		}
		s.Moves = []AxisMove{{fmt.Sprint(*axes), p}}
	case KindDwell, KindSettle:
		s.Duration = spread(t, "time", 0.01, 10)
	default:
		for range rapid.IntRange(1, 3).Draw(t, "steps") {
			s.Steps = append(s.Steps, anyCycle(t, depth-1, axes))
		}
	}
	return s
}

// leaves lists the waiting steps of a tree.
func leaves(s *Step) []*Step {
	if s.Kind == KindDwell || s.Kind == KindSettle {
		return []*Step{s}
	}
	var all []*Step
	for i := range s.Steps {
		all = append(all, leaves(&s.Steps[i])...)
	}
	return all
}

// Slack is what it says: a step may grow by it, and any more delays the cycle
// by as much.
func TestSlackIsWhatAStepMayGrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axes := 0
		cycle := anyCycle(t, 3, &axes)
		line, err := Lay(cycle)
		if err != nil {
			t.Fatal(err)
		}
		last := 0.0
		for _, i := range line.Intervals {
			last = math.Max(last, i.End)
		}
		if !near(last, line.Duration, 1e-12, line.Duration) {
			t.Fatalf("last step ends at %g of %g s", last, line.Duration)
		}
		waits := 0
		for n, i := range line.Intervals {
			if i.Kind == KindMove {
				continue
			}
			step := leaves(&cycle)[waits]
			waits++
			kept, more := step.Duration, spread(t, "more", 0.01, 1)
			for _, grown := range []float64{i.Slack, i.Slack + more} {
				step.Duration = kept + grown
				late, err := Lay(cycle)
				if err != nil {
					t.Fatal(err)
				}
				if want := line.Duration + grown - i.Slack; !near(late.Duration, want, 1e-12, want) {
					t.Fatalf("step %d with slack %g s grown by %g s: %g s, want %g s", n, i.Slack, grown, late.Duration, want)
				}
			}
			step.Duration = kept
		}
	})
}

// Every axis has one curve over the whole cycle, without gaps or jumps.
func TestCurvesCoverTheCycle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axes := 0
		cycle := anyCycle(t, 3, &axes)
		line, err := Lay(cycle)
		if err != nil {
			t.Fatal(err)
		}
		if len(line.Axes()) != axes {
			t.Fatalf("%d axes of %d", len(line.Axes()), axes)
		}
		for _, axis := range line.Axes() {
			c := line.Curve(axis)
			if c.Start() != 0 || !near(c.End(), line.Duration, 1e-12, line.Duration) {
				t.Fatalf("axis %s runs from %g to %g of %g s", axis, c.Start(), c.End(), line.Duration)
			}
			checkContinuous(t, c, false, 1e-12)
			if d := line.Drift(axis); !near(d, 1, 1e-12, 1) {
				t.Fatalf("axis %s went %g m", axis, d)
			}
		}
	})
}

func BenchmarkLay(b *testing.B) {
	cycle := crateCycle(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Lay(cycle); err != nil {
			b.Fatal(err)
		}
	}
}
