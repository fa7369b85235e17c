package motion

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyShaper(t *rapid.T, m Mode) Shaper {
	if rapid.Bool().Draw(t, "ZVD") {
		return ZVD(m)
	}
	return ZV(m)
}

// A shaped move leaves V times the swing of the unshaped one, whatever the move
// and however wrong the frequency of the shaper.
func TestShapedMoveLeavesItsShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, actual := anyShake(t)
		design := actual
		design.Frequency *= rapid.Float64Range(0.5, 2).Draw(t, "mistuned")
		s := anyShaper(t, design)
		c := p.Curve()
		shaped, err := s.Shape(c)
		if err != nil {
			t.Fatal(err)
		}
		want := s.Residual(actual) * actual.Residual(c)
		off := 1e-11 * p.PeakSpeed() / actual.omega() * (1 + actual.omega()*shaped.End())
		if got := actual.Residual(shaped); !near(got, want, 1, off+1e-9*want) {
			t.Fatalf("%g m is left, want %g m", got, want)
		}
	})
}

// A shaped move covers the same way, later by the delay, and asks for no more
// speed, acceleration or jerk than the unshaped one.
func TestShapedMoveKeepsTheWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		s := anyShaper(t, m)
		sum := 0.0
		for _, i := range s {
			sum += i.Amplitude
		}
		if !near(sum, 1, 1e-15, 4) {
			t.Fatalf("amplitudes sum to %.17g", sum)
		}
		c := p.Curve()
		shaped, err := s.Shape(c)
		if err != nil {
			t.Fatal(err)
		}
		checkContinuous(t, shaped, p.JerkTime() > 0, 1e-9) // corners closer than that may have merged
		if !near(shaped.Last().Position, p.Stroke(), 1e-10, p.Stroke()) || !near(shaped.End(), c.End()+s.Delay(), 1e-12, shaped.End()) {
			t.Fatalf("ends at %g m after %g s", shaped.Last().Position, shaped.End())
		}
		if shaped.PeakSpeed() > c.PeakSpeed()*(1+1e-9) || shaped.PeakAccel() > c.PeakAccel()*(1+1e-9) || shaped.PeakJerk() > c.PeakJerk()*(1+1e-9) {
			t.Fatalf("shaping raised a peak: %g m/s, %g m/s², %g m/s³", shaped.PeakSpeed(), shaped.PeakAccel(), shaped.PeakJerk())
		}
	})
}

// At the frequency it is made for a shaper leaves nothing, with damping too.
func TestShaperCancelsItsMode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMode(t)
		if v := ZV(m).Residual(m); v > 1e-14 {
			t.Fatalf("ZV leaves %g", v)
		}
		if v := ZVD(m).Residual(m); v > 1e-14 {
			t.Fatalf("ZVD leaves %g", v)
		}
	})
}

// Without damping V = |cos(π f/2f0)| for ZV and its square for ZVD, so that the
// band of 5 % is known.
func TestBand(t *testing.T) {
	m := Mode{Frequency: 8}
	tests := map[string]struct {
		shaper Shaper
		half   float64 // width to either side, part of the frequency
	}{
		"ZV":  {ZV(m), 2 / math.Pi * math.Asin(0.05)},
		"ZVD": {ZVD(m), 2 / math.Pi * math.Asin(math.Sqrt(0.05))},
	}
	for name, tt := range tests {
		low, high, ok := tt.shaper.Band(m, 0.05)
		if !ok || math.Abs(low/8-1+tt.half) > 1e-8 || math.Abs(high/8-1-tt.half) > 1e-8 {
			t.Errorf("%s: %g to %g Hz, want 8 Hz ± %g", name, low, high, 8*tt.half)
		}
	}
	if _, _, ok := ZV(Mode{Frequency: 12}).Band(m, 0.05); ok {
		t.Error("a mistuned shaper has no band around this mode")
	}
	if low, high, ok := ZVD(m).Band(m, 2); !ok || low != 0 || math.Abs(high-16) > 1e-12 {
		t.Errorf("a limit that is always kept: %g to %g Hz, want 0 to 16", low, high)
	}
}

func TestShapeRefusesWhatDoesNotRest(t *testing.T) {
	s := ZV(Mode{Frequency: 8})
	if _, err := s.Shape(Chain(0, State{Speed: 1}, Piece{1, -1, 0})); !errors.Is(err, ErrNotAtRest) {
		t.Errorf("a stop: %v", err)
	}
	if _, err := s.Shape(Chain(0, State{}, Piece{1, 1, 0})); !errors.Is(err, ErrNotAtRest) {
		t.Errorf("a start: %v", err)
	}
	if c, err := s.Shape(nil); err != nil || c != nil {
		t.Errorf("nothing: %v, %v", c, err)
	}
	p := mustPlan(t, 1, Limits{Speed: 1, Accel: 1})
	if c, err := (Shaper{}).Shape(p.Curve()); err != nil || len(c) != 2 {
		t.Errorf("without impulses: %v, %v", c, err)
	}
	if (Shaper{}).Delay() != 0 {
		t.Error("a shaper without impulses delays nothing")
	}
}
