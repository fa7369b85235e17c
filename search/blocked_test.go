package search

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
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

// TestNoMotionIsFastEnough: a rate above what the waiting allows is named with the
// time of the fastest motion, and answered by a lower rate that is not taken back
// much without a machine being found.
func TestNoMotionIsFastEnough(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "rate: 600 /h", "rate: 4000 /h", 1))
	r := searched(t, p, smallSpace(p), Options{Drives: 1, Joins: 1, Most: 2})
	if r.Judged > 0 || len(r.Discarded) != 1 || r.Discarded[0].Stage != ByPace || r.Discarded[0].Count.Cmp(r.Combinations) != 0 {
		t.Errorf("judged %d, discarded %v", r.Judged, r.Discarded)
	}
	o := r.Obstacles()
	if len(o) != 1 || o[0].Kind != "task.rate" || o[0].Unit != "s" || !(o[0].Best > 1) || math.Abs(float64(o[0].Asked)-0.9) > 1e-9 { // a second of waiting, 4000 an hour
		t.Errorf("obstacles %+v", o)
	}
	var tried []string
	x, _, err := r.Relax(context.Background(), func(words string) { tried = append(tried, words) })
	if err != nil {
		t.Fatal(err)
	}
	if x == nil || x.Changes[0].Path != "task.rate" || !(x.Changes[0].To < x.Changes[0].From) {
		t.Fatalf("relaxation %+v", x)
	}
	if !(x.Nearer > 0 && x.Nearer <= fineness-1) || len(tried) > mostTries || x.Judged == 0 || x.Judged > mostTries*2 {
		t.Errorf("%+v after %v", x, tried)
	}
	p.Task.Task.Rate = x.Changes[0].To
	if again := searched(t, p, smallSpace(p), Options{}); again.Passed == 0 {
		t.Errorf("nothing passes at %s", x.Changes[0].Text)
	}
}

// TestNothingIsLongEnough: travel that no axis part offers is named, and no search is
// begun for an easier task that has it too.
func TestNothingIsLongEnough(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "x: 400 mm", "x: 40400 mm", 1))
	r := searched(t, p, smallSpace(p), Options{Drives: 1, Joins: 1, Most: 2})
	long := func(list []Obstacle) bool {
		return slices.ContainsFunc(list, func(o Obstacle) bool {
			return o.Kind == "axis.length" && o.Axis == "x" && math.Abs(float64(o.Asked)-40.45) < 1e-9 && o.Best < 10 // belt-axis-60
		})
	}
	if !long(r.Obstacles()) {
		t.Errorf("obstacles %+v", r.Obstacles())
	}
	tried := 0
	x, still, err := r.Relax(context.Background(), func(string) { tried++ })
	if err != nil {
		t.Fatal(err)
	}
	if x != nil || still == nil || !long(still.Obstacles) || tried > 0 {
		t.Errorf("relaxation %+v, still %+v, %d searches", x, still, tried)
	}
}

// TestEasedValues: rounding never makes a wish harder than the machine needs, and of
// several changes of one value the largest counts.
func TestEasedValues(t *testing.T) {
	p := problem(t, smallTask)
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom(wishes).Draw(t, "wish")
		from, factor := rapid.Float64Range(1e-4, 1e3).Draw(t, "from"), rapid.Float64Range(1, 30).Draw(t, "factor")
		to, text := w.eased(from, factor)
		step := 1.02 * math.Pow10(1-w.digits) // a unit of the last digit shown, and the steps in which it is sought
		if want := from * factor; w.higher && !(to >= want*(1-1e-9) && to <= want*(1+step)) {
			t.Errorf("%s: %g eased by %g to %g, %s", w.path, from, factor, to, text)
		}
		if want := from / factor; !w.higher && !(to <= want*(1+1e-9) && to >= want*(1-step)) {
			t.Errorf("%s: %g eased by %g to %g, %s", w.path, from, factor, to, text)
		}
	})
	task, x := *p.Task, Relaxation{}
	for _, factor := range []float64{1.2, 2, 1.5} {
		x.move(&task, wishOf("axis.guide.life"), factor)
	}
	if diff := cmp.Diff([]Change{{"task.duty.years", 5, 2.5, "2.5", 2}}, x.Changes); diff != "" || task.Task.Duty.Years != 2.5 {
		t.Errorf("%s, %g years", diff, task.Task.Duty.Years)
	}
}
