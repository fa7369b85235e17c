package machine_test

import (
	"math"
	"strings"
	"testing"

	"spanwright/machine"
)

func massOf(m *machine.Machine, id string) float64 {
	sum := 0.0
	for _, p := range m.Masses {
		if strings.HasPrefix(p.ID, id) {
			sum += p.Kg
		}
	}
	return sum
}

// TestCarrierHangsOnBothBodies redoes the X carrier of the portal by hand:
// travel 1.8 m and twice 560 mm + 32 mm of reserve make S = 2.984 m; R = 0.1 m,
// two links of 30 mm more: L = pi R + S/2 + 0.06 = 1.866 m, 63 links, 1.89 m.
// The longest upper run is (L - pi R + S/2)/2 = 1.5339 m. Carrier 0.62 kg/m and
// cables 0.44 kg/m: m' (U + pi R/2) = 1.7924 kg move, 2.0034 kg are there in all.
func TestCarrierHangsOnBothBodies(t *testing.T) {
	m := example(t, "crate-portal")
	c := m.CableCarriers["x"]
	if c.Loop.Links != 63 || math.Abs(c.Loop.UpperMax-1.53392) > 1e-5 {
		t.Errorf("%d links, upper run %.5f m", c.Loop.Links, c.Loop.UpperMax)
	}
	if got := c.MovingMass(); math.Abs(got-1.79246) > 1e-4 {
		t.Errorf("moving mass %.5f kg", got)
	}
	if got := massOf(m, "x.carrier"); math.Abs(got-1.06*1.89) > 1e-9 {
		t.Errorf("all parts of the carrier weigh %.5f kg, want %.5f kg", got, 1.06*1.89)
	}
}

// TestFixedEndDecidesWhatMoves holds that a fixed end at one end of the travel
// needs a longer carrier, of which more moves.
func TestFixedEndDecidesWhatMoves(t *testing.T) {
	const was = "x: {part: carrier-20x77-r100"
	middle, end := example(t, "crate-portal"), build(t, load(t, "crate-portal", was, was+", fixed_at: 900 mm"))
	a, b := middle.CableCarriers["x"], end.CableCarriers["x"]
	if !b.Shape.TowardMinus || a.Shape.TowardMinus {
		t.Error("the bend opens away from the fixed end")
	}
	if !(b.Loop.Length > a.Loop.Length+0.89 && b.Mass() > a.Mass()) {
		t.Errorf("length %.3f m with the fixed end in the middle, %.3f m at the end", a.Loop.Length, b.Loop.Length)
	}
}

func TestCablesCrossEveryJointUpToTheirEnd(t *testing.T) {
	m := example(t, "crate-portal")
	if x, z := len(m.Crossing(0)), len(m.Crossing(1)); x != 5 || z != 4 {
		t.Errorf("%d cables cross X and %d cross Z; all but the switches on the X carriage go on to the mast, want 5 and 4", x, z)
	}
}
