package machine_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"spanwright/clearance"
	"spanwright/machine"
)

func extents(t testing.TB, m *machine.Machine) map[string]*machine.Extent {
	t.Helper()
	list, err := m.Extents()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*machine.Extent{}
	for i := range list {
		out[list[i].Solid.ID] = &list[i]
	}
	return out
}

// reach is how far the pieces of an extent reach along d at pose q, m.
func reach(e *machine.Extent, d r3.Vec, q []float64) float64 {
	most := math.Inf(-1)
	for _, p := range e.Pieces {
		for _, g := range p.Groups {
			for _, at := range g.Points {
				for i, w := range g.Ways {
					at = r3.Add(at, r3.Scale(q[i], w))
				}
				most = max(most, r3.Dot(at, d))
			}
		}
	}
	return most
}

// TestExtentsHoldTheirSolids: at any pose the pieces of a part reach at least as far
// as the part that is drawn there, and hardly farther: round parts are drawn round
// from outside, profiles as if their corners were sharp.
func TestExtentsHoldTheirSolids(t *testing.T) {
	machines := map[string]*machine.Machine{}
	parts := map[string][]machine.Extent{}
	for _, name := range drawnExamples {
		machines[name] = example(t, name)
		list, err := machines[name].Extents()
		if err != nil {
			t.Fatal(err)
		}
		parts[name] = list
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(drawnExamples).Draw(t, "machine")
		m := machines[name]
		var q []float64
		for _, a := range m.Axes {
			q = append(q, rapid.Float64Range(0, a.Spec.Travel).Draw(t, a.Spec.ID))
		}
		there := m.SolidsAt(q)
		i := rapid.IntRange(0, len(there)-1).Draw(t, "part")
		up := rapid.Float64Range(-1, 1).Draw(t, "up")
		s, c := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "round"))
		d := r3.Vec{X: c * math.Sqrt(1-up*up), Y: s * math.Sqrt(1-up*up), Z: up}
		want := there[i].Support(d) + r3.Dot(m.Displacement(there[i].Body, q), d)
		got := reach(&parts[name][i], d, q)
		// 2 % of the radius of what is round, sharp corners for a profile's round ones, half an octagon for a bend.
		const more = 0.02
		if !(got >= want-1e-9 && got <= want+more) {
			t.Fatalf("%s: drawn up to %.6g m along %v, its extent up to %.6g m", there[i].ID, want, d, got)
		}
	})
}

// TestMeantToTouch: what may touch although it moves, and what must not.
func TestMeantToTouch(t *testing.T) {
	m := example(t, "slab-gantry")
	parts := extents(t, m)
	for pair, says := range map[[2]string]string{
		{"x.block.minus.1", "x.rail.minus.1"}:                       "runs on its beam",
		{"x.rail.minus.1", "x.block.minus.1"}:                       "runs on its beam",
		{"y.block.1", "y.beam"}:                                     "runs on its beam",
		{"y.block.1", "y.under_beam"}:                               "runs on its beam", // as deep as the beam
		{"z.plate", "z.body"}:                                       "runs on its beam",
		{"x.stop.minus.from", "x.carriage.minus"}:                   "hard stop",
		{"z.carrier", "z.carrier_arm"}:                              "lies on its supports",
		{"x.carrier", "x.beam.minus"}:                               "lies on its supports",
		{"brace.along.1.front.1", "brace.along.1.front.1.joint.to"}: "no outline",
		{"brace.along.1.front.1.joint.to", "z.body"}:                "",
		{"brace.along.1.front.1", "leg.front.left"}:                 "",
		{"tool", "payload"}:                                         "holds the payload",
		{"y.block.1", "x.carriage.minus"}:                           "",
		{"z.stop.from", "y.carriage"}:                               "",
		{"z.carrier", "y.beam"}:                                     "",
		{"z.carrier", "z.body"}:                                     "",
		{"z.body", "y.beam"}:                                        "",
		{"tool", "y.under_beam"}:                                    "",
	} {
		a, b := parts[pair[0]], parts[pair[1]]
		if a == nil || b == nil {
			t.Errorf("%v: no such parts", pair)
			continue
		}
		if got := m.Meant(a, b); (got == "") != (says == "") || !strings.Contains(got, says) {
			t.Errorf("%v: %q, want %q", pair, got, says)
		}
	}
}

// TestPlateLiesBetween: an interface plate touches the carriage below it and the
// beam on it, and neither lies in the other.
func TestPlateLiesBetween(t *testing.T) {
	for _, name := range drawnExamples {
		m := example(t, name)
		parts := extents(t, m)
		found := 0
		for _, c := range m.Connections {
			plate := parts[c.ID+".plate"]
			if plate == nil {
				continue
			}
			found++
			held := parts[m.Nodes[m.Axes[c.Axis].Carriages[0]].ID]
			if c.B.Node < 0 {
				held = parts[m.Members[c.B.Member].Bar]
			}
			for _, other := range []*machine.Extent{parts[m.Nodes[c.A.Node].ID], held} {
				n := clearance.Between(&plate.Pieces[0], &other.Pieces[0], make([]clearance.Range, len(m.Axes)))
				if !(math.Abs(n.Distance) <= 1e-9) {
					t.Errorf("%s: %s and %s are %.4g m apart", name, plate.Solid.ID, other.Solid.ID, n.Distance)
				}
			}
		}
		if found == 0 {
			t.Errorf("%s has no interface plate", name)
		}
	}
}

// TestCrossRailsAtTheEnds: the middle stays open, top braces span the whole length.
func TestCrossRailsAtTheEnds(t *testing.T) {
	d := plainStand(t, 6, brace("across", "knee", "top"), brace("top", "knee", "top"))
	all := build(t, d)
	d.Stand.Generate.CrossAt = "ends"
	ends := build(t, d)
	count := func(m *machine.Machine, prefix string) (n int) {
		for _, b := range m.Bars() {
			if strings.HasPrefix(b.ID, prefix) {
				n++
			}
		}
		return n
	}
	for prefix, want := range map[string][2]int{"cross_rail.": {3, 2}, "cross_rail.middle": {1, 0}, "brace.across.": {6, 4}, "brace.top.": {8, 4}} {
		if a, e := count(all, prefix), count(ends, prefix); a != want[0] || e != want[1] {
			t.Errorf("%s: %d with all rails, %d with those at the ends; want %v", prefix, a, e, want)
		}
	}
}
