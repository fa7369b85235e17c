package assess

import (
	"slices"
	"testing"

	"spanwright/ledger"
	"spanwright/structure"
)

// TestDecidingSagDecides: at the other levels of stiffness too, the tool sags
// most and least at poses that stand out at the low one.
func TestDecidingSagDecides(t *testing.T) {
	for _, name := range []string{"crate-portal", "sample-gantry", "seedling-gantry", "slab-gantry"} {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			a := judged(t, name, file)
			grid := structure.Grid(a.Machine, a.GridCounts())
			for _, l := range []structure.Level{structure.Nominal, structure.High} {
				study, err := structure.New(a.Machine, l)
				if err != nil {
					t.Fatal(err)
				}
				whole, err := study.Sags(grid)
				if err != nil {
					t.Fatal(err)
				}
				most, variation, at, least := sags(whole)
				i := slices.IndexFunc(a.Results.Structural, func(r LevelResult) bool { return r.Level == l.String() })
				if got := a.Results.Structural[i]; float64(got.SagMax) != most || float64(got.SagVariation) != variation {
					t.Errorf("%s/%s, %s: sag %v and variation %v, over the whole map %v at %v and %v with %v", name, file, l, got.SagMax, got.SagVariation, most, grid[at], variation, grid[least])
				}
			}
		}
	}
}

// TestDecidingSkewDecides: at the other levels of stiffness too, a bridge skews
// most at poses that stand out at the low one.
func TestDecidingSkewDecides(t *testing.T) {
	pairs := 0
	for _, name := range []string{"seedling-gantry", "slab-gantry"} {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			a := judged(t, name, file)
			for _, axis := range a.Machine.Axes {
				if axis.Spec.Pair == nil {
					continue
				}
				pairs++
				i := slices.IndexFunc(a.Checks, func(c ledger.Check) bool { return c.ID == "pair."+axis.Spec.ID+".skew" })
				c := a.Checks[i]
				apart := 0.0
				for _, in := range c.Working.Inputs {
					if in.Symbol == "s_f" {
						apart = in.Value
					}
				}
				for l, got := range map[structure.Level]float64{structure.Low: c.Range.Low, structure.Nominal: c.Range.Nominal, structure.High: c.Range.High} {
					study, err := structure.New(a.Machine, l)
					if err != nil {
						t.Fatal(err)
					}
					all, err := study.Skews(axis, a.run.forcePoses())
					if err != nil {
						t.Fatal(err)
					}
					if _, lag := structure.WorstSkew(all, workingAccel(axis.Spec.Limits)); got != lag+apart {
						t.Errorf("%s/%s, %s: skew %v, over all poses %v", name, file, l, got, lag+apart)
					}
				}
			}
		}
	}
	if pairs == 0 {
		t.Error("no pair was looked at")
	}
}
