package assess

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/quantity"
)

const endOfX = "x: {switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm}"

func TestEndsOfTravel(t *testing.T) {
	x := func(text string) []string { return []string{endOfX, "x: {" + text + "}"} }
	judgeAll(t, map[string]outcome{
		"nothing is declared":                         {[]string{"    " + endOfX + "\n", ""}, "stop.x.switch", ledger.Unknown},
		"the switch leaves just enough":               {x("switch: 15 mm, hard_stop: 486 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.switch.plus", ledger.Tight},
		"the switch trips too late":                   {x("switch: 15 mm, hard_stop: 485 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.switch.plus", ledger.Over},
		"one side trips too late, the other does not": {x("switch: 15 mm, switch_plus: 200 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.switch.minus", ledger.Tight},
		"one side trips too late":                     {x("switch: 15 mm, switch_plus: 200 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.switch.plus", ledger.Over},
		"the hard stop comes before the switch":       {x("switch: 600 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.order.plus", ledger.Over},
		"the switch comes before the software limit":  {x("soft: 20 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.order.minus", ledger.Over},
		"a dead zone behind the switch":               {x("switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 570 mm"), "stop.x.cam", ledger.Over},
		"no cam declared":                             {x("switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80"), "stop.x.cam", ledger.Unknown},
		"an obstacle, the switch stayed":              {x("shortened_plus: 100 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.shortened.plus", ledger.Over},
		"an obstacle, the switch moved half the way":  {x("shortened_plus: 100 mm, switch_plus: -35 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.shortened.plus", ledger.Over},
		"an obstacle, the switch moved with it":       {x("shortened_plus: 100 mm, switch_plus: -85 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.shortened.plus", ledger.OK},
		"an obstacle shortens the way to stop":        {x("shortened_plus: 100 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.switch.plus", ledger.Over},
		"an obstacle clear of the task":               {x("shortened_plus: 100 mm, switch_plus: -85 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.reach.plus", ledger.OK},
		"an obstacle where the task goes":             {x("shortened_plus: 130 mm, switch_plus: -115 mm, switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 700 mm"), "stop.x.reach.plus", ledger.Over},
		"the search overruns a short cam":             {x("switch: 15 mm, hard_stop: 560 mm, bumper: bumper-80, cam: 3 mm"), "stop.x.homing", ledger.Over},
	})
}

// TestSwitchByHand redoes the portal's stop: 1.6 m/s, 5 m/s2 reached with
// 30 m/s3, reaction 25 ms. t_j = 1/6 s; s = 1.6 x 0.025 + 1.6²/10 + 1.6 t_j/2 -
// 5 t_j²/24 = 0.42355 m; with a tenth and 5 mm on top 0.47090 m.
func TestSwitchByHand(t *testing.T) {
	c := portal(t).checks["stop.x.switch.plus"]
	near(t, "way", c.Value, 0.470901, 1e-5)
	near(t, "room", c.Limit, 0.545, 1e-12)
}

// TestCrashIfTheSwitchStayed holds the note to its number: 560 - 100 - 15 mm of
// way for 470.9 mm of stop leave -25.9 mm.
func TestCrashIfTheSwitchStayed(t *testing.T) {
	c := portal(t, "x: {switch: 15 mm,", "x: {shortened_plus: 100 mm, switch: 15 mm,").checks["stop.x.shortened.plus"]
	if want := "left in front of the obstacle had the switch stayed: -25.9 mm"; len(c.Note) < len(want) || c.Note[:len(want)] != want {
		t.Errorf("note %q", c.Note)
	}
}

// TestPlacesAreInAxisCoordinates: 1.8 m of travel, shortened by 100 mm at the plus end.
func TestPlacesAreInAxisCoordinates(t *testing.T) {
	e := portal(t, "x: {switch: 15 mm,", "x: {shortened_plus: 100 mm, switch_plus: -85 mm, switch: 15 mm,")
	ends := e.results.Axes["x"].Ends
	want := []EndPlaces{
		{"minus", -0.005, -0.015, -0.56, -0.592},
		{"plus", 1.705, 1.715, 2.26, 2.292},
	}
	for i, w := range want {
		g := ends[i]
		if g.End != w.End {
			t.Errorf("end %d is %s", i, g.End)
		}
		for k, pair := range [][2]Number{{g.Soft, w.Soft}, {g.Switch, w.Switch}, {g.HardStop, w.HardStop}, {g.Last, w.Last}} {
			if math.Abs(float64(pair[0]-pair[1])) > 1e-12 {
				t.Errorf("%s end, place %d: %v, want %v", w.End, k, pair[0], pair[1])
			}
		}
	}
}

// TestLevelAxisCoasts compares with the closed form of a body that slides to
// rest, once without a brake and once with one.
func TestLevelAxisCoasts(t *testing.T) {
	e := portal(t)
	d := &e.axes[0]
	rotary, err := d.train.RotaryMass()
	if err != nil {
		t.Fatal(err)
	}
	mass := d.moved[1] + rotary
	friction := e.leastFriction(d)
	want, err := equip.Coast{Speed: 1.6, Reaction: 0.025, Friction: friction / (mass * quantity.StandardGravity)}.Distance()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "coasting", float64(e.results.Axes["x"].PowerOff), want, 1e-9)
	if !(friction < d.friction) {
		t.Errorf("friction that is certain %.3g N, friction that drives must bear %.3g N", friction, d.friction)
	}
	braked := portal(t, "gear: planetary-90-7", "gear: planetary-90-7\n    brake: hold-brake-4")
	if got := float64(braked.results.Axes["x"].PowerOff); !(got < want/2) {
		t.Errorf("with a brake %.3g m, without %.3g m", got, want)
	}
}

// TestGravityAxisFallsUntilTheBrakeHolds compares with the brake's own study.
func TestGravityAxisFallsUntilTheBrakeHolds(t *testing.T) {
	e := portal(t)
	d := &e.axes[1]
	g, err := e.gravityAxis(d)
	if err != nil {
		t.Fatal(err)
	}
	stop, err := g.Stop()
	if err != nil {
		t.Fatal(err)
	}
	down, err := e.powerOff(d, -1)
	if err != nil {
		t.Fatal(err)
	}
	up, err := e.powerOff(d, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "down", down.Distance, stop.Overrun, 1e-9)
	if !(up.Distance < down.Distance) {
		t.Errorf("upwards %.4g m, downwards %.4g m", up.Distance, down.Distance)
	}
	none := portal(t, "brake: hold-brake-4", "brake: none")
	if got := float64(none.results.Axes["z"].PowerOff); !math.IsNaN(got) {
		t.Errorf("without a brake the mast stops after %v m", got)
	}
}

// TestRunAwayNeedsMoreThanAStop: it begins as the stop does and then speeds up.
func TestRunAwayNeedsMoreThanAStop(t *testing.T) {
	for _, dir := range examplesOfAll {
		e := judgeEquipment(t, built(t, dir, "gantry.yaml"))
		for id, a := range e.results.Axes {
			v := e.axis(id).Spec.Limits
			abrupt := v.Speed*e.m.Design.Equipment.Control.Reaction + v.Speed*v.Speed/(2*stopDecel(v))
			if !(float64(a.Runaway) > abrupt) {
				t.Errorf("%s, %s: %v m, a stop at once takes %v m", dir, id, a.Runaway, abrupt)
			}
		}
	}
}

// TestHomingStartsWithTheMast: gravity axes first, then from the tool to the stand.
func TestHomingStartsWithTheMast(t *testing.T) {
	e := judgeEquipment(t, built(t, "seedling-gantry", "gantry.yaml"))
	for turn, id := range []string{"z", "y", "x"} {
		h := e.results.Axes[id].Homing
		if h == nil || h.Turn != turn+1 || len(h.Steps) < 5 {
			t.Errorf("%s homes as %+v, want turn %d", id, h, turn+1)
		}
	}
	missing := portal(t, ", cam: 700 mm", "")
	if missing.results.Axes["x"].Homing != nil || missing.skipped("stop.x.homing") == "" {
		t.Error("homing speeds without a cam")
	}
}

// TestSwitchNeverPassesWithLessRoom: taking room away never makes the verdict better.
func TestSwitchNeverPassesWithLessRoom(t *testing.T) {
	e := portal(t)
	d := &e.axes[0]
	end, stroke, _ := e.endOf(d.axis)
	stop, err := e.controlledStop(d.axis)
	if err != nil {
		t.Fatal(err)
	}
	s := stopsOf{axis: d, controlled: stop, margined: stop.WithMargin(0.1, leastStopMargin)}
	rapid.Check(t, func(t *rapid.T) {
		end.HardStop = rapid.Float64Range(0.02, 1).Draw(t, "hard stop")
		less := end
		less.HardStop -= rapid.Float64Range(0, 0.02).Draw(t, "less")
		use := func(e *run, ends [2]travelEnd) float64 {
			e.ledger = ledger.Ledger{Tight: 0.85}
			e.switchCheck(s, ends[1])
			return e.ledger.Sorted()[0].Utilisation
		}
		a, b := use(e.run, travelEnds(end, stroke)), use(e.run, travelEnds(less, stroke))
		if !(b >= a) {
			t.Fatalf("utilisation %v with more room, %v with less", a, b)
		}
	})
}
