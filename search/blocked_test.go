package search

import (
	"context"
	"strings"
	"testing"
)

// TestRelax: a target that no machine meets is named, with the value that the
// best of them meets; with it a machine passes.
func TestRelax(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "first_frequency: 3 Hz", "first_frequency: 90 Hz", 1))
	r := searched(t, p, smallSpace(p), Options{Drives: 1, Joins: 1, Most: 4})
	if r.Passed > 0 {
		t.Fatal("a portal of profiles is as stiff as a tuning fork")
	}
	x, _, err := r.Relax(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if x == nil || len(x.Changes) != 1 || x.Changes[0].Path != "task.targets.first_frequency" {
		t.Fatalf("relaxation %+v", x)
	}
	if c := x.Changes[0]; c.From != 90 || !(c.To < 90) || !(float64(x.Found.Values.Frequency) >= c.To) {
		t.Errorf("%+v, the machine has %g Hz", c, float64(x.Found.Values.Frequency))
	}
	if *p.Task.Task.Targets.FirstFreq != 90 {
		t.Error("the user's task has changed")
	}
	if b := r.Blocking(); len(b) == 0 || b[0].Kind != "tool.frequency" {
		t.Errorf("blocked by %+v", b)
	}
}

// TestNoMotionIsFastEnough: a rate above what the waiting allows is answered by
// a lower rate.
func TestNoMotionIsFastEnough(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "rate: 600 /h", "rate: 4000 /h", 1))
	r := searched(t, p, smallSpace(p), Options{Drives: 1, Joins: 1, Most: 2})
	if r.Judged > 0 || len(r.Discarded) != 1 || r.Discarded[0].Stage != ByPace || r.Discarded[0].Count.Cmp(r.Combinations) != 0 {
		t.Errorf("judged %d, discarded %v", r.Judged, r.Discarded)
	}
	x, _, err := r.Relax(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if x == nil || x.Changes[0].Path != "task.rate" || !(x.Changes[0].To < x.Changes[0].From) {
		t.Errorf("relaxation %+v", x)
	}
}
