package joint

import (
	"errors"
	"math"
	"testing"

	"spanwright/given"
)

// betweenBodies is a plate 120 x 120 x 15 with four M8 at 90 x 90 mm that holds
// a bar 80 mm wide, along z, on a carriage 100 mm wide across it.
func betweenBodies(t testing.TB) PlateBetween {
	t.Helper()
	return PlateBetween{
		Screw: m8(t), Count: 4, Pitch: [2]float64{0.09, 0.09}, Size: [2]float64{0.12, 0.12}, Thickness: 0.015, Young: 70e9, Yield: 260e6,
		Carrier: [2]float64{math.Inf(1), 0.1}, Held: [2]float64{0.08, math.Inf(1)},
	}
}

func plates(t testing.TB, p PlateBetween) InterfacePlate {
	t.Helper()
	out, err := p.Assemble(UsualSafety())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// worstWhere picks a mechanism at a place.
func worstWhere(t *testing.T, checks []Check, m Mechanism, where string) Check {
	t.Helper()
	for _, c := range checks {
		if c.Mechanism == m && c.Where == where {
			return c
		}
	}
	t.Fatalf("no check %s %q", m, where)
	return Check{}
}

// TestInterfacePlateByHand: 60 N m about y.
//
// Carrier's screws: along y at 90 mm (no end to the carriage), 45 mm from the
// middle, 5 mm beyond the bar. Along z the carriage's 100 mm less 2 x 10.56 mm
// leave 78.88 mm. Pressed: z to min(60, 50 + 15) = 60 mm. Levers from that edge
// 20.56 and 99.44 mm, two screws each: sum of squares 20 622 mm². The upper
// screws pull 60/0.020622 x 0.09944 = 289.32 N, the lower 59.82 N. One side in y
// has one of each: 349.14 N x 5 mm = 1.7457 N m.
func TestInterfacePlateByHand(t *testing.T) {
	p := plates(t, betweenBodies(t))
	if !p.DrawnIn {
		t.Error("a pattern of 90 mm stands on a face of 100 mm with less than an edge distance and nobody says so")
	}
	checks, err := Checks(p, Demand{My: 60})
	if err != nil {
		t.Fatal(err)
	}
	const figures = 1e-3 // the sums above are rounded to four figures
	if c := worstWhere(t, checks, Opening, "plate on the carrier"); math.Abs(c.Demand-289.32) > figures*289.32 {
		t.Errorf("the hardest-worked screw pulls %.2f N, by hand 289.32 N", c.Demand)
	}
	c := worstWhere(t, checks, PlateBends, "plate beyond the held body, along")
	// W = (78.88 + 2 x 5) x 15²/6 = 3333 mm³, 260/1.5 MPa: 577.7 N m
	if math.Abs(c.Demand-1.7457) > figures*1.7457 || math.Abs(c.Capacity-577.7) > figures*577.7 {
		t.Errorf("the plate bends with %.4f N m of %.1f N m, by hand 1.7457 of 577.7", c.Demand, c.Capacity)
	}
	if c := worstWhere(t, checks, PlateBends, "plate beyond the carrier, along"); c.Demand != 0 {
		t.Errorf("beyond a carriage without end nothing can bend, %.3g N m", c.Demand)
	}
}

// TestInterfacePlateStiffnessByHand: all four screws of the carrier stand 5 mm
// beyond the bar, two in a row, on a strip of 88.88 mm: 3 E I/(2 c³) each.
// The bar's screws, drawn in to 80 - 21.12 mm along y, stand 90 mm apart along
// z, 45 mm from the middle, within the carriage's 50 mm: they add nothing.
func TestInterfacePlateStiffnessByHand(t *testing.T) {
	k := plates(t, betweenBodies(t)).Stiffness()
	each := 3 * 70e9 * 0.08888 * math.Pow(0.015, 3) / 12 / (2 * math.Pow(0.005, 3))
	for name, pair := range map[string][2]float64{
		"normal":  {k.Normal, 4 * each},
		"about y": {k.AboutY, 4 * each * 0.03944 * 0.03944},
		"about z": {k.AboutZ, 4 * each * 0.045 * 0.045},
	} {
		if math.Abs(pair[0]/pair[1]-1) > 1e-9 { // the same closed form, other order
			t.Errorf("%s: %.6g, by hand %.6g", name, pair[0], pair[1])
		}
	}
}

// TestOpenedSideBendsThePlate: the bar's screws stand 45 mm from the middle on a
// carriage of 60 mm, 15 mm beyond it. Pressed: 30 + 15 = 45 mm. Levers 0 and
// 90 mm, two screws each: 60/(2 x 0.09) = 333.3 N each on the side that opens,
// 666.7 N x 15 mm = 10 N m, whichever side it is.
func TestOpenedSideBendsThePlate(t *testing.T) {
	b := betweenBodies(t)
	b.Carrier[1] = 0.06
	for _, my := range []float64{60, -60} {
		checks, err := Checks(plates(t, b), Demand{My: my})
		if err != nil {
			t.Fatal(err)
		}
		if c := worstWhere(t, checks, PlateBends, "plate beyond the carrier, across"); math.Abs(c.Demand-10) > 1e-9 {
			t.Errorf("%g N m: the plate bends with %.6g N m, by hand 10", my, c.Demand)
		}
	}
}

func TestPlateThatIsCoveredDoesNotBend(t *testing.T) {
	b := betweenBodies(t)
	b.Carrier, b.Held = [2]float64{0.2, 0.2}, [2]float64{0.2, 0.2}
	p := plates(t, b)
	if k := p.Stiffness(); !math.IsInf(k.Normal, 1) || !math.IsInf(k.AboutY, 1) || !math.IsInf(k.AboutZ, 1) {
		t.Errorf("stiffness %+v of a plate pressed between two larger bodies", k)
	}
	checks, err := Checks(p, Demand{N: 500, My: 60, Mz: 40})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range checks {
		if c.Mechanism == PlateBends && c.Utilisation != 0 {
			t.Errorf("%s: %.3g", c.Where, c.Utilisation)
		}
	}
}

func TestRibsStiffenWhereThePlateOverhangs(t *testing.T) {
	bare := betweenBodies(t)
	bare.Held[0] = 0.04 // the plate overhangs by 25 mm in y
	ribbed := bare
	ribbed.Ribs, ribbed.RibThickness, ribbed.RibHeight = 2, 0.01, 0.04
	before, after := plates(t, bare).Stiffness(), plates(t, ribbed).Stiffness()
	if !(after.AboutZ > 10*before.AboutZ) {
		t.Errorf("about z %.3g without and %.3g N m/rad with two ribs of 40 mm", before.AboutZ, after.AboutZ)
	}
	thin := bare
	thin.Thickness = 0.008
	if k := plates(t, thin).Stiffness(); !(k.AboutZ < before.AboutZ/4) {
		t.Errorf("8 mm has %.3g, 15 mm %.3g N m/rad: stiffness goes with the cube", k.AboutZ, before.AboutZ)
	}
}

func TestInterfacePlateRefusals(t *testing.T) {
	for name, spoil := range map[string]func(*PlateBetween){
		"no screws":              func(p *PlateBetween) { p.Count = 0 },
		"no thickness":           func(p *PlateBetween) { p.Thickness = math.NaN() },
		"no pitch":               func(p *PlateBetween) { p.Pitch[1] = 0 },
		"a bar of 20 mm":         func(p *PlateBetween) { p.Held[0] = 0.02 },
		"ribs wider than plates": func(p *PlateBetween) { p.Ribs, p.RibThickness, p.RibHeight = 9, 0.03, 0.04 },
	} {
		b := betweenBodies(t)
		spoil(&b)
		if _, err := b.Assemble(UsualSafety()); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	b := betweenBodies(t)
	b.Yield = 0
	checks, err := Checks(plates(t, b), Demand{My: 1})
	if err != nil {
		t.Fatal(err)
	}
	if c := pick(t, checks, PlateBends); c.Missing == "" {
		t.Error("a plate without a known yield stress was judged")
	}
}

// TestRowsAcrossTheHost: a plate whose columns are closer than its rows.
func TestRowsAcrossTheHost(t *testing.T) {
	h, e := hardware(t, CornerPlates)
	h.Across = 0.03
	j, err := Assemble(h, e, UsualSafety())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range j.(CornerPlate).Host.Face.Screws {
		if math.Abs(math.Abs(p.U)-0.015) > 1e-15 || math.Abs(math.Abs(p.V)-0.03) > 1e-15 {
			t.Errorf("a screw stands at %+v, wanted 15 mm across and 30 mm from the axis", p)
		}
	}
}
