package assess

import (
	"math"
	"strings"
	"testing"

	"spanwright/ledger"
	"spanwright/quantity"
)

const controlLine = "control: {reaction: 25 ms, stop_category: 1}"

// guards replaces the portal's control line by guards and a control line.
func guards(guards, control string) []string {
	return []string{controlLine, "guards: {" + guards + "}\n  control: {" + control + "}"}
}

func TestGuards(t *testing.T) {
	const sensor = "reaction: 25 ms, sensor_time: 20 ms"
	judgeAll(t, map[string]outcome{
		"nothing declared is never ok":               {nil, "safety.guarding", ledger.Tight},
		"a fence is declared":                        {guards("fence_height: 2 m, fence_distance: 1 m, hazard_height: 1.8 m", "reaction: 25 ms"), "safety.guarding", ledger.OK},
		"a fence from memory is never ok":            {guards("fence_height: 2 m, fence_distance: 1 m, hazard_height: 1.8 m", "reaction: 25 ms"), "safety.fence", ledger.Tight},
		"the standard is at hand":                    {guards("fence_height: 2 m, fence_distance: 1 m, hazard_height: 1.8 m, standards_at_hand: yes", "reaction: 25 ms"), "safety.fence", ledger.OK},
		"a hand reaches over":                        {guards("fence_height: 2 m, fence_distance: 0.5 m, hazard_height: 1.8 m", "reaction: 25 ms"), "safety.fence", ledger.Over},
		"a fence to step over":                       {guards("fence_height: 0.9 m, fence_distance: 3 m, hazard_height: 1.8 m", "reaction: 25 ms"), "safety.fence", ledger.Over},
		"a fence whose distance is not known":        {guards("fence_height: 2 m, hazard_height: 1.8 m", "reaction: 25 ms"), "safety.fence", ledger.Unknown},
		"a curtain far enough":                       {guards("curtain_distance: 1 m, curtain_resolution: 14 mm", sensor), "safety.light_curtain", ledger.OK},
		"a curtain too near":                         {guards("curtain_distance: 0.7 m, curtain_resolution: 14 mm", sensor), "safety.light_curtain", ledger.Over},
		"beams far enough are from memory":           {guards("curtain_distance: 2.5 m, curtain_resolution: 50 mm", sensor), "safety.light_curtain", ledger.Tight},
		"a curtain whose response is not known":      {guards("curtain_distance: 1 m, curtain_resolution: 14 mm", "reaction: 25 ms"), "safety.light_curtain", ledger.Unknown},
		"a curtain whose resolution is not known":    {guards("curtain_distance: 1 m", sensor), "safety.light_curtain", ledger.Unknown},
		"a curtain that stands nobody says where":    {guards("curtain_resolution: 14 mm", sensor), "safety.light_curtain", ledger.Unknown},
		"a curtain before a machine that coasts":     {guards("curtain_distance: 1 m, curtain_resolution: 14 mm", sensor+", stop_category: 0"), "safety.light_curtain", ledger.Over},
		"a door too near":                            {guards("door_distance: 0.5 m", "reaction: 25 ms"), "safety.guard_distance", ledger.Over},
		"a door that stays locked":                   {guards("door_distance: 0.5 m, door_locked: yes", "reaction: 25 ms"), "safety.guard_distance", ledger.OK},
		"a body fits, from memory":                   {[]string{controlLine, "clearance: 0.5 m\n  " + controlLine}, "safety.gap", ledger.Tight},
		"a body is crushed":                          {[]string{controlLine, "clearance: 0.4 m\n  " + controlLine}, "safety.gap", ledger.Over},
		"no second means is never ok":                {nil, "safety.second_means", ledger.Tight},
		"a second means is declared":                 {[]string{controlLine, "second_means: locking pin\n  " + controlLine}, "safety.second_means", ledger.OK},
		"a counterbalance that is not there":         {[]string{controlLine, "second_means: counterbalance\n  " + controlLine}, "safety.second_means", ledger.Over},
		"nobody is near":                             {[]string{"people_near: yes", "people_near: no"}, "safety.second_means", ledger.OK},
		"a controlled stop":                          {nil, "safety.stop_category", ledger.OK},
		"power off at once is allowed, but never ok": {[]string{controlLine, "control: {reaction: 25 ms, stop_category: 0}"}, "safety.stop_category", ledger.Tight},
		"a weak brake fails its test":                {[]string{"brake: hold-brake-4 ", "brake: hold-brake-1.3 "}, "safety.z.brake_test", ledger.Over},
	})
}

// TestCurtainByHand: the portal's X axis stops from 1.6 m/s in 1.6/5 + 1/12 =
// 0.40333 s; T = 0.02 + 0.025 + 1.1 x 0.40333 = 0.48867 s. With 14 mm: 2 T =
// 977 mm > 500 mm, so 1.6 T = 781.9 mm. With 50 mm 850 mm more.
func TestCurtainByHand(t *testing.T) {
	for resolution, want := range map[string]float64{"14 mm": 0.78187, "30 mm": 0.78187 + 0.128, "50 mm": 0.78187 + 0.85} {
		e := portal(t, guards("curtain_distance: 3 m, curtain_resolution: "+resolution, "reaction: 25 ms, sensor_time: 20 ms")...)
		near(t, resolution, e.checks["safety.light_curtain"].Value, want, 1e-4)
	}
	near(t, "longest stop", float64(portal(t).results.Safety.StopTime), 0.403333, 1e-5)
}

