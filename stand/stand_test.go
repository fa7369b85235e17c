package stand

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"spanwright/given"
	"spanwright/quantity"
)

var corners = []Point{{0, 0}, {2, 0}, {2, 1.2}, {0, 1.2}}

func fourFeet() []Foot {
	feet := make([]Foot, len(corners))
	for i, p := range corners {
		feet[i] = Foot{At: p, Stiffness: 1.5e7}
	}
	return feet
}

func TestFootprint(t *testing.T) {
	tests := map[string]struct {
		feet    []Point
		outline []int
		err     error
	}{
		"rectangle":                       {corners, []int{0, 1, 2, 3}, nil},
		"clockwise input":                 {[]Point{{0, 0}, {0, 1}, {1, 1}, {1, 0}}, []int{0, 3, 2, 1}, nil},
		"feet in the middle of long side": {[]Point{{0, 0}, {1, 0}, {2, 0}, {2, 1}, {1, 1}, {0, 1}}, []int{0, 2, 3, 5}, nil},
		"a foot inside":                   {[]Point{{0, 0}, {2, 0}, {1, 0.5}, {1, 2}}, []int{0, 1, 3}, nil},
		"two feet at one place":           {[]Point{{0, 0}, {0, 0}, {1, 0}, {0, 1}}, []int{0, 2, 3}, nil},
		"on one line":                     {[]Point{{0, 0}, {1, 1}, {2, 2}}, nil, ErrNoFootprint},
		"two feet":                        {[]Point{{0, 0}, {1, 1}}, nil, ErrNoFootprint},
		"no feet":                         {nil, nil, ErrNoFootprint},
		"a foot nowhere":                  {[]Point{{0, 0}, {1, 0}, {math.NaN(), 1}}, nil, ErrNoFootprint},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			f, err := NewFootprint(c.feet)
			if !errors.Is(err, c.err) {
				t.Fatalf("error %v, want %v", err, c.err)
			}
			if err != nil {
				return
			}
			got := f.Outline()
			if len(got) > 0 && got[0] == 1 { // either of two feet at one place may stand for both
				got[0] = 0
			}
			if d := cmp.Diff(c.outline, got); d != "" {
				t.Errorf("outline (-want +got):\n%s", d)
			}
		})
	}
}

func TestJudgeNamesTheCriticalEdge(t *testing.T) {
	f, err := NewFootprint(corners)
	if err != nil {
		t.Fatal(err)
	}
	s := Standing{
		Name: "far right, loaded", Weight: Weight{180, [3]float64{1.3, 0.5, 1.1}}, Height: 2.2,
		Moves: []Acceleration{{Name: "x", Parts: []Weight{{45, [3]float64{1.6, 0.6, 1.7}}}, Of: [][3]float64{{4, 0, 0}}, Dynamic: 1}},
		Stops: []Acceleration{{Name: "x stop", Parts: []Weight{{45, [3]float64{1.6, 0.6, 1.7}}}, Of: [][3]float64{{6, 0, 0}}, Dynamic: 2}},
	}
	judged, err := f.Judge(s, UsualLimits())
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		Name, Edge string
		Kind       Kind
		Factor     float64
	}
	var got []line
	for _, j := range judged {
		got = append(got, line{j.Name, j.EdgeName(), j.Kind, j.Critical.Factor})
	}
	w := 180 * quantity.StandardGravity
	want := []line{
		// accelerating to +x throws back to -x: 45*4*1.7 = 306 N m over the left edge
		{"far right, loaded, x +", "feet 4-1", Operating, w * 1.3 / 306},
		{"far right, loaded, x -", "feet 2-3", Operating, w * 0.7 / 306},
		{"far right, loaded, x stop +", "feet 4-1", EmergencyStop, w * 1.3 / 918},
		{"far right, loaded, x stop -", "feet 2-3", EmergencyStop, w * 0.7 / 918},
		// 250 N < 353 N; at 2 m over the front edge, 0.5 m from the centre
		{"far right, loaded, accidental push", "feet 1-2", Push, w * 0.5 / 500},
		{"far right, loaded, tilt", "feet 1-2", Tilt, 0.5 / (1.1 * math.Tan(10*math.Pi/180))},
	}
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-12, 0)); d != "" {
		t.Errorf("load sets (-want +got):\n%s", d)
	}
	if u := judged[1].Utilisation(); math.Abs(u-1.5*306/(w*0.7)) > 1e-12 {
		t.Errorf("utilisation %.6f", u)
	}
}

