package machine_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/diag"
	"spanwright/machine"
	"spanwright/parts"
)

var exampleNames = []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"}

// load reads an example with parts of its text replaced.
func load(t testing.TB, name string, replace ...string) *design.Design {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name + "/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(replace); i += 2 {
		if !strings.Contains(string(text), replace[i]) {
			t.Fatalf("the example does not hold %q", replace[i])
		}
	}
	d, list := design.Parse("gantry.yaml", []byte(strings.NewReplacer(replace...).Replace(string(text))))
	if len(list) > 0 {
		t.Fatal(list)
	}
	return d
}

func build(t testing.TB, d *design.Design) *machine.Machine {
	t.Helper()
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return m
}

func example(t testing.TB, name string) *machine.Machine { return build(t, load(t, name)) }

// refused builds a design that must be refused.
func refused(t testing.TB, d *design.Design) diag.List {
	t.Helper()
	m, list := machine.Build(d, parts.Embedded())
	if m != nil || len(list) == 0 {
		t.Fatalf("built although it must be refused (%d diagnostics)", len(list))
	}
	return list
}

func nodeAt(t testing.TB, m *machine.Machine, id string) r3.Vec {
	t.Helper()
	for _, n := range m.Nodes {
		if n.ID == id {
			return n.At
		}
	}
	t.Fatalf("no node %s", id)
	return r3.Vec{}
}

// apart is the distance that counts as none: coordinates of metres are sums of
// a few numbers, so rounding stays below 1e-14 m.
const apart = 1e-12

func near(t testing.TB, what string, got, want r3.Vec) {
	t.Helper()
	if !(r3.Norm(r3.Sub(got, want)) <= apart) {
		t.Errorf("%s at %v, want %v", what, got, want)
	}
}

// given are the numbers of a design and its parts that places are made of.
type given struct {
	*machine.Machine
	stand *design.Generated
}

func givenOf(t testing.TB, name string) given {
	m := example(t, name)
	return given{m, m.Design.Stand.Generate}
}

// reserve is what a beam needs beyond the travel: first contact of the hard stop and its stroke.
func (g given) reserve(axis string) float64 {
	for _, e := range g.Design.Equipment.Ends {
		if e.Axis == axis {
			return e.HardStop + g.Bumpers[axis].Stroke
		}
	}
	return math.NaN()
}

// thick is the room that the interface plate below an axis takes, m.
func (g given) thick(axis string) float64 {
	for _, c := range g.Connections {
		if g.Axes[c.Axis].Spec.ID == axis && c.Plate != nil {
			return c.Plate.Thick
		}
	}
	return math.NaN()
}

// overhang is the distance from the blocks' centre to the tool end of a mast drawn
// in, by default half the blocks, the reserve and 40 mm.
func (g given) overhang(a *machine.Axis) float64 {
	if a.Spec.Overhang != nil {
		return *a.Spec.Overhang
	}
	return a.Part.Along/2 + a.Block.Length/2 + g.reserve(a.Spec.ID) + 0.040
}

// start is the carriage at coordinate 0 from the middle of what carries the beam, by default half the travel back.
func (g given) start(a *machine.Axis) float64 {
	if a.Spec.Start != nil {
		return *a.Spec.Start
	}
	return -a.Spec.Travel / 2
}

// from is where the beam begins, from the middle of what carries it: its middle is that of the travel.
func (g given) from(a *machine.Axis) float64 { return g.start(a) + a.Spec.Travel/2 - g.beam(a)/2 }

// beam is the length of a beam, by default travel, carriage, reserve and ends.
func (g given) beam(a *machine.Axis) float64 {
	if a.Spec.Length != nil {
		return *a.Spec.Length
	}
	return a.Spec.Travel + a.Part.Plate + 2*g.reserve(a.Spec.ID) + 2*a.Part.EndLength
}

