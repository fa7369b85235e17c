package assess

import (
	"context"
	"math"
	"slices"
	"testing"

	"spanwright/ledger"
	"spanwright/structure"
)

// TestDecisive: the narrow portal tips over an edge along its length; the axis that
// slides it is the one whose doubled acceleration makes it worse.
func TestDecisive(t *testing.T) {
	judge := func(change func(i int, a *float64)) *Assessment {
		m := built(t, "crate-portal", "faulty.yaml")
		for i, a := range m.Axes {
			if change != nil {
				change(i, &a.Spec.Limits.Acceleration)
			}
		}
		out, err := Run(context.Background(), m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	factor := func(a *Assessment, id string) float64 {
		i := slices.IndexFunc(a.Checks, func(c ledger.Check) bool { return c.ID == id })
		if i < 0 {
			t.Fatalf("no check %s", id)
		}
		return a.Checks[i].Value
	}
	a := judge(nil)
	tilt, ok := a.Decisive("stand.tipping.tilt")
	if !ok || tilt.Axis != -1 {
		t.Fatalf("tilting: %+v, %t", tilt, ok)
	}
	along := a.Machine.Stand.Along
	place := func(foot int) float64 {
		at := a.Machine.Nodes[a.Machine.Feet[foot].Node].At
		return at.X*along.X + at.Y*along.Y
	}
	if !(math.Abs(place(tilt.Feet[0])-place(tilt.Feet[1])) > 1) {
		t.Errorf("tips over the edge of feet %v, which is no long one", tilt.Feet)
	}
	slide, ok := a.Decisive("stand.sliding")
	if !ok || slide.Axis < 0 {
		t.Fatalf("sliding: %+v, %t", slide, ok)
	}
	harder := judge(func(i int, a *float64) {
		if i == slide.Axis {
			*a *= 2
		}
	})
	if !(factor(harder, "stand.sliding") < factor(a, "stand.sliding")) {
		t.Error("twice the acceleration of the axis that slides it changes nothing")
	}
	if _, ok := a.Decisive("task.rate"); ok {
		t.Error("the rate has an edge")
	}
}

// TestSwings: those of the move that decides add up to the settle time that was judged.
func TestSwings(t *testing.T) {
	m := built(t, "crate-portal", "faulty.yaml")
	a, err := Run(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var list []structure.Swing
	for _, s := range a.Swings() {
		list = append(list, s.Swing)
		if !slices.Contains(s.Moved, true) {
			t.Errorf("step %d moves nothing and swings", s.Step+1)
		}
	}
	got, ok := structure.SettleTime(list, *m.Design.Task.Targets.SettleBand, m.Design.Assumptions.Damping.Low)
	if want := float64(a.Results.Tool.SettleTime); !ok || !(math.Abs(got-want) <= 1e-9*want) { // the same sum
		t.Errorf("settles in %g s, judged %g s", got, want)
	}
}