func TestPushIsAFifthOfALightMachine(t *testing.T) {
	force, height := AccidentalPush(50, 1.4)
	if math.Abs(force-98.0665) > 1e-9 || height != 1.4 {
		t.Errorf("push of %.4f N at %.2f m, want 98.0665 N at 1.40 m", force, height)
	}
}

func TestVerticalForces(t *testing.T) {
	f, err := NewFootprint(corners)
	if err != nil {
		t.Fatal(err)
	}
	w := Weight{100, [3]float64{1, 0.6, 1}}
	tests := map[string]struct {
		force, x float64
		want     [4]float64 // overturning about the front, right, rear, left edge, N m
	}{
		"lifting inside takes from every edge":     {50, 0.5, [4]float64{30, 75, 30, 25}},
		"pressing inside overturns nothing":        {-50, 0.5, [4]float64{}},
		"pressing beyond the right edge overturns": {-50, 2.4, [4]float64{0, 20, 0, 0}},
	}
	for name, c := range tests {
		edges, err := f.Tipping(w, []Action{{Force: [3]float64{0, 0, c.force}, At: [3]float64{c.x, 0.6, 0}}})
		if err != nil {
			t.Fatal(err)
		}
		var got [4]float64
		for k, e := range edges {
			got[k] = e.Overturning
		}
		if d := cmp.Diff(c.want, got, cmpopts.EquateApprox(1e-12, 1e-12)); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

func TestCentreOutsideTheFeetFallsByItself(t *testing.T) {
	f, _ := NewFootprint(corners)
	edges, err := f.Tipping(Weight{100, [3]float64{2.1, 0.6, 1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	worst := critical(edges)
	if worst.From != 1 || worst.To != 2 || worst.Factor > 0 || worst.Stabilising >= 0 {
		t.Errorf("critical edge %+v, want 1-2 with a negative stabilising moment", worst)
	}
	if u := (Judged{Critical: worst, Limit: 1.5}).Utilisation(); !math.IsInf(u, 1) {
		t.Errorf("utilisation %g, want +Inf", u)
	}
	if u := worst.LimitState(); !math.IsInf(u, 1) {
		t.Errorf("limit state %g, want +Inf", u)
	}
}

// TestSettle: the numbers of the first two cases come from an independent
// solution of the same stand (stiffness 1.5e7 N/m, six figures).
func TestSettle(t *testing.T) {
	w := Weight{180, [3]float64{0.8, 0.75, 1.1}}
	anchored := fourFeet()
	for i := range anchored {
		anchored[i].Anchored = true
	}
	tests := map[string]struct {
		feet  []Foot
		force float64 // in x at 1.7 m
		want  []float64
		err   error
	}{
		"a foot lifts":            {fourFeet(), -600, []float64{661.948875, 0, 196.0788, 907.169325}, nil},
		"an anchored foot pulls":  {anchored, -600, []float64{674.2342875, -12.2854125, 208.3642125, 894.8839125}, nil},
		"too much and it falls":   {fourFeet(), -900, nil, ErrTips},
		"anchors hold that":       {anchored, -900, []float64{801.7342875, -139.7854125, 80.8642125, 1022.3839125}, nil},
		"a foot without a spring": {[]Foot{{At: corners[0]}, {At: corners[1]}, {At: corners[2]}}, 0, nil, given.ErrRefused},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := Settle(c.feet, w, []Action{{Force: [3]float64{c.force, 0, 0}, At: [3]float64{0, 0, 1.7}}})
			if !errors.Is(err, c.err) {
				t.Fatalf("error %v, want %v", err, c.err)
			}
			if d := cmp.Diff(c.want, got.Feet, cmpopts.EquateApprox(1e-8, 1e-6)); d != "" {
				t.Errorf("foot loads (-want +got):\n%s", d)
			}
		})
	}
	var tips TipsError
	_, err := Settle(fourFeet(), w, []Action{{Force: [3]float64{-900, 0, 0}, At: [3]float64{0, 0, 1.7}}})
	if !errors.As(err, &tips) || tips.Edge.From != 3 || tips.Edge.To != 0 || math.Abs(tips.Edge.Factor-0.922978823529) > 1e-9 {
		t.Errorf("tips about %+v (%v)", tips.Edge, err)
	}
}

func TestHighFootUnloadsItsNeighbours(t *testing.T) {
	// 0.5 mm on a spring of 1.5e7 N/m is 7500 N, far above the weight: three feet carry.
	cases, err := MisplaceEach(fourFeet(), Weight{180, [3]float64{1.0, 0.6, 1.1}}, nil, 0.5e-3)
	if err != nil {
		t.Fatal(err)
	}
	half := 180 * quantity.StandardGravity / 2
	// Centre of mass in the middle: one diagonal carries everything.
	want := []float64{half, 0, half, 0}
	// 1e-3 N: on one diagonal the faint springs carry some 1e-7 of the weight.
	if d := cmp.Diff(want, cases[0].Loads.Feet, cmpopts.EquateApprox(0, 1e-3)); d != "" {
		t.Errorf("foot 1 too high (-want +got):\n%s", d)
	}
	most, least := cases[0].Loads.MostLeast()
	if math.Abs(most-half) > 1e-3 || math.Abs(least) > 1e-3 {
		t.Errorf("most %g, least %g N", most, least)
	}
	want = []float64{0, half, 0, half}
	if d := cmp.Diff(want, cases[1].Loads.Feet, cmpopts.EquateApprox(0, 1e-3)); d != "" {
		t.Errorf("foot 1 too short (-want +got):\n%s", d)
	}
}

func TestSliding(t *testing.T) {
	s := Sliding{Friction: FrictionRubberOnConcrete, Weight: 1765.197, Horizontal: -180}
	if got := s.Factor(); math.Abs(got-2.941995) > 1e-9 {
		t.Errorf("factor %.6f, want 2.941995", got)
	}
	s.Horizontal = 0
	if got := s.Factor(); !math.IsInf(got, 1) {
		t.Errorf("nothing pushes: factor %g, want +Inf", got)
	}
}

func anyFeet(t *rapid.T) []Point {
	n := rapid.IntRange(3, 8).Draw(t, "feet")
	feet := make([]Point, n)
	for i := range feet {
		// on a ring with two radii: never all on a line
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.6).Draw(t, "turn")) / float64(n)
		r := rapid.Float64Range(0.4, 1.5).Draw(t, "radius")
		feet[i] = Point{r * math.Cos(a), r * math.Sin(a)}
	}
	return feet
}

func rotated(x, y, angle float64) (float64, float64) {
	s, c := math.Sincos(angle)
	return c*x - s*y, s*x + c*y
}

// TestTurningTheMachineChangesNothing: stability does not know where X points.
func TestTurningTheMachineChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet, angle := anyFeet(t), rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "angle")
		coordinate := rapid.Float64Range(-0.3, 0.3)
		w := Weight{rapid.Float64Range(20, 2000).Draw(t, "mass"), [3]float64{coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), rapid.Float64Range(0.1, 2).Draw(t, "z")}}
		a := Action{At: [3]float64{coordinate.Draw(t, "ax"), coordinate.Draw(t, "ay"), rapid.Float64Range(0, 3).Draw(t, "az")}}
		for k := range a.Force {
			a.Force[k] = rapid.Float64Range(-800, 800).Draw(t, "F")
		}
		turnedFeet := make([]Point, len(feet))
		for i, p := range feet {
			turnedFeet[i].X, turnedFeet[i].Y = rotated(p.X, p.Y, angle)
		}
		tw, ta := w, a
		tw.Centre[0], tw.Centre[1] = rotated(w.Centre[0], w.Centre[1], angle)
		ta.At[0], ta.At[1] = rotated(a.At[0], a.At[1], angle)
		ta.Force[0], ta.Force[1] = rotated(a.Force[0], a.Force[1], angle)
		// The smallest margin and the sums over all edges: the list may start at
		// another edge once turned.
		balance := func(feet []Point, w Weight, a Action) [3]float64 {
			f, err := NewFootprint(feet)
			if err != nil {
				t.Fatal(err)
			}
			edges, err := f.Tipping(w, []Action{a})
			if err != nil {
				t.Fatal(err)
			}
			out := [3]float64{math.Inf(1), 0, 0}
			for _, e := range edges {
				out[0] = math.Min(out[0], e.Stabilising-e.Overturning)
				out[1] += e.Stabilising
				out[2] += e.Overturning
			}
			return out
		}
		before, after := balance(feet, w, a), balance(turnedFeet, tw, ta)
		// 1e-9 of weight and forces times metres: round-off of turned coordinates.
		tol := 1e-9 * (w.Mass*quantity.StandardGravity + 3000)
		for k := range before {
			if math.Abs(before[k]-after[k]) > tol {
				t.Fatalf("margin and sums %v, turned by %.3f rad %v", before, angle, after)
			}
		}
	})
}

