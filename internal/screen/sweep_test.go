package screen

import (
	"strings"
	"testing"

	"spanwright/ledger"
	"spanwright/search"
)

// TestSweep: what is barely over does not read as the limit, a rule that is not
// met has no number, and a table that was stopped says what is missing.
func TestSweep(t *testing.T) {
	row := func(value string, c ledger.Check) search.Variant {
		return search.Variant{Values: []string{value}, Verdict: c.Verdict, Worst: c.ID, Most: c}
	}
	sweeps := []search.Sweep{{Path: "axes.x.motor", Values: []string{"a", "b", "c"}}}
	fit := judged(ledger.Check{ID: "joint.brace.fit", Sense: ledger.AtLeast, Value: 0, Limit: 1, Working: ledger.Working{Solver: true, Counted: true}})
	var b strings.Builder
	Sweep(&b, sweeps, []search.Variant{row("a", judged(ledger.Check{ID: "axis.speed", Value: 1.0004, Limit: 1})), row("b", fit)}, Style{})
	for _, want := range []string{"axis.speed 1.01\n", "joint.brace.fit is not met\n", "\nstopped: 1 of 3 rows are missing\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing:\n%s", want, b.String())
		}
	}
}
