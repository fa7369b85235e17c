package search

import "testing"

// TestChanceNamesWhatFails: among draws that fail, the check that is over most
// often is named; what is unknown does not count as over.
func TestChanceNamesWhatFails(t *testing.T) {
	settle, slip, hose := Failing{ID: "tool.settle", Utilisation: 1.1}, Failing{ID: "joint.slip", Utilisation: 1.3}, Failing{ID: "carrier.bend", Unknown: true}
	tests := map[string]struct {
		draws  [][]Failing
		passed int
		worst  string
	}{
		"all pass":              {[][]Failing{nil, {hose}}, 2, ""},
		"one more often":        {[][]Failing{{settle, slip}, nil, {settle}, {hose}}, 2, "tool.settle"},
		"as often, by the name": {[][]Failing{{settle}, {slip}}, 0, "joint.slip"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if got := counted(c.draws, 1); got.Passed != c.passed || got.Worst != c.worst {
				t.Errorf("%d pass, worst %q; want %d and %q", got.Passed, got.Worst, c.passed, c.worst)
			}
		})
	}
}