// TestFootLoadsBalance: the feet carry exactly what acts, press only, and the
// machine tips exactly when the tipping factor says so.
func TestFootLoadsBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var feet []Foot
		places := anyFeet(t)
		for _, p := range places {
			feet = append(feet, Foot{At: p, Stiffness: rapid.Float64Range(1e6, 1e8).Draw(t, "k"), High: rapid.Float64Range(-1e-4, 1e-4).Draw(t, "high")})
		}
		w := Weight{rapid.Float64Range(50, 1000).Draw(t, "mass"), [3]float64{
			rapid.Float64Range(-0.3, 0.3).Draw(t, "x"), rapid.Float64Range(-0.3, 0.3).Draw(t, "y"), 1}}
		a := Action{Force: [3]float64{rapid.Float64Range(-600, 600).Draw(t, "Fx"), rapid.Float64Range(-600, 600).Draw(t, "Fy"), 0}, At: [3]float64{0, 0, 1.5}}
		f, err := NewFootprint(places)
		if err != nil {
			t.Fatal(err)
		}
		edges, err := f.Tipping(w, []Action{a})
		if err != nil {
			t.Fatal(err)
		}
		weight := w.Mass * quantity.StandardGravity
		near := 1e-3 * weight // N m: so close to an edge the faint springs decide
		loads, err := Settle(feet, w, []Action{a})
		if errors.Is(err, ErrTips) {
			for _, e := range edges {
				if e.Stabilising-e.Overturning < near {
					return
				}
			}
			t.Fatalf("Settle says it tips, the smallest factor is %.6f: %v", critical(edges).Factor, err)
		}
		if err != nil {
			t.Fatal(err)
		}
		sure := true
		for _, e := range edges { // forces inwards may hold a weight that lies outside
			if e.Overturning > 0 && e.Stabilising-e.Overturning < -near {
				t.Fatalf("Settle holds it, the factor is %.6f", e.Factor)
			}
			sure = sure && e.Stabilising-e.Overturning > near
		}
		// The faint springs take 1e-8 of the weight, times what a high foot's
		// deflection exceeds that under the weight by; near tipping, up to the limit.
		tol := balanced
		if sure {
			tol = 1e-5
		}
		if !(loads.Residual < tol) {
			t.Fatalf("residual %g", loads.Residual)
		}
		sum := 0.0
		for i, r := range loads.Feet {
			if r < 0 {
				t.Fatalf("foot %d pulls %g N", i, r)
			}
			sum += r
		}
		if math.Abs(sum-weight) > tol*weight {
			t.Fatalf("feet carry %g N of %g N", sum, weight)
		}
	})
}

