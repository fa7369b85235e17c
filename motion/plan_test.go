package motion

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func mustPlan(t testing.TB, stroke float64, l Limits) Profile {
	t.Helper()
	p, err := Plan(stroke, l)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestPlanForms: each form of the move has the segments it should have and no
// others. The numbers of the moves stand in the verification cases M01 to M17.
func TestPlanForms(t *testing.T) {
	trapezoid := Limits{Speed: 2, Accel: 5}
	curve := Limits{Speed: 2, Accel: 5, Jerk: 100}
	tests := map[string]struct {
		stroke float64
		limits Limits
		jerks  []float64 // of the segments
		limit  Limit
	}{
		"trapezoid":                   {1.2, trapezoid, []float64{0, 0, 0}, LimitSpeed},
		"triangle":                    {0.3, trapezoid, []float64{0, 0}, LimitAccel},
		"at the edge of the triangle": {1.2, Limits{Speed: 2, Accel: 5, Decel: 2.5}, []float64{0, 0}, LimitAccel},
		"all seven":                   {1.2, curve, []float64{100, 0, -100, 0, -100, 0, 100}, LimitSpeed},
		"no constant speed":           {0.5, curve, []float64{100, 0, -100, -100, 0, 100}, LimitAccel},
		"jerk only":                   {0.02, curve, []float64{100, -100, -100, 100}, LimitJerk},
		"no constant acceleration":    {1, Limits{Speed: 0.2, Accel: 5, Jerk: 100}, []float64{100, -100, 0, -100, 100}, LimitSpeed},
		"soft start, hard stop":       {1.2, Limits{Speed: 2, Accel: 5, Jerk: 100, DecelJerk: math.Inf(1)}, []float64{100, 0, -100, 0, 0}, LimitSpeed},
		"hard start, soft stop":       {0.5, Limits{Speed: 2, Accel: 5, DecelJerk: 100}, []float64{0, -100, 0, 100}, LimitAccel},
		"back":                        {-0.02, curve, []float64{-100, 100, 100, -100}, LimitJerk},
		"nowhere":                     {0, curve, nil, LimitNone},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			p := mustPlan(t, tt.stroke, tt.limits)
			var jerks []float64
			for _, s := range p.Curve() {
				jerks = append(jerks, math.Round(s.Jerk*1e9)/1e9)
			}
			if diff := cmp.Diff(tt.jerks, jerks); diff != "" {
				t.Errorf("jerks of the segments (-want +got):\n%s", diff)
			}
			if p.Governs() != tt.limit {
				t.Errorf("%v governs, want %v", p.Governs(), tt.limit)
			}
		})
	}
}

// TestPlanExtremes: a move of a nanometre and one of a thousand kilometres, with
// ramps so unequal that one root of the speed equation dwarfs the other.
func TestPlanExtremes(t *testing.T) {
	for _, stroke := range []float64{1e-12, 1e-9, 1e-3, 1, 1e6} {
		for _, jerk := range []float64{0, 1e-3, 1, 1e6, 1e12} {
			for _, decelJerk := range []float64{1e-3, 1, 1e6, math.Inf(1)} {
				for _, decel := range []float64{1e-3, 1, 1e3} {
					p := mustPlan(t, stroke, Limits{Speed: 2, Accel: 5, Decel: decel, Jerk: jerk, DecelJerk: decelJerk})
					if x := p.Curve().Last().Position; !(math.Abs(x-stroke) <= 1e-11*stroke) {
						t.Errorf("stroke %g, jerk %g and %g, decel %g: ends at %.17g", stroke, jerk, decelJerk, decel, x)
					}
				}
			}
		}
	}
}

func TestUnusableInputsAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Limits{Speed: 2, Accel: 5, Jerk: 100}
	limits := map[string]Limits{
		"nothing":              {},
		"no speed":             {Accel: 5},
		"no acceleration":      {Speed: 2},
		"speed not a number":   {Speed: nan, Accel: 5},
		"endless speed":        {Speed: inf, Accel: 5},
		"backward speed":       {Speed: -2, Accel: 5},
		"acceleration NaN":     {Speed: 2, Accel: nan},
		"deceleration below 0": {Speed: 2, Accel: 5, Decel: -5},
		"jerk below 0":         {Speed: 2, Accel: 5, Jerk: -1},
		"jerk NaN":             {Speed: 2, Accel: 5, Jerk: nan},
		"jerk down below 0":    {Speed: 2, Accel: 5, DecelJerk: -1},
	}
	for name, l := range limits {
		if _, err := Plan(1, l); !errors.Is(err, ErrLimits) {
			t.Errorf("Plan, %s: %v", name, err)
		}
		if _, err := PlanTime(1, 100, l); !errors.Is(err, ErrLimits) {
			t.Errorf("PlanTime, %s: %v", name, err)
		}
		if _, err := PlanJerkTime(1, l, 0.1); !errors.Is(err, ErrLimits) {
			t.Errorf("PlanJerkTime, %s: %v", name, err)
		}
		if _, err := Straight(Leg{1, good}, Leg{1, l}); !errors.Is(err, ErrLimits) {
			t.Errorf("Straight, %s: %v", name, err)
		}
		if _, err := FinishTogether(Leg{1, good}, Leg{1, l}); !errors.Is(err, ErrLimits) {
			t.Errorf("FinishTogether, %s: %v", name, err)
		}
		if _, err := MatchedJerkTime(8, l); !errors.Is(err, ErrLimits) {
			t.Errorf("MatchedJerkTime, %s: %v", name, err)
		}
	}
	for _, stroke := range []float64{nan, inf, -inf} {
		if _, err := Plan(stroke, good); !errors.Is(err, ErrLimits) {
			t.Errorf("Plan over %g m: %v", stroke, err)
		}
		if _, err := OneThird(stroke, 1); !errors.Is(err, ErrLimits) {
			t.Errorf("OneThird over %g m: %v", stroke, err)
		}
		if _, err := Straight(Leg{stroke, good}); !errors.Is(err, ErrLimits) {
			t.Errorf("Straight over %g m: %v", stroke, err)
		}
	}
	for _, time := range []float64{nan, inf, -1} {
		if _, err := PlanTime(1, time, good); !errors.Is(err, ErrLimits) {
			t.Errorf("PlanTime in %g s: %v", time, err)
		}
		if _, err := OneThird(1, time); !errors.Is(err, ErrLimits) {
			t.Errorf("OneThird in %g s: %v", time, err)
		}
		if _, err := PlanJerkTime(1, good, time); !errors.Is(err, ErrLimits) {
			t.Errorf("PlanJerkTime with %g s: %v", time, err)
		}
		if _, err := MatchedJerkTime(time, good); !errors.Is(err, ErrLimits) {
			t.Errorf("MatchedJerkTime at %g Hz: %v", time, err)
		}
		if _, err := LeastAccel(1, time, 2); err == nil && !math.IsInf(time, 1) {
			t.Errorf("LeastAccel in %g s: no error", time)
		}
	}
	if _, err := Straight(); !errors.Is(err, ErrNoLegs) {
		t.Errorf("Straight without axes: %v", err)
	}
}

func TestPlanTimeRefusesWhatCannotBe(t *testing.T) {
	l := Limits{Speed: 2, Accel: 5, Jerk: 100} // 1.05 s, case M10
	if _, err := PlanTime(1.2, 1.049, l); !errors.Is(err, ErrTooShort) {
		t.Errorf("1.049 s: %v", err)
	}
	if p, err := PlanTime(1.2, 1.05, l); err != nil || math.Abs(p.PeakSpeed()-2) > 1e-12 {
		t.Errorf("1.05 s: %v, %g m/s", err, p.PeakSpeed())
	}
	if p, err := PlanTime(0, 0, l); err != nil || p.Duration() != 0 {
		t.Errorf("nowhere: %v, %g s", err, p.Duration())
	}
}

