package machine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"spanwright/frame"
	"spanwright/parts"
)

func direction(t *rapid.T, label string) r3.Vec {
	component := rapid.Float64Range(-1, 1)
	v := r3.Vec{X: component.Draw(t, label+".x"), Y: component.Draw(t, label+".y"), Z: component.Draw(t, label+".z")}
	if r3.Norm(v) < 0.1 {
		t.Skip("too short to be a direction")
	}
	return r3.Unit(v)
}

// rounding is the distance between unit vectors that counts as none.
const rounding = 1e-9

// TestLocalAxesAreThoseOfTheFrame: both packages must turn a profile alike, or
// the model bends about the wrong axis.
func TestLocalAxesAreThoseOfTheFrame(t *testing.T) {
	same := func(t rapid.TB, x r3.Vec, roll float64) {
		y, z := LocalAxes(x, roll)
		want := frame.LocalAxes([3]float64{x.X, x.Y, x.Z}, roll)
		for i, got := range []r3.Vec{y, z} {
			w := r3.Vec{X: want[i+1][0], Y: want[i+1][1], Z: want[i+1][2]}
			if !(r3.Norm(r3.Sub(got, w)) <= rounding) {
				t.Errorf("bar along %v rolled by %v: axis %d is %v, in the frame %v", x, roll, i+1, got, w)
			}
		}
	}
	for _, x := range []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}, {X: 1e-7, Y: 3e-7, Z: 1}, {X: 2e-6, Z: -1}} {
		for _, roll := range []float64{0, math.Pi / 2, -0.3} {
			same(t, x, roll)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		same(t, r3.Scale(rapid.Float64Range(0.1, 10).Draw(t, "length"), direction(t, "x")), rapid.Float64Range(-7, 7).Draw(t, "roll"))
	})
}

// TestRollTurnsTheRailFaceToItsSide: the local z of a beam, on which its rails
// sit, looks where the carriage is.
func TestRollTurnsTheRailFaceToItsSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := direction(t, "x")
		other := direction(t, "normal")
		normal := r3.Sub(other, r3.Scale(r3.Dot(other, x), x))
		if r3.Norm(normal) < 0.05 {
			t.Skip("hardly square")
		}
		normal = r3.Unit(normal)
		if _, z := LocalAxes(x, rollFor(x, normal)); !(r3.Norm(r3.Sub(z, normal)) <= rounding) {
			t.Errorf("beam along %v: the rail face looks to %v, want %v", x, z, normal)
		}
	})
}

// TestHalfIsTheReachOfTheBox: half the width across, half the height along local z.
func TestHalfIsTheReachOfTheBox(t *testing.T) {
	p := &parts.Profile{Size: [2]float64{0.04, 0.08}}
	for name, c := range map[string]struct {
		x, d r3.Vec
		roll float64
		want float64
	}{
		"upright, up":     {r3.Vec{X: 1}, r3.Vec{Z: 1}, 0, 0.04},
		"upright, aside":  {r3.Vec{X: 1}, r3.Vec{Y: 1}, 0, 0.02},
		"lying, up":       {r3.Vec{X: 1}, r3.Vec{Z: 1}, math.Pi / 2, 0.02},
		"lying, down":     {r3.Vec{X: 1}, r3.Vec{Z: -1}, math.Pi / 2, 0.02},
		"a leg, along X":  {r3.Vec{Z: 1}, r3.Vec{X: 1}, 0, 0.04},
		"a leg, along Y":  {r3.Vec{Z: 1}, r3.Vec{Y: 1}, 0, 0.02},
		"along the bar":   {r3.Vec{X: 1}, r3.Vec{X: 1}, 0, 0},
		"over the corner": {r3.Vec{X: 1}, r3.Unit(r3.Vec{Y: 1, Z: 1}), 0, 0.06 / math.Sqrt2},
	} {
		if got := half(p, c.x, c.roll, c.d); math.Abs(got-c.want) > rounding {
			t.Errorf("%s: %v m, want %v m", name, got, c.want)
		}
	}
}
