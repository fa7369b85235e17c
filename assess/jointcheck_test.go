package assess

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"spanwright/design"
	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// changed loads an example after replacing text in it.
func changed(t testing.TB, dir string, pairs ...string) *machine.Machine {
	t.Helper()
	text, err := os.ReadFile("../examples/" + dir + "/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(string(text), pairs[i]) {
			t.Fatalf("the example no longer says %q", pairs[i])
		}
		text = []byte(strings.Replace(string(text), pairs[i], pairs[i+1], 1))
	}
	d, list := design.Load(fstest.MapFS{"gantry.yaml": {Data: text}}, "gantry.yaml")
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return m
}

// solved is a run with the forces of every joint, without the maps of the tool point.
func solved(t testing.TB, m *machine.Machine) *run {
	t.Helper()
	r := &run{m: m, ledger: ledger.Ledger{Tight: m.Design.Assumptions.Tight}}
	if err := r.planCycle(context.Background()); err != nil {
		t.Fatal(err)
	}
	for l := range r.study.levels {
		var err error
		if r.study.levels[l], err = structure.New(m, structure.Level(l)); err != nil {
			t.Fatal(err)
		}
	}
	var err error
	if r.study.forces, err = r.study.levels[structure.High].Forces(r.forcePoses(), r.combinations()); err != nil {
		t.Fatal(err)
	}
	return r
}

func jointLedger(t testing.TB, m *machine.Machine) map[string]ledger.Check {
	t.Helper()
	r := solved(t, m)
	if err := r.jointChecks(context.Background()); err != nil {
		t.Fatal(err)
	}
	out := map[string]ledger.Check{}
	for _, c := range r.ledger.Sorted() {
		out[c.ID] = c
	}
	return out
}

func groupOf(t testing.TB, groups []*jointGroup, id string) *jointGroup {
	t.Helper()
	i := slices.IndexFunc(groups, func(g *jointGroup) bool { return g.id == id })
	if i < 0 {
		t.Fatalf("no group %s", id)
	}
	return groups[i]
}

// still are forces with nothing on any end and connection, one pose, one combination.
func still(m *machine.Machine) *structure.Forces {
	f := &structure.Forces{
		Poses: [][]float64{make([]float64, len(m.Axes))}, Combos: []structure.Combination{{Name: "by hand", Working: true}},
		Joints: map[string][]structure.Force{}, Ends: make([][2][]structure.Force, len(m.Members)),
	}
	for i := range f.Ends {
		f.Ends[i] = [2][]structure.Force{{{}}, {{}}}
	}
	for _, c := range m.Connections {
		f.Joints[c.ID] = []structure.Force{{}}
	}
	return f
}

func finding(t testing.TB, g *jointGroup, m joint.Mechanism) jointFinding {
	t.Helper()
	for _, f := range g.found {
		if f.check.Mechanism == m {
			return f
		}
	}
	t.Fatalf("%s: no check %s", g.id, m)
	return jointFinding{}
}

