package assess

import (
	"context"
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
)

// replaced builds an example in which parts of its text are replaced, in pairs of old and new.
func replaced(t testing.TB, dir string, pairs ...string) *machine.Machine {
	t.Helper()
	text, err := os.ReadFile("../examples/" + dir + "/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s := string(text)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(s, pairs[i]) {
			t.Fatalf("%s does not hold %q", dir, pairs[i])
		}
		s = strings.Replace(s, pairs[i], pairs[i+1], 1)
	}
	d, list := design.Parse("gantry.yaml", []byte(s))
	if len(list) > 0 {
		t.Fatalf("%v", list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatalf("%v", list)
	}
	return m
}

// equipped is a machine judged for equipment and safety alone: without the
// structure, of which they need nothing. No step waits for settling.
type equipped struct {
	*run
	checks map[string]ledger.Check
}

func judgeEquipment(t testing.TB, m *machine.Machine, change ...func(*run)) equipped {
	t.Helper()
	r := &run{m: m, ledger: ledger.Ledger{Tight: m.Design.Assumptions.Tight}, results: newResults(m)}
	do := func(steps ...func(context.Context) error) {
		for _, f := range steps {
			if err := f(context.Background()); err != nil {
				t.Fatal(err)
			}
		}
	}
	do(r.planCycle, r.layTimeline, r.dutyOfAxes)
	for _, c := range change {
		c(r)
	}
	do(r.equipmentChecks, r.safetyChecks)
	e := equipped{r, map[string]ledger.Check{}}
	for _, c := range r.ledger.Sorted() {
		if _, twice := e.checks[c.ID]; twice {
			t.Errorf("%s is judged twice", c.ID)
		}
		e.checks[c.ID] = c
	}
	return e
}

// portal is the crate portal with parts of its text replaced.
func portal(t testing.TB, pairs ...string) equipped {
	t.Helper()
	return judgeEquipment(t, replaced(t, "crate-portal", pairs...))
}

func (e equipped) skipped(what string) string {
	for _, n := range e.not {
		if n.What == what {
			return n.Why
		}
	}
	return ""
}

// near compares with a relative tolerance; the numbers compared come out of
// one formula each, so only roundings and printed digits set them apart.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)+1e-12) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// outcome is a change of the portal and what a check must then say.
type outcome struct {
	change  []string
	id      string
	verdict ledger.Verdict
}

func judgeAll(t *testing.T, cases map[string]outcome) {
	t.Helper()
	for name, tc := range cases {
		t.Run(name, func(t *testing.T) {
			c, ok := portal(t, tc.change...).checks[tc.id]
			if !ok {
				t.Fatalf("%s is not in the ledger", tc.id)
			}
			if c.Verdict != tc.verdict {
				t.Errorf("%s is %v (%v against %v, %s), want %v", tc.id, c.Verdict, c.Value, c.Limit, c.Missing, tc.verdict)
			}
		})
	}
}

var examplesOfAll = []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"}

// TestExamplesAreWellEquipped holds that equipment and safety of the examples
// are neither over nor unknown, and that the faulty twins show in these groups
// what was planted there and nothing else.
func TestExamplesAreWellEquipped(t *testing.T) {
	planted := map[string][]string{"crate-portal": {"safety.z.gravity_brake", "stop.x.switch.plus"}}
	for _, dir := range examplesOfAll {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			e := judgeEquipment(t, built(t, dir, file))
			for i := range e.axes {
				e.brakeChecks(&e.axes[i])
			}
			var bad []string
			for _, c := range e.ledger.Sorted() {
				if c.Group != "axis" && (c.Verdict == ledger.Over || c.Verdict == ledger.Unknown) {
					bad = append(bad, c.ID)
				}
			}
			slices.Sort(bad)
			want := planted[dir]
			if file == "gantry.yaml" {
				want = nil
			}
			if !slices.Equal(bad, want) {
				t.Errorf("%s/%s: over or unknown %v, want %v", dir, file, bad, want)
			}
		}
	}
}

