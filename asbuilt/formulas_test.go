package asbuilt

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"spanwright/given"
)

// A straight pull gives its stiffness back whatever its size, without hysteresis.
func TestFitPullRecoversALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Exp(rapid.Float64Range(8, 20).Draw(t, "ln k"))
		x0 := rapid.Float64Range(-1e-3, 1e-3).Draw(t, "x0")
		var f, x []float64
		for _, s := range []float64{0, 1, 2, 3, 4, 3, 2, 1, 0} {
			f, x = append(f, 25*s), append(x, x0+25*s/k)
		}
		got, err := FitPull(f, x)
		// 1e-6: the deflections of the stiffest pull are 1e-7 m beside an offset of 1e-3 m.
		if err != nil || math.Abs(got.Stiffness/k-1) > 1e-6 || got.Hysteresis > 1e-15 {
			t.Errorf("%+v, %v; want k = %g", got, err, k)
		}
	})
}

func TestFitPullRefuses(t *testing.T) {
	for name, c := range map[string][2][]float64{
		"two points":              {{0, 1}, {0, 1}},
		"one force":               {{5, 5, 5}, {0, 1, 2}},
		"a deflection that falls": {{0, 1, 2}, {2, 1, 0}},
		"no number":               {{0, 1, 2}, {0, math.NaN(), 2}},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := FitPull(c[0], c[1]); !errors.Is(err, given.ErrRefused) {
				t.Error(err)
			}
		})
	}
}

// ring makes samples of a free vibration.
func ring(f, z float64, n int, step float64) (time, signal []float64) {
	for i := range n {
		s := float64(i) * step
		time = append(time, s)
		signal = append(signal, math.Exp(-z*2*math.Pi*f*s)*math.Sin(2*math.Pi*f*math.Sqrt(1-z*z)*s))
	}
	return time, signal
}

func TestReadRingingRecoversFrequencyAndDamping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(3, 30).Draw(t, "Hz")
		z := rapid.Float64Range(0.003, 0.05).Draw(t, "zeta")
		time, signal := ring(f, z, 2000, 10/f/2000*3)
		got, err := ReadRinging(time, signal)
		if err != nil {
			t.Fatal(err)
		}
		// 1 %: the mean of a decaying record is not quite zero, which moves the
		// crossings; 6 % of the damping: peaks are read from samples.
		if math.Abs(got.Natural/f-1) > 0.01 || math.Abs(got.Damping/z-1) > 0.06 {
			t.Errorf("%g Hz, %g; want %g Hz, %g", got.Natural, got.Damping, f, z)
		}
	})
}

func TestReadRingingNamesCloseModes(t *testing.T) {
	time, one := ring(8, 0.005, 3000, 0.001)
	_, two := ring(8.9, 0.005, 3000, 0.001)
	for i := range one {
		one[i] += two[i]
	}
	if got, err := ReadRinging(time, one); !errors.Is(err, ErrCloseModes) || !math.IsNaN(got.Damping) {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestFitWarmUpRecoversItsCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, tau := rapid.Float64Range(-3e-4, 3e-4).Draw(t, "d"), rapid.Float64Range(1800, 10000).Draw(t, "tau")
		if math.Abs(d) < 1e-6 {
			d = 1e-6
		}
		var time, drift []float64
		for h := range 9 {
			s := float64(h) * 3600
			time, drift = append(time, s), append(drift, d*(1-math.Exp(-s/tau)))
		}
		got, err := FitWarmUp(time, drift)
		// 1e-4: the sum of squares is flat where the search ends.
		if err != nil || math.Abs(got.Final/d-1) > 1e-4 || math.Abs(got.Constant/tau-1) > 1e-3 {
			t.Errorf("%+v, %v; want %g, %g", got, err, d, tau)
		}
	})
}

// Guarded acceptance never passes what it fails with a smaller uncertainty, and
// a larger uncertainty only ever makes a verdict undecided.
func TestGuardedAcceptance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y, limit := rapid.Float64Range(-10, 10).Draw(t, "y"), rapid.Float64Range(-10, 10).Draw(t, "limit")
		u, more := rapid.Float64Range(0, 5).Draw(t, "u"), rapid.Float64Range(0, 5).Draw(t, "more")
		a, b := AtMost(y, u, limit), AtMost(y, u+more, limit)
		if b != a && b != Undecided {
			t.Errorf("%s became %s", a, b)
		}
		if AtLeast(-y, u, -limit) != a {
			t.Error("at least is not the mirror of at most")
		}
	})
	if got := AtMost(math.NaN(), 0, 1); got != Undecided {
		t.Errorf("no number: %s", got)
	}
}

func TestNormalisedErrorRefusesWhatIsNoNumber(t *testing.T) {
	if _, err := NormalisedError(1, math.NaN(), 1, 0); !errors.Is(err, given.ErrRefused) {
		t.Error(err)
	}
	if e, err := NormalisedError(2, 0, 1, 0); err != nil || !math.IsInf(e, 1) {
		t.Errorf("%g, %v", e, err)
	}
}

// One wrong reading among normal ones is named, and it alone.
func TestOutliers(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var groups [][]reading
	for g := range 10 {
		var list []reading
		for i := range 5 {
			v := float64(g)*10 + math.Max(-2.5, math.Min(2.5, random.NormFloat64()))
			if g == 3 && i == 2 {
				v += 12
			}
			list = append(list, reading{row: Row{Line: 5*g + i}, value: v})
		}
		groups = append(groups, list)
	}
	got := outliers(groups, 0.5)
	found := false
	for _, a := range got {
		found = found || a.row.Line == 17
	}
	if !found || len(got) > 2 {
		t.Errorf("%+v", got)
	}
	if got := outliers(groups, 40); len(got) > 0 {
		t.Errorf("within the instrument's uncertainty nothing stands apart: %+v", got)
	}
}

// The mean of consistent values is as sure as all together; of inconsistent
// ones it is not.
func TestCombine(t *testing.T) {
	m, u, ok := combine([]float64{1, 1}, []float64{0.2, 0.2})
	if m != 1 || math.Abs(u-0.2/math.Sqrt2) > 1e-15 || !ok {
		t.Errorf("%g, %g, %v", m, u, ok)
	}
	if m, u, ok = combine([]float64{0, 2}, []float64{0.2, 0.2}); math.Abs(m-1) > 1e-15 || u < 1 || ok {
		t.Errorf("%g, %g, %v", m, u, ok)
	}
}

func TestFigures(t *testing.T) {
	if got := figures(0.012345); math.Abs(got-0.0123) > 1e-15 {
		t.Errorf("%g", got)
	}
}
