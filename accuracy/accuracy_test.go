package accuracy

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/given"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Abs(want)) { // a few operations stay far below
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func micrometres(t *rapid.T, name string) float64 {
	return float64(rapid.IntRange(-100_000, 100_000).Draw(t, name)) * 1e-9
}

func anyPositioning(t *rapid.T) Positioning {
	n, runs := rapid.IntRange(1, 6).Draw(t, "positions"), rapid.IntRange(2, 6).Draw(t, "runs")
	p := Positioning{}
	for range n {
		var up, down []float64
		for range runs {
			up, down = append(up, micrometres(t, "up")), append(down, micrometres(t, "down"))
		}
		p.Forward, p.Backward = append(p.Forward, up), append(p.Backward, down)
	}
	return p
}

// What the standard's values owe each other for any data.
func TestPositioningOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := anyPositioning(t).Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		const rounding = 1e-15
		atMost := func(what string, a, b float64) {
			if a > b+rounding {
				t.Fatalf("%s: %g above %g", what, a, b)
			}
		}
		atMost("E forward within E", r.Systematic.Forward, r.Systematic.Both)
		atMost("E backward within E", r.Systematic.Backward, r.Systematic.Both)
		atMost("B within E", r.Reversal, r.Systematic.Both)
		atMost("M within E", r.Mean, r.Systematic.Both)
		atMost("E within A", r.Systematic.Both, r.Accuracy.Both)
		atMost("R forward within R", r.Repeatability.Forward, r.Repeatability.Both)
		atMost("R within A", r.Repeatability.Both, r.Accuracy.Both)
		atMost("mean reversal within B", math.Abs(r.MeanReversal), r.Reversal)
	})
}

// Shifting all deviations, or looking from the other side, changes nothing but signs.
func TestPositioningSymmetry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPositioning(t)
		shift := micrometres(t, "shift")
		mirrored := Positioning{}
		for i := range p.Forward {
			var up, down []float64
			for j := range p.Forward[i] {
				up, down = append(up, shift-p.Backward[i][j]), append(down, shift-p.Forward[i][j])
			}
			mirrored.Forward, mirrored.Backward = append(mirrored.Forward, up), append(mirrored.Backward, down)
		}
		a, errA := p.Evaluate()
		b, errB := mirrored.Evaluate()
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		for what, pair := range map[string][2]float64{
			"A": {a.Accuracy.Both, b.Accuracy.Both}, "R": {a.Repeatability.Both, b.Repeatability.Both},
			"E": {a.Systematic.Both, b.Systematic.Both}, "B": {a.Reversal, b.Reversal}, "M": {a.Mean, b.Mean},
			"R up, down": {a.Repeatability.Forward, b.Repeatability.Backward},
		} {
			if !(math.Abs(pair[0]-pair[1]) <= 1e-12) { // m; the values are up to 1e-4 and differ by roundings of 1e-20
				t.Fatalf("%s: %g and %g", what, pair[0], pair[1])
			}
		}
	})
}

