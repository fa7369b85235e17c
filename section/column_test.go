package section

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestEulerLoads(t *testing.T) {
	const ei, length = 70e9 * 1e-7, 1.5
	base := math.Pi * math.Pi * ei / (length * length)
	for name, c := range map[string]struct{ factor, want float64 }{
		"pinned":       {PinnedPinned, base},
		"free top":     {FixedFree, base / 4},
		"fixed":        {FixedFixed, 4 * base},
		"fixed-pinned": {FixedPinned, 2.04575 * base}, // Timoshenko & Gere: 20.19 EI/L²
	} {
		t.Run(name, func(t *testing.T) {
			near(t, "load", EulerLoad(ei, c.factor*length), c.want, 1e-5)
		})
	}
}

// Worked example of Steel Buildings in Europe, Multi-Storey Steel Buildings
// part 4, appendix A.5: curve b, relative slenderness 0.655, phi 0.792, chi 0.808.
func TestReductionOfPublishedExample(t *testing.T) {
	chi, phi := SteelCurveB.Reduction(0.655)
	near(t, "phi", phi, 0.792, 0.0005/0.792)
	near(t, "chi", chi, 0.808, 0.0006/0.808) // three figures each
}

// The reduction is 1 on the plateau, falls with slenderness, stays below
// Euler's hyperbola, and falls with imperfection.
func TestReductionLaws(t *testing.T) {
	curves := []BucklingCurve{AluminiumClassA, AluminiumClassB, SteelCurveA, SteelCurveB, SteelCurveC}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(curves).Draw(t, "curve")
		lambda := rapid.Float64Range(0, 5).Draw(t, "lambda")
		chi, _ := c.Reduction(lambda)
		if lambda <= c.Plateau && chi != 1 {
			t.Fatalf("chi = %g on the plateau", chi)
		}
		if !(chi > 0 && chi <= 1) || lambda > 0 && chi > 1/(lambda*lambda) {
			t.Fatalf("chi = %g at %g", chi, lambda)
		}
		if after, _ := c.Reduction(lambda + 0.01); after > chi {
			t.Fatalf("chi rises from %g to %g", chi, after)
		}
		rougher := BucklingCurve{Alpha: c.Alpha + 0.1, Plateau: c.Plateau}
		if r, _ := rougher.Reduction(lambda); r > chi {
			t.Fatalf("more imperfection raises chi from %g to %g", chi, r)
		}
	})
}

func TestColumnRefuses(t *testing.T) {
	good := Column{Area: 7e-4, Inertia: 1e-7, Modulus: 70e9, Strength: 200e6, BucklingLength: 1, Curve: AluminiumClassA, Partial: 1.1}
	if b, err := good.Resistance(); err != nil || !(b.Resistance > 0 && b.Resistance < b.Euler) {
		t.Fatalf("%+v, %v", b, err)
	}
	for name, f := range map[string]func(*Column){
		"no area":          func(c *Column) { c.Area = 0 },
		"no length":        func(c *Column) { c.BucklingLength = 0 },
		"not a number":     func(c *Column) { c.Strength = math.NaN() },
		"infinite modulus": func(c *Column) { c.Modulus = math.Inf(1) },
		"no factor":        func(c *Column) { c.Partial = 0 },
	} {
		t.Run(name, func(t *testing.T) {
			c := good
			f(&c)
			if b, err := c.Resistance(); !errors.Is(err, ErrColumn) {
				t.Errorf("got %+v, %v", b, err)
			}
		})
	}
}

func TestCells(t *testing.T) {
	// Two equal cells share a web that carries no flow: the torsion constant is
	// that of the tube around both.
	side, wall := 0.05, 0.002
	c := Cells{
		Enclosed: []float64{side * side, side * side},
		Flex:     [][]float64{{4 * side / wall, -side / wall}, {-side / wall, 4 * side / wall}},
	}
	j, flow, err := c.Torsion()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "J", j, Bredt(2*side*side, 6*side/wall), 1e-12)
	near(t, "flow", flow[0], flow[1], 1e-12)
	for name, bad := range map[string]Cells{
		"no cells":      {},
		"no walls":      {Enclosed: []float64{1}},
		"ragged":        {Enclosed: []float64{1, 1}, Flex: [][]float64{{1, 0}, {1}}},
		"walls of zero": {Enclosed: []float64{1, 1}, Flex: [][]float64{{1, -1}, {-1, 1}}},
	} {
		if _, _, err := bad.Torsion(); !errors.Is(err, ErrCells) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}
