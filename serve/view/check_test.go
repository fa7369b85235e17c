package view

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/internal/answer"
)

// plain reads JSON as maps and lists.
func plain(t testing.TB, v any) any {
	t.Helper()
	var out any
	if err := json.Unmarshal(written(t, v), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestNumbersAreThoseOfTheCommand: what the page shows is what check --json prints.
func TestNumbersAreThoseOfTheCommand(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		want := plain(t, answer.OfCheck(a, a.Checks, "gantry.yaml")).(map[string]any)
		got := plain(t, OfJudgement(a)).(map[string]any)
		tool := want["results"].(map[string]any)["tool"].(map[string]any)
		tool["map"], tool["response"] = nil, nil
		for _, key := range []string{"summary", "results", "assumptions", "not_checked"} {
			if d := cmp.Diff(want[key], got[key]); d != "" {
				t.Errorf("%s: %s", key, d)
			}
		}
		shown := got["checks"].([]any)
		for i, c := range want["checks"].([]any) {
			printed, page := c.(map[string]any), shown[i].(map[string]any)
			for _, key := range []string{"id", "kind", "group", "subject", "title", "verdict", "value", "limit", "unit", "utilisation", "sense"} {
				if !reflect.DeepEqual(printed[key], page[key]) {
					t.Errorf("%s: %s is %v, the command prints %v", printed["id"], key, page[key], printed[key])
				}
			}
			w, known := OfWorking(a, printed["id"].(string))
			if !known {
				t.Errorf("%s has no working", printed["id"])
				continue
			}
			page, working := plain(t, w).(map[string]any), printed["working"].(map[string]any)
			for _, key := range []string{"formula", "substituted", "source"} {
				if page[key] != working[key] {
					t.Errorf("%s: %s is %v, the command prints %v", printed["id"], key, page[key], working[key])
				}
			}
		}
	})
}

// unlit are kinds of checks that speak of nothing that is drawn.
var unlit = []string{"task.rate", "safety.", "axis.supply"}

func TestChecksPointAtSolidsAndPlaces(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		drawn := map[string]bool{}
		for _, s := range a.Machine.Solids() {
			drawn[s.ID] = true
		}
		for _, c := range OfJudgement(a).Checks {
			for _, id := range c.Part {
				if !drawn[id] {
					t.Errorf("%s points at %q, which is not drawn", c.ID, id)
				}
			}
			if len(c.Part) == 0 && !slices.ContainsFunc(unlit, func(begin string) bool { return strings.HasPrefix(c.Kind, begin) }) {
				t.Errorf("%s points at nothing", c.ID)
			}
			if err := described(c.Path); err != "" {
				t.Errorf("%s: %s", c.ID, err)
			}
			if c.Pose != nil && len(c.Pose) != len(a.Machine.Axes) {
				t.Errorf("%s is worst at %v", c.ID, c.Pose)
			}
		}
		for _, s := range scene(t, a).Solids {
			if err := described(s.Path); err != "" {
				t.Errorf("%s: %s", s.ID, err)
			}
		}
	})
}

// described tells why a path is none of the design file; "" if it is one.
func described(path string) string {
	group := decode.Describe(design.Design{})
	keyed := false
	for _, key := range strings.FieldsFunc(path, func(c rune) bool { return c == '.' || c == '[' || c == ']' }) {
		if keyed {
			keyed = false // a name of the user's, or a number
			continue
		}
		if group == nil {
			return path + ": nothing is below " + key
		}
		f := group.Field(key)
		if f == nil {
			return path + ": there is no " + key
		}
		group = f.Group
		if f.Elem != nil {
			keyed, group = true, f.Elem.Group
		}
	}
	return ""
}

func TestChecksPointAtWhatTheyName(t *testing.T) {
	a := judged(t, large)
	got := map[string]Check{}
	for _, c := range OfJudgement(a).Checks {
		got[c.ID] = c
	}
	tests := map[string][]string{
		"axis.z.guide.static":       {"z.block.1"},
		"axis.x.motor.rms":          {"x.motor.minus", "x.motor.plus"},
		"stop.x.switch.plus":        {"x.stop.minus.to", "x.stop.plus.to"},
		"stop.z.switch.minus":       {"z.stop.to"}, // a mast at 0 is drawn in
		"tool.grip":                 {"tool", "payload"},
		"carrier.y.bend":            {"y.carrier", "y.carrier_tray", "y.carrier_arm"},
		"axis.y.support.sag":        nil, // there is none
		"joint.x.support.lip":       {"x.support.minus.5.clamp.1", "x.support.minus.5.clamp.2", "x.support.minus.5.clamp.3", "x.support.minus.5.clamp.4"},
		"joint.z.interface.preload": {"z.interface.plate"},
	}
	for id, want := range tests {
		if d := cmp.Diff(want, got[id].Part); d != "" {
			t.Errorf("%s: %s", id, d)
		}
	}
	if p := got["tool.frequency"].Pose; p == nil || float64(p[0]) != a.SoftPose()[0] {
		t.Errorf("the frequency is lowest at %v, want %v", p, a.SoftPose())
	}
}

func TestWorkingsAreSetAsMathematics(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		for i := range a.Checks {
			c := &a.Checks[i]
			w, _ := OfWorking(a, c.ID)
			_, evaluable := c.Working.Evaluate()
			if (w.Math != "") != (evaluable == nil) {
				t.Errorf("%s: %q can be evaluated: %v, and is set as %q", c.ID, c.Working.Formula, evaluable == nil, w.Math)
			}
		}
	})
	if _, known := OfWorking(judged(t, large), "no.such.check"); known {
		t.Error("a check that is none has a working")
	}
}

// TestHeadlineHasTheLimitsOfItsNumbers: each number stands beside the limit of
// the check that judges it.
func TestHeadlineHasTheLimitsOfItsNumbers(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		h := OfHeadline(a)
		for key, value := range map[string]Number{
			"cycle_time_s": h.CycleTime, "sag_variation_m": h.SagVariation, "first_frequency_hz": h.FirstFreq, "settle_time_s": h.SettleTime, "tipping": h.Tipping,
		} {
			limit, has := h.Targets[key]
			found := false
			for _, c := range a.Checks {
				found = found || Number(c.Value) == value && Number(c.Limit) == limit
			}
			if has != found {
				t.Errorf("%s is %g with the limit %g (given: %v), a check says so: %v", key, value, limit, has, found)
			}
		}
	})
}