func TestPositioningRefusals(t *testing.T) {
	two := []float64{1, 2}
	tests := map[string]Positioning{
		"nothing":         {},
		"one direction":   {Forward: [][]float64{two}},
		"one run":         {Forward: [][]float64{{1}}, Backward: [][]float64{two}},
		"not a number":    {Forward: [][]float64{two}, Backward: [][]float64{{1, math.NaN()}}},
		"uneven position": {Forward: [][]float64{two, two}, Backward: [][]float64{two}},
	}
	for name, p := range tests {
		if _, err := p.Evaluate(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestMinimumTargets(t *testing.T) {
	for travel, want := range map[float64]int{0.1: 5, 1: 5, 1.1: 6, 1.4: 7, 2: 10} {
		if got, err := MinimumTargets(travel); err != nil || got != want {
			t.Errorf("%g m: %d (%v), want %d", travel, got, err, want)
		}
	}
	if _, err := MinimumTargets(2.5); !errors.Is(err, given.ErrRefused) {
		t.Errorf("beyond the rule: %v", err)
	}
}

// Moving and turning the whole measurement changes neither accuracy nor repeatability.
func TestPoseDoesNotDependOnTheFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := rapid.Custom(func(t *rapid.T) (p Point) {
			for k := range p {
				p[k] = micrometres(t, "coordinate")
			}
			return p
		})
		command := point.Draw(t, "command")
		attained := rapid.SliceOfN(point, 2, 8).Draw(t, "attained")
		angle, shift := rapid.Float64Range(0, 6).Draw(t, "angle"), point.Draw(t, "shift")
		move := func(p Point) Point {
			c, s := math.Cos(angle), math.Sin(angle)
			return Point{c*p[0] - s*p[1] + shift[0], s*p[0] + c*p[1] + shift[1], p[2] + shift[2]}
		}
		a, errA := Pose(command, attained)
		moved := make([]Point, len(attained))
		for i, p := range attained {
			moved[i] = move(p)
		}
		b, errB := Pose(move(command), moved)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		const rounding = 1e-16 // m, of coordinates of 1e-4 m
		if !(math.Abs(a.Accuracy-b.Accuracy) <= rounding && math.Abs(a.Repeatability-b.Repeatability) <= 100*rounding) {
			t.Fatalf("%+v and %+v", a, b)
		}
		if a.Repeatability < a.MeanDistance {
			t.Fatalf("%+v", a)
		}
	})
}

func TestPoseRefusals(t *testing.T) {
	if _, err := Pose(Point{}, []Point{{}}); !errors.Is(err, given.ErrRefused) {
		t.Errorf("one position: %v", err)
	}
	if _, err := Pose(Point{math.NaN()}, []Point{{}, {}}); !errors.Is(err, given.ErrRefused) {
		t.Errorf("command NaN: %v", err)
	}
	if _, err := Scalar(0, []float64{1, math.Inf(1)}); !errors.Is(err, given.ErrRefused) {
		t.Errorf("infinite distance: %v", err)
	}
	if _, err := PosePoints(Point{}, Point{1, 0, 1}); !errors.Is(err, given.ErrRefused) {
		t.Errorf("flat box: %v", err)
	}
}

func TestBudget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []Contribution
		for range rapid.IntRange(0, 6).Draw(t, "contributions") {
			all = append(all, Contribution{Size: micrometres(t, "size"), Kind: Kind(rapid.IntRange(1, 2).Draw(t, "kind"))})
		}
		b, err := Sum(all...)
		if err != nil {
			t.Fatal(err)
		}
		const rounding = 1e-15
		if b.RSS > b.Mixed+rounding || b.Mixed > b.Arithmetic+rounding {
			t.Fatalf("%+v of %+v", b, all)
		}
	})
	if _, err := Sum(Contribution{Name: "lead", Size: 1e-6}); !errors.Is(err, given.ErrRefused) {
		t.Errorf("a contribution of no kind: %v", err)
	}
}

func TestSmallFormulas(t *testing.T) {
	expanded, err := Expanded(3e-6, 4e-6)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "expanded", expanded, 10e-6)
	lost, err := Reversal{20e-6, 40, math.Inf(1)}.LostMotion()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rigid drive", lost, 20e-6)
	abbe, err := Abbe(-50e-6, 0.4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Abbe", abbe, 20e-6)
	same, difference, err := ScaleGrowth{1.8, -6, 23e-6, 23e-6}.Growth()
	if err != nil || difference != 0 {
		t.Errorf("scale of the same metal: %g (%v)", difference, err)
	}
	near(t, "cooling shrinks", same, -248.4e-6)
	if _, err := (Reversal{Stiffness: 0}).LostMotion(); !errors.Is(err, given.ErrRefused) {
		t.Errorf("no stiffness: %v", err)
	}
	if _, err := RectangularUncertainty(-1); !errors.Is(err, given.ErrRefused) {
		t.Errorf("negative width: %v", err)
	}
}