// TestCornerScrewByHand: a moment of 200 N m at the top of a leg. The plate is
// 180 mm long, its rows stand 135 mm apart along the rail: 22.5 and 157.5 mm
// from the pressed edge, two screws each. Sum of squares 50 625 mm²; the far
// screws pull 200 x 0.1575/0.050625 = 622.2 N.
func TestCornerScrewByHand(t *testing.T) {
	m := built(t, "crate-portal", "gantry.yaml")
	r := &run{m: m}
	g := groupOf(t, r.standJoints(), "joint.corner")
	leg := slices.IndexFunc(m.Members, func(o machine.Member) bool { return o.Role == machine.Leg && o.Joints[1] != nil })
	f := still(m)
	f.Ends[leg][1][0].Max[4] = 200 // about the local y of the leg, across the portal
	if err := g.search(f, newJointDesk()); err != nil {
		t.Fatal(err)
	}
	open := finding(t, g, joint.Opening)
	if math.Abs(open.check.Demand-622.22) > 0.01 { // the sum is rounded there
		t.Errorf("the screw pulls %.2f N, by hand 622.22 N", open.check.Demand)
	}
	if name := g.places[open.place].name; !strings.HasPrefix(name, m.Members[leg].ID) {
		t.Errorf("the worst place is %s, the moment is on %s", name, m.Members[leg].ID)
	}
	// Across, the columns stand 45 mm apart on a plate of 90 mm: levers 22.5 and
	// 67.5 mm, sum of squares 10 125 mm², 200 x 0.0675/0.010125 = 1333.3 N.
	g = groupOf(t, r.standJoints(), "joint.corner")
	f.Ends[leg][1][0] = structure.Force{}
	f.Ends[leg][1][0].Min[5] = -200
	if err := g.search(f, newJointDesk()); err != nil {
		t.Fatal(err)
	}
	if got := finding(t, g, joint.Opening).check.Demand; math.Abs(got-1333.3) > 0.1 {
		t.Errorf("across, the screw pulls %.2f N, by hand 1333.3 N", got)
	}
}

// TestPullOpensBothEnds: tension in a member pulls it off its hosts at both
// ends, compression never does; the turned axes stay right-handed.
func TestPullOpensBothEnds(t *testing.T) {
	for end, fx := range [2]float64{-100, 100} { // tension, as package frame signs it
		for _, plane := range []jointPlane{{share: 1}, {share: 1, swapped: true}} {
			h := jointHold{turn: turnOf(end, plane)}
			for sign, want := range map[float64]float64{1: 100, -1: -100} {
				b := structure.Bounds6{Min: structure.Six{sign * fx}, Max: structure.Six{sign * fx}}
				if got, n := h.demands(&b); n != 1 || got[0].N != want {
					t.Errorf("end %d, %+v: %+v, want N = %g", end, plane, got[:n], want)
				}
			}
			var det [3][3]float64 // what the member exerts is minus what it bears: minus a rotation
			for i := range 3 {
				det[i][h.turn[i].from] = -h.turn[i].factor
				if m := h.turn[3+i]; m.from != 3+h.turn[i].from || m.factor != h.turn[i].factor {
					t.Errorf("end %d, %+v: moment %d turns unlike its force", end, plane, i)
				}
			}
			if d := determinant(det); d != 1 {
				t.Errorf("end %d, %+v: determinant %g, the joint axes are not a rotation of the member's", end, plane, d)
			}
		}
	}
	var det [3][3]float64
	for i := range 3 {
		det[i][connectionTurn[i].from] = -connectionTurn[i].factor
	}
	if determinant(det) != 1 {
		t.Error("the joint axes of connections are not a rotation of their own")
	}
}

func determinant(a [3][3]float64) float64 {
	return a[0][0]*(a[1][1]*a[2][2]-a[1][2]*a[2][1]) - a[0][1]*(a[1][0]*a[2][2]-a[1][2]*a[2][0]) + a[0][2]*(a[1][0]*a[2][1]-a[1][1]*a[2][0])
}

// TestSearchFindsTheWorst holds the search by bounds against looking everywhere.
func TestSearchFindsTheWorst(t *testing.T) {
	r := solved(t, built(t, "crate-portal", "gantry.yaml"))
	for _, g := range append(r.standJoints(), r.axisJoints()...) {
		if err := g.search(r.study.forces, newJointDesk()); err != nil {
			t.Fatal(err)
		}
		var all []jointFinding
		for i := range g.places {
			list, err := g.look(i, r.study.forces, newJointDesk())
			if err != nil {
				t.Fatal(err)
			}
			for k := range list {
				all = keepWorst(all, &list[k])
			}
		}
		if len(all) != len(g.found) {
			t.Errorf("%s: %d mechanisms found of %d", g.id, len(g.found), len(all))
		}
		for _, want := range all {
			if got := finding(t, g, want.check.Mechanism); got.check.Utilisation != want.check.Utilisation {
				t.Errorf("%s.%s: found %.9g, the worst is %.9g", g.id, want.check.Mechanism, got.check.Utilisation, want.check.Utilisation)
			}
		}
	}
}

