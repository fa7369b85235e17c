package search

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/design"
	"spanwright/parts"
)

// TestTasks: what stands in the way of a search is said with its place.
func TestTasks(t *testing.T) {
	tests := map[string]struct {
		replace []string
		want    []string
	}{
		"a task alone":              {nil, nil},
		"axes named, nothing more":  {[]string{"stand:", "axes:\n  x:\n  z:\nstand:"}, nil},
		"a part settled":            {[]string{"stand:", "axes:\n  x: {part: belt-axis-60}\n  z:\nstand:"}, nil},
		"no such part":              {[]string{"stand:", "axes:\n  x: {part: belt-axis-61}\n  z:\nstand:"}, []string{"task.yaml:17:13 [unknown-part]"}},
		"no such key":               {[]string{"stand:", "axes:\n  x: {parts: belt-axis-60}\n  z:\nstand:"}, []string{"task.yaml:17:7 [unknown-key]"}},
		"a wrong unit":              {[]string{"span: 1.4 m", "span: 1.4 kg"}, []string{"task.yaml:18:11 [unit-kind]"}},
		"an axis of unknown course": {[]string{"{x: 50 mm, z", "{lift: 50 mm, z", "{x: 400 mm, z", "{lift: 400 mm, z"}, []string{"task.yaml:7:5 [search-axis]"}},
		"two level axes":            {[]string{"z: 20 mm", "y: 20 mm", "z: 120 mm", "y: 120 mm"}, []string{"task.yaml:7:5 [search-layout]"}},
		"a point below 0":           {[]string{"x: 50 mm", "x: -50 mm"}, []string{"task.yaml:7:12 [search-point]"}},
		"a point without x":         {[]string{"{x: 50 mm, z: 20 mm}", "{z: 20 mm}"}, []string{"task.yaml:7:8 [coordinate]"}},
		"no rate":                   {[]string{"  rate: 600 /h\n", ""}, []string{"task.yaml:3:1 [missing-key]"}},
		"a stand in members":        {[]string{"  generate:\n    span: 1.4 m", "  nodes: {a: {at: [0 m, 0 m, 0 m]}, b: {at: [1 m, 0 m, 0 m]}}\n  members: {m: {from: a, to: b, profile: profile-40x40-heavy}}\n  supports: [a]\n  carries: [m]"}, []string{"task.yaml:17:3 [search-stand]"}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			text := strings.NewReplacer(c.replace...).Replace(smallTask)
			d, list := design.ParseTask("task.yaml", []byte(text))
			if len(list) == 0 {
				p, more := NewProblem(d, parts.Embedded())
				if list = more; len(list) == 0 {
					_, list = p.NewSpace()
				}
			}
			var got []string
			for _, m := range list {
				got = append(got, m.Pos.String()+" ["+string(m.Code)+"]")
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("%s\n%v", diff, list)
			}
		})
	}
}

// TestSettledChoicesAreOne: what the user has settled is not searched.
func TestSettledChoicesAreOne(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "stand:", "axes:\n  x: {part: belt-axis-60, motor: servo-400, gear: none}\n  z: {brake: hold-brake-1.3}\nstand:", 1))
	s, list := p.NewSpace()
	if len(list) > 0 {
		t.Fatal(list)
	}
	x, z := s.Axes[0], s.Axes[1]
	if diff := cmp.Diff([][]string{{"belt-axis-60"}, {"servo-400"}, {"none"}, {"hold-brake-1.3"}}, [][]string{x.Parts, x.Motors, x.Gears, z.Brakes}); diff != "" {
		t.Error(diff)
	}
	if len(z.Parts) < 10 || len(z.Motors) < 5 || len(s.Frames) < 10 {
		t.Errorf("%d parts, %d motors, %d frames are open", len(z.Parts), len(z.Motors), len(s.Frames))
	}
}

// TestPacesMeetTheRate: the limits of a pace take the share of the time that it
// names, no more, and hardly less.
func TestPacesMeetTheRate(t *testing.T) {
	p := problem(t, smallTask)
	for _, pace := range usualPaces() {
		limits, ok := p.limitsAt(pace)
		if !ok {
			t.Errorf("%+v: no limits", pace)
			continue
		}
		took, have := p.moving(limits), pace.Share/p.Task.Task.Rate
		if took > have || took < 0.85*have { // rounding of speeds and accelerations to what people set
			t.Errorf("%+v: the cycle takes %.3f s of %.3f s", pace, took, have)
		}
	}
	fast := problem(t, strings.Replace(smallTask, "rate: 600 /h", "rate: 6000 /h", 1))
	if _, ok := fast.limitsAt(usualPaces()[0]); ok {
		t.Error("limits for a rate that the waiting alone exceeds")
	}
}

// TestSettledLimitsMayUseAllOfTheTime: a machine whose limits are settled is not
// refused for leaving little time; the rate alone decides.
func TestSettledLimitsMayUseAllOfTheTime(t *testing.T) {
	text, err := os.ReadFile("../examples/crate-portal/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := problem(t, string(text))
	paces := p.paces()
	for _, pace := range paces {
		if pace.Share != 1 {
			t.Errorf("a share of %v of the time is tried where no limit is open", pace.Share)
		}
	}
	limits, ok := p.limitsAt(paces[0])
	if !ok {
		t.Fatal("the example's own limits are refused for its own rate")
	}
	if took, have := p.moving(limits), 1/p.Task.Task.Rate; took > have || took < 0.9*have {
		t.Errorf("the cycle takes %.3f s of %.3f s; the example is meant to use nearly all", took, have)
	}
}