// TestPowerOffTimeCountsForCategory0: a machine that coasts asks for the
// distance of its coasting.
func TestPowerOffTimeCountsForCategory0(t *testing.T) {
	e := portal(t, controlLine, "control: {reaction: 25 ms, stop_category: 0}")
	want := math.Max(float64(e.results.Axes["x"].PowerOffTime), float64(e.results.Axes["z"].PowerOffTime)) - 0.025
	near(t, "longest stop", float64(e.results.Safety.StopTime), want, 1e-12)
}

// TestLevelIsEstimatedAndNeverClaimed: it stands under what was not checked.
func TestLevelIsEstimatedAndNeverClaimed(t *testing.T) {
	e := judgeEquipment(t, built(t, "slab-gantry", "gantry.yaml"))
	if e.results.Safety.Level != "d" { // S2, F1, P2: ISO 13849-1, Annex A, from memory
		t.Errorf("level %q", e.results.Safety.Level)
	}
	if why := e.skipped("safety.plr"); !strings.Contains(why, "must be shown") {
		t.Errorf("the ledger says %q", why)
	}
	if p := portal(t); p.results.Safety.Level != "" || !strings.Contains(p.skipped("safety.plr"), "not all declared") {
		t.Error("a level without the letters of the risk assessment")
	}
}

func TestHazardsFitTheMachine(t *testing.T) {
	has := func(e equipped, kind string) bool {
		for _, h := range e.results.Safety.Hazards {
			if h.Kind == kind {
				return true
			}
		}
		return false
	}
	plain := portal(t)
	slab := judgeEquipment(t, built(t, "slab-gantry", "gantry.yaml"))
	for kind, want := range map[string][2]bool{
		"fall of the load": {true, true}, "loss of vacuum": {false, true}, "tipping": {true, false}, "work inside the guards": {false, true},
	} {
		if got := [2]bool{has(plain, kind), has(slab, kind)}; got != want {
			t.Errorf("%s: %v on the portal and the slab gantry, want %v", kind, got, want)
		}
	}
	off := portal(t, controlLine, "hazards_excluded: [tipping, dragons]\n  "+controlLine)
	if has(off, "tipping") {
		t.Error("an excluded hazard is listed")
	}
	if why := off.skipped("safety.hazards"); !strings.Contains(why, "dragons") {
		t.Errorf("an unknown hazard was excluded in silence: %q", why)
	}
}

// TestBrakeTestByHand: 1.3 times the weight over the screw's gearing.
func TestBrakeTestByHand(t *testing.T) {
	e := portal(t)
	load := e.axes[1].moved[1] * quantity.StandardGravity * 0.025 / (2 * math.Pi)
	out := e.results.Axes["z"]
	near(t, "on the brake", float64(out.BrakeTest), 1.3*load, 1e-9)
	near(t, "along the load", float64(out.BrakeTestDown), 0.3*load, 1e-9)
	near(t, "against the load", float64(out.BrakeTestUp), 2.3*load, 1e-9)
}

func TestGrip(t *testing.T) {
	grip := func(text string) []string { return []string{"grip: {by: form}", "grip: {" + text + "}"} }
	judgeAll(t, map[string]outcome{
		"form":                          {nil, "tool.grip", ledger.OK},
		"not stated":                    {grip("by: unknown"), "tool.grip", ledger.Unknown},
		"vacuum without a force":        {grip("by: vacuum"), "tool.grip", ledger.Unknown},
		"jaws without a force":          {grip("by: jaws"), "tool.grip", ledger.Unknown},
		"vacuum that holds":             {grip("by: vacuum, force: 800 N"), "tool.grip", ledger.OK},
		"vacuum that tears off":         {grip("by: vacuum, force: 600 N"), "tool.grip", ledger.Over},
		"jaws that hold":                {grip("by: jaws, force: 500 N"), "tool.grip", ledger.OK},
		"jaws that let go":              {grip("by: jaws, force: 300 N"), "tool.grip", ledger.Over},
		"a wet sheet needs more":        {grip("by: vacuum, force: 800 N, friction: 0.2"), "tool.grip", ledger.Over},
		"the emergency stop lets it go": {append(grip("by: vacuum, force: 800 N"), "stop_deceleration: 5 m/s2", "stop_deceleration: 12 m/s2"), "tool.grip", ledger.Over},
	})
}

// TestGripByHand: 12 kg, stops of 5 m/s² level and 6 m/s² upright, friction 0.5,
// safety 2. Vacuum: 12 (quantity.StandardGravity + 6 + 5/0.5) 2 = 619.36 N; jaws: 12 x
// sqrt(15.80665² + 5²) x 2/(2 x 0.5) = 397.89 N.
func TestGripByHand(t *testing.T) {
	near(t, "vacuum", portal(t, "grip: {by: form}", "grip: {by: vacuum, force: 800 N}").checks["tool.grip"].Value, 619.3596, 1e-6)
	near(t, "jaws", portal(t, "grip: {by: form}", "grip: {by: jaws, force: 800 N}").checks["tool.grip"].Value, 24*math.Hypot(15.80665, 5), 1e-9)
}