// TestPortalPlaces: the X beam (wide side upright, since its carriage faces the
// front) lies on an under-beam on the top rail, the travel is centred, the mast hangs before the
// carriage with its blocks facing back.
func TestPortalPlaces(t *testing.T) {
	g := givenOf(t, "crate-portal")
	x, z := g.Axes[0], g.Axes[1]
	const under = 0.045 // profile-45x45
	height := g.stand.Height + under + x.Profile.Size[0]/2
	near(t, "beam's beginning", nodeAt(t, g.Machine, "x.beam.from"), r3.Vec{X: g.from(x), Z: height})
	carriage := r3.Vec{X: g.start(x), Y: -x.Part.PlateTop, Z: height}
	near(t, "X carriage", nodeAt(t, g.Machine, "x.carriage"), carriage)
	plate := r3.Add(carriage, r3.Vec{Y: -g.thick("z")})
	near(t, "block plate of Z", nodeAt(t, g.Machine, "z.plate"), plate)
	flange := r3.Add(plate, r3.Vec{Y: -z.Part.PlateTop, Z: -g.overhang(z) - z.Spec.Travel})
	near(t, "lower end of the mast", nodeAt(t, g.Machine, "z.body.from"), flange)
	if g.Nodes[g.Flange].ID != "z.body.from" {
		t.Errorf("the tool hangs on %s, want the lower end", g.Nodes[g.Flange].ID)
	}
	tool := r3.Add(flange, r3.Vec{Y: -0.020, Z: -0.140})
	near(t, "tool point at home", g.ToolPoint([]float64{0, 0}), tool)
	near(t, "tool point elsewhere", g.ToolPoint([]float64{1.1, 0.3}), r3.Add(tool, r3.Vec{X: 1.1, Z: 0.3}))
	if got := r3.Sub(nodeAt(t, g.Machine, "z.body.to"), flange).Z; math.Abs(got-z.Length) > apart {
		t.Errorf("the mast rises %v m from its tool end, it is %v m long", got, z.Length)
	}
}

// TestTrayGantryPlaces: runways on the top rails, the bridge from the minus to
// the plus carriage with its carriage on the side towards -X, the mast beyond it.
func TestTrayGantryPlaces(t *testing.T) {
	g := givenOf(t, "seedling-gantry")
	x, y, z := g.Axes[0], g.Axes[1], g.Axes[2]
	runway := g.stand.Height + x.Profile.Size[1]/2
	spacing := x.Spec.Pair.Spacing
	near(t, "minus runway", nodeAt(t, g.Machine, "x.beam.minus.from"), r3.Vec{X: g.from(x), Y: -spacing / 2, Z: runway})
	near(t, "plus runway", nodeAt(t, g.Machine, "x.beam.plus.to"), r3.Vec{X: g.from(x) + g.beam(x), Y: spacing / 2, Z: runway})
	plate := runway + x.Part.PlateTop
	near(t, "minus carriage", nodeAt(t, g.Machine, "x.carriage.minus"), r3.Vec{X: g.start(x), Y: -spacing / 2, Z: plate})
	near(t, "plus carriage", nodeAt(t, g.Machine, "x.carriage.plus"), r3.Vec{X: g.start(x), Y: spacing / 2, Z: plate})
	bridge := plate + g.thick("y") + y.Profile.Size[0]/2
	near(t, "bridge", nodeAt(t, g.Machine, "y.beam.from"), r3.Vec{X: g.start(x), Y: g.from(y), Z: bridge})
	carriage := r3.Vec{X: g.start(x) - y.Part.PlateTop, Y: g.start(y), Z: bridge}
	near(t, "Y carriage", nodeAt(t, g.Machine, "y.carriage"), carriage)
	flange := r3.Add(carriage, r3.Vec{X: -g.thick("z") - z.Part.PlateTop, Z: -g.overhang(z) - z.Spec.Travel})
	near(t, "lower end of the mast", nodeAt(t, g.Machine, "z.body.from"), flange)
	near(t, "tool point", g.ToolPoint([]float64{3.6, 1.4, 0.42}), r3.Add(flange, r3.Vec{X: 3.6, Y: 1.4, Z: 0.42 - 0.120}))
	if !x.PlusIsSide {
		t.Error("the plus runway lies towards +Y, which is the X axis's side (normal x direction)")
	}
}

// TestSlabGantryPlaces: as above, with an under-beam that lifts the bridge by
// its own size across.
func TestSlabGantryPlaces(t *testing.T) {
	g := givenOf(t, "slab-gantry")
	x, y, z := g.Axes[0], g.Axes[1], g.Axes[2]
	plate := g.stand.Height + x.Profile.Size[1]/2 + x.Part.PlateTop + g.thick("y")
	under := y.Profile.Size[0] // the under-beam is the same profile, turned with the beam
	low := nodeAt(t, g.Machine, "y.under_beam.from")
	near(t, "under-beam", low, r3.Vec{X: g.start(x), Y: g.from(y), Z: plate + under/2})
	near(t, "bridge", nodeAt(t, g.Machine, "y.beam.from"), r3.Add(low, r3.Vec{Z: under}))
	flange := r3.Vec{
		X: g.start(x) - y.Part.PlateTop - g.thick("z") - z.Part.PlateTop, Y: g.start(y),
		Z: plate + 1.5*under - g.overhang(z) - z.Spec.Travel,
	}
	near(t, "lower end of the mast", nodeAt(t, g.Machine, "z.body.from"), flange)
	near(t, "tool point", g.ToolPoint([]float64{0, 0, 0}), r3.Add(flange, r3.Vec{Z: -0.200}))
}

