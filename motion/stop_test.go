package motion

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestStop holds the curves against the closed forms of the doc comment, on
// both sides of each branch.
func TestStop(t *testing.T) {
	tests := map[string]struct {
		stop                      ControlledStop
		distance, time, peakDecel float64
	}{
		"abrupt":                {ControlledStop{1.2, 4, 0, OnsetAbrupt, 0.035}, 1.2*0.035 + 1.44/8, 0.335, 4},
		"S-curve":               {ControlledStop{2, 6, 60, OnsetSCurve, 0.02}, 2*0.02 + 4.0/12 + 2*6/120.0, 0.02 + 2/6.0 + 0.1, 6},
		"S-curve, slow":         {ControlledStop{0.3, 6, 60, OnsetSCurve, 0}, 0.3 * math.Sqrt(0.3/60), 2 * math.Sqrt(0.3/60), math.Sqrt(0.3 * 60)},
		"S-curve at the branch": {ControlledStop{0.6, 6, 60, OnsetSCurve, 0}, 0.6 * 0.1, 0.2, 6},
		"jerk at onset":         {ControlledStop{2, 6, 60, OnsetJerk, 0}, 4.0/12 + 0.1 - 6*0.01/24, 2/6.0 + 0.05, 6},
		"jerk at onset, slow":   {ControlledStop{0.2, 6, 60, OnsetJerk, 0}, 2.0 / 3 * 0.2 * math.Sqrt(0.4/60), math.Sqrt(0.4 / 60), 60 * math.Sqrt(0.4/60)},
		"standing":              {ControlledStop{0, 6, 60, OnsetSCurve, 0.02}, 0, 0.02, 0},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			s, err := tt.stop.Stop()
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.Distance-tt.distance) > 1e-14 || math.Abs(s.Time-tt.time) > 1e-14 || math.Abs(s.PeakDecel-tt.peakDecel) > 1e-13 {
				t.Errorf("%.15g m, %.15g s, %.15g m/s²; want %.15g, %.15g, %.15g", s.Distance, s.Time, s.PeakDecel, tt.distance, tt.time, tt.peakDecel)
			}
		})
	}
}

func anyStop(t *rapid.T) ControlledStop {
	return ControlledStop{
		Speed: spread(t, "speed", 1e-3, 10), Decel: spread(t, "decel", 0.1, 100), Jerk: spread(t, "jerk", 1, 1e5),
		Onset:    rapid.SampledFrom([]Onset{OnsetAbrupt, OnsetJerk, OnsetSCurve}).Draw(t, "onset"),
		Reaction: rapid.Float64Range(0, 0.1).Draw(t, "reaction"),
	}
}

// A stop ends at rest, never exceeds its deceleration, and takes no less than
// the abrupt one; a faster axis takes longer.
func TestStopLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stop := anyStop(t)
		s, err := stop.Stop()
		if err != nil {
			t.Fatal(err)
		}
		if !near(s.Curve.Last().Speed, 0, 1e-12, stop.Speed) || s.PeakDecel > stop.Decel*(1+1e-12) || s.PeakSpeed != stop.Speed {
			t.Fatalf("ends at %g m/s, decelerates by %g of %g m/s²", s.Curve.Last().Speed, s.PeakDecel, stop.Decel)
		}
		abrupt, faster := stop, stop
		abrupt.Onset = OnsetAbrupt
		faster.Speed *= 1.01
		least, _ := abrupt.Stop()
		more, _ := faster.Stop()
		if s.Distance < least.Distance*(1-1e-12) || more.Distance <= s.Distance {
			t.Fatalf("%g m, abrupt %g m, faster %g m", s.Distance, least.Distance, more.Distance)
		}
	})
}

// The fastest speed for a distance needs that distance.
func TestFastestWithinIsTheInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stop := anyStop(t)
		s, err := stop.Stop()
		if err != nil {
			t.Fatal(err)
		}
		v, err := stop.FastestWithin(s.Distance)
		if err != nil || !near(v, stop.Speed, 1e-9, stop.Speed) { // the distance hardly moves with the last digits of a slow speed
			t.Fatalf("%.12g m/s for the %.12g m that %.12g m/s take: %v", v, s.Distance, stop.Speed, err)
		}
	})
}

// What is left of the speed at a place is what the curve says at that time.
func TestSpeedAfterIsOnTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stop := anyStop(t)
		s, err := stop.Stop()
		if err != nil {
			t.Fatal(err)
		}
		at := s.Curve.At(rapid.Float64Range(0, 1).Draw(t, "part") * s.Time)
		// A speed known from a place is only as good as the root of its rounding near rest.
		if v := s.SpeedAfter(at.Position); !near(v, at.Speed, 1e-5, stop.Speed) {
			t.Fatalf("%g m/s after %g m, the curve says %g m/s", v, at.Position, at.Speed)
		}
	})
}

