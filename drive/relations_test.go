package drive

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// must returns the value of a call that may not fail here.
func must(t testing.TB) func(float64, error) float64 {
	return func(x float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// Rotating parts look the same from the brake shaft and from the carriage.
func TestInertiaSeenFromBothSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		atBrake, err1 := train.BrakeInertia()
		atCarriage, err2 := train.RotaryMass()
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		q := train.Gear.Ratio * train.Transmission.Gearing
		if !(math.Abs(atBrake*q*q-atCarriage) <= 1e-12*atCarriage) {
			t.Fatalf("%g kg m² at the brake, %g kg at the carriage", atBrake, atCarriage)
		}
	})
}

func TestInertiaRatio(t *testing.T) {
	train := Train{MotorInertia: 2e-4, Gear: Gear{Ratio: 4, Efficiency: 1}, Transmission: Transmission{Gearing: 20, Efficiency: 1, BackEfficiency: 1, Inertia: 1e-3}}
	near(t, "inertia ratio", must(t)(train.InertiaRatio(10)), (10.0/400+1e-3)/16/2e-4)
}

// A shaft stretched for a temperature rise pulls as much as that growth times
// its stiffness.
func TestStretchIsGrowthTimesStiffness(t *testing.T) {
	s := AxialShaft{2.06e11, 0.0295, 1.4}
	growth := must(t)(ThermalGrowth(11.5e-6, s.Length, 3))
	near(t, "stretch force", must(t)(s.StretchForce(11.5e-6, 3)), growth*must(t)(s.OneSided(s.Length)))
}

func TestNutStiffnessAtItsOwnPreload(t *testing.T) {
	near(t, "at a tenth of the rating", must(t)(NutStiffness(450e6, 2100, 21000)), 0.8*450e6)
	near(t, "at an eighth of that", must(t)(NutStiffness(450e6, 2100.0/8, 21000)), 0.4*450e6)
}

// Critical speed falls with the square of the length and grows with the diameter.
func TestCriticalSpeedScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Shaft{0.02, 1, Ends(rapid.IntRange(1, 4).Draw(t, "ends")), ScrewSteel()}
		k := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		one, err := s.CriticalSpeed()
		if err != nil {
			t.Fatal(err)
		}
		s.Length *= k
		s.RootDiameter *= k * k
		other, err := s.CriticalSpeed()
		if err != nil || !(math.Abs(other-one) <= 1e-12*one) {
			t.Fatalf("%g and %g (%v)", one, other, err)
		}
	})
}

// Preloading a nut costs the difference between driving it and being driven.
func TestPreloadDragIsDriveLessBack(t *testing.T) {
	s := BallScrew{Lead: 0.01, Efficiency: 0.9}
	drag := must(t)(s.PreloadDrag(1500))
	near(t, "drag", drag, must(t)(s.DriveTorque(1500))-must(t)(s.BackTorque(1500)))
	near(t, "force through the gearing", must(t)(s.IdealTorque(100))*must(t)(s.Gearing()), 100)
	turns, err := s.BackDrives()
	if err != nil || !turns {
		t.Errorf("a ball screw holds by itself (%v)", err)
	}
}

