package joint

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"spanwright/given"
)

// closely compares numbers to the six figures that the expectations below are written with.
var closely = cmpopts.EquateApprox(1e-6, 0)

func m8(t testing.TB) Screw {
	t.Helper()
	thread, err := CoarseThread("M8")
	if err != nil {
		t.Fatal(err)
	}
	class, err := PropertyClass("8.8", thread)
	if err != nil {
		t.Fatal(err)
	}
	return Screw{thread, class, Tightening{Torque: 14, NutFactor: 0.2, Scatter: ScatterTorqueWrench, Loss: LossAluminium}}
}

// slot8 is the slot of the verification case on lip pull-out.
func slot8() *Lip {
	return &Lip{Thickness: 4.5e-3, Opening: 8e-3, Inner: 20e-3, NutWidth: 13.5e-3, NutLength: 22e-3, Yield: 200e6}
}

func plateFace(t testing.TB) BoltedFace {
	return BoltedFace{
		Face: Face{
			Screws: Grid(2, 2, 0.04, 0.08), MinY: -0.04, MaxY: 0.04, MinZ: -0.06, MaxZ: 0.06,
			Heel: 5e-3, Faces: 1, FrictionRadius: 5e-3,
		},
		Screw: m8(t), Lip: slot8(), Share: 1, Prying: 1, Safety: UsualSafety(),
	}
}

func pick(t testing.TB, checks []Check, m Mechanism) Check {
	t.Helper()
	for _, c := range checks {
		if c.Mechanism == m {
			return c
		}
	}
	t.Fatalf("no check %q", m)
	return Check{}
}

func TestThreadTable(t *testing.T) {
	for _, thread := range coarseThreads {
		// The tabulated stress areas are rounded to three figures; 0.6 % is their
		// largest distance from the formula (M3, M4).
		if got := thread.TensileArea(); math.Abs(got/thread.StressArea-1) > 0.006 {
			t.Errorf("%s: area from diameters %.4g m², table %.4g m²", thread.Name, got, thread.StressArea)
		}
	}
	if _, err := CoarseThread("M7"); !errors.Is(err, ErrUnknownThread) {
		t.Errorf("M7: %v", err)
	}
	if _, err := PropertyClass("9.9", Thread{}); !errors.Is(err, ErrUnknownClass) {
		t.Errorf("9.9: %v", err)
	}
}

func TestPropertyClassDependsOnDiameter(t *testing.T) {
	m20, err := CoarseThread("M20")
	if err != nil {
		t.Fatal(err)
	}
	big, err := PropertyClass("8.8", m20)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := ProofLoad(m20, big), 600e6*245e-6; got != want {
		t.Errorf("proof load of M20 8.8 = %g N, want %g N", got, want)
	}
}

func TestTorqueIsLimitedByTheSlotLips(t *testing.T) {
	s := m8(t)
	strength, err := slot8().Strength()
	if err != nil {
		t.Fatal(err)
	}
	// 0.2 * 8 mm * 9122 N (13682 N / 1.5) = 14.6 N m; the screw alone would take 25.5 N m.
	if got := TorqueLimit(s, strength.Holds()); math.Abs(got-14.5946) > 1e-3 {
		t.Errorf("torque limit with lips = %.4f N m, want 14.595", got)
	}
	if got := TorqueLimit(s, math.Inf(1)); math.Abs(got-0.2*0.008*0.75*580e6*36.6e-6) > 1e-9 {
		t.Errorf("torque limit of the screw = %.4f N m", got)
	}
	s.Tightening.Torque = 25
	face := plateFace(t)
	face.Screw = s
	checks, err := Checks(face, Demand{})
	if err != nil {
		t.Fatal(err)
	}
	if c := pick(t, checks, LipPullOut); !(c.Utilisation > 1) {
		t.Errorf("25 N m on slot 8: lip utilisation %.3f, want above 1", c.Utilisation)
	}
}

func TestLipNearTheEndOfTheSlotHoldsLess(t *testing.T) {
	far, near := slot8(), slot8()
	near.EndDistance = 8e-3
	a, _ := far.Strength()
	b, err := near.Strength()
	if err != nil {
		t.Fatal(err)
	}
	// half strip 11 + 4.625 mm on one side, 8 mm on the other
	if math.Abs(b.Strip-(15.625e-3+8e-3)) > 1e-12 || !(b.Plastic < a.Plastic) {
		t.Errorf("strip %.5f m, plastic %.0f N against %.0f N in the open slot", b.Strip, b.Plastic, a.Plastic)
	}
}

