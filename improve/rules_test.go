package improve

import (
	"context"
	"math"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/parts"
)

// writtenOut is a weak stand of nodes and members for the crate portal.
const writtenOut = `stand:
  nodes:
    left.foot: {at: [-1.2 m, 0 m, 100 mm]}
    left.front: {at: [-1.2 m, -250 mm, 100 mm]}
    left.rear: {at: [-1.2 m, 250 mm, 100 mm]}
    left.top: {at: [-1.2 m, 0 m, 2 m]}
    right.foot: {at: [1.2 m, 0 m, 100 mm]}
    right.front: {at: [1.2 m, -250 mm, 100 mm]}
    right.rear: {at: [1.2 m, 250 mm, 100 mm]}
    right.top: {at: [1.2 m, 0 m, 2 m]}
  members:
    post.left: {from: left.foot, to: left.top, profile: profile-45x45-light, role: leg}
    post.right: {from: right.foot, to: right.top, profile: profile-45x45-light, role: leg, joint: bracket-45}
    rail: {from: left.top, to: right.top, profile: profile-90x90-heavy, role: rail}
    left.a: {from: left.front, to: left.foot, profile: profile-45x90-heavy}
    left.b: {from: left.foot, to: left.rear, profile: profile-45x90-heavy}
    right.a: {from: right.front, to: right.foot, profile: profile-45x90-heavy}
    right.b: {from: right.foot, to: right.rear, profile: profile-45x90-heavy}
  supports: [left.front, left.rear, right.front, right.rear]
  foot: foot-m16
  carries: [rail]
`

// poor are machines that lack what the rules know about: an example, its stand
// where another is written out, and edits as path and value.
var poor = map[string]struct {
	folder, file, stand string
	edits               []string
}{
	"weak portal": {"crate-portal", "faulty.yaml", "", []string{
		"axes.x.under_beam", "none",
		"axes.x.motor", "servo-400", "axes.x.gear", "planetary-60-3", "axes.x.drive.belt", "belt-8x20", "axes.x.drive.pretension", "50 N",
		"axes.x.join.support_spacing", "1400 mm", "axes.z.motor", "servo-400", "axes.z.brake", "hold-brake-0.3",
		"equipment.ends.x.bumper", "bumper-30", "equipment.ends.x.cam", "100 mm", "equipment.ends.z.switch", "200 mm",
		"equipment.carriers.x.part", "carrier-20x38-r55", "equipment.carriers.z", "{part: carrier-15x20-r38, length: 500 mm}",
		"stand.foot", "foot-m8", "stand.generate.joint", "bracket-45", "equipment.supply_power", "500 W",
		"task.targets.first_frequency", "6 Hz", "task.targets.repeatability", "0.1 mm", "task.targets.accuracy", "0.5 mm",
		"equipment.guards", "{fence_height: 1.4 m, fence_distance: 100 mm, hazard_height: 1.2 m, curtain_distance: 100 mm, curtain_resolution: 30 mm, door_distance: 100 mm}",
	}},
	"hasty portal": {"crate-portal", "gantry.yaml", "", []string{
		"task.targets.settle_band", "50 mm",
		"axes.x.under_beam", "none",
		"axes.x.limits.speed", "6 m/s", "axes.x.limits.acceleration", "25 m/s2", "axes.x.limits.jerk", "300 m/s3", "axes.x.drive.pretension", "6000 N", "axes.x.drive.pulley_teeth", "14",
		"stand.generate.bottom_rail", "none", "stand.generate.legs.profile", "profile-45x90-light", "task.targets.first_frequency", "12 Hz", "task.targets.sag_variation", "0.05 mm",
		"task.rate", "700 /h", "axes.z.limits.acceleration", "1 m/s2", "axes.z.limits.jerk", "40 m/s3",
	}},
	"portal with a lower rail": {"crate-portal", "gantry.yaml", "", []string{"axes.x.under_beam", "none", "task.targets.first_frequency", "12 Hz", "stand.generate.bottom_rail_height", "150 mm", "stand.generate.braces[1].reach", "350 mm"}},
	"written-out portal":       {"crate-portal", "gantry.yaml", writtenOut, []string{"task.targets.sag_variation", "0.1 mm"}},
	"rich portal": {"crate-portal", "gantry.yaml", "", []string{
		"axes.x.under_beam", "profile-60x60-heavy", "axes.x.part", "belt-axis-160",
		"axes.x.motor", "servo-3000", "axes.z.motor", "servo-2000", "axes.z.brake", "hold-brake-18", "stand.generate.top_rail", "profile-90x180-heavy", "axes.x.gear", "planetary-120-7", "stand.generate.bottom_rail", "profile-45x90-heavy",
	}},
	"pair":  {"seedling-gantry", "faulty.yaml", "", nil},
	"shaft": {"seedling-gantry", "faulty.yaml", "", []string{"axes.x.pair.driven", "shaft", "axes.x.pair.shaft", "shaft-tube-60x5"}},
	"racks": {"slab-gantry", "faulty.yaml", "", nil},
}