// Raising and lowering a load on a slide screw add up to twice its friction:
// without friction they are opposite.
func TestSlideScrewWithoutFriction(t *testing.T) {
	s := SlideScrew{MeanDiameter: 0.03, Lead: 0.008}
	up, err := s.Raise(1000)
	if err != nil {
		t.Fatal(err)
	}
	down, err := s.Lower(1000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lowering", down.Total, -up.Total)
	near(t, "raising", up.Total, 1000*0.008/(2*math.Pi))
}

func TestGearAtTheCarriage(t *testing.T) {
	l := Lost{Backlash: 1e-3, Stiffness: 2e4, Gearing: 25}
	near(t, "lost motion", must(t)(l.LostMotion()), 40e-6)
	near(t, "wind-up", must(t)(l.WindUp(50)), 100e-6)
	near(t, "mean torque of one step", must(t)(GearMeanTorque([]GearStep{{-12, 30, 0.4}})), 12)
}

func TestMeanMagnitudeOfAReversal(t *testing.T) {
	near(t, "from -3 to 1", must(t)(MeanMagnitude([]Ramp{{-3, 1, 2}}, 2)), (3*1.5+1*0.5)/2/2*1)
	near(t, "rms of a ramp from zero", must(t)(RootMeanSquare([]Ramp{{0, 3, 1}}, 1)), math.Sqrt(3))
}

func TestPlainRatios(t *testing.T) {
	near(t, "stops of a lining", must(t)(WearStops(2e6, 100)), 2e4)
	near(t, "heat of a stop a minute", must(t)(BrakeHeat(120, 60)), 2)
	near(t, "resistor", must(t)(Bus{1e-3, 560, 780, 60}.ResistorPeak()), 10140)
	near(t, "peak draw", must(t)(PeakDraw{760, 0.8, 5, 2}.Power()), 950+150)
	near(t, "mean power", must(t)(MeanPower(213, 3)), 71)
	near(t, "static safety", must(t)(StaticSafety(40000, 2500)), 16)
	near(t, "DN", must(t)(DN(0.032, 1500*math.Pi/30)), 48000*1e-3*math.Pi/30)
	near(t, "mesh stiffness", must(t)(MeshStiffness(MeshStiffnessPerWidth, 0.02)), 4e8)
	near(t, "transport error", must(t)(Grade(7).TransportError(0.3)), 104e-6)
	near(t, "middle skew of equal sides", 1+must(t)(LineShaft{8e10, 0.03, 1.4, math.Inf(1), 0.04}.MiddleSkew(9, 9)), 1)
	if _, err := StaticSafety(40000, -1); err == nil {
		t.Error("a negative largest load has a safety")
	}
}

func TestMesh(t *testing.T) {
	m := Mesh{Specific: 4500, Teeth: 16, Cap: CountedTeethCap, Width: 0.05, Service: 1}
	near(t, "allowed force", must(t)(m.AllowedForce()), 2700)
	m.Service = 1.5
	near(t, "with shock", must(t)(m.AllowedForce()), 1800)
	m.Teeth = 6
	near(t, "half the teeth", must(t)(m.AllowedForce()), 900)
	for teeth, want := range map[int]float64{1: 0, 3: 0.4, 6: 1, 20: 1} {
		if got := must(t)(FewTeethFactor(teeth)); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("%d teeth: %g, want %g", teeth, got, want)
		}
	}
}

func TestRatingCorrections(t *testing.T) {
	for _, tc := range []struct {
		hardness          float64
		grade             Grade
		dynamic, accuracy float64
	}{{700, 5, 1, 1}, {654, 7, 1, 0.9}, {327, 10, 0.25, 0.7}} {
		c, err := CorrectRating(tc.hardness, tc.grade)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "f_h", c.Dynamic, tc.dynamic)
		near(t, "f_ac", c.Accuracy, tc.accuracy)
	}
}

// Two masses on a spring swing faster than one against the wall, and as slowly
// when the other is heavy.
func TestFrequencies(t *testing.T) {
	locked := must(t)(LockedFrequency(8e5, 60))
	within(t, "heavy motor", must(t)(TwoMassFrequency(8e5, 60, 1e9)), locked, 1e-7)
	near(t, "equal masses", must(t)(TwoMassFrequency(8e5, 60, 60)), locked*math.Sqrt2)
}

// Twice the force doubles the root stress and raises the flank stress by the root of two.
func TestToothStressesScale(t *testing.T) {
	s := ToothScreening{
		Pinion: Pinion{Module: 2e-3, Teeth: 20, PressureAngle: math.Pi / 9}, Width: 0.02, Force: 1500, Form: ToothForm,
		Factors: ToothFactors{1.5, 1.1, 1.3}, Modulus: 206e9, Poisson: 0.3,
	}
	one, err := s.Stresses()
	if err != nil {
		t.Fatal(err)
	}
	s.Force *= 2
	two, err := s.Stresses()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "root", two.Root, 2*one.Root)
	near(t, "flank", two.Flank, math.Sqrt2*one.Flank)
}

func TestGasSpring(t *testing.T) {
	s := GasSpring{StartForce: 300, EndForce: 400, Stroke: 0.5, RatedTemperature: 300}
	near(t, "middle", must(t)(s.Force(0.25, 300)), 350)
	near(t, "cold", must(t)(s.Force(0.25, 270)), 315)
}

func TestWordsOfEnums(t *testing.T) {
	for got, want := range map[string]string{
		Loop.String(): "loop", Omega.String(): "omega", Layout(0).String(): "no layout",
		FixedFree.String(): "fixed-free", Ends(0).String(): "ends unknown",
		EulerLaw.String(): "Euler", JohnsonLaw.String(): "Johnson", ColumnLaw(0).String(): "no law",
		Holding.String(): "holding", Phase(0).String(): "no phase",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