// TestMoreAccelerationNeverHelps: every mechanism of every joint is used at
// least as much when the axes accelerate more.
func TestMoreAccelerationNeverHelps(t *testing.T) {
	m := built(t, "crate-portal", "gantry.yaml")
	s, err := structure.New(m, structure.High)
	if err != nil {
		t.Fatal(err)
	}
	r := &run{m: m}
	use := func(t *rapid.T, accel []float64) map[string]float64 {
		f, err := s.Forces([][]float64{{0, 0}, {0.9, 0.35}}, []structure.Combination{{Accel: accel, Working: true}})
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]float64{}
		for _, g := range append(r.standJoints(), r.axisJoints()...) {
			if err := g.search(f, newJointDesk()); err != nil {
				t.Fatal(err)
			}
			for _, found := range g.found {
				out[g.id+"."+string(found.check.Mechanism)] = found.check.Utilisation
			}
		}
		return out
	}
	rapid.Check(t, func(t *rapid.T) {
		less := []float64{rapid.Float64Range(0, 20).Draw(t, "x"), rapid.Float64Range(0, 20).Draw(t, "z")}
		more := []float64{less[0] + rapid.Float64Range(0, 20).Draw(t, "more x"), less[1] + rapid.Float64Range(0, 20).Draw(t, "more z")}
		before, after := use(t, less), use(t, more)
		for id, u := range before {
			if !(after[id] >= u*(1-1e-12)) { // sums in the same order, but for the last digit
				t.Errorf("%s falls from %.12g to %.12g", id, u, after[id])
			}
		}
	})
}

const anyTie = `
  members:
    tie: {from: leg.left.low, to: leg.right.low, profile: profile-45x45-heavy, role: rail, joint: %s}
  foot: foot-m16
`

// TestEveryFamilyIsJudged puts every joint of module 45 on a member that is
// written out: all that its family can do wrong is judged and can be redone.
func TestEveryFamilyIsJudged(t *testing.T) {
	always := []joint.Mechanism{joint.Slip, joint.PreloadHigh, joint.Opening, joint.ScrewTight}
	besides := map[string][]joint.Mechanism{
		"fastener-hidden-45": {joint.LipPullOut, joint.EndPressure}, "core-screw-45": {joint.ThreadStrip, joint.EndPressure},
		"bracket-45": {joint.LipPullOut, joint.PlateBends}, "bracket-45-double": {joint.LipPullOut, joint.PlateBends},
		"gusset-45": {joint.LipPullOut, joint.PlateBends}, "gusset-45-double": {joint.LipPullOut, joint.PlateBends},
		"corner-plate-45": {joint.LipPullOut, joint.PlateBends}, "base-plate-45": {joint.LipPullOut, joint.PlateBends},
	}
	for part, more := range besides {
		t.Run(part, func(t *testing.T) {
			checks := jointLedger(t, changed(t, "crate-portal", "\n  foot: foot-m16\n", fmt.Sprintf(anyTie, part)))
			for _, mechanism := range append(slices.Clone(always), more...) {
				id := "joint.explicit." + part + "." + string(mechanism)
				c, ok := checks[id]
				if !ok || c.Verdict == ledger.Unknown {
					t.Errorf("%s is not judged: %s", id, c.Missing)
					continue
				}
				if got, err := c.Working.Evaluate(); !math.IsInf(c.Value, 0) && (err != nil || !(math.Abs(got-c.Value) <= 1e-9*(1+c.Value))) {
					t.Errorf("%s: working gives %v (%v), the check says %v", id, got, err, c.Value)
				}
				if c.Kind != "joint.explicit."+string(mechanism) {
					t.Errorf("%s has the kind %s", id, c.Kind)
				}
			}
			if c := checks["joint.explicit."+part+".fit"]; c.Verdict != ledger.OK {
				t.Errorf("%s does not fit: %s", part, c.Note)
			}
		})
	}
}

