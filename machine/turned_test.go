package machine_test

import (
	"context"
	"math"
	"testing"

	"spanwright/assess"
	"spanwright/design"
)

// turnedAlike is relative: the turned machine solves the same equations in
// another order; eigenvalues are found to 1e-9.
const turnedAlike = 1e-6

// TestMachineAlongYJudgesAlike: a machine turned by 90 degrees with its stand
// gets the same verdicts and the same numbers.
func TestMachineAlongYJudgesAlike(t *testing.T) {
	plain, err := assess.Run(context.Background(), example(t, "seedling-gantry"), assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := build(t, quarterTurn(load(t, "seedling-gantry"), func(*design.Generated) {}))
	turned, err := assess.Run(context.Background(), m, assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	values := map[string]float64{}
	for _, c := range turned.Checks {
		values[c.ID] = c.Value
	}
	if len(values) != len(plain.Checks) {
		t.Errorf("%d checks, turned %d", len(plain.Checks), len(values))
	}
	for _, c := range plain.Checks {
		got, there := values[c.ID]
		if !there || math.IsNaN(c.Value) != math.IsNaN(got) || math.Abs(got-c.Value) > turnedAlike*math.Abs(c.Value) {
			t.Errorf("%s: %.9g, turned %.9g", c.ID, c.Value, got)
		}
	}
	if d := math.Abs(plain.Machine.Mass() - m.Mass()); d > apart {
		t.Errorf("mass differs by %v kg", d)
	}
}
