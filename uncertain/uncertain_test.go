package uncertain

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"spanwright/given"
)

func TestSampleVisitsEverySlice(t *testing.T) {
	inputs := []Input{
		{Name: "damping", Low: 0.005, High: 0.04},
		{Name: "floor", Low: 1e7, High: 1e8, Log: true},
		{Name: "corner", Low: 1e4, High: 9e4, Log: true, Family: "corners"},
		{Name: "brace", Low: 2e4, High: 18e4, Log: true, Family: "corners"},
	}
	const runs = 200
	rows, err := Sample(inputs, runs, 7)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := Sample(inputs, runs, 7)
	if d := cmp.Diff(rows, again); d != "" {
		t.Errorf("the same seed gives other samples:\n%s", d)
	}
	seen := map[int]bool{}
	for _, row := range rows {
		seen[int(math.Log(row[1]/1e7)/math.Log(10)*runs)] = true
		for i, u := range inputs {
			if !(row[i] >= u.Low && row[i] <= u.High) {
				t.Errorf("%s = %g lies outside %g to %g", u.Name, row[i], u.Low, u.High)
			}
		}
		// The family moves together: the ratio is that of the ranges, within both own scatters.
		if ratio := row[3] / row[2] / 2; ratio < 1/1.44-1e-9 || ratio > 1.44+1e-9 {
			t.Errorf("corner %g and brace %g do not share a draw", row[2], row[3])
		}
	}
	if len(seen) < runs-1 { // a value on a slice's border may be counted with its neighbour
		t.Errorf("floor stiffness visits %d of %d slices", len(seen), runs)
	}
}

func TestPercentile(t *testing.T) {
	values := []float64{5, 1, 3, 2, 4}
	for p, want := range map[float64]float64{0: 1, 0.5: 3, 1: 5, 0.1: 1.4} {
		if got, err := Percentile(values, p); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("percentile %g = %g, %v, want %g", p, got, err, want)
		}
	}
	for _, bad := range [][]float64{nil, {math.NaN()}} {
		if _, err := Percentile(bad, 0.5); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%v: %v", bad, err)
		}
	}
}

func TestExplain(t *testing.T) {
	rising := func(s float64) (float64, error) { return math.Sqrt(1 / (1/s + 1e-5)), nil }
	falling := func(s float64) (float64, error) { return 1/s + 1e-5, nil }
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(1e3, 1e6).Draw(t, "stiffness")
		for name, f := range map[string]func(float64) (float64, error){"frequency": rising, "sway": falling} {
			y, _ := f(want)
			got, err := Explain(f, y, 1e2, 1e7)
			// 1e-9: the response flattens to a tenth of its slope and is known to 1e-16.
			if err != nil || math.Abs(got/want-1) > 1e-9 {
				t.Fatalf("%s: %g, %v, want %g", name, got, err, want)
			}
		}
	})
	if _, err := Explain(rising, 1e9, 1e2, 1e7); !errors.Is(err, given.ErrRefused) {
		t.Errorf("a measurement that no stiffness explains: %v", err)
	}
	broken := errors.New("broken")
	if _, err := Explain(func(float64) (float64, error) { return 0, broken }, 1, 1, 2); !errors.Is(err, broken) {
		t.Errorf("a failing response: %v", err)
	}
}

func TestSampleRefusesNonsense(t *testing.T) {
	for name, u := range map[string]Input{
		"upside down":          {Low: 2, High: 1},
		"logarithm of nothing": {Low: 0, High: 1, Log: true},
		"NaN":                  {Low: math.NaN(), High: 1},
	} {
		if _, err := Sample([]Input{u}, 10, 1); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