func TestHardwareThatDoesNotFit(t *testing.T) {
	tests := map[string]struct {
		pairs []string
		id    string
		why   string
	}{
		"slots of another module": {[]string{"\n  foot: foot-m16\n", fmt.Sprintf(anyTie, "bracket-30")}, "joint.explicit.bracket-30.fit", "fits slots of 8 mm"},
		"a bore of another size":  {[]string{"\n  foot: foot-m16\n", fmt.Sprintf(anyTie, "core-screw-60")}, "joint.explicit.core-screw-60.fit", "no core bore to be tapped M12"},
		"rows inside the member":  {[]string{"joint: corner-plate-45-double", "joint: corner-plate-45"}, "joint.corner.fit", "screw rows stand 90 mm apart"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got := jointLedger(t, changed(t, "crate-portal", c.pairs...))[c.id]
			if got.Verdict != ledger.Over || !strings.Contains(got.Note, c.why) {
				t.Errorf("%s: %v, %s", c.id, got.Verdict, got.Note)
			}
		})
	}
}

// TestMissingHardwareIsNamed: what has no hardware is unknown and names the datum.
func TestMissingHardwareIsNamed(t *testing.T) {
	tests := map[string]struct {
		pairs []string
		id    string
		datum string
	}{
		"no clamp": {[]string{"by: clamps, part: clamp-120, clamps_per_side: 2", "by: clamps, clamps_per_side: 2"}, "joint.x.support.slip", "axes.x.join.part"},
		"no count": {[]string{", clamps_per_side: 2", ""}, "joint.x.support.slip", "axes.x.join.clamps_per_side"},
		"no plate": {[]string{"by: gussets, part: plate-250x250x20-ribbed, gussets: 2", "by: gussets, gussets: 2"}, "joint.z.interface.slip", "axes.z.join.part"},
		"direct":   {[]string{"by: gussets, part: plate-250x250x20-ribbed, gussets: 2", "by: direct"}, "joint.z.interface.slip", "axes.z.join.part"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got := jointLedger(t, changed(t, "crate-portal", c.pairs...))[c.id]
			if got.Verdict != ledger.Unknown || !strings.Contains(got.Missing, c.datum) {
				t.Errorf("%s: %v, missing %q, want %s", c.id, got.Verdict, got.Missing, c.datum)
			}
		})
	}
}

// TestWordsInsteadOfHardware: rigid and hinged joints are listed as not judged.
func TestWordsInsteadOfHardware(t *testing.T) {
	for _, word := range []string{"rigid", "hinged"} {
		r := solved(t, changed(t, "crate-portal", "\n  foot: foot-m16\n", fmt.Sprintf(anyTie, word)))
		if err := r.jointChecks(context.Background()); err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(r.not, func(n NotChecked) bool {
			return n.What == "joint.explicit, "+word && strings.Contains(n.Why, "tie")
		}) {
			t.Errorf("%s: the list of what is not checked has no word of it", word)
		}
	}
}

// TestUnderBeamSaysWhatItNeeds: the design names no hardware between beam and
// under-beam, so the forces are given instead of a verdict.
func TestUnderBeamSaysWhatItNeeds(t *testing.T) {
	r := solved(t, built(t, "crate-portal", "gantry.yaml"))
	if err := r.jointChecks(context.Background()); err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(r.not, func(n NotChecked) bool { return n.What == "joint.x.under_beam" && strings.Contains(n.Why, "N along") }) {
		t.Error("nothing is said of the under-beam's connections")
	}
}
