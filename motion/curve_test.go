package motion

import (
	"math"
	"testing"
)

// A segment whose acceleration runs from -1 to 2 m/s² in 3 s, worked by hand:
// ∫a² = 3 (1 - 2 + 4)/3, ∫|a|³ = (1 + 16)/4, slowest where a = 0, at 1 s.
func TestIntegralsAcrossZero(t *testing.T) {
	c := Chain(0, State{Speed: -1}, Piece{3, -1, 1})
	pairs := map[string][2]float64{
		"∫a²":            {c.SquareAccel(), 3},
		"∫|a|³":          {c.CubeAccel(), 4.25},
		"peak speed":     {c.PeakSpeed(), 1.5},
		"peak accel":     {c.PeakAccel(), 2},
		"peak jerk":      {c.PeakJerk(), 1},
		"RMS over 12 s":  {c.RMSAccel(12), 0.5},
		"speed at 1 s":   {c.At(1).Speed, -1.5},
		"position at 3s": {c.Last().Position, -3 - 4.5 + 4.5},
	}
	for name, pair := range pairs {
		if math.Abs(pair[0]-pair[1]) > 1e-15*4 {
			t.Errorf("%s = %.17g, want %g", name, pair[0], pair[1])
		}
	}
}

// Where the acceleration jumps, the value after the jump counts.
func TestAtTheJumpTheLaterHolds(t *testing.T) {
	c := Chain(1, State{Position: 5}, Piece{1, 2, 0}, Piece{0, 7, 0}, Piece{1, -2, 0})
	if len(c) != 2 {
		t.Fatalf("%d segments, the one without duration should be left out", len(c))
	}
	want := map[float64]State{
		0.999: {Position: 5},
		1:     {5, 0, 2},
		1.5:   {5.25, 1, 2},
		2:     {6, 2, -2},
		3:     {Position: 7},
	}
	for at, state := range want {
		if got := c.At(at); got != state {
			t.Errorf("at %g s: %+v, want %+v", at, got, state)
		}
	}
}

func TestEmptyCurve(t *testing.T) {
	var c Curve
	if c.Start() != 0 || c.End() != 0 || c.Last() != (State{}) || c.At(1) != (State{}) || c.Corners() != nil || c.PeakSpeed() != 0 {
		t.Error("a curve without segments is not at rest at 0")
	}
	if m := (Mode{Frequency: 8}); m.Residual(c) != 0 {
		t.Error("a curve without segments shakes something")
	}
	if Chain(0, State{}).Between(0, 1) != nil {
		t.Error("a part of nothing is something")
	}
}

func TestBetween(t *testing.T) {
	c := Chain(0, State{}, Piece{1, 2, 0}, Piece{1, -2, 0}) // 1 m and back to rest
	part := c.Between(0.5, 1.5)
	if len(part) != 2 || part.Start() != 0.5 || part.End() != 1.5 || part[0].State != (State{0.25, 1, 2}) {
		t.Errorf("%+v", part)
	}
	if rest := c.Between(2, 3); rest != nil {
		t.Errorf("beyond the end: %+v", rest)
	}
	if sliver := c.Between(0, 1+1e-16); len(sliver) != 1 {
		t.Errorf("a rounding made a segment: %+v", sliver)
	}
}
