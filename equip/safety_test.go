package equip

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"spanwright/given"
	"spanwright/quantity"
)

// TestEndPlacesComeInOrder: whatever the margins, nothing overtakes anything.
func TestEndPlacesComeInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(0, 2)
		e := End{
			Task: rapid.Float64Range(-5, 5).Draw(t, "task"), SoftMargin: length.Draw(t, "soft"), SwitchMargin: length.Draw(t, "switch"),
			StopDistance: length.Draw(t, "stop"), Clearance: length.Draw(t, "clear"), Bumper: length.Draw(t, "bumper"),
		}
		p, err := e.Places()
		if err != nil {
			t.Fatal(err)
		}
		if !(e.Task <= p.Soft && p.Soft <= p.Switch && p.Switch <= p.HardStop && p.HardStop <= p.Last) {
			t.Fatalf("out of order: task %g, %+v", e.Task, p)
		}
		by := length.Draw(t, "obstacle")
		s, err := Shortened{By: by, Was: p, StopDistance: e.StopDistance, Task: e.Task - by, SoftMargin: e.SoftMargin}.Places()
		if err != nil {
			t.Fatal(err)
		}
		// 1e-12: sums of numbers up to 15 in another order.
		if got := s.HardStop - s.Switch - e.StopDistance; math.Abs(got-e.Clearance) > 1e-12 {
			t.Fatalf("moved switch leaves %g m, the layout has %g m", got, e.Clearance)
		}
		if got := s.ClearanceIfNotMoved + by - e.Clearance; math.Abs(got) > 1e-12 {
			t.Fatalf("switch left in place: %g m, want %g m", s.ClearanceIfNotMoved, e.Clearance-by)
		}
		if got := p.Switch + p.Cam; math.Abs(got-p.Last) > 1e-12 {
			t.Fatalf("the cam ends at %g m, the bumper at %g m", got, p.Last)
		}
		if s.Cam != p.Cam {
			t.Fatalf("cam %g m, was %g m", s.Cam, p.Cam)
		}
	})
}

// TestHitConservesEnergy: what the stop takes is what the body and the drive give.
func TestHitConservesEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := Impact{
			Mass: rapid.Float64Range(1, 500).Draw(t, "mass"), Speed: rapid.Float64Range(0.01, 4).Draw(t, "speed"),
			Drive: rapid.Float64Range(0, 5000).Draw(t, "drive"), Weight: rapid.Float64Range(0, 3000).Draw(t, "weight"),
			Stroke: rapid.Float64Range(0.005, 0.2).Draw(t, "stroke"), Efficiency: rapid.Float64Range(0.2, 1).Draw(t, "eta"),
		}
		h, err := i.Hit()
		if err != nil {
			t.Fatal(err)
		}
		if got := h.Force * i.Efficiency * i.Stroke; math.Abs(got-h.Energy) > 1e-12*h.Energy {
			t.Fatalf("the bumper takes %g J of %g J", got, h.Energy)
		}
		// A spring takes half of its peak force over its stroke.
		k := rapid.Float64Range(1e3, 1e6).Draw(t, "k")
		s, err := i.OnSpring(k)
		if err != nil {
			t.Fatal(err)
		}
		in := h.Kinetic + (i.Drive+i.Weight)*s.Stroke
		if got := s.Force * s.Stroke / 2; math.Abs(got-in) > 1e-9*in {
			t.Fatalf("the spring stores %g J of %g J", got, in)
		}
	})
}

func TestUpwardHitMayNeedNothing(t *testing.T) {
	// 0.2 m/s upwards: 2 kg m²/s² against 100 kg falling back over 20 mm.
	h, err := Impact{Mass: 100, Speed: 0.2, Weight: -980, Stroke: 0.02, Efficiency: 0.85}.Hit()
	if err != nil || h.Energy != 0 || h.Force != 0 {
		t.Errorf("%+v, %v", h, err)
	}
}

func TestSolidStopsAreRefused(t *testing.T) {
	for _, k := range []BumperKind{Solid, "cushion"} {
		if _, err := k.Efficiency(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", k, err)
		}
	}
	for k, want := range map[BumperKind]float64{Hydraulic: 0.85, Elastomer: 0.5, Spring: 0.5, Rubber: 0.35} {
		if got, err := k.Efficiency(); err != nil || got != want {
			t.Errorf("%s: %g, %v", k, got, err)
		}
	}
}

