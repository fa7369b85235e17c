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

func anyCarrier(t *rapid.T) Carrier {
	travel := rapid.Float64Range(0.05, 12).Draw(t, "travel")
	pitch := rapid.Float64Range(0.01, 0.1).Draw(t, "pitch")
	return Carrier{
		Travel: travel, Fixed: rapid.Float64Range(-travel, travel).Draw(t, "fixed"), TowardMinus: rapid.Bool().Draw(t, "minus"),
		Radius: rapid.Float64Range(0.02, 0.4).Draw(t, "radius"), Pitch: pitch, AddOn: rapid.Float64Range(0, 4*pitch).Draw(t, "add-on"),
		OuterHeight: rapid.Float64Range(0.01, 0.1).Draw(t, "height"),
	}
}

// TestCarrierCoversBothEnds: at every place both runs are there, and runs and
// bend make up the length.
func TestCarrierCoversBothEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCarrier(t)
		l, err := c.Loop()
		if err != nil {
			t.Fatal(err)
		}
		at := rapid.Float64Range(-c.Travel/2, c.Travel/2).Draw(t, "at")
		for _, x := range []float64{-c.Travel / 2, c.Travel / 2, at} {
			upper, lower := l.Runs(x)
			// What is not bend stands at the ends: half of the straight links each.
			if upper < -1e-9 || lower < -1e-9 {
				t.Fatalf("at %g m the runs are %g and %g m", x, upper, lower)
			}
			if upper > l.UpperMax+1e-9 || lower > l.LowerMax+1e-9 {
				t.Fatalf("at %g m the runs %g and %g m exceed the stated %g and %g m", x, upper, lower, l.UpperMax, l.LowerMax)
			}
			if sum := upper + lower + math.Pi*c.Radius; math.Abs(sum-l.Length) > 1e-9 {
				t.Fatalf("runs and bend make %g m of %g m", sum, l.Length)
			}
		}
		if short := l.Length - l.Needed; short < -1e-6*c.Pitch || short > c.Pitch*(1+1e-6) {
			t.Fatalf("%d links make %g m, needed %g m", l.Links, l.Length, l.Needed)
		}
		mirrored := c
		mirrored.Fixed, mirrored.TowardMinus = -c.Fixed, !c.TowardMinus
		m, err := mirrored.Loop()
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(l, m, cmpopts.IgnoreUnexported(Loop{}), cmpopts.EquateApprox(1e-12, 0)); d != "" {
			t.Fatalf("seen in a mirror the loop is another one:\n%s", d)
		}
		upper, lower := l.Runs(at)
		mu, ml := m.Runs(-at)
		if math.Abs(upper-mu)+math.Abs(lower-ml) > 1e-9 {
			t.Fatalf("runs %g and %g m, in the mirror %g and %g m", upper, lower, mu, ml)
		}
	})
}

// TestRunsFollowTheCarriage: moving toward the bend shortens the upper run.
func TestRunsFollowTheCarriage(t *testing.T) {
	c := Carrier{Travel: 2, Radius: 0.1, Pitch: 0.05, OuterHeight: 0.03}
	for minus, toward := range map[bool]float64{false: 0.5, true: -0.5} {
		c.TowardMinus = minus
		l, err := c.Loop()
		if err != nil {
			t.Fatal(err)
		}
		middle, _ := l.Runs(0)
		if near, _ := l.Runs(toward); math.Abs(middle-near-0.25) > 1e-12 {
			t.Errorf("bend toward minus %v: upper run %g m in the middle, %g m half a metre nearer", minus, middle, near)
		}
	}
}

func TestBuiltLengthTooShortShowsAsNegativeRun(t *testing.T) {
	c := Carrier{Travel: 2.4, Radius: 0.1, AddOn: 0.092, Pitch: 0.046, OuterHeight: 0.035, Built: 30 * 0.046}
	l, err := c.Loop()
	if err != nil {
		t.Fatal(err)
	}
	upper, lower := l.Runs(1.2)
	if l.Links != 30 || !(l.Length < l.Needed) || !(upper < 0) || !(lower > 0) {
		t.Errorf("%d links, %.3f of %.3f m, runs %.3f and %.3f m", l.Links, l.Length, l.Needed, upper, lower)
	}
}

// TestMovingMassIsThatOfTheEnergy walks the loop point by point: the kinetic
// energy at 1 m/s must be that of the stated mass.
func TestMovingMassIsThatOfTheEnergy(t *testing.T) {
	d := Dressed{Empty: 1.1, Cables: 0.8}
	const radius, upper, steps = 0.12, 1.3, 20000
	energy := d.perMetre() * upper / 2
	for i := range steps {
		phi := (float64(i) + 0.5) / steps * math.Pi
		// A point of the bend moves with the bend's own speed v/2 and turns about it.
		vx, vz := 0.5*(1+math.Cos(phi)), 0.5*math.Sin(phi)
		energy += d.perMetre() * radius * math.Pi / steps * (vx*vx + vz*vz) / 2
	}
	if got := d.MovingMass(upper, radius); math.Abs(got-2*energy) > 1e-6 { // midpoint rule, 20000 steps
		t.Errorf("moving mass %.7f kg, energy says %.7f kg", got, 2*energy)
	}
}

