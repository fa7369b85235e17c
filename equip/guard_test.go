package equip

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"spanwright/given"
)

// TestLongerStopsNeedMoreDistance: also where the formula changes at 500 mm.
func TestLongerStopsNeedMoreDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		time, more := rapid.Float64Range(0, 2).Draw(t, "time"), rapid.Float64Range(0, 1).Draw(t, "more")
		d, coarser := rapid.Float64Range(0.005, 0.07).Draw(t, "detection"), rapid.Float64Range(0, 0.02).Draw(t, "coarser")
		coarser = math.Min(0.07, d+coarser)
		first, err := CurtainDistance(time, d)
		if err != nil {
			t.Fatal(err)
		}
		later, err := CurtainDistance(time+more, d)
		if err != nil {
			t.Fatal(err)
		}
		wider, err := CurtainDistance(time, coarser)
		if err != nil {
			t.Fatal(err)
		}
		if later.Least < first.Least-1e-12 {
			t.Fatalf("%g s needs %g m, %g s only %g m", time, first.Least, time+more, later.Least)
		}
		if wider.Least < first.Least-1e-12 {
			t.Fatalf("%g m resolution needs %g m, %g m only %g m", d, first.Least, coarser, wider.Least)
		}
		if first.Least < 0.1 {
			t.Fatalf("distance %g m", first.Least)
		}
	})
}

func TestCurtainFormulas(t *testing.T) {
	tests := map[string]struct {
		time, detection, least, speed float64
	}{
		"hand speed":                        {0.12, 0.014, 0.24, 2},
		"walking speed where 500 mm is met": {0.32, 0.014, 0.512, 1.6}, // published numbers
		"never below 500 mm by walking":     {0.27, 0.014, 0.5, 1.6},
		"never below 100 mm":                {0.03, 0.014, 0.1, 2},
		"coarser curtains add reach":        {0.26, 0.030, 0.544, 1.6},
		"whole hands pass a coarse curtain": {0.30, 0.050, 1.33, 1.6},
	}
	for name, c := range tests {
		d, err := CurtainDistance(c.time, c.detection)
		if err != nil || math.Abs(d.Least-c.least) > 1e-12 || d.Speed != c.speed || d.Formula == "" {
			t.Errorf("%s: %+v, %v, want %g m", name, d, err, c.least)
		}
	}
}

// TestHigherFencesNeedLessDistance: a higher fence never asks for more, at any
// hazard height, and the table falls along its rows.
func TestHigherFencesNeedLessDistance(t *testing.T) {
	for _, table := range []ReachTable{HighRiskReach(), LowRiskReach()} {
		if len(table.Distance) != len(table.Hazard) {
			t.Fatalf("%s: %d rows for %d heights", table.Source, len(table.Distance), len(table.Hazard))
		}
		for k, row := range table.Distance {
			if len(row) != len(table.Structure) || !slices.IsSortedFunc(row, func(a, b int) int { return b - a }) {
				t.Errorf("%s: row %d: %v", table.Source, table.Hazard[k], row)
			}
		}
		rapid.Check(t, func(t *rapid.T) {
			least := float64(table.Structure[0]) * table.Unit
			hazard := rapid.Float64Range(float64(table.Hazard[len(table.Hazard)-1])*table.Unit, 3).Draw(t, "hazard")
			fence, higher := rapid.Float64Range(least, 2.6).Draw(t, "fence"), rapid.Float64Range(0, 0.5).Draw(t, "higher")
			low, err := table.At(hazard, fence, false)
			if err != nil {
				t.Fatal(err)
			}
			high, err := table.At(hazard, fence+higher, false)
			if err != nil {
				t.Fatal(err)
			}
			if high.Least > low.Least {
				t.Fatalf("hazard at %g m: %g m behind a fence of %g m, %g m behind one of %g m", hazard, low.Least, fence, high.Least, fence+higher)
			}
		})
	}
}