// TestFaceSigns: numbers a child can predict.
func TestFaceSigns(t *testing.T) {
	f := Face{Screws: Grid(1, 2, 0, 0.1), MinY: -0.02, MaxY: 0.02, MinZ: -0.05, MaxZ: 0.05, Faces: 1}
	tests := map[string]struct {
		in   Demand
		want []float64 // tension of the lower and the upper screw
	}{
		"a pull goes to both":                    {Demand{N: 100}, []float64{50, 50}},
		"a push pulls nothing":                   {Demand{N: -100}, []float64{0, 0}},
		"My opens the top":                       {Demand{My: 10}, []float64{0, 100}},
		"-My opens the bottom":                   {Demand{My: -10}, []float64{100, 0}},
		"the push takes the first part of a My":  {Demand{N: -100, My: 10}, []float64{0, 50}},
		"the push takes all of a small My":       {Demand{N: -300, My: 10}, []float64{0, 0}},
		"Mz is held at half the width by both":   {Demand{Mz: 10}, []float64{250, 250}},
		"-Mz likewise, from the other edge":      {Demand{Mz: -10}, []float64{250, 250}},
		"shear pulls nothing":                    {Demand{Vy: 10, Vz: 20, T: 3}, []float64{0, 0}},
		"pull and moment add up on the far side": {Demand{N: 100, My: 10}, []float64{50, 150}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			loads, err := f.Resolve(c.in)
			if err != nil {
				t.Fatal(err)
			}
			got := []float64{loads[0].Tension, loads[1].Tension}
			if d := cmp.Diff(c.want, got, closely); d != "" {
				t.Errorf("tension (-want +got):\n%s", d)
			}
		})
	}
}

// TestFaceSidesOfMz: Mz opens the -y side.
func TestFaceSidesOfMz(t *testing.T) {
	f := Face{Screws: Grid(2, 1, 0.1, 0), MinY: -0.05, MaxY: 0.05, MinZ: -0.02, MaxZ: 0.02, Faces: 1}
	for moment, want := range map[float64][]float64{10: {100, 0}, -10: {0, 100}} {
		loads, err := f.Resolve(Demand{Mz: moment})
		if err != nil {
			t.Fatal(err)
		}
		got := []float64{loads[0].Tension, loads[1].Tension}
		if d := cmp.Diff(want, got, closely); d != "" {
			t.Errorf("Mz = %g N m, screws at -y and +y (-want +got):\n%s", moment, d)
		}
	}
}

func TestScatterKeepsItsRatio(t *testing.T) {
	p, err := Tightening{Torque: 25, NutFactor: 0.2, Scatter: 1.6, Loss: 0.15}.Preload(0.008)
	if err != nil {
		t.Fatal(err)
	}
	if ratio := p.Most / (p.Least / 0.85); math.Abs(ratio-1.6) > 1e-12 || math.Abs((p.Most+p.Least/0.85)/2-p.Nominal) > 1e-9 {
		t.Errorf("preload %+v, ratio %g", p, ratio)
	}
}

func TestAdviseRibs(t *testing.T) {
	s := Strip{Thickness: 0.012, Width: 0.12, Arm: 0.03, Young: 70e9, Yield: 200e6}
	tests := map[string]struct {
		arm, moment float64
		eccentric   bool
		ribs        int
	}{
		"short and lightly stressed":   {0.03, 10, false, 0},
		"long":                         {0.06, 10, false, 1},
		"short but stressed":           {0.03, 150, false, 1},
		"long with an eccentric load":  {0.06, 10, true, 2},
		"light eccentric load, short":  {0.03, 10, true, 0},
		"stress counts in both senses": {0.03, -150, false, 1},
	}
	for name, c := range tests {
		s.Arm = c.arm
		got, err := AdviseRibs(s, c.moment, c.eccentric)
		if err != nil || got.Least != c.ribs || got.Reason == "" {
			t.Errorf("%s: %+v, %v, want %d ribs", name, got, err, c.ribs)
		}
	}
}

func TestRibbedRefusesNonsense(t *testing.T) {
	for name, r := range map[string]Ribbed{
		"no plate":                  {},
		"ribs wider than the plate": {0.02, 0.01, 0.011, 0.04, 2},
		"ribs without height":       {0.1, 0.01, 0.01, 0, 1},
		"NaN":                       {math.NaN(), 0.01, 0.01, 0.04, 1},
	} {
		if _, err := r.Section(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// Two ribs 10 x 40 on 120 x 12: centroid 15.286 mm up, I 4.716e-7 m⁴; the rib's
	// edge, 36.714 mm away, decides.
	ribbed, err := Ribbed{0.12, 0.012, 0.01, 0.04, 2}.Section()
	if err != nil || math.Abs(ribbed.Modulus-4.71603809524e-07/0.0367142857) > 1e-13 {
		t.Errorf("ribbed plate: %+v, %v", ribbed, err)
	}
	bare, err := Ribbed{PlateWidth: 0.1, PlateThickness: 0.01}.Section()
	if err != nil || math.Abs(bare.Gain-1) > 1e-12 || math.Abs(bare.Modulus-0.1*1e-4/6) > 1e-15 {
		t.Errorf("bare plate: %+v, %v", bare, err)
	}
}
