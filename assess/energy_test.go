package assess

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"spanwright/ledger"
)

// TestPowerAddsUp holds the powers of all axes together to sums over the cycle
// that know nothing of sampling.
func TestPowerAddsUp(t *testing.T) {
	for _, dir := range examplesOfAll {
		e := judgeEquipment(t, built(t, dir, "gantry.yaml"))
		p := e.results.Power
		drawn, returned, peaks, most := 0.0, 0.0, 0.0, 0.0
		for _, a := range e.results.Axes {
			drawn, returned = drawn+float64(a.Drawn), returned+float64(a.Returned)
			peaks, most = peaks+float64(a.PowerPeak), math.Max(most, float64(a.PowerPeak))
		}
		period := e.timeline.Duration
		near(t, dir+": mean", float64(p.Mean), drawn/period, 1e-9)
		// A thousand samples take a power with corners at their middle: some thousandths of the drawn power.
		near(t, dir+": mean with recovery", float64(p.Recovery), (drawn-returned)/period, 5e-3*drawn/(drawn-returned))
		// Sampling misses the tip of a peak by no more than one part in a hundred here.
		if !(float64(p.Peak) <= float64(p.Sum)*(1+1e-9) && float64(p.Sum) <= peaks*(1+1e-9) && float64(p.Sum) > 0.97*peaks) {
			t.Errorf("%s: peak %v W, sum of sampled peaks %v W, of exact peaks %v W", dir, p.Peak, p.Sum, peaks)
		}
		if !(float64(p.Peak) >= 0.97*most/float64(len(e.axes)) && p.RMS < p.Peak && p.Recovery <= p.Mean) {
			t.Errorf("%s: %+v", dir, p)
		}
	}
}

func TestSupply(t *testing.T) {
	judgeAll(t, map[string]outcome{
		"plenty":     {[]string{controlLine, "supply_power: 5 kW\n  " + controlLine}, "axis.supply", ledger.OK},
		"too little": {[]string{controlLine, "supply_power: 200 W\n  " + controlLine}, "axis.supply", ledger.Over},
	})
	if why := portal(t).skipped("axis.supply"); !strings.Contains(why, "W at one time") {
		t.Errorf("without a declared supply the ledger says %q", why)
	}
	m := replaced(t, "crate-portal", controlLine, "supply_power: 5 kW\n  "+controlLine)
	part := *m.Axes[0].Motor
	part.DriveEta = 0
	m.Axes[0].Motor = &part
	e := judgeEquipment(t, m)
	if c := e.checks["axis.supply"]; c.Verdict != ledger.Unknown || !strings.Contains(c.Missing, "servo-1000") {
		t.Errorf("%v, missing %q", c.Verdict, c.Missing)
	}
	if text, err := json.Marshal(e.results.Power); err != nil || strings.Contains(string(text), "0") {
		t.Errorf("power without an efficiency: %s, %v; nothing was computed", text, err)
	}
}

// TestMotorCablesAreProposed: the portal's two motors; only Z's cable travels,
// so none has another beside it. Servo-1000: 3.18 N m at 3000 rpm.
func TestMotorCablesAreProposed(t *testing.T) {
	e := portal(t)
	for id, out := range e.results.Axes {
		m := e.axis(id).Motor
		want := m.Tn * m.Nn / (math.Sqrt(3) * m.CapV[0] / math.Sqrt2 * 0.75 * m.DriveEta)
		near(t, id+": current", float64(out.CableCurrent), want, 1e-12)
		if s := float64(out.CableSection); !(s >= 1e-6 && s <= 4e-6) {
			t.Errorf("%s: %v m2 for %v A", id, s, out.CableCurrent)
		}
	}
}

// TestMaintenanceFollowsTheDuty: the rows of what is there, and the kilometres
// of the guides as hours.
func TestMaintenanceFollowsTheDuty(t *testing.T) {
	e := portal(t)
	row := func(e equipped, item string) (MaintenanceTask, bool) {
		i := slices.IndexFunc(e.results.Maintained, func(m MaintenanceTask) bool { return m.Item == item })
		if i < 0 {
			return MaintenanceTask{}, false
		}
		return e.results.Maintained[i], true
	}
	guides, ok := row(e, "axis x: guides")
	if !ok {
		t.Fatal("guides are not maintained")
	}
	month := 3600 * 3600.0 / 12
	want := math.Min(e.axis("x").Block.Relube/e.axes[0].travel*e.timeline.Duration, 12*month)
	near(t, "guides", float64(guides.First), want, 1e-9)
	for item, there := range map[string]bool{
		"axis x: belt": true, "axis z: ball screw": true, "axis z: hold brake": true, "axis x: hold brake": false, "axis z: belt": false,
		"axis x: rack and pinion": false, "light curtain": false, "filters and cups": false, "axis x: cables in the carrier": true,
	} {
		if _, ok := row(e, item); ok != there {
			t.Errorf("%s in the plan: %v", item, ok)
		}
	}
	if !slices.IsSortedFunc(e.results.Maintained, func(a, b MaintenanceTask) int { return int(math.Copysign(1, float64(a.First-b.First))) }) {
		t.Error("the plan is not in the order of first dates")
	}
	slab := judgeEquipment(t, built(t, "slab-gantry", "gantry.yaml"))
	if _, ok := row(slab, "filters and cups"); !ok {
		t.Error("a vacuum gripper without its filters")
	}
}
