package section

import (
	"math"
	"strings"
	"testing"
)

func TestMostSlenderWalls(t *testing.T) {
	tests := map[string]struct {
		outline            Outline
		internal, outstand float64 // width over thickness, by hand
	}{
		"rectangular hollow": {drawn(t, RectangularHollow{Width: 0.1, Height: 0.06, Wall: 0.004}), 92. / 4, 0},
		"rounded corners do not count": {drawn(t, RectangularHollow{Width: 0.1, Height: 0.06, Wall: 0.004, OuterRadius: 0.008, InnerRadius: 0.004}),
			84. / 4, 0},
		"angle":       {drawn(t, Angle{LegY: 0.05, LegZ: 0.08, Thickness: 0.005}), 0, 75. / 5},
		"channel":     {drawn(t, Channel{Height: 0.1, Flange: 0.05, Web: 0.004, Thickness: 0.006}), 88. / 4, 46. / 6},
		"flat":        {drawn(t, Flat{0.1, 0.005}), 0, 20},
		"round tube":  {drawn(t, RoundTube{0.06, 0.004}), 0, 0},
		"slot lips":   {drawn(t, single()), 6.4 / 1.8, 6. / 4.5},
		"edge cells":  {drawn(t, modules(1, 2)), 16.4 / 1.8, 6. / 4.5},
		"thick block": {Outline{Outer: Loop{{0, 0}, {1, 0}, {1, 1}, {0, 1}}}, 0, 0},
		// Points on straight edges must not cut a wall into short pieces.
		"divided edges": {Outline{
			Outer: Loop{{-0.05, -0.03}, {-0.01, -0.03}, {0.02, -0.03}, {0.05, -0.03}, {0.05, 0.03}, {-0.05, 0.03}},
			Holes: []Loop{{{-0.046, -0.026}, {0.046, -0.026}, {0.046, 0.026}, {0.01, 0.026}, {-0.046, 0.026}}},
		}, 92. / 4, 0},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			w := c.outline.standard().walls()
			if math.Abs(w.Internal.Ratio()-c.internal) > 1e-9 || math.Abs(w.Outstand.Ratio()-c.outstand) > 1e-9 {
				t.Errorf("internal %.6g, outstand %.6g; want %.6g, %.6g", w.Internal.Ratio(), w.Outstand.Ratio(), c.internal, c.outstand)
			}
		})
	}
}

func TestSlenderWallsSaySo(t *testing.T) {
	thin := drawn(t, RectangularHollow{Width: 0.1, Height: 0.1, Wall: 0.002}).standard().walls() // 48
	if slender, note := thin.Slender(SteelWallLimits(355e6)); !slender || !strings.Contains(note, "48.0 times its thickness (limit 34.2)") {
		t.Errorf("%v: %s", slender, note)
	}
	if slender, note := thin.Slender(AluminiumWallLimits(100e6)); !slender || !strings.Contains(note, "limit 34.8") {
		t.Errorf("%v: %s", slender, note)
	}
	stout := drawn(t, single()).standard().walls()
	if slender, note := stout.Slender(AluminiumWallLimits(200e6)); slender || !strings.Contains(note, "the full section counts") {
		t.Errorf("%v: %s", slender, note)
	}
	if slender, _ := stout.Slender(AluminiumWallLimits(math.NaN())); !slender {
		t.Error("limits that are not numbers pass")
	}
}

func TestLargestCircle(t *testing.T) {
	// In a corner the circle touches both outer walls and the inner corner:
	// (t - r) sqrt(2) = r, so its diameter is 2 t (2 - sqrt 2).
	for name, c := range map[string]struct {
		outline  Outline
		diameter float64
	}{
		"square hollow: across a corner": {drawn(t, RectangularHollow{Width: 0.05, Height: 0.05, Wall: 0.003}), 2 * 0.003 * (2 - math.Sqrt2)},
		"tube":                           {drawn(t, RoundTube{0.06, 0.004}), 0.004},
		"rectangle":                      {drawn(t, Flat{0.1, 0.02}), 0.02},
		"triangle: inscribed circle":     {Outline{Outer: Loop{{0, 0}, {0.03, 0}, {0, 0.04}}}, 0.02},
		"angle: in the heel":             {drawn(t, Angle{LegY: 0.05, LegZ: 0.05, Thickness: 0.005}), 2 * 0.005 * (2 - math.Sqrt2)},
	} {
		t.Run(name, func(t *testing.T) {
			p := compute(t, c.outline)
			near(t, name, p.Thickest, c.diameter, 1e-3) // round shapes are polygons
		})
	}
}

// A star with several hills of clearance: climbing only the first one found
// gives another circle after a quarter turn, 1.8 % smaller.
func TestLargestCircleOfSeveralHills(t *testing.T) {
	var o Outline
	for i, p := range [][2]float64{ // turn beyond the even spacing, radius in mm
		{0.375, 31.25}, {0.0625, 41.02}, {0.125, 20.51}, {0.09375, 31.25},
		{0.375, 21.73}, {0.0219, 42.28}, {0.6, 20}, {0.46686, 44.65},
	} {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + p[0]) / 8)
		o.Outer = append(o.Outer, Point{p[1] * 1e-3 * c, p[1] * 1e-3 * s})
	}
	turned := o.moved(func(p Point) Point { return Point{-p.Z, p.Y} })
	near(t, "largest circle", compute(t, turned).Thickest, compute(t, o).Thickest, 3e-3)
}