func TestHoming(t *testing.T) {
	h := Homing{Deceleration: 4, Cam: 0.05, PerRevolution: 0.032, EdgeToIndex: 0.032*3 + 0.016}
	s, err := h.Speeds()
	if err != nil || math.Abs(s.Most-math.Sqrt(0.4)) > 1e-15 || s.Search != 0.1 {
		t.Errorf("speeds %+v, %v", s, err)
	}
	if share, safe, err := h.IndexPlace(); err != nil || !safe || math.Abs(share-0.5) > 1e-9 {
		t.Errorf("index at %g of a revolution, safe %v, %v", share, safe, err)
	}
	h.EdgeToIndex = 0.001
	if _, safe, _ := h.IndexPlace(); safe {
		t.Error("an index right behind the edge may be missed")
	}
	order := HomingOrder([]HomingAxis{{Name: "x"}, {Name: "y"}, {Name: "z", Vertical: true}})
	names := []string{order[0].Name, order[1].Name, order[2].Name}
	if d := cmp.Diff([]string{"z", "y", "x"}, names); d != "" {
		t.Errorf("order (-want +got):\n%s", d)
	}
	pair := HomingAxis{TwoMotors: true}.Steps()
	if len(pair) != len(HomingAxis{}.Steps())+1 || len(HomingAxis{Absolute: true}.Steps()) >= len(pair) {
		t.Errorf("steps of a pair: %v", pair)
	}
}

func TestEmergencyStopCategories(t *testing.T) {
	for name, c := range map[string]struct {
		category StopCategory
		vertical bool
		allowed  bool
	}{
		"category 0":                    {PowerOff, false, true},
		"category 0 on a vertical axis": {PowerOff, true, true},
		"category 1":                    {ControlledOff, true, true},
		"category 2":                    {ControlledHeld, false, false},
		"category 3 does not exist":     {StopCategory(3), false, false},
	} {
		if got := JudgeEmergencyStop(c.category, c.vertical, false); got.Allowed != c.allowed || got.Reason == "" {
			t.Errorf("%s: %+v", name, got)
		}
	}
	coast, err := Coast{Speed: 2, Reaction: 0.05, Friction: 0.05}.Distance()
	if want := 0.1 + 4/(2*0.05*quantity.StandardGravity); err != nil || math.Abs(coast-want) > 1e-12 {
		t.Errorf("coasting %g m, %v, want %g m", coast, err, want)
	}
}

func TestSecondMeans(t *testing.T) {
	for name, c := range map[string]struct {
		vertical, near bool
		means          SecondMeans
		allowed        bool
	}{
		"a hold brake alone":      {true, true, NoSecondMeans, false},
		"nothing declared":        {true, true, "", false},
		"rail clamp":              {true, true, RailClamp, true},
		"nobody near":             {true, false, NoSecondMeans, true},
		"level axes need nothing": {false, true, NoSecondMeans, true},
	} {
		if got := JudgeSecondMeans(c.vertical, c.near, c.means); got.Allowed != c.allowed || got.Reason == "" {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// TestCupsAboveHoldExactly: at a safety of 1 the friction left over is just what
// the sideways acceleration needs.
func TestCupsAboveHoldExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Held{
			Mass: rapid.Float64Range(0.1, 200).Draw(t, "m"), Up: rapid.Float64Range(-5, 10).Draw(t, "up"),
			Sideways: rapid.Float64Range(0, 15).Draw(t, "sideways"), Friction: rapid.Float64Range(0.1, 1).Draw(t, "mu"), Safety: 1,
		}
		f, err := h.CupsAbove()
		if err != nil {
			t.Fatal(err)
		}
		normal := f - h.Mass*(quantity.StandardGravity+h.Up)
		if math.Abs(h.Friction*normal-h.Mass*h.Sideways) > 1e-9*(1+f) {
			t.Fatalf("friction %g N, needed %g N", h.Friction*normal, h.Mass*h.Sideways)
		}
		row := CupRow{Places: []float64{-0.2, -0.05, 0.1}, Below: 0.15}
		pulls, err := row.Pulls(h)
		if err != nil {
			t.Fatal(err)
		}
		sum, moment := 0.0, 0.0
		for i, p := range pulls {
			sum += p
			moment += p * row.Places[i]
		}
		if math.Abs(sum-h.Mass*(quantity.StandardGravity+h.Up)) > 1e-9*(1+sum) || math.Abs(moment-h.Mass*h.Sideways*row.Below) > 1e-9*(1+sum) {
			t.Fatalf("cups carry %g N and %g N m", sum, moment)
		}
	})
}

