package assess

import (
	"math"
	"strings"
	"testing"

	"spanwright/ledger"
	"spanwright/parts"
	"spanwright/quantity"
)

// abrupt is the portal with an X axis that stops at once with 6 m/s² from 2 m/s.
func abrupt(t *testing.T, ends string) equipped {
	return portal(t, "limits: {speed: 1.6 m/s, acceleration: 3 m/s2, jerk: 25 m/s3, stop_deceleration: 5 m/s2, stop_jerk: 30 m/s3}",
		"limits: {speed: 2 m/s, acceleration: 3 m/s2, stop_deceleration: 6 m/s2}", "reaction: 25 ms", "reaction: 0 ms", endOfX, "x: {"+ends+"}")
}

// TestRestOfTheSpeed: 2 m/s, 6 m/s² and 0.25 m leave sqrt(4 - 2 x 6 x 0.25) = 1 m/s
// (work and energy).
func TestRestOfTheSpeed(t *testing.T) {
	e := abrupt(t, "switch: 15 mm, hard_stop: 265 mm, bumper: bumper-80, cam: 700 mm, takes: rest")
	if why := e.skipped("stop.x.switch.plus"); !strings.Contains(why, "1 m/s") {
		t.Errorf("the switch leaves %q", why)
	}
	c := e.checks["stop.x.deceleration"]
	var v, m, push float64
	for _, in := range c.Working.Inputs {
		switch in.Symbol {
		case "v":
			v = in.Value
		case "m":
			m = in.Value
		case "F_p":
			push = in.Value
		}
	}
	near(t, "speed at the stop", v, 1, 1e-9)
	k := 2 * 290 / (0.032 * 0.032) // N/m: rated energy over the stroke
	near(t, "deceleration", c.Value, math.Sqrt(push*push+k*m)/m, 1e-9)
	if c.Verdict != ledger.Over {
		t.Errorf("1 m/s into an elastomer is %v m/s2 and %v", c.Value, c.Verdict)
	}
}

// TestHardStopBehindTheSwitchIsMetInFailuresOnly: nothing to judge, and the ledger says so.
func TestHardStopBehindTheSwitchIsMetInFailuresOnly(t *testing.T) {
	e := portal(t)
	if _, ok := e.checks["stop.x.deceleration"]; ok || !strings.Contains(e.skipped("stop.x.deceleration"), "failures only") {
		t.Error("the deceleration at a stop that is not meant to be met was judged")
	}
	late := portal(t, "x: {switch: 15 mm,", "x: {switch: 15 mm, switch_plus: 330 mm,")
	if !(late.checks["stop.x.energy_hit"].Value > e.checks["stop.x.energy_hit"].Value) {
		t.Error("what a late switch leaves of the speed is not in the energy of the hit")
	}
}