// TestWorkingsOfEquipmentCanBeRedone redoes every sum of the examples and of
// variants that take other ways through the formulas.
func TestWorkingsOfEquipmentCanBeRedone(t *testing.T) {
	const control = "control: {reaction: 25 ms, stop_category: 1}"
	machines := map[string]*machine.Machine{
		"hard stop takes the rest": replaced(t, "crate-portal", "hard_stop: 560 mm", "hard_stop: 300 mm, takes: rest"),
		"hydraulic, rest":          replaced(t, "crate-portal", "hard_stop: 560 mm, bumper: bumper-80", "hard_stop: 300 mm, bumper: absorber-m33, takes: rest"),
		"shortened": replaced(t, "crate-portal", "x: {switch: 15 mm,", "x: {shortened_plus: 100 mm, switch_plus: -85 mm, switch: 15 mm,",
			"above_table: {x: 1680 mm", "above_table: {x: 1650 mm", "table: {x: 1680 mm", "table: {x: 1650 mm"),
		"fixed end off the middle": replaced(t, "crate-portal", "carrier-20x77-r100, room", "carrier-20x77-r100, fixed_at: -300 mm, room"),
		"jaws, door, gap": replaced(t, "crate-portal", "grip: {by: form}", "grip: {by: jaws, force: 900 N}",
			control, "clearance: 0.6 m\n  guards: {door_distance: 2 m, curtain_distance: 2 m, curtain_resolution: 50 mm}\n  control: {reaction: 25 ms, stop_category: 0, sensor_time: 20 ms}"),
		"curtain near": replaced(t, "sample-gantry", "control: {reaction: 20 ms, stop_category: 1}",
			"guards: {curtain_distance: 0.4 m, curtain_resolution: 14 mm}\n  control: {reaction: 20 ms, stop_category: 1, sensor_time: 15 ms}"),
	}
	for _, dir := range examplesOfAll {
		machines[dir] = built(t, dir, "gantry.yaml")
	}
	for name, m := range machines {
		redone := 0
		for id, c := range judgeEquipment(t, m).checks {
			if c.Missing != "" || math.IsInf(c.Value, 0) {
				continue
			}
			got, err := c.Working.Evaluate()
			if errors.Is(err, ledger.ErrNotEvaluable) {
				if c.Working.Formula == "" || !c.Working.Solver {
					t.Errorf("%s, %s has neither formula nor description", name, id)
				}
				continue
			}
			// A reader with a pocket calculator may lose one part in a thousand.
			if err != nil || !(math.Abs(got-c.Value) <= 1e-3*math.Abs(c.Value)+1e-12) {
				t.Errorf("%s, %s: %s gives %v (%v), the check says %v", name, id, c.Working.Formula, got, err, c.Value)
			}
			if c.Working.Source == "" || c.Subject == "" || c.Kind == "" {
				t.Errorf("%s, %s: source %q, subject %q, kind %q", name, id, c.Working.Source, c.Subject, c.Kind)
			}
			redone++
		}
		if redone < 25 {
			t.Errorf("%s: only %d workings could be redone", name, redone)
		}
	}
}

// TestCautionsGoWithStopsBrakesAndGuards holds that no check of a distance
// that people may take for safe stands there without its words.
func TestCautionsGoWithStopsBrakesAndGuards(t *testing.T) {
	e := judgeEquipment(t, built(t, "seedling-gantry", "gantry.yaml"))
	for id, c := range e.checks {
		quiet := c.Group == "carrier" || c.Group == "tool" || c.Group == "axis" || c.Kind == "stop.order" || c.Kind == "stop.cam" || c.Kind == "stop.homing"
		if !quiet && c.Caution == "" {
			t.Errorf("%s has no caution", id)
		}
	}
	a := Assessment{Checks: e.ledger.Sorted(), Results: e.results}
	if n := len(a.Cautions()); n != 3 {
		t.Errorf("%d cautions, want those of stops, brakes and guards, each once", n)
	}
	if len(a.Hazards()) == 0 {
		t.Error("no hazards are listed")
	}
}

func (e equipped) axis(id string) *machine.Axis {
	for _, a := range e.m.Axes {
		if a.Spec.ID == id {
			return a
		}
	}
	return nil
}
