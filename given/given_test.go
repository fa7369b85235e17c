package given

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestRefusals(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	tests := map[string]struct {
		check   func(float64) error
		takes   []float64
		refuses []float64
	}{
		"positive":     {func(v float64) error { return Positive("lead", v) }, []float64{1e-300, 1, math.MaxFloat64}, []float64{0, -1, nan, inf, -inf}},
		"not negative": {func(v float64) error { return NotNegative("mass", v) }, []float64{0, 1}, []float64{-1e-300, nan, inf}},
		"finite":       {func(v float64) error { return Finite("speed", v) }, []float64{0, -1, 1}, []float64{nan, inf, -inf}},
		"share":        {func(v float64) error { return Share("efficiency", v) }, []float64{1e-9, 0.9, 1}, []float64{0, 1.0001, -0.5, nan, inf}},
		"stiffness":    {func(v float64) error { return Stiffness("frame", v) }, []float64{1, inf}, []float64{0, -1, nan, -inf}},
		"within":       {func(v float64) error { return Within("place", v, 0, 2) }, []float64{0, 1, 2}, []float64{-0.1, 2.1, nan, inf}},
		"at least":     {func(v float64) error { return AtLeast("teeth", int(v), 3) }, []float64{3, 4}, []float64{2, 0, -1}},
	}
	for name, tc := range tests {
		for _, v := range tc.takes {
			if err := tc.check(v); err != nil {
				t.Errorf("%s refuses %v: %v", name, v, err)
			}
		}
		for _, v := range tc.refuses {
			if err := tc.check(v); !errors.Is(err, ErrRefused) {
				t.Errorf("%s takes %v (%v)", name, v, err)
			}
		}
	}
}

func TestMessageNamesQuantityAndValue(t *testing.T) {
	msg := Positive("screw lead", -0.01).Error()
	for _, part := range []string{"screw lead", "-0.01", "above zero"} {
		if !strings.Contains(msg, part) {
			t.Errorf("%q does not say %q", msg, part)
		}
	}
}