func TestPlanShowsOnlyWhatIsThere(t *testing.T) {
	use := Use{CyclesPerHour: 600, HoursPerYear: 4000}
	bare, err := Plan(Maintained{}, use)
	if err != nil {
		t.Fatal(err)
	}
	full, err := Plan(Maintained{
		PeopleNear: true, Curtain: true, Vacuum: true,
		Axes: []Moving{{Name: "z", DistancePerCycle: 3, GuideInterval: 500e3, ScrewInterval: 150e3, Belt: true, Rack: true, Brake: true, Carrier: true, CarrierCycles: 5e6, CyclesOfCarrier: 2}},
	}, use)
	if err != nil {
		t.Fatal(err)
	}
	if len(full) != len(bare)+9 {
		t.Errorf("%d rows without, %d with an axis, curtain and vacuum", len(bare), len(full))
	}
	if !slices.IsSortedFunc(full, func(a, b Task) int {
		if a.First < b.First {
			return -1
		}
		if a.First > b.First {
			return 1
		}
		return 0
	}) {
		t.Error("not sorted by first due")
	}
	hours := map[string]float64{}
	for _, row := range full {
		hours[row.Item] = row.First / 3600
		if row.Action == "" || row.Source == "" || !(row.Every > 0) {
			t.Errorf("%+v", row)
		}
	}
	want := map[string]float64{
		"axis z: guides":                500e3 / 1800,
		"axis z: ball screw":            150e3 / 1800,
		"axis z: hold brake":            8,
		"axis z: cables in the carrier": 5e6 / 1200,
	}
	for item, h := range want {
		if math.Abs(hours[item]-h) > 1e-9*h {
			t.Errorf("%s first after %g h, want %g h", item, hours[item], h)
		}
	}
}

func TestSafetyRefusesNonsense(t *testing.T) {
	nan := math.NaN()
	for name, call := range map[string]func() error{
		"switch before the soft limit": func() error { _, err := End{SwitchMargin: -0.01}.Places(); return err },
		"unknown stop distance":        func() error { _, err := End{StopDistance: nan}.Places(); return err },
		"negative obstacle":            func() error { _, err := Shortened{By: -1}.Places(); return err },
		"bumper without stroke":        func() error { _, err := Impact{Mass: 1, Efficiency: 1}.Hit(); return err },
		"efficiency above 1":           func() error { _, err := Impact{Mass: 1, Stroke: 1, Efficiency: 2}.Hit(); return err },
		"no spring":                    func() error { _, err := Impact{Mass: 1}.OnSpring(0); return err },
		"unknown stopping time":        func() error { _, err := CurtainDistance(nan, 0.014); return err },
		"curtain without resolution":   func() error { _, err := CurtainDistance(0.1, 0); return err },
		"two-hand device, no time":     func() error { _, err := TwoHandDistance(nan, true); return err },
		"door, no time":                func() error { _, err := DoorDistance(-1, 0); return err },
		"wear below 1":                 func() error { _, err := StopTime{Wear: 0.9}.Total(); return err },
		"payload without mass":         func() error { _, err := Held{Friction: 0.5, Safety: 2}.CupsAbove(); return err },
		"grip without friction":        func() error { _, err := Held{Mass: 1, Safety: 2}.JawForce(2); return err },
		"jaws without faces":           func() error { _, err := Held{Mass: 1, Friction: 0.5, Safety: 2}.JawForce(0); return err },
		"more than a vacuum":           func() error { _, err := Cup{Vacuum: 2e5, Diameter: 0.04}.Force(); return err },
		"cups in one place": func() error {
			_, err := CupRow{Places: []float64{0, 0}, Below: 0.1}.Pulls(Held{Mass: 1, Sideways: 1, Friction: 0.5, Safety: 1})
			return err
		},
		"no friction to coast": func() error { _, err := Coast{Speed: 1}.Distance(); return err },
		"tail":                 func() error { _, err := LeastGap("tail"); return err },
		"no duty":              func() error { _, err := Plan(Maintained{}, Use{}); return err },
		"axis that never moves": func() error {
			_, err := Plan(Maintained{Axes: []Moving{{Name: "x", GuideInterval: 1e5}}}, Use{CyclesPerHour: 10, HoursPerYear: 100})
			return err
		},
	} {
		if err := call(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, call := range map[string]func() error{
		"curtain of 80 mm": func() error { _, err := CurtainDistance(0.1, 0.08); return err },
		"field overhead":   func() error { _, err := ParallelDistance(0.1, 1.2, 0.05); return err },
		"field too low":    func() error { _, err := ParallelDistance(0.1, 0.1, 0.07); return err },
	} {
		if err := call(); !errors.Is(err, ErrOutsideTable) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
