package assess

import (
	"slices"
	"testing"

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