// poorly is a machine of the table, judged once.
func poorly(t testing.TB, name string) *situation {
	t.Helper()
	once, _ := judgedOnce.LoadOrStore(name, sync.OnceValue(func() *situation {
		p := poor[name]
		text := read(t, p.folder, p.file)
		if p.stand != "" {
			head, rest, _ := strings.Cut(string(text), "\nstand:\n")
			_, tail, found := strings.Cut(rest, "\nequipment:\n")
			if !found {
				t.Fatal("the example has no stand before its equipment")
			}
			text = []byte(head + "\n" + p.stand + "\nequipment:\n" + tail)
		}
		d, wrong := design.Parse("gantry.yaml", text)
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		var list []design.Edit
		for i := 0; i < len(p.edits); i += 2 {
			list = append(list, design.Edit{Path: p.edits[i], Value: p.edits[i+1]})
		}
		text, err := d.File.Apply(list...)
		if err != nil {
			t.Fatal(err)
		}
		return newSituation(judged(t, text), parts.Embedded())
	}))
	return once.(func() *situation)()
}

var judgedOnce sync.Map

// TestEveryRemedyHasARule: each kind of remedy is proposed for a machine that
// lacks it. Those that are marked are judged, and gain.
func TestEveryRemedyHasARule(t *testing.T) {
	const g = "stand.generate."
	rows := []struct {
		machine, check, remedy, edit string // patterns of the check's id and of the path that is edited
		judged                       bool
	}{
		{"shaft", "build.collision.carriers", "instead of the line shaft", "axes.x.pair.*", true},
		{"shaft", "build.collision.tool", "axis z shifted", "axes.z.offset", true},
		{"weak portal", "stand.bracing", "braces where there are none", g + "braces*", true},
		{"weak portal", "tool.frequency", "braces against sway", g + "braces*", false},
		{"hasty portal", "tool.frequency", "longer braces", g + "braces*reach", false},
		{"portal with a lower rail", "tool.frequency", "braces at top and foot", g + "braces*at", false},
		{"hasty portal", "tool.frequency", "a diagonal", g + "braces*kind", false},
		{"hasty portal", "tool.frequency", "a horizontal member", g + "bottom_rail", true},
		{"portal with a lower rail", "tool.frequency", "a horizontal member moved", g + "bottom_rail_height", false},
		{"weak portal", "stand.tipping.tilt", "a wider foot", g + "depth", true},
		{"weak portal", "tool.frequency", "a wider foot against sway", g + "depth", false},
		{"weak portal", "stand.tipping.tilt", "outriggers", g + "outrigger", false},
		{"weak portal", "joint.corner.slip", "another joint", g + "joint", true},
		{"weak portal", "tool.frequency", "another joint family", g + "joint", false},
		{"weak portal", "tool.accuracy", "an under-beam", "axes.x.under_beam", false},
		{"hasty portal", "tool.frequency", "stiffer legs", g + "legs.profile", true},
		{"hasty portal", "tool.sag.variation", "stiffer rails", g + "top_rail", false},
		{"hasty portal", "tool.sag.variation", "a larger axis", "axes.x.part", false},
		{"weak portal", "axis.x.support.spacing", "closer supports", "axes.x.join.support_spacing", true},
		{"weak portal", "joint.x.clamps", "more clamps", "axes.x.join.clamps_per_side", false},
		{"weak portal", "tool.accuracy", "wider clamps", "axes.x.join.part", false},
		{"hasty portal", "axis.x.belt.tooth", "a wider belt", "axes.x.drive.belt", true},
		{"weak portal", "axis.x.belt.slack", "a tighter belt", "axes.x.drive.pretension", true},
		{"hasty portal", "axis.x.belt.cord", "a looser belt", "axes.x.drive.pretension", false},
		{"hasty portal", "axis.x.belt.pulley", "a larger pulley", "axes.x.drive.pulley_teeth", false},
		{"weak portal", "axis.z.screw.whirl", "a thicker screw", "axes.z.drive.screw", true},
		{"weak portal", "axis.z.screw.whirl", "fixed ends of a screw", "axes.z.drive.screw_ends", false},
		{"racks", "axis.z.rack.force", "harder teeth", "axes.z.drive.rack", false},
		{"weak portal", "axis.x.motor.inertia", "a larger motor", "axes.x.motor", false},
		{"weak portal", "axis.x.motor.inertia", "another gear", "axes.x.gear", false},
		{"weak portal", "axis.z.brake.hold", "a stronger brake", "axes.z.brake", false},
		{"weak portal", "axis.z.motor.hold", "a gas spring", "axes.z.counterbalance", true},
		{"weak portal", "axis.z.brake.hold", "a counterweight", "axes.z.counterbalance", false},
		{"weak portal", "tool.settle", "a jerk time of one period", "axes.x.limits.jerk", true},
		{"weak portal", "tool.settle", "an input shaper", "axes.x.shaper", true},
		{"weak portal", "tool.settle", "a slower ramp", "axes.x.limits.acceleration", true},
		{"hasty portal", "axis.x.speed", "a lower speed", "axes.x.limits.speed", true},
		{"hasty portal", "axis.x.acceleration", "a lower acceleration", "axes.x.limits.acceleration", true},
		{"hasty portal", "task.rate", "higher limits", "axes.z.limits.*", true},
		{"pair", "pair.x.drive", "both sides driven", "axes.x.pair.driven", false},
		{"weak portal", "stop.x.switch.plus", "a switch moved", "equipment.ends.x.switch_plus", true},
		{"weak portal", "stop.z.order*", "switches in order", "equipment.ends.z.switch_*", true},
		{"weak portal", "stop.x.cam", "a longer cam", "equipment.ends.x.cam", true},
		{"weak portal", "stop.x.energy_hit", "another hard stop", "equipment.ends.x.bumper", false},
		{"weak portal", "carrier.x.width", "another cable carrier", "equipment.carriers.x.part", false},
		{"weak portal", "carrier.x.span", "a tray", "equipment.carriers.x.support", true},
		{"weak portal", "carrier.z.length", "a carrier as long as it needs", "equipment.carriers.z.length", true},
		{"weak portal", "axis.supply", "a larger supply", "equipment.supply_power", true},
		{"weak portal", "safety.fence", "a guard farther away", "equipment.guards.fence_distance", true},
		{"weak portal", "tool.repeatability", "less play", "axes.x.*", false},
		{"weak portal", "stand.sliding.stop", "a softer stop", "axes.x.limits.stop_deceleration", true},
		{"written-out portal", "stand.bracing", "a brace between nodes", "stand.members.brace-*", true},
		{"written-out portal", "tool.frequency", "a brace between nodes against sway", "stand.members.brace-*", false},
		{"written-out portal", "tool.frequency", "a stiffer member", "stand.members.post.*.profile", false},
		{"written-out portal", "tool.frequency", "a stiffer joint of a member", "stand.members.post.*.joint", false},
		{"written-out portal", "joint.explicit.*.plate", "a stronger joint of members", "stand.members.post.*.joint", false},
		{"written-out portal", "stand.tipping.push", "supports farther out", "stand.nodes.*.at", true},
	}
	type job struct {
		s        *situation
		row      int
		check    ledger.Check
		proposal proposal
	}
	jobs := map[string][]job{}
	proposed := map[string][]proposal{} // by machine and check
	for i, row := range rows {
		s := poorly(t, row.machine)
		var found *proposal
		asked := false
		var named []string
		for _, c := range s.found.Checks {
			if ok, _ := path.Match(row.check, c.ID); !ok || c.Verdict == ledger.OK || c.Verdict == ledger.Unknown {
				continue
			}
			asked = true
			proposals, known := proposed[row.machine+c.ID]
			if !known {
				proposals, _ = s.propose(c)
				proposed[row.machine+c.ID] = proposals
			}
			for k, p := range proposals {
				named = append(named, p.Edits[0].Path)
				if ok, _ := path.Match(row.edit, p.Edits[0].Path); ok && found == nil {
					found = &proposals[k]
					if row.judged {
						jobs[row.machine] = append(jobs[row.machine], job{s, i, c, p})
					}
				}
			}
		}
		switch {
		case !asked:
			t.Errorf("%s: no check %s that is over or tight, for %s", row.machine, row.check, row.remedy)
		case found == nil:
			t.Errorf("%s: nothing proposes %s for %s, only %v", row.machine, row.remedy, row.check, named)
		}
	}
	for machine, list := range jobs {
		var candidates []candidate
		for _, j := range list {
			candidates = append(candidates, candidate{proposal: j.proposal})
		}
		all, err := list[0].s.judgeAll(context.Background(), candidates, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for k, after := range all {
			j := list[k]
			if after == nil {
				t.Errorf("%s: %q cannot be judged", machine, j.proposal.Title)
				continue
			}
			if now, still := byID(after)[j.check.ID]; still && !(now.Utilisation < j.check.Utilisation) && now.Verdict <= j.check.Verdict {
				t.Errorf("%s: %q for %s: used to %.3g, %.3g expected, %.3g before", machine, j.proposal.Title, j.check.ID, now.Utilisation, j.proposal.Estimate, j.check.Utilisation)
			}
		}
	}
}

// TestSavingsHaveRules: a machine that is richer than it needs gets cheaper parts
// proposed, each with its price.
func TestSavingsHaveRules(t *testing.T) {
	s := poorly(t, "rich portal")
	if s.found.Counts.Over > 0 {
		t.Fatalf("over: %v", s.found.Governing())
	}
	var all []proposal
	for _, a := range s.m.Axes {
		all = append(all, s.cheaperMotor(a)...)
		all = append(all, s.cheaperGear(a)...)
		all = append(all, s.cheaperBrake(a)...)
	}
	all = append(all, s.lighter()...)
	for _, edit := range []string{"axes.x.motor", "axes.z.motor", "axes.x.gear", "axes.z.brake", "stand.generate.bottom_rail", "axes.x.part"} {
		i := slices.IndexFunc(all, func(p proposal) bool { return p.Edits[0].Path == edit })
		if i < 0 {
			t.Errorf("nothing cheaper is proposed for %s", edit)
			continue
		}
		if p := all[i]; !(p.cost < 0) || !(p.Estimate <= s.design.Assumptions.Tight) || math.IsNaN(p.Estimate) {
			t.Errorf("%s: cost %+.0f, used to %.3g", p.Title, p.cost, p.Estimate)
		}
	}
	if got := s.savings(Options{}); len(got) == 0 || len(got) > mostSavings || got[0].cost > got[len(got)-1].cost {
		t.Errorf("%d savings, the largest first: %v", len(got), got)
	}
}
