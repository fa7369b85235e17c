package drive

import (
	"errors"
	"math"
	"testing"

	"spanwright/given"
	"spanwright/quantity"
)

// near compares relative to want; a few operations on float64 stay far below 1e-9.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	within(t, what, got, want, 1e-9)
}

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func wants(t *testing.T, what string, got, want error) {
	t.Helper()
	if !errors.Is(got, want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// Every entry point refuses numbers that mean nothing.
func TestRefusesNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	screw := BallScrew{Lead: 0.01, Efficiency: 0.9}
	pinion := Pinion{Module: 2e-3, Teeth: 20, PressureAngle: math.Pi / 9}
	shaft := Shaft{RootDiameter: 0.0273, Length: 1.4, Ends: FixedSupported, Material: ScrewSteel()}
	axis := GravityAxis{Mass: 35, Incline: math.Pi / 2, Gearing: 100, BrakeTorque: 9}
	tests := map[string]func() error{
		"balance without mass":     func() error { _, err := Balance{}.Thrust(); return err },
		"balance NaN":              func() error { _, err := Balance{Mass: nan}.Thrust(); return err },
		"balance upside down":      func() error { _, err := Balance{Mass: 1, Incline: 3}.Thrust(); return err },
		"counterweight ratio zero": func() error { _, err := Balance{Mass: 1, Weight: Counterweight{Mass: 1}}.Thrust(); return err },
		"gas spring too cold":      func() error { _, err := GasSpring{300, 400, 1, 293}.Force(0.5, 0); return err },
		"gas spring beyond stroke": func() error { _, err := GasSpring{300, 400, 1, 293}.Force(1.5, 293); return err },
		"duty without braking":     func() error { _, err := Duty{Empty: 1, Loaded: 1, Acceleration: 1}.Phases(); return err },
		"pulley without teeth":     func() error { _, err := Pulley{Pitch: 5e-3}.Gearing(); return err },
		"belt without layout":      func() error { _, err := Belt{Length: 1, Stiffness: 1e6}.StiffnessAt(0.5); return err },
		"carriage beyond the belt": func() error { _, err := Belt{Loop, 1, 1e6}.StiffnessAt(1.5); return err },
		"stroke backwards":         func() error { _, _, err := Belt{Loop, 1, 1e6}.Softest(0.8, 0.2); return err },
		"no belt at all":           func() error { _, err := Tension{Pretension: 1}.Forces(); return err },
		"no tooth in mesh":         func() error { _, err := FewTeethFactor(0); return err },
		"strand weightless":        func() error { _, err := Strand{0, 1}.Frequency(100); return err },
		"lead zero":                func() error { _, err := BallScrew{0, 0.9}.DriveTorque(1); return err },
		"efficiency zero":          func() error { _, err := BallScrew{0.01, 0}.DriveTorque(1); return err },
		"efficiency above one":     func() error { _, err := BallScrew{0.01, 1.1}.BackEfficiency(); return err },
		"force infinite":           func() error { _, err := screw.DriveTorque(inf); return err },
		"ends missing":             func() error { _, err := Shaft{0.02, 1, 0, ScrewSteel()}.CriticalSpeed(); return err },
		"yield missing":            func() error { _, err := shaft.Buckling(0); return err },
		"shares not one":           func() error { _, err := ScrewCycle{{100, 10, 0.5}}.MeanSpeed(); return err },
		"screw stands still":       func() error { _, err := ScrewCycle{{100, 0, 1}}.MeanLoad(); return err },
		"nut beyond the shaft":     func() error { _, err := AxialShaft{2e11, 0.02, 1}.OneSided(2); return err },
		"chain of nothing":         func() error { _, err := InSeries(); return err },
		"spring of no stiffness":   func() error { _, err := InSeries(1, 0); return err },
		"module zero":              func() error { _, err := Pinion{0, 20, 0, math.Pi / 9}.Gearing(); return err },
		"pressure angle missing":   func() error { _, err := Pinion{2e-3, 20, 0, 0}.Forces(1); return err },
		"load factor below one":    func() error { _, err := ToothScreening{Pinion: pinion, Width: 0.02, Form: 4.5}.Stresses(); return err },
		"knee above no load":       func() error { _, err := MotorCurve{1, 1, 1, 1, 2, 1}.Peak(0); return err },
		"train without gear":       func() error { _, err := Train{}.Torque(Instant{}); return err },
		"longer than its period":   func() error { _, err := RootMeanSquare([]Ramp{{1, 1, 2}}, 1); return err },
		"margin below one":         func() error { _, err := StepperTorque(1, 1, 1, 0.5); return err },
		"level gravity axis":       func() error { a := axis; a.Incline = 0; _, err := a.Stop(); return err },
		"brake shaft ungeared":     func() error { a := axis; a.Gearing = 0; _, err := a.Stop(); return err },
		"reaction NaN":             func() error { a := axis; a.Reaction = nan; _, err := a.Stop(); return err },
		"bus limit too low":        func() error { _, err := Bus{1e-3, 560, 500, 0}.Storage(); return err },
		"no power samples":         func() error { _, err := TogetherSupply(); return err },
		"power factor zero":        func() error { _, err := ThreePhase{1, 0.9, 0, 400}.Current(); return err },
		"wear of nothing":          func() error { _, err := WearStops(1e6, 0); return err },
	}
	for name, run := range tests {
		wants(t, name, run(), given.ErrRefused)
	}
}

func TestOutsideData(t *testing.T) {
	tests := map[string]func() error{
		"empty curve":                 func() error { _, err := Curve{}.At(1); return err },
		"left of the curve":           func() error { _, err := Curve{{1, 1}, {2, 2}}.At(0.5); return err },
		"right of the curve":          func() error { _, err := Curve{{1, 1}, {2, 2}}.At(2.5); return err },
		"NaN on the curve":            func() error { _, err := Curve{{1, 1}, {2, 2}}.At(math.NaN()); return err },
		"unknown belt form":           func() error { _, err := ImperialPitch("Q"); return err },
		"continuous torque beyond":    func() error { _, err := MotorCurve{4, 3, 300, 12, 300, 400}.Continuous(301); return err },
		"screw grade 4":               func() error { _, err := Grade(4).Variation300(); return err },
		"positioning screw grade 7":   func() error { _, err := Grade(7).PositioningError(1); return err },
		"useful travel of four metre": func() error { _, err := Grade(5).PositioningError(4); return err },
		"conductor for 100 A":         func() error { _, err := Conductor{100, 1, 1, LayingC}.Smallest(); return err },
		"laid in the air":             func() error { _, err := Conductor{10, 1, 1, "Z"}.Smallest(); return err },
		"PVC in a furnace":            func() error { _, err := AmbientFactor(400); return err },
		"ten circuits":                func() error { _, err := GroupingFactor(LayingE, 10); return err },
	}
	for name, run := range tests {
		wants(t, name, run(), ErrOutsideData)
	}
}

func TestCurveIsStraightBetweenPoints(t *testing.T) {
	c := Curve{{0, 10}, {100, 8}, {300, 2}}
	for x, want := range map[float64]float64{0: 10, 50: 9, 100: 8, 200: 5, 300: 2} {
		got, err := c.At(x)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "curve", got, want)
	}
	if _, err := (Curve{{1, 1}, {1, 2}}).At(1); !errors.Is(err, given.ErrRefused) {
		t.Errorf("a curve that does not rise: %v", err)
	}
}

