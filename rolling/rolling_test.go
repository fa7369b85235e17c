package rolling

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/given"
)

// near compares with a relative tolerance; rounding of a few operations stays
// under 1e-12.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

var anyLoad = rapid.Float64Range(1, 1e5)

func TestLifeFallsWithTheCubeOfTheLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p, k := anyLoad.Draw(t, "rating"), anyLoad.Draw(t, "load"), rapid.Float64Range(0.1, 10).Draw(t, "factor")
		one, err1 := RatingLife(c, p, BallExponent)
		other, err2 := RatingLife(c, k*p, BallExponent)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if !(math.Abs(other*k*k*k-one) <= 1e-12*one) {
			t.Fatalf("%g times the load: life %g, before %g", k, other, one)
		}
		back, err := RatingFor(p, one, BallExponent)
		if err != nil || !(math.Abs(back-c) <= 1e-12*c) {
			t.Fatalf("rating for that life %g, is %g (%v)", back, c, err)
		}
	})
}

func TestUnloadedContactLivesForEver(t *testing.T) {
	if l, err := RatingLife(1000, 0, BallExponent); err != nil || !math.IsInf(l, 1) {
		t.Errorf("life %v, %v", l, err)
	}
}

func TestMeanLoadLiesBetweenLeastAndLargest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "spans")
		low, high := math.Inf(1), 0.0
		var spans []Span
		for range n {
			s := Span{From: anyLoad.Draw(t, "from"), To: anyLoad.Draw(t, "to"), Weight: rapid.Float64Range(0.1, 10).Draw(t, "weight")}
			low, high = min(low, s.From, s.To), max(high, s.From, s.To)
			spans = append(spans, s)
		}
		m, err := MeanLoad(spans)
		if err != nil {
			t.Fatal(err)
		}
		const rounding = 1e-12
		if !(m >= low*(1-rounding) && m <= high*(1+rounding)) {
			t.Fatalf("mean %g of loads %g to %g", m, low, high)
		}
	})
}

// The exact mean of a linear change equals the sum over many small steps.
func TestLinearMeanAgainstSummation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load := rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(-1e7, 1e7).Draw(t, "mN")) / 1000 })
		a, b := load.Draw(t, "a"), load.Draw(t, "b")
		const steps = 4000
		var sum float64
		for i := range steps {
			p := math.Abs(a + (b-a)*(float64(i)+0.5)/steps)
			sum += p * p * p / steps
		}
		// the midpoint rule errs by |f''| h²/24 <= 6 |P| (b-a)² h²/24
		tol := 6 * math.Max(math.Abs(a), math.Abs(b)) * (b - a) * (b - a) / 24 / steps / steps
		got := LinearMean(a, b)
		if !(math.Abs(got*got*got-sum) <= tol+1e-9*sum) {
			t.Fatalf("%g to %g: %g, summed %g", a, b, got, math.Cbrt(sum))
		}
	})
}

func TestCombinedLifeIsShorterThanEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(1, 1e12).Draw(t, "a"), rapid.Float64Range(1, 1e12).Draw(t, "b")
		l, err := Combine(a, b)
		if err != nil {
			t.Fatal(err)
		}
		if !(l <= math.Min(a, b)*(1+1e-12)) {
			t.Fatalf("%g and %g combine to %g", a, b, l)
		}
		alone, err := Combine(a, math.Inf(1))
		if err != nil || !(math.Abs(alone-a) <= 1e-12*a) {
			t.Fatalf("with an unloaded contact %g becomes %g (%v)", a, alone, err)
		}
	})
}

func TestPreloadedPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pre, f := anyLoad.Draw(t, "preload"), rapid.Float64Range(0, 4e5).Draw(t, "load")
		loaded, relieved, err := PreloadedPair(f, pre)
		if err != nil {
			t.Fatal(err)
		}
		// equilibrium; the halving leaves 2^-60 of the preload, differences a few digits more
		if !(math.Abs(loaded-relieved-f) <= 1e-12*(f+pre)) {
			t.Fatalf("rows %g and %g do not balance %g", loaded, relieved, f)
		}
		standard, err := LoadedRow(f, pre)
		if err != nil {
			t.Fatal(err)
		}
		if !(standard >= loaded*(1-1e-9) && standard <= loaded*1.04) {
			t.Fatalf("standard form %g, exact %g: it should lie 0 to 4 %% above", standard, loaded)
		}
		if f >= LiftOff(pre) && relieved > 0 {
			t.Fatalf("beyond lift-off the relieved row still carries %g", relieved)
		}
	})
}

func TestReliability(t *testing.T) {
	got, err := Reliability(Edition1990, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a_1 at 95 %, older table", got, 0.62, 1e-12)
	for _, bad := range []float64{0.5, 0.93, 1, math.NaN()} {
		if _, err := Reliability(Edition2007, bad); !errors.Is(err, ErrNotTabulated) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := Reliability(0, 0.9); !errors.Is(err, ErrNotTabulated) {
		t.Errorf("no edition: %v", err)
	}
}

func TestRefusesNonsense(t *testing.T) {
	nan := math.NaN()
	tests := map[string]func() error{
		"rating zero":      func() error { _, err := RatingLife(0, 1, 3); return err },
		"load NaN":         func() error { _, err := RatingLife(1, nan, 3); return err },
		"negative load":    func() error { _, err := RatingLife(1, -1, 3); return err },
		"no life":          func() error { _, err := Combine(); return err },
		"life zero":        func() error { _, err := Combine(1, 0); return err },
		"life NaN":         func() error { _, err := Combine(nan); return err },
		"no span":          func() error { _, err := MeanLoad(nil); return err },
		"span at rest":     func() error { _, err := MeanLoad([]Span{{1, 1, 0}}); return err },
		"span NaN":         func() error { _, err := MeanLoad([]Span{{nan, 1, 1}}); return err },
		"negative preload": func() error { _, err := LoadedRow(1, -1); return err },
		"load infinite":    func() error { _, _, err := PreloadedPair(math.Inf(1), 1); return err },
	}
	for name, run := range tests {
		if err := run(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