// TestSampleGantryPlaces: an X beam along the top rail, an arm that reaches out
// behind it, a mast on the arm's side.
func TestSampleGantryPlaces(t *testing.T) {
	g := givenOf(t, "sample-gantry")
	x, y, z := g.Axes[0], g.Axes[1], g.Axes[2]
	beam := g.stand.Height + x.Profile.Size[1]/2
	near(t, "X beam", nodeAt(t, g.Machine, "x.beam.from"), r3.Vec{X: g.from(x), Z: beam})
	carriage := r3.Vec{X: g.start(x), Z: beam + x.Part.PlateTop}
	near(t, "X carriage", nodeAt(t, g.Machine, "x.carriage"), carriage)
	arm := r3.Add(carriage, r3.Vec{Z: g.thick("y") + y.Profile.Size[0]/2})
	near(t, "arm", nodeAt(t, g.Machine, "y.beam.from"), r3.Add(arm, r3.Vec{Y: g.from(y)}))
	flange := r3.Add(arm, r3.Vec{X: -y.Part.PlateTop - g.thick("z") - z.Part.PlateTop, Y: g.start(y), Z: -g.overhang(z) - z.Spec.Travel})
	near(t, "tool point", g.ToolPoint([]float64{0.25, 0.11, 0.13}), r3.Add(flange, r3.Vec{X: 0.25, Y: 0.11, Z: 0.13 - 0.050}))
}

// crossed is the sample gantry on two rows of legs: its X beam lies on the rails
// across, which are higher than the rails along.
func crossed(t testing.TB, replace ...string) *machine.Machine {
	return build(t, load(t, "sample-gantry", append([]string{"legs: {count: 2, profile: profile-80x80-light}", "legs: {count: 4, profile: profile-80x80-light}\n    cross_rail: profile-80x160-light", "plane: across, at: foot", "plane: across, at: top", "    start: -150 mm", "    length: 950 mm\n    start: -250 mm"}, replace...)...))
}

// TestBeamOnRailsAcross: a single beam along a stand of two rows lies on the rails across.
func TestBeamOnRailsAcross(t *testing.T) {
	m := crossed(t)
	top := m.Design.Stand.Generate.Height - 0.080/2 + 0.160/2
	held := 0
	for _, c := range m.Connections {
		if c.Axis != 0 {
			continue
		}
		held++
		if at := m.PlaceAt(c.A, []float64{0, 0, 0}); math.Abs(math.Abs(at.X)-m.Design.Stand.Generate.Span/2) > apart || math.Abs(at.Z-top) > apart {
			t.Errorf("%s at %v, want on top of the rails across", c.ID, at)
		}
	}
	if held != 2 {
		t.Errorf("held in %d places, want one on each rail across", held)
	}
}

// TestBlocksSitAtTheirRails holds the places of rail guide carriages.
func TestBlocksSitAtTheirRails(t *testing.T) {
	m := example(t, "crate-portal")
	part := m.Axes[0].Part
	seen := map[[2]float64]bool{}
	for _, b := range m.Axes[0].Blocks {
		seen[[2]float64{b.Along, b.Across}] = true
	}
	for _, along := range []float64{-part.Along / 2, part.Along / 2} {
		for _, across := range []float64{-part.Across / 2, part.Across / 2} {
			if !seen[[2]float64{along, across}] {
				t.Errorf("no block at %v m along and %v m across", along, across)
			}
		}
	}
	if len(m.Axes[0].Blocks) != 4 {
		t.Errorf("%d blocks, want 2 rails with 2 each", len(m.Axes[0].Blocks))
	}
	one := example(t, "sample-gantry").Axes[1]
	if len(one.Blocks) != 2 || one.Blocks[0].Across != 0 || one.Blocks[1].Along != one.Part.Along/2 {
		t.Errorf("blocks of the single rail: %+v", one.Blocks)
	}
}