func TestPhases(t *testing.T) {
	d := Duty{
		Base:  Balance{Incline: math.Pi / 2, Friction: 20},
		Empty: 20, Loaded: 35, Acceleration: 4, Deceleration: 5,
	}
	phases, err := d.Phases()
	if err != nil {
		t.Fatal(err)
	}
	if len(phases) != 18 {
		t.Errorf("%d phases, want 2 loads x (2 directions x 4 + holding)", len(phases))
	}
	worst, ok := Largest(phases)
	if !ok || worst.String() != "accelerating, toward +, with payload" {
		t.Errorf("largest force %v", worst)
	}
	near(t, "largest force", worst.Thrust.Total, 35*(quantity.StandardGravity+4)+20)
	for _, p := range phases {
		if p.Phase == Holding && p.Thrust.Friction != 0 {
			t.Errorf("%v: friction helps to hold", p)
		}
	}
	if _, ok := Largest(nil); ok {
		t.Error("nothing has a largest phase")
	}
}

// A slack rope neither helps nor loads.
func TestCounterweightRope(t *testing.T) {
	b := Balance{Mass: 35, Incline: math.Pi / 2, Acceleration: 12, Direction: Forward, Weight: Counterweight{25, 1}}
	slack, err := b.Thrust()
	if err != nil {
		t.Fatal(err)
	}
	b.Weight = Counterweight{}
	alone, err := b.Thrust()
	if err != nil {
		t.Fatal(err)
	}
	if !slack.RopeSlack {
		t.Error("12 m/s² upwards leave the rope taut")
	}
	near(t, "force with slack rope", slack.Total, alone.Total)
}
