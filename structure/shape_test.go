package structure

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestParticipationAddsUp: the effective masses of all modes along a direction
// are the mass that can move; of many they are most of it, never more.
func TestParticipationAddsUp(t *testing.T) {
	m := example(t, "sample-gantry")
	s := study(t, m, Low)
	q := make([]float64, len(m.Axes))
	few, err := s.ModeShapes(q, true, 4)
	if err != nil {
		t.Fatal(err)
	}
	many, err := s.ModeShapes(q, true, 60)
	if err != nil {
		t.Fatal(err)
	}
	for d := range 3 {
		sum := func(modes []ModeShape) (out float64) {
			for i := range modes {
				out += modes[i].Participation[d]
			}
			return out
		}
		// Feet and joints hold nothing rigidly, so that nearly all mass can move.
		if a, b := sum(few), sum(many); !(a <= b && b > 0.9 && b <= 1+1e-9) { // rounding of 60 squares
			t.Errorf("along %d four modes swing %.4f of the mass, sixty %.6f", d, a, b)
		}
	}
	for i, mode := range many {
		if !(mode.Gap < 1e-6) { // as the frequencies of frame, squared vectors
			t.Errorf("mode %d misses its energy by %g", i, mode.Gap)
		}
	}
}

func TestRingingStaysWithinTheEnvelopes(t *testing.T) {
	x := r3.Vec{X: 1}
	swings := []Swing{{6, 1e-3, x}, {11.3, 4e-4, x}, {40, 1e-4, r3.Vec{Y: 1}}}
	const zeta = 0.01
	for i := range 200 {
		at := float64(i) * 0.003
		most := Together(Later(swings, at, zeta))
		if by := r3.Norm(Ringing(swings, at, zeta)); by > most {
			t.Errorf("after %g s the tool is %g m away, the envelopes are %g m", at, by, most)
		}
	}
	if got := Ringing(swings[:2], 0, zeta).X; math.Abs(got-1.4e-3) > 1e-15 { // a sum of two
		t.Errorf("it begins %g m away, want the sum 1.4e-3 m", got)
	}
	half := Ringing(swings[:1], 1.0/12, 0) // half a period without damping
	if math.Abs(half.X+1e-3) > 1e-12 {
		t.Errorf("half a period later it is at %v, want the other side", half)
	}
}

func TestGroupedAddsUpByCause(t *testing.T) {
	got := Grouped([]Share{{"a", "legs", 1}, {"b", "feet", -5}, {"c", "legs", 2}})
	if len(got) != 2 || got[0] != (Share{Group: "feet", Value: -5}) || got[1] != (Share{Group: "legs", Value: 3}) {
		t.Errorf("%v", got)
	}
}