// The least acceleration is that of the triangle until the speed limit bites.
func TestLeastAccel(t *testing.T) {
	tests := map[string]struct {
		stroke, duration, speed float64
		accel                   float64
		err                     error
	}{
		"triangle":           {1, 1, 2, 4, nil},
		"trapezoid":          {1.2, 1, 2, 5, nil}, // case M01 read backwards
		"back":               {-1.2, 1, 2, 5, nil},
		"never fast enough":  {1.2, 0.6, 2, 0, ErrTooShort},
		"nowhere needs none": {0, 1, 2, 0, nil},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			a, err := LeastAccel(tt.stroke, tt.duration, tt.speed)
			if !errors.Is(err, tt.err) || math.Abs(a-tt.accel) > 1e-12*tt.accel {
				t.Errorf("%g m/s², %v; want %g, %v", a, err, tt.accel, tt.err)
			}
		})
	}
}

// The one-third trapezoid has the least RMS acceleration of the symmetric ones.
func TestOneThirdIsLeast(t *testing.T) {
	best, err := OneThird(0.9, 0.6)
	if err != nil {
		t.Fatal(err)
	}
	least := best.Curve().RMSAccel(0.6)
	for _, part := range []float64{0.2, 0.3, 0.33, 0.34, 0.4, 0.5} { // of the time for one ramp
		ramp := part * 0.6
		v := 0.9 / (0.6 - ramp)
		p := mustPlan(t, 0.9, Limits{Speed: v, Accel: v / ramp})
		if math.Abs(p.Duration()-0.6) > 1e-12 {
			t.Fatalf("ramp of %g s: takes %g s", ramp, p.Duration())
		}
		if rms := p.Curve().RMSAccel(0.6); rms < least {
			t.Errorf("ramp of %g s: %g m/s² RMS, below %g", ramp, rms, least)
		}
	}
}

func TestMatchedJerkTime(t *testing.T) {
	tests := map[string]struct {
		frequency float64
		limits    Limits
		want      float64
	}{
		"one period is enough":         {8, Limits{Speed: 2, Accel: 5, Jerk: 100}, 0.125},
		"exactly one period":           {20, Limits{Speed: 2, Accel: 5, Jerk: 100}, 0.05},
		"high frequency, two periods":  {30, Limits{Speed: 2, Accel: 5, Jerk: 100}, 2.0 / 30},
		"without jerk limit":           {8, Limits{Speed: 2, Accel: 5}, 0.125},
		"the softer ramp decides":      {20, Limits{Speed: 2, Accel: 5, Jerk: 100, DecelJerk: 60}, 0.1},
		"a rounding costs no period":   {3, Limits{Speed: 2, Accel: 5, Jerk: 5 * 3 * (1 - 1e-15)}, 1.0 / 3},
		"a harder brake needs longer":  {20, Limits{Speed: 2, Accel: 5, Decel: 6, Jerk: 100}, 0.1},
		"a weaker brake does not":      {20, Limits{Speed: 2, Accel: 5, Decel: 4, Jerk: 100}, 0.05},
		"three periods of a fast mode": {59, Limits{Speed: 2, Accel: 5, Jerk: 100}, 3.0 / 59},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := MatchedJerkTime(tt.frequency, tt.limits)
			if err != nil || math.Abs(got-tt.want) > 1e-12*tt.want {
				t.Errorf("%g s, %v; want %g s", got, err, tt.want)
			}
		})
	}
}

func TestPlanDoesNotAllocate(t *testing.T) {
	l := Limits{Speed: 2, Accel: 5, Decel: 3, Jerk: 100, DecelJerk: 40}
	sum := 0.0
	if n := testing.AllocsPerRun(100, func() {
		p, _ := Plan(0.6, l)
		sum += p.At(0.3).Position
	}); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}

func TestWords(t *testing.T) {
	for l, want := range map[Limit]string{LimitNone: "none", LimitSpeed: "speed", LimitAccel: "acceleration", LimitJerk: "jerk", 9: "Limit(9)"} {
		if text, err := l.MarshalText(); string(text) != want || err != nil {
			t.Errorf("%d: %s, %v", l, text, err)
		}
	}
	for k, want := range map[Kind]string{KindMove: "move", KindParallel: "parallel", 0: "Kind(0)", 77: "Kind(77)"} {
		if text, err := k.MarshalText(); string(text) != want || err != nil {
			t.Errorf("%d: %s, %v", k, text, err)
		}
	}
}
