package section

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// compute fails the test if the outline is refused.
func compute(t testing.TB, o Outline) Properties {
	t.Helper()
	p, err := Compute(o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// drawn fails the test if the shape is refused.
func drawn(t testing.TB, shape interface{ Outline() (Outline, error) }) Outline {
	t.Helper()
	o, err := shape.Outline()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// near fails unless got is within the relative tolerance of want.
func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// single is a 40 x 40 profile with hollow corners, double a profile of two
// modules one above the other; both are representative.
func single() TSlot {
	return TSlot{
		Module: 40e-3, ModulesY: 1, ModulesZ: 1, Slot: 8e-3, Lip: 4.5e-3, Inner: 20e-3, Depth: 12.25e-3,
		Web: 2.5e-3, Wall: 1.8e-3, Corner: 1.5e-3, Bore: 6.8e-3, HollowCorners: true,
	}
}

func modules(y, z int) TSlot {
	t := single()
	t.ModulesY, t.ModulesZ = y, z
	return t
}

// anyOutline draws a simple star-shaped outline of 3 to 12 points, sometimes
// with a hole.
func anyOutline(t *rapid.T) Outline {
	n := rapid.IntRange(3, 12).Draw(t, "n")
	var o Outline
	for i := range n {
		angle := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.6).Draw(t, "turn")) / float64(n)
		r := rapid.Float64Range(0.02, 0.05).Draw(t, "r")
		s, c := math.Sincos(angle)
		o.Outer = append(o.Outer, Point{r * c, r * s})
	}
	if rapid.Bool().Draw(t, "hollow") {
		o.Holes = []Loop{circle(Point{}, 0.003, 8)}
	}
	if o.Check() != nil {
		t.Skip("a triangle may miss its own middle")
	}
	return o
}