// nursery is a three-axis gantry with representative cables (mm, kg/m).
func nursery() (conductors []Conductor, ends []int) {
	add := func(name string, mm, mass float64, end int, kind ConductorKind) {
		conductors = append(conductors, Conductor{Name: name, Kind: kind, Diameter: mm / 1000, Mass: mass})
		ends = append(ends, end)
	}
	add("X motor left", 9.8, 0.16, 0, CarrierCable)
	add("X motor right", 9.8, 0.16, 0, CarrierCable)
	add("Y motor", 9.8, 0.16, MotorBody(2, MotorOnBeam, false), CarrierCable)
	add("Y feedback", 7.2, 0.07, MotorBody(2, MotorOnBeam, false), CarrierCable)
	add("Y switches", 5.0, 0.04, 1, CarrierCable)
	add("Z motor and brake", 11.5, 0.22, MotorBody(3, MotorOnCarriage, true), CarrierCable)
	add("Z feedback", 7.2, 0.07, MotorBody(3, MotorOnCarriage, true), CarrierCable)
	add("Z switches", 5.0, 0.04, 2, CarrierCable)
	add("tool power", 6.5, 0.06, 3, CarrierCable)
	add("tool bus", 6.2, 0.05, 3, CarrierCable)
	add("vacuum hose", 12.0, 0.09, 3, AirHose)
	return conductors, ends
}

// TestNestedCarriers: the cables of outer axes ride in every carrier on the way;
// widths, heights, radii and masses are those of a hand calculation.
func TestNestedCarriers(t *testing.T) {
	conductors, ends := nursery()
	carriers, err := Crossing(3, ends)
	if err != nil {
		t.Fatal(err)
	}
	type row struct {
		Cables                int
		Width, Height, Radius float64
		Mass                  float64
	}
	want := []row{
		{9, 0.10495, 0.0144, 0.120, 0.80},
		{6, 0.07095, 0.0144, 0.120, 0.53},
		{3, 0.03510, 0.0144, 0.120, 0.20},
	}
	var got []row
	for _, cables := range carriers {
		var in []Conductor
		for _, i := range cables {
			in = append(in, conductors[i])
		}
		f, err := Fill(in, 0.003)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, row{len(in), f.InnerWidth, f.InnerHeight, f.BendRadius, f.Mass})
		if !(f.Share(f.InnerWidth, f.InnerHeight) < MostFill) {
			t.Errorf("fill %.3f", f.Share(f.InnerWidth, f.InnerHeight))
		}
	}
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-9, 0)); d != "" {
		t.Errorf("carriers X, Y, Z (-want +got):\n%s", d)
	}
}

// TestInnerCarriersHoldNoMoreThanOuterOnes: what passes joint k+1 has passed joint k.
func TestInnerCarriersHoldNoMoreThanOuterOnes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		joints := rapid.IntRange(1, 5).Draw(t, "joints")
		ends := rapid.SliceOfN(rapid.IntRange(0, joints), 0, 20).Draw(t, "ends")
		carriers, err := Crossing(joints, ends)
		if err != nil {
			t.Fatal(err)
		}
		passed := 0
		for k, in := range carriers {
			passed += len(in)
			if k == 0 {
				continue
			}
			for _, cable := range in {
				if !slices.Contains(carriers[k-1], cable) {
					t.Fatalf("cable %d is in carrier %d and not in carrier %d", cable, k+1, k)
				}
			}
		}
		sum := 0
		for _, e := range ends {
			sum += e
		}
		if passed != sum {
			t.Fatalf("%d passages for %d joints crossed", passed, sum)
		}
	})
}

func TestMotorBody(t *testing.T) {
	tests := map[string]struct {
		place     MotorPlace
		bodyMoves bool
		want      int
	}{
		"belt axis, motor at the beam's end":     {MotorOnBeam, false, 1},
		"rack axis, motor rides on the carriage": {MotorOnCarriage, false, 2},
		"mast past a carriage with the motor":    {MotorOnCarriage, true, 1},
		"mast with the motor at its own end":     {MotorOnBeam, true, 2},
	}
	for name, c := range tests {
		if got := MotorBody(2, c.place, c.bodyMoves); got != c.want {
			t.Errorf("%s: body %d, want %d", name, got, c.want)
		}
	}
}

