package assess

import (
	"context"
	"math"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"spanwright/machine"
	"spanwright/structure"
)

// unknowns makes numbers that are not known the same.
var unknowns = cmp.Comparer(func(a, b Number) bool { return a == b || math.IsNaN(float64(a)) && math.IsNaN(float64(b)) })

// TestKnownStructureChangesNothing: with a cache, empty or full, after a change of
// limits, and on one processor, everything that is found is the same to the last bit.
func TestKnownStructureChangesNothing(t *testing.T) {
	for _, name := range []string{"crate-portal", "seedling-gantry"} {
		m, faster := built(t, name, "gantry.yaml"), built(t, name, "gantry.yaml")
		faster.Axes[0].Spec.Limits.Acceleration *= 1.2
		cache := Options{Studies: structure.NewCache(1 << 28)}
		run := func(m *machine.Machine, opts Options) *Assessment {
			t.Helper()
			a, err := Run(context.Background(), m, opts)
			if err != nil {
				t.Fatal(err)
			}
			return a
		}
		same := func(what string, got, want *Assessment) {
			t.Helper()
			for _, pair := range [][2]any{{got.Checks, want.Checks}, {got.Results, want.Results}, {got.NotChecked, want.NotChecked}} {
				if d := cmp.Diff(pair[0], pair[1], cmpopts.EquateNaNs(), unknowns); d != "" {
					t.Errorf("%s, %s: not what is found without a cache (-found +without):\n%s", name, what, d)
				}
			}
		}
		slow, fast := run(m, Options{}), run(faster, Options{})
		same("empty cache", run(m, cache), slow)
		same("full cache", run(m, cache), slow)
		same("other limits, full cache", run(faster, cache), fast)
		before := runtime.GOMAXPROCS(1)
		same("one processor", run(m, Options{}), slow)
		runtime.GOMAXPROCS(before)
	}
}
