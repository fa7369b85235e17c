package design

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/decode"
	"spanwright/diag"
)

func load(t *testing.T, name string) *Design {
	t.Helper()
	d, list := Load(os.DirFS("testdata"), name)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestPortalIsReadAsItIsWritten(t *testing.T) {
	d := load(t, "portal.yaml")
	for name, c := range map[string]struct{ got, want any }{
		"mass":                    {d.Task.Payload.Mass, 12.0},
		"size":                    {d.Task.Payload.Size, [3]float64{0.4, 0.3, 0.22}},
		"nine cycles a minute":    {d.Task.Rate, 0.15},
		"names of the points":     {d.Task.Points[2].ID, "above-stack"},
		"a point":                 {d.Task.Points[3].At, map[string]float64{"x": 1.7, "z": 0.65}},
		"a loaded step":           {d.Task.Cycle[1], Step{To: "above-table", Path: "together", Loaded: true, Pace: 1, Load: 1}},
		"axes in order":           {[]string{d.Axes[0].ID, d.Axes[1].ID}, []string{"x", "z"}},
		"direction":               {d.Axes[1].Direction, [3]float64{0, 0, -1}},
		"nothing counterbalances": {d.Axes[1].Counter, (*Counter)(nil)},
		"no gear unless said":     {d.Axes[1].Gear, "none"},
		"kelvin inside":           {d.Task.Surroundings.Temperature, [2]float64{285.15, 305.15}},
		"joints by their family":  {d.Assumptions.JointFactor, Range{Family: true}},
		"a range of the file":     {d.Assumptions.FloorStiff, Range{Low: 2e7, Nominal: 4e7, High: 1e8}},
		"a range by default":      {d.Assumptions.SlotFriction, Range{Low: 0.1, Nominal: 0.12, High: 0.2}},
		"place of a value":        {d.File.Where("axes.z.travel"), diag.Pos{File: "portal.yaml", Line: 75, Column: 13}},
		"the text itself":         {d.File.Written("axes.z.travel"), "0.7 m"},
		"given":                   {d.File.Given("axes.z.gear"), false},
	} {
		if diff := cmp.Diff(c.want, c.got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestEveryDefaultIsListedWithItsReason(t *testing.T) {
	d := load(t, "portal.yaml")
	listed := map[string]decode.Default{}
	for _, x := range d.Defaults() {
		if x.Value == "" || x.From == "" || x.Doc == "" {
			t.Errorf("%s lacks value, reason or meaning: %+v", x.Path, x)
		}
		if d.File.Given(x.Path) {
			t.Errorf("%s is in the file and listed as a default", x.Path)
		}
		listed[x.Path] = x
	}
	for _, path := range []string{"task.people_near", "axes.x.brake", "assumptions.damping", "assumptions.limits.slip", "equipment.control.reaction", "stand.generate.braces[1].at"} {
		if _, found := listed[path]; !found {
			t.Errorf("%s is not listed", path)
		}
	}
	if got := listed["axes.z.gear"]; got.Value != "none" || got.From != "motor drives directly" {
		t.Errorf("gear: %+v", got)
	}
}