func TestBumpers(t *testing.T) {
	x := func(text string) []string { return []string{endOfX, "x: {" + text + "}"} }
	judgeAll(t, map[string]outcome{
		"a bumper too small":                     {x("switch: 15 mm, hard_stop: 560 mm, bumper: bumper-30, cam: 700 mm"), "stop.x.energy_hit", ledger.Over},
		"a solid stop":                           {x("switch: 15 mm, hard_stop: 560 mm, bumper: stop-solid-m12, cam: 700 mm"), "stop.x.energy_hit", ledger.Over},
		"an absorber for less mass":              {x("switch: 15 mm, hard_stop: 560 mm, bumper: absorber-m14, cam: 700 mm"), "stop.x.effective_mass", ledger.Over},
		"an absorber for more mass":              {x("switch: 15 mm, hard_stop: 560 mm, bumper: absorber-m64, cam: 700 mm"), "stop.x.effective_mass", ledger.Over},
		"an absorber that fits":                  {x("switch: 15 mm, hard_stop: 560 mm, bumper: absorber-m33, cam: 700 mm"), "stop.x.effective_mass", ledger.OK},
		"more stops than the bumper cools":       {append(x("switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "emergency_stops_per_day: 1", "emergency_stops_per_day: 1000", "hours_per_year: 3600 h", "hours_per_year: 300 h"), "stop.x.energy_hour", ledger.Over},
		"the grip lets go at the stop":           {append(x("switch: 15 mm, hard_stop: 265 mm, bumper: bumper-80, cam: 700 mm, takes: rest"), "grip: {by: form}", "grip: {by: jaws, force: 300 N}"), "stop.x.grip.plus", ledger.Over},
		"a form fit does not let go at the stop": {x("switch: 15 mm, hard_stop: 265 mm, bumper: bumper-80, cam: 700 mm, takes: rest"), "stop.x.grip.plus", ledger.OK},
	})
}

// TestBumperWithoutHourlyRatingIsUnknown names what is missing.
func TestBumperWithoutHourlyRatingIsUnknown(t *testing.T) {
	m := replaced(t, "crate-portal")
	part := *m.Bumpers["x"]
	part.Hourly, part.MassRng = 0, [2]float64{}
	m.Bumpers["x"] = &part
	e := judgeEquipment(t, m)
	if c := e.checks["stop.x.energy_hour"]; c.Verdict != ledger.Unknown || !strings.Contains(c.Missing, "bumper-80") {
		t.Errorf("%v, missing %q", c.Verdict, c.Missing)
	}
	if e.skipped("stop.x.effective_mass") == "" {
		t.Error("a range that the part does not state was judged")
	}
}

// TestWeightPullsOneWayOnly: the mast's weight adds to a hit below and takes
// from one above; a gas spring is credited nowhere, a counterweight both ways.
func TestWeightPullsOneWayOnly(t *testing.T) {
	e := portal(t)
	d := &e.axes[1]
	w := d.moved[1] * quantity.StandardGravity
	near(t, "down", e.weightAlong(d, -1), w, 1e-12)
	near(t, "up", e.weightAlong(d, 1), -w, 1e-12)
	if x := e.weightAlong(&e.axes[0], 1); x != 0 {
		t.Errorf("a level axis has %v N along it", x)
	}
	const brake = "brake: hold-brake-4 "
	spring := portal(t, brake, "counterbalance: {gas_spring: 100 N, gas_spring_most: 150 N}\n    "+brake)
	d = &spring.axes[1]
	near(t, "down, spring", spring.weightAlong(d, -1), w, 1e-12)
	near(t, "up, spring", spring.weightAlong(d, 1), 150-w, 1e-12)
	weight := portal(t, brake, "counterbalance: {weight: 5 kg, ratio: 2}\n    "+brake)
	d = &weight.axes[1]
	near(t, "down, counterweight", weight.weightAlong(d, -1), w-10*quantity.StandardGravity, 1e-12)
	near(t, "up, counterweight", weight.weightAlong(d, 1), 10*quantity.StandardGravity-w, 1e-12)
}

// TestSpringPressesHarderThanItsMean: at the rated energy a linear spring of
// half efficiency gives the mean force over the efficiency; below that more.
func TestSpringPressesHarderThanItsMean(t *testing.T) {
	part := &parts.Bumper{Kind: "elastomer", Stroke: 0.032, Energy: 290, Eta: 0.5}
	for _, share := range []float64{0.1, 0.5, 1} {
		var m impact
		m.body.Mass, m.body.Speed, m.body.Stroke, m.body.Efficiency = 100, math.Sqrt(2*290*share/100), 0.032, 0.5
		var err error
		if m.hit, err = m.body.Hit(); err != nil {
			t.Fatal(err)
		}
		force, decel, err := stopForce(m, part)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "force over mean force", force/m.hit.Force, 1/math.Sqrt(share), 1e-9)
		near(t, "deceleration", decel, force/100, 1e-12)
	}
}

// TestBothSidesOfAPairTakeTheWhole: the energy is that of the whole bridge.
func TestBothSidesOfAPairTakeTheWhole(t *testing.T) {
	e := judgeEquipment(t, built(t, "seedling-gantry", "gantry.yaml"))
	c := e.checks["stop.x.energy_hit"]
	if !strings.Contains(c.Note, "judged for the whole") {
		t.Errorf("note %q", c.Note)
	}
	if m := c.Working.Inputs[0].Value; !(m > e.axes[0].moved[1]) {
		t.Errorf("%v kg at the stop, the bridge alone has %v kg", m, e.axes[0].moved[1])
	}
}