// TestStartShiftsTheTravel: start is the carriage at coordinate 0 from the
// middle of what carries the beam.
func TestStartShiftsTheTravel(t *testing.T) {
	m := build(t, load(t, "crate-portal", "    travel: 1.8 m", "    travel: 1.8 m\n    start: -700 mm"))
	if got := nodeAt(t, m, "x.carriage").X; math.Abs(got+0.7) > apart {
		t.Errorf("the carriage stands at %v, want -0.7", got)
	}
	if on := m.Axes[0].On(0); math.Abs(nodeAt(t, m, "x.beam.from").X+on-(-0.7)) > apart {
		t.Errorf("the carriage stands %v m along the beam, which begins at %v", on, nodeAt(t, m, "x.beam.from").X)
	}
}

// TestSupportsAreSpaced: along a rail the supports are at most as far apart as
// asked, the outermost at the ends of what carries.
func TestSupportsAreSpaced(t *testing.T) {
	m := example(t, "crate-portal")
	x := m.Axes[0]
	s, begin := x.Supports, nodeAt(t, m, "x.beam.from").X
	if first, last := begin+s[0], begin+s[len(s)-1]; math.Abs(first+2.7/2) > apart || math.Abs(last-2.7/2) > apart {
		t.Errorf("outermost supports at %v and %v, the rail reaches from -1.35 to 1.35", first, last)
	}
	if len(s) != 6 { // 2.7 m in steps of at most 0.6 m
		t.Errorf("%d supports, want 6", len(s))
	}
	for i := 1; i < len(s); i++ {
		if gap := s[i] - s[i-1]; !(gap > 0 && gap <= 0.6+apart) {
			t.Errorf("supports %v m apart", gap)
		}
	}
}

// arm is the portal with a level axis that moves its beam out over the front.
func arm(t testing.TB) *machine.Machine {
	return build(t, load(t, "crate-portal", "    under_beam: profile-45x45-heavy", "    under_beam: none", "    direction: z\n", "    direction: -y\n", "    facing: y\n", "    facing: -z\n", "facing: -y  ", "facing: z  "))
}

// TestArmPlaces: an arm carries its tool at its plus end, moves out towards it
// and is drawn in at coordinate 0.
func TestArmPlaces(t *testing.T) {
	m := arm(t)
	g := given{m, m.Design.Stand.Generate}
	x, arm := m.Axes[0], m.Axes[1]
	carriage := r3.Vec{X: -x.Spec.Travel / 2, Z: g.stand.Height + x.Profile.Size[1]/2 + x.Part.PlateTop}
	near(t, "X carriage", nodeAt(t, m, "x.carriage"), carriage)
	tip := r3.Add(carriage, r3.Vec{Y: -g.overhang(arm), Z: g.thick("z") + arm.Part.PlateTop})
	near(t, "tip of the arm", nodeAt(t, m, "z.body.to"), tip)
	if m.Nodes[m.Flange].ID != "z.body.to" {
		t.Errorf("the tool hangs on %s, want the plus end", m.Nodes[m.Flange].ID)
	}
	near(t, "tool point moved out", m.ToolPoint([]float64{0.5, 0.6}), r3.Add(tip, r3.Vec{X: 0.5, Y: -0.6 - 0.020, Z: -0.140}))
	if back, want := r3.Sub(tip, nodeAt(t, m, "z.body.from")), arm.Length; math.Abs(-back.Y-want) > apart {
		t.Errorf("the arm reaches back by %v m, it is %v m long", -back.Y, want)
	}
}

// TestShiftedBridgeKeepsItsLever: an offset of the bridge is a rigid lever on
// both carriages.
func TestShiftedBridgeKeepsItsLever(t *testing.T) {
	m := build(t, load(t, "seedling-gantry", "    travel: 1.6 m", "    travel: 1.6 m\n    offset: [30 mm, 10 mm, 4 mm]"))
	plain := example(t, "seedling-gantry")
	near(t, "bridge", r3.Sub(nodeAt(t, m, "y.beam.from"), nodeAt(t, plain, "y.beam.from")), r3.Vec{X: 0.030, Y: 0.010, Z: 0.004})
	for _, c := range m.Connections {
		near(t, c.ID, m.PlaceAt(c.A, []float64{0, 0, 0}), m.PlaceAt(c.B, []float64{0, 0, 0}))
	}
}