func TestReach(t *testing.T) {
	high, low := HighRiskReach(), LowRiskReach()
	tests := map[string]struct {
		table             ReachTable
		hazard, structure float64
		atHand            bool
		want              Reach
		err               error
	}{
		"from memory, never better than tight": {high, 1.8, 1.8, false, Reach{Least: 0.8, AtBestTight: true}, nil},
		"compared with the standard":           {high, 1.8, 1.8, true, Reach{Least: 0.8}, nil},
		"hazard between two rows":              {high, 2.5, 2.0, true, Reach{Least: 0.6}, nil},
		"hazard just below a row":              {high, 1.79, 2.0, true, Reach{Least: 0.6}, nil},
		"low fence asks for more":              {high, 1.0, 1.2, true, Reach{Least: 1.4, MoreMeasures: true}, nil},
		"out of reach above":                   {high, 2.8, 1.4, true, Reach{}, nil},
		"fence too low":                        {high, 1.0, 0.9, true, Reach{}, ErrOutsideTable},
		"seen table":                           {low, 78 * 0.0254, 78 * 0.0254, false, Reach{Least: 14 * 0.0254}, nil},
		"hazard below the seen table":          {low, 0.1, 1.2, false, Reach{}, ErrOutsideTable},
		"no height":                            {high, math.NaN(), 1.2, false, Reach{}, given.ErrRefused},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := c.table.At(c.hazard, c.structure, c.atHand)
			if !errors.Is(err, c.err) {
				t.Fatalf("error %v, want %v", err, c.err)
			}
			if got.AtBestTight != (got.Note != "") {
				t.Errorf("note %q", got.Note)
			}
			if d := cmp.Diff(c.want, got, cmpopts.IgnoreFields(Reach{}, "Source", "Note"), cmpopts.EquateApprox(1e-12, 0)); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
		})
	}
}

func TestReachThrough(t *testing.T) {
	tests := map[string]struct {
		shape        Opening
		size, length float64
		want         float64 // m; below 0: refused
	}{
		"finger slot":            {Slot, 0.008, 0, 0.02},
		"hand slot":              {Slot, 0.03, 0, 0.85},
		"short hand slot":        {Slot, 0.03, 0.06, 0.2},
		"square of 31 mm":        {Square, 0.031, 0, 0.2},
		"round hole of 10 mm":    {Round, 0.010, 0, 0.02},
		"wide enough to walk in": {Square, 0.2, 0, -1},
		"star":                   {"star", 0.01, 0, -1},
	}
	for name, c := range tests {
		got, err := ReachThrough(c.shape, c.size, c.length, false)
		if c.want < 0 {
			if err == nil {
				t.Errorf("%s: %+v", name, got)
			}
			continue
		}
		if err != nil || math.Abs(got.Least-c.want) > 1e-12 || !got.AtBestTight {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
}

func TestRequiredLevelNeedsAllThreeLetters(t *testing.T) {
	for _, letters := range [][3]string{{"unknown", "F1", "P1"}, {"S2", "", "P2"}, {"F1", "S1", "P1"}} {
		if level, err := RequiredLevel(letters[0], letters[1], letters[2]); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%v: %q, %v", letters, level, err)
		}
	}
	last := math.Inf(1)
	for _, p := range []PerformanceLevel{"a", "b", "c", "d", "e"} {
		r, err := p.Rates()
		if err != nil || !(r.Least < r.Most) || !(r.Most <= last*(1+1e-12)) {
			t.Errorf("%s: %+v, %v", p, r, err)
		}
		last = r.Least
	}
}

func TestListsFollowTheMachine(t *testing.T) {
	level, gantry := Situation{Axes: 2, Anchored: true}, Situation{Axes: 3, VerticalAxis: true, PeopleNear: true, CableCarrier: true, Vacuum: true}
	if a, b := len(SafetyFunctions(level)), len(SafetyFunctions(gantry)); !(a < b) {
		t.Errorf("safety functions: %d for two level axes, %d for a gantry with a vertical axis", a, b)
	}
	if a, b := len(Hazards(level)), len(Hazards(gantry)); b-a != 5 { // fall, vacuum, trapping, tipping, robot
		t.Errorf("hazards: %d and %d", a, b)
	}
}