func TestNeedsCarrier(t *testing.T) {
	tests := map[string]struct {
		cables int
		travel float64
		rated  bool
		want   bool
	}{
		"any cable that travels":             {1, 2, false, true},
		"no cable":                           {0, 2, false, false},
		"short travel alone is no exception": {1, 0.08, false, true},
		"short travel with a rated cable":    {1, 0.08, true, false},
		"long travel with a rated cable":     {1, 0.5, true, true},
	}
	for name, c := range tests {
		if got := NeedsCarrier(c.cables, c.travel, c.rated); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

func TestBendOfAHydraulicHoseIsTheMakers(t *testing.T) {
	f, err := Fill([]Conductor{{Name: "oil", Kind: HydraulicHose, Diameter: 0.02, Mass: 0.5}, {Name: "bus", Kind: CarrierCable, Diameter: 0.006, Mass: 0.05}}, 0.003)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"oil"}, f.Unknown); d != "" || f.BendRadius != 0.06 {
		t.Errorf("unknown bend of %v, radius of the rest %g m", f.Unknown, f.BendRadius)
	}
}

func TestArrangeBalancesTheSides(t *testing.T) {
	conductors, _ := nursery()
	order := Arrange(conductors)
	sorted := slices.Clone(order)
	slices.Sort(sorted)
	if d := cmp.Diff([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, sorted); d != "" {
		t.Fatalf("not every conductor once:\n%s", d)
	}
	mass := func(at []int) (sum float64) {
		for _, i := range at {
			sum += conductors[i].Mass
		}
		return sum
	}
	left, right := mass(order[:5]), mass(order[6:])
	if math.Abs(left-right) > 0.22 { // at most the heaviest cable apart
		t.Errorf("left %.2f kg/m, right %.2f kg/m", left, right)
	}
	if conductors[order[0]].Mass < conductors[order[5]].Mass {
		t.Errorf("the middle is heavier than the outside")
	}
}

func TestMayShare(t *testing.T) {
	thick, thin := Conductor{Kind: CarrierCable, Diameter: 0.016}, Conductor{Kind: CarrierCable, Diameter: 0.010}
	hose := Conductor{Kind: AirHose, Diameter: 0.016}
	tests := map[string]struct {
		a, b   Conductor
		height float64
		want   bool
	}{
		"cannot climb over each other": {thick, thin, 0.020, true},
		"can climb over each other":    {thick, thin, 0.022, false},
		"hose beside cable":            {thick, hose, 0.018, false},
		"too different":                {thick, Conductor{Kind: CarrierCable, Diameter: 0.007}, 0.017, false},
	}
	for name, c := range tests {
		if got := MayShare(c.a, c.b, c.height); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

func TestSpanTable(t *testing.T) {
	table := SpanTable{Loads: []float64{0.5, 1, 3}, Spans: []float64{1.8, 1.5, 0.9}}
	for load, want := range map[float64]float64{0.5: 1.8, 0.75: 1.65, 2: 1.2, 3: 0.9} {
		if got, err := table.At(load); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%g kg/m: %g m, %v, want %g m", load, got, err, want)
		}
	}
	for _, load := range []float64{0.4, 3.1, math.NaN()} {
		if _, err := table.At(load); !errors.Is(err, ErrOutsideTable) {
			t.Errorf("%g kg/m: %v", load, err)
		}
	}
	if _, err := (SpanTable{Loads: []float64{1, 1}, Spans: []float64{2, 1}}).At(1); !errors.Is(err, given.ErrRefused) {
		t.Errorf("table that does not rise: %v", err)
	}
	for required, want := range map[float64]Regime{1.0: Straight, 1.5: Sagging, 2.5: NeedsSupport} {
		if got := JudgeSpan(required, 1.2, 2.0); got != want {
			t.Errorf("%g m: %s, want %s", required, got, want)
		}
	}
	if got := JudgeSpan(math.NaN(), 1, 2); got != NeedsSupport {
		t.Errorf("unknown span: %s", got)
	}
}

func TestCarriersRefuseNonsense(t *testing.T) {
	for name, call := range map[string]func() error{
		"no travel": func() error { _, err := Carrier{Radius: 0.1, Pitch: 0.05, OuterHeight: 0.03}.Loop(); return err },
		"NaN radius": func() error {
			_, err := Carrier{Travel: 1, Radius: math.NaN(), Pitch: 0.05, OuterHeight: 0.03}.Loop()
			return err
		},
		"cable of no size":    func() error { _, err := Fill([]Conductor{{Name: "bus"}}, 0.003); return err },
		"negative separator":  func() error { _, err := Fill(nil, -1); return err },
		"end beyond the tool": func() error { _, err := Crossing(2, []int{3}); return err },
		"carrier on its head": func() error { _, err := LimitsOf("head"); return err },
		"no ordering step":    func() error { _, err := CableRun{}.Length(); return err },
		"carrier of length 0": func() error { _, err := CableRun{Carriers: []float64{0}, RoundUp: 0.5}.Length(); return err },
		"span of no carrier":  func() error { _, err := SpanPoint{}.At(1); return err },
	} {
		if err := call(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
