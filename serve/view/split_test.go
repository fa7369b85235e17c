package view

import (
	"math"
	"testing"
)

func TestSplitsAddUp(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		for _, of := range Splits {
			s, err := OfSplit(a, of, nil)
			if err != nil {
				t.Fatal(err)
			}
			sum, size, groups := 0.0, 0.0, 0.0
			for i, c := range s.Shares {
				sum += float64(c.Value)
				size += math.Abs(float64(c.Value))
				if len(c.Solids) == 0 || c.Part != c.Solids[0] || described(c.Path) != "" || c.Text == "" {
					t.Errorf("%s: %s is %v at %q, %q", of, c.ID, c.Solids, c.Path, c.Text)
				}
				if i > 0 && math.Abs(float64(c.Value)) > math.Abs(float64(s.Shares[i-1].Value)) {
					t.Errorf("%s: %s comes after a smaller share", of, c.ID)
				}
			}
			for _, g := range s.Groups {
				groups += float64(g.Value)
			}
			// Shares of less than 1e-9 of the largest are not listed; two paths through the model agree to 1e-8.
			for what, got := range map[string]float64{"the listed shares": sum, "the groups": groups, "the shares": float64(s.Total - s.Residual)} {
				if !(math.Abs(got-float64(s.Total)) <= solved*size) {
					t.Errorf("%s: %s add up to %.12g of %.12g", of, what, got, s.Total)
				}
			}
		}
	})
}

func TestSplitsAreOfTheLedgersNumbers(t *testing.T) {
	a := judged(t, large)
	for of, want := range map[string]Number{"sag": a.Results.Tool.SagMax, "sag_variation": a.Results.Tool.SagVariation} {
		s, err := OfSplit(a, of, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, of, float64(s.Total), float64(want), solved)
	}
	s, err := OfSplit(a, "first_mode", nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the frequency", float64(*s.Hz), float64(a.Results.Tool.FirstFreq), 1e-7) // as in TestModesAreThoseOfTheLedger
	q := middle(a)
	s, err = OfSplit(a, "z", q)
	if err != nil {
		t.Fatal(err)
	}
	p, err := OfPose(a, q, true)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the movement along z", float64(s.Total), float64(p.Tool.Total[2]), solved)
}