// TestInterfacePlateTakesRoom: between the carriage and what sits on it lies the
// plate, once: a thicker one moves everything behind it out by the difference, an
// axis joined directly lies on the carriage, and so does a first axis on its rail.
func TestInterfacePlateTakesRoom(t *testing.T) {
	for name, c := range map[string]struct {
		join string
		out  float64
	}{
		"15 mm plate":  {"join: {by: plate, part: plate-160x160x15}", 0.015},
		"20 mm plate":  {"join: {by: plate, part: plate-250x250x20-steel}", 0.020},
		"directly":     {"join: {by: direct}", 0},
		"with packing": {"join: {by: plate, part: plate-160x160x15}\n    offset: [0 mm, 0 mm, 4 mm]", 0.019},
	} {
		m := build(t, load(t, "seedling-gantry", "join: {by: plate, part: plate-160x160x15}", c.join))
		carriage, beam := nodeAt(t, m, "x.carriage.minus"), nodeAt(t, m, "y.beam.from")
		if got := beam.Z - m.Axes[1].Profile.Size[0]/2 - carriage.Z; math.Abs(got-c.out) > apart {
			t.Errorf("%s: the bridge lies %.4g m above the carriages, want %.4g m", name, got, c.out)
		}
		for _, c := range m.Connections {
			near(t, name+", "+c.ID, m.PlaceAt(c.A, []float64{0, 0, 0}), m.PlaceAt(c.B, []float64{0, 0, 0}))
		}
	}
	plated := build(t, load(t, "crate-portal", "join: {by: clamps, part: clamp-120, clamps_per_side: 2, support_spacing: 600 mm}", "join: {by: plate, part: plate-160x160x15}"))
	near(t, "X beam on plates", r3.Sub(nodeAt(t, plated, "x.beam.from"), nodeAt(t, example(t, "crate-portal"), "x.beam.from")), r3.Vec{Z: 0.015})
}

// TestFloatingSide: the bridge slides on the side that does not locate it.
func TestFloatingSide(t *testing.T) {
	for side, want := range map[string][2]bool{"minus": {false, true}, "plus": {true, false}, "both": {false, false}} {
		m := build(t, load(t, "seedling-gantry", "fixed_side: minus", "fixed_side: "+side))
		var got [2]bool
		for _, c := range m.Connections {
			switch c.ID {
			case "y.interface.1":
				got[0] = c.Float
			case "y.interface.2":
				got[1] = c.Float
			default:
				if c.Float {
					t.Errorf("fixed %s: %s floats", side, c.ID)
				}
			}
		}
		if got != want {
			t.Errorf("fixed %s: floating %v, want %v", side, got, want)
		}
	}
}

// TestRunwaysWithUnderBeams: both runways of a pair lie on profiles of their own,
// joined to them at both ends and at most 0.4 m apart.
func TestRunwaysWithUnderBeams(t *testing.T) {
	m := build(t, load(t, "slab-gantry", "    travel: 5 m", "    travel: 5 m\n    under_beam: tube-150x150x6"))
	unique(t, m)
	plain := example(t, "slab-gantry")
	for _, side := range []string{"minus", "plus"} {
		lift := r3.Sub(nodeAt(t, m, "x.beam."+side+".from"), nodeAt(t, plain, "x.beam."+side+".from"))
		near(t, side+" runway", lift, r3.Vec{Z: 0.150})
		count := 0
		for _, c := range m.Connections {
			if c.Kind == machine.Stacked && strings.HasPrefix(c.ID, "x.under_beam."+side+".") {
				count++
				near(t, c.ID, m.PlaceAt(c.A, []float64{0, 0, 0}), m.PlaceAt(c.B, []float64{0, 0, 0}))
			}
		}
		if want := int(math.Ceil(m.Axes[0].Length/0.4)) + 1; count != want {
			t.Errorf("%s side: %d joints between runway and under-beam, want %d", side, count, want)
		}
	}
}

// TestSteepFirstAxis: an upright first beam stands before the rail that carries
// it, on the side its carriage faces; the next axis hangs on that carriage.
func TestSteepFirstAxis(t *testing.T) {
	m := build(t, load(t, "crate-portal", "    under_beam: profile-45x45-heavy", "    under_beam: none", "    direction: x\n", "    direction: z\n", "    direction: z\n", "    direction: x\n"))
	first := m.Axes[0]
	front := -(0.090/2 + first.Profile.Size[1]/2) // half the rail, half the beam
	near(t, "beam", nodeAt(t, m, "x.beam.from"), r3.Vec{Y: front, Z: 2.1 - 0.045 - first.Length/2})
	near(t, "carriage", nodeAt(t, m, "x.carriage"), r3.Vec{Y: front - first.Part.PlateTop, Z: 2.1 - 0.045 - first.Spec.Travel/2})
	if len(first.Supports) != 1 {
		t.Errorf("%d supports, the rail is crossed once", len(first.Supports))
	}
	for _, c := range m.Connections {
		near(t, c.ID, m.PlaceAt(c.A, []float64{0, 0}), m.PlaceAt(c.B, []float64{0, 0}))
	}
	unique(t, m)
}