func TestStandRefusesNonsense(t *testing.T) {
	f, err := NewFootprint(corners)
	if err != nil {
		t.Fatal(err)
	}
	good := Weight{100, [3]float64{1, 0.6, 1}}
	for name, call := range map[string]func() error{
		"no mass":                func() error { _, err := f.Tipping(Weight{}, nil); return err },
		"NaN mass":               func() error { _, err := f.Tipping(Weight{Mass: math.NaN()}, nil); return err },
		"centre below the floor": func() error { _, err := f.Tipping(Weight{10, [3]float64{0, 0, -1}}, nil); return err },
		"infinite force": func() error {
			_, err := f.Tipping(good, []Action{{Force: [3]float64{math.Inf(1), 0, 0}}})
			return err
		},
		"negative push":     func() error { _, err := f.Pushed(good, -1, 1); return err },
		"floor on its side": func() error { _, err := f.Tilted(good, 2); return err },
		"parts without accelerations": func() error {
			_, err := f.Judge(Standing{Weight: good, Moves: []Acceleration{{Parts: []Weight{good}, Dynamic: 1}}}, UsualLimits())
			return err
		},
		"no dynamic factor": func() error {
			_, err := f.Judge(Standing{Weight: good, Stops: []Acceleration{{Name: "x"}}}, UsualLimits())
			return err
		},
		"no limit":               func() error { _, err := f.Judge(Standing{Weight: good}, Limits{}); return err },
		"foot without stiffness": func() error { _, err := Settle([]Foot{{}, {}, {}}, good, nil); return err },
	} {
		if err := call(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
