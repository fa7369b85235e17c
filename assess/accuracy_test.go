package assess

import (
	"math"
	"slices"
	"testing"

	"spanwright/ledger"
)

// TestAccuracyHoldsTheWholeDeflection: the tool point's error over the work space
// is at least what the map of deflections shows in every direction, the lean of
// a long mast sideways included.
func TestAccuracyHoldsTheWholeDeflection(t *testing.T) {
	for _, dir := range []string{"crate-portal", "sample-gantry"} {
		a := judged(t, dir, "gantry.yaml")
		square := 0.0
		for k := range 3 {
			least, most := math.Inf(1), math.Inf(-1)
			for _, p := range a.Results.Tool.Map {
				least, most = math.Min(least, float64(p.Deflection[k])), math.Max(most, float64(p.Deflection[k]))
			}
			square += (most - least) * (most - least)
		}
		if got := float64(a.Results.Tool.Accuracy); !(got >= math.Sqrt(square)) {
			t.Errorf("%s: accuracy %.4g m, but the tool point wanders %.4g m over the map", dir, got, math.Sqrt(square))
		}
	}
}

// TestResultsRepeatTheLedger: what stands in results and in a check is one number.
func TestResultsRepeatTheLedger(t *testing.T) {
	a := judged(t, "crate-portal", "gantry.yaml")
	for id, axis := range a.Results.Axes {
		check := "axis." + id + ".guide.life"
		i := slices.IndexFunc(a.Checks, func(c ledger.Check) bool { return c.ID == check })
		if got, want := float64(axis.GuideLife), a.Checks[i].Value; got != want {
			t.Errorf("%s: results say %g years, the ledger %g", check, got, want)
		}
	}
}
