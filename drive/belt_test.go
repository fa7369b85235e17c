package drive

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyBelt(t *rapid.T) (b Belt, x float64) {
	b = Belt{
		Layout:    rapid.SampledFrom([]Layout{Loop, Omega}).Draw(t, "layout"),
		Length:    rapid.Float64Range(0.2, 10).Draw(t, "length"),
		Stiffness: rapid.Float64Range(1e5, 1e7).Draw(t, "stiffness"),
	}
	return b, b.Length * rapid.Float64Range(0.02, 0.98).Draw(t, "place")
}

// The difference of the run forces is the drive force, and the belt keeps its
// length: what one run stretches the other gives back.
func TestRunForcesCarryTheDriveForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, x := anyBelt(t)
		pre, force := rapid.Float64Range(0, 5000).Draw(t, "pretension"), rapid.Float64Range(-5000, 5000).Draw(t, "force")
		tension, err := b.TensionAt(x, pre, force)
		if err != nil {
			t.Fatal(err)
		}
		r, err := tension.Forces()
		if err != nil && !errors.Is(err, ErrSlack) {
			t.Fatal(err)
		}
		tol := 1e-12 * (pre + math.Abs(force)) // sums of a few terms of this size
		if !(math.Abs(r.Tight-r.Slack-math.Abs(force)) <= tol) {
			t.Fatalf("runs %g and %g do not carry %g", r.Tight, r.Slack, force)
		}
		if err != nil {
			if r.Slack != 0 || r.Linear > 0 {
				t.Fatalf("slack belt reports %+v", r)
			}
			return
		}
		stretch := (r.Tight-pre)*tension.TightRun + (r.Slack-pre)*tension.SlackRun
		if !(math.Abs(stretch) <= tol*(tension.TightRun+tension.SlackRun)) {
			t.Fatalf("the belt grows by %g/EA", stretch)
		}
	})
}

// The carriage moves by force over stiffness: the tight run alone says the same.
func TestStretchAgreesWithStiffness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, x := anyBelt(t)
		force := rapid.Float64Range(1, 1000).Draw(t, "force")
		k, err := b.StiffnessAt(x)
		if err != nil {
			t.Fatal(err)
		}
		tension, err := b.TensionAt(x, 2*force, force)
		if err != nil {
			t.Fatal(err)
		}
		r, err := tension.Forces()
		if err != nil {
			t.Fatal(err)
		}
		moved := (r.Tight - tension.Pretension) * tension.TightRun / b.Stiffness
		// the difference to the pre-tension may cancel two digits where one run is short
		if !(math.Abs(moved-force/k) <= 1e-10*force/k) {
			t.Fatalf("tight run stretches %g m, force over stiffness is %g m", moved, force/k)
		}
	})
}

func TestSoftestPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, x := anyBelt(t)
		at, least, err := b.Softest(0.01*b.Length, b.Length*0.99)
		if err != nil {
			t.Fatal(err)
		}
		k, err := b.StiffnessAt(x)
		if err != nil {
			t.Fatal(err)
		}
		if x <= 0.99*b.Length && x >= 0.01*b.Length && k < least*(1-1e-12) {
			t.Fatalf("softest %g at %g, but %g at %g", least, at, k, x)
		}
	})
}

// The least pre-tension just keeps the belt taut, and the trade rule keeps it
// taut everywhere.
func TestLeastPretension(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, x := anyBelt(t)
		s := Stroke{From: x / 2, To: x, Forward: rapid.Float64Range(1, 2000).Draw(t, "forward"), Backward: rapid.Float64Range(1, 2000).Draw(t, "backward")}
		least := rapid.Float64Range(1, 100).Draw(t, "least")
		pre, err := b.LeastPretension(s, least)
		if err != nil {
			t.Fatal(err)
		}
		e, err := b.Extremes(pre, s)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(e.Slack-least) <= 1e-9*(pre+least)) {
			t.Fatalf("slack run keeps %g, want %g", e.Slack, least)
		}
		largest := math.Max(s.Forward, s.Backward)
		if enough := SufficientPretension(largest, least); enough < pre*(1-1e-12) {
			t.Fatalf("trade rule %g is less than the least %g", enough, pre)
		}
		for _, part := range []float64{0, 0.3, 0.7, 1} { // nowhere in the stroke is it worse than at its ends
			for _, force := range []float64{s.Forward, -s.Backward} {
				tension, err := b.TensionAt(s.From+part*(s.To-s.From), pre, force)
				if err != nil {
					t.Fatal(err)
				}
				r, err := tension.Forces()
				if err != nil {
					t.Fatal(err)
				}
				if r.Slack < e.Slack-1e-9*pre || r.Tight > e.Tight+1e-9*(pre+largest) {
					t.Fatalf("runs %+v beyond the extremes %+v", r, e)
				}
			}
		}
	})
}

func TestBeltAtRestWithoutTensionIsSlack(t *testing.T) {
	_, err := Tension{TightRun: 1, SlackRun: 1}.Forces()
	wants(t, "no pre-tension", err, ErrSlack)
	if pre, err := (Belt{Loop, 1, 1e6}).LeastPretension(Stroke{From: 0.1, To: 0.9}, 5); err != nil || pre != 5 {
		t.Errorf("no force needs a pre-tension of %v (%v), want the least run tension", pre, err)
	}
}

// Far away from the drive the loop's long run pulls: power-drive habits (half
// the force) leave it slack.
func TestHalfTheForceIsNotEnough(t *testing.T) {
	b := Belt{Layout: Loop, Length: 2.5, Stiffness: 1e6}
	tension, err := b.TensionAt(0.2, 340.0/2, 340)
	if err != nil {
		t.Fatal(err)
	}
	if tension.TightRun != 4.8 {
		t.Errorf("pushing away from the drive pulls the run of %g m, want the one round the idler, 4.8 m", tension.TightRun)
	}
	_, err = tension.Forces()
	wants(t, "half the force", err, ErrSlack)
}

func TestStrandThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Strand{rapid.Float64Range(0.01, 2).Draw(t, "mass"), rapid.Float64Range(0.1, 3).Draw(t, "length")}
		force := rapid.Float64Range(1, 1e4).Draw(t, "tension")
		f, err := s.Frequency(force)
		if err != nil {
			t.Fatal(err)
		}
		back, err := s.Tension(f)
		if err != nil || !(math.Abs(back-force) <= 1e-12*force) {
			t.Fatalf("%g N become %g N (%v)", force, back, err)
		}
	})
}

func TestTeethInMesh(t *testing.T) {
	for _, tc := range []struct {
		teeth, want int
		wrap        float64 // deg
	}{{32, 16, 180}, {25, 10, 144}, {25, 9, 143.9}, {20, 0, 10}, {30, 30, 360}} {
		got, err := Pulley{tc.teeth, 5e-3}.TeethInMesh(tc.wrap * math.Pi / 180)
		if err != nil || got != tc.want {
			t.Errorf("%d teeth over %g degrees: %d (%v), want %d", tc.teeth, tc.wrap, got, err, tc.want)
		}
	}
}

func TestShaftLoadOfEqualRuns(t *testing.T) {
	for wrap, want := range map[float64]float64{0: 0, math.Pi / 2: 100 * math.Sqrt2, math.Pi: 200} {
		got, err := ShaftLoad(100, 100, wrap)
		if err != nil || !(math.Abs(got-want) <= 1e-9) {
			t.Errorf("wrap %g: %g (%v), want %g", wrap, got, err, want)
		}
	}
}