func TestSpeedAfter(t *testing.T) {
	s, err := ControlledStop{Speed: 2, Decel: 6}.Stop() // rests after 1/3 m
	if err != nil {
		t.Fatal(err)
	}
	for distance, want := range map[float64]float64{0: 2, 0.25: 1, 1.0 / 3: 0, 1: 0} { // 0.25 m: case EQ-HS-05
		if v := s.SpeedAfter(distance); math.Abs(v-want) > 1e-7 { // the root of a rounding at rest
			t.Errorf("%g m/s after %g m, want %g", v, distance, want)
		}
	}
	if d := s.WithMargin(0.1, 0.01); math.Abs(d-1.1/3) > 1e-15 {
		t.Errorf("with a tenth: %g m", d)
	}
	if d := s.WithMargin(0.1, 0.05); math.Abs(d-1.0/3-0.05) > 1e-15 {
		t.Errorf("with 50 mm: %g m", d)
	}
}

func TestRunaway(t *testing.T) {
	tests := map[string]struct {
		r               Runaway
		distance, speed float64
	}{
		"below the top speed":     {Runaway{2, 8, 0.05, 6, 3}, 0.1 + 0.01 + 2.4*2.4/12, 2.4}, // case EQ-ST-09
		"reaches the top speed":   {Runaway{2, 8, 0.25, 6, 3}, 2*0.125 + 4*0.125*0.125 + 3*0.125 + 9.0/12, 3},
		"without top speed":       {Runaway{2, 8, 0.25, 6, 0}, 0.5 + 0.25 + 16.0/12, 4},
		"at the top speed before": {Runaway{3, 8, 0.05, 6, 3}, 0.15 + 9.0/12, 3},
		"does not accelerate":     {Runaway{2, 0, 0.05, 6, 3}, 0.1 + 4.0/12, 2},
		"from standstill":         {Runaway{0, 8, 0.05, 6, 3}, 0.01 + 0.16/12, 0.4},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			s, err := tt.r.Stop()
			if err != nil || math.Abs(s.Distance-tt.distance) > 1e-14 || math.Abs(s.PeakSpeed-tt.speed) > 1e-14 {
				t.Errorf("%.15g m from %.15g m/s, %v; want %.15g m from %.15g m/s", s.Distance, s.PeakSpeed, err, tt.distance, tt.speed)
			}
		})
	}
}

func TestUnusableStopsAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	stops := map[string]ControlledStop{
		"nothing":              {},
		"backwards":            {Speed: -1, Decel: 1},
		"speed NaN":            {Speed: nan, Decel: 1},
		"endless speed":        {Speed: inf, Decel: 1},
		"no deceleration":      {Speed: 1},
		"deceleration NaN":     {Speed: 1, Decel: nan},
		"reaction below 0":     {Speed: 1, Decel: 1, Reaction: -1},
		"reaction NaN":         {Speed: 1, Decel: 1, Reaction: nan},
		"no jerk":              {Speed: 1, Decel: 1, Onset: OnsetSCurve},
		"jerk NaN":             {Speed: 1, Decel: 1, Jerk: nan, Onset: OnsetJerk},
		"onset of another age": {Speed: 1, Decel: 1, Jerk: 1, Onset: 9},
	}
	for name, s := range stops {
		if _, err := s.Stop(); !errors.Is(err, ErrStop) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := stops["no deceleration"].FastestWithin(1); !errors.Is(err, ErrStop) {
		t.Errorf("fastest without deceleration: %v", err)
	}
	if _, err := (ControlledStop{Decel: 1}).FastestWithin(nan); !errors.Is(err, ErrStop) {
		t.Errorf("fastest within NaN: %v", err)
	}
	if v, err := (ControlledStop{Decel: 1}).FastestWithin(0); err != nil || v != 0 {
		t.Errorf("fastest within nothing: %g, %v", v, err)
	}
	for name, r := range map[string]Runaway{
		"slower than it is":    {Speed: 2, Decel: 1, TopSpeed: 1},
		"acceleration below 0": {Speed: 2, Decel: 1, Accel: -1},
		"acceleration NaN":     {Speed: 2, Decel: 1, Accel: nan},
		"no deceleration":      {Speed: 2},
		"top speed NaN":        {Speed: 2, Decel: 1, TopSpeed: nan},
	} {
		if _, err := r.Stop(); !errors.Is(err, ErrStop) {
			t.Errorf("run-away, %s: %v", name, err)
		}
	}
}
