package machine_test

import (
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// table is a written-out stand for the crate portal: a rail on two posts with a
// brace each, welded to feet fore and aft.
const table = `stand:
  nodes:
    left.foot: {at: [-1.2 m, 0 m, 100 mm]}
    left.front: {at: [-1.2 m, -600 mm, 100 mm]}
    left.rear: {at: [-1.2 m, 600 mm, 100 mm]}
    left.top: {at: [-1.2 m, 0 m, 2 m]}
    right.foot: {at: [1.2 m, 0 m, 100 mm]}
    right.front: {at: [1.2 m, -600 mm, 100 mm]}
    right.rear: {at: [1.2 m, 600 mm, 100 mm]}
    right.top: {at: [1.2 m, 0 m, 2 m]}
  members:
    post.left: {from: left.foot, to: left.top, profile: profile-90x90-heavy, role: leg}
    post.right: {from: right.foot, to: right.top, profile: profile-90x90-heavy, role: leg, joint: corner-plate-45}
    rail: {from: left.top, to: right.top, profile: profile-45x90-heavy, role: rail, roll: 90 deg}
    left.a: {from: left.front, to: left.foot, profile: profile-90x90-heavy}
    left.b: {from: left.foot, to: left.rear, profile: profile-90x90-heavy}
    right.a: {from: right.front, to: right.foot, profile: profile-90x90-heavy}
    right.b: {from: right.foot, to: right.rear, profile: profile-90x90-heavy}
    tie: {from: left.foot, to: right.top, profile: profile-45x45-heavy, role: brace, joint: hinged}
  supports: [left.front, left.rear, right.front, right.rear]
  foot: foot-m16
  carries: [rail]
`

// withoutUnderBeam takes the lines that ask for under-beams out of a design.
func withoutUnderBeam(text string) string {
	return regexp.MustCompile(`(?m)^ *under_beam: .*\n`).ReplaceAllString(text, "")
}

// withStand replaces the stand of the portal by a written-out one.
func withStand(t testing.TB, stand string, replace ...string) (*design.Design, string) {
	t.Helper()
	raw, err := os.ReadFile("../examples/crate-portal/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	head, rest, found := strings.Cut(string(raw), "\nstand:\n")
	_, tail, foundTail := strings.Cut(rest, "\nequipment:\n")
	if !found || !foundTail {
		t.Fatal("the example has no stand before its equipment")
	}
	if head = withoutUnderBeam(head); strings.Contains(head, "under_beam") {
		t.Fatal("the under-beam of the example is still there")
	}
	for i := 0; i < len(replace); i += 2 {
		if !strings.Contains(head+stand, replace[i]) {
			t.Fatalf("the design does not hold %q", replace[i])
		}
		head, stand = strings.ReplaceAll(head, replace[i], replace[i+1]), strings.ReplaceAll(stand, replace[i], replace[i+1])
	}
	text := head + "\n" + stand + "\nequipment:\n" + tail
	d, list := design.Parse("gantry.yaml", []byte(text))
	if len(list) > 0 {
		t.Fatal(list)
	}
	return d, text
}

func member(t testing.TB, m *machine.Machine, id string) machine.Member {
	t.Helper()
	for _, mem := range m.Members {
		if mem.ID == id {
			return mem
		}
	}
	t.Fatalf("no member %s", id)
	return machine.Member{}
}

func TestExplicitStand(t *testing.T) {
	d, _ := withStand(t, table)
	m := build(t, d)
	nodes, members, bars := standCounts(m)
	if nodes != 8 || members != 8 || bars != 8 || len(m.Feet) != 4 {
		t.Errorf("%d nodes, %d members, %d bars, %d feet; want 8, 8, 8, 4", nodes, members, bars, len(m.Feet))
	}
	unique(t, m)
	if m.Stand.Generated || m.Stand.Rows != 0 {
		t.Errorf("%+v of a written-out stand", m.Stand)
	}
	rail := member(t, m, "rail")
	if math.Abs(rail.Roll-math.Pi/2) > rounding || rail.Role != machine.Rail || rail.Joints != [2]*machine.Joint{} {
		t.Errorf("rail %+v", rail)
	}
	if post := member(t, m, "post.right"); post.Joints[0] == nil || post.Joints[1] == nil || post.Role != machine.Leg {
		t.Errorf("jointed post %+v", post)
	}
	if tie := member(t, m, "tie"); tie.Joints[0] == nil || !tie.Joints[0].Hinged || tie.Role != machine.Brace {
		t.Errorf("hinged brace %+v", tie)
	}
	// The rail lies flat: half of its 45 mm under the beam, whose wide side stands upright.
	want := r3.Vec{X: -1.2, Z: 2 + 0.045/2}
	for _, c := range m.Connections {
		if c.ID == "x.support.1" {
			near(t, c.ID, m.PlaceAt(c.A, []float64{0, 0}), want)
			near(t, c.ID, m.PlaceAt(c.B, []float64{0, 0}), want)
		}
	}
	near(t, "beam", nodeAt(t, m, "x.beam.from"), r3.Vec{X: -m.Axes[0].Length / 2, Z: want.Z + m.Axes[0].Profile.Size[0]/2})
}

const rounding = 1e-9

// TestWrittenOutMembersOfAGeneratedStand hang on its nodes; a support that has a
// foot keeps it.
func TestWrittenOutMembersOfAGeneratedStand(t *testing.T) {
	d := load(t, "crate-portal", "  foot: foot-m16\n", `  nodes:
    outside: {at: [-1.9 m, 0 m, 95 mm]}
  members:
    prop: {from: outside, to: corner.left.top, profile: profile-45x45-heavy, joint: hinged, role: brace}
  supports: [outside, foot_rail.left.front]
  foot: foot-m16
`)
	m, plain := build(t, d), example(t, "crate-portal")
	if got, want := len(m.Feet), len(plain.Feet)+1; got != want {
		t.Errorf("%d feet, want %d: one more for the prop", got, want)
	}
	if got, want := len(m.Nodes), len(plain.Nodes)+1; got != want {
		t.Errorf("%d nodes, want %d", got, want)
	}
	prop := member(t, m, "prop")
	near(t, "prop", m.Nodes[prop.To].At, nodeAt(t, m, "corner.left.top"))
	unique(t, m)
}

// TestCarriedByWrittenOutMembers: several members across, and a beam that is shifted aside on its rail.
func TestCarriedByWrittenOutMembers(t *testing.T) {
	two := strings.NewReplacer(
		"    rail: {", "    bearer.left: {from: left.top, to: lt, profile: profile-45x90-heavy}\n    bearer.right: {from: right.top, to: rt, profile: profile-45x90-heavy}\n    rail: {",
		"  members:", "    lt: {at: [-1.2 m, 500 mm, 2 m]}\n    rt: {at: [1.2 m, 500 mm, 2 m]}\n  members:",
		"carries: [rail]", "carries: [bearer.right, bearer.left]",
	).Replace(table)
	d, _ := withStand(t, two)
	m := build(t, d)
	x := m.Axes[0]
	begin := nodeAt(t, m, "x.beam.from")
	near(t, "beam", begin, r3.Vec{X: -x.Length / 2, Y: 0.25, Z: 2 + 0.045 + x.Profile.Size[0]/2})
	if len(x.Supports) != 2 || math.Abs(begin.X+x.Supports[0]+1.2) > apart || math.Abs(begin.X+x.Supports[1]-1.2) > apart {
		t.Errorf("supports at %v from %v, want at -1.2 m and 1.2 m, rising", x.Supports, begin.X)
	}

	if first := m.Connections[0]; first.ID != "x.support.1" || m.PlaceAt(first.A, []float64{0, 0}).X > 0 {
		t.Errorf("%s is at %v, supports are counted along the beam", first.ID, m.PlaceAt(first.A, []float64{0, 0}))
	}

	d, _ = withStand(t, table, "    facing: -y  ", "    facing: -y\n    offset: [0 mm, 20 mm, 5 mm]  ")
	m = build(t, d)
	for _, c := range m.Connections {
		near(t, c.ID, m.PlaceAt(c.A, []float64{0, 0}), m.PlaceAt(c.B, []float64{0, 0}))
	}
	near(t, "shifted beam", nodeAt(t, m, "x.beam.from"), r3.Vec{X: -x.Length / 2, Y: 0.020, Z: 2 + 0.045/2 + 0.005 + x.Profile.Size[0]/2})
}

// TestHandMadeDesignWithoutCarriers: Build answers what Load would have refused.
func TestHandMadeDesignWithoutCarriers(t *testing.T) {
	d, _ := withStand(t, table)
	d.Stand.Carries = nil
	_, list := machine.Build(d, parts.Embedded())
	if len(list) != 1 || list[0].Path != "stand.carries" || list[0].Code != "required" {
		t.Errorf("%v", list)
	}
}
