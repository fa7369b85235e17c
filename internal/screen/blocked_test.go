package screen

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/assess"
	"spanwright/search"
)

// TestInTheWay: what stops everything comes first and with its numbers; what fails
// by a hair does not read as the limit, and a rule has no number.
func TestInTheWay(t *testing.T) {
	unknown := assess.Number(math.NaN())
	obstacles := []search.Obstacle{
		{Kind: "task.rate", Asked: 1.2, Best: 3.955, Unit: "s"},
		{Kind: "axis.length", Axis: "x", Parts: 25, Of: 25, Asked: 21.8, Best: 11.87, Unit: "m"},
		{Kind: "axis.rack.force", Axis: "z", Parts: 1, Of: 25, Asked: unknown, Best: unknown},
	}
	blocking := []search.Blocked{{Kind: "joint.brace.slip", Count: 232, Least: 1.00004}, {Kind: "joint.brace.fit", Count: 1, Least: assess.Number(math.Inf(1))}}
	want := []string{
		"task.rate: a cycle may take 1.2 s, and at the highest speed and acceleration of any axis part its moves and waiting alone take 3.955 s",
		"axis.length: axis x travels 21.8 m, the longest axis part gives 11.87 m",
		"axis.rack.force: stops 1 of 25 axis parts tried for axis z",
		"joint.brace.slip: 232 candidates fail it, the least by a utilisation of 1.01",
	}
	if diff := cmp.Diff(want, inTheWay(obstacles, blocking)); diff != "" {
		t.Error(diff)
	}
	if got := inTheWay(nil, blocking[1:]); got[0] != "joint.brace.fit: 1 candidate fails it" {
		t.Errorf("%q", got)
	}
}
