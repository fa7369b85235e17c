package prism

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/parts"
	"spanwright/section"
)

func pointsOf(l section.Loop) []Point {
	out := make([]Point, len(l))
	for i, p := range l {
		out[i] = Point{p.Y, p.Z}
	}
	return out
}

func outlineOf(t testing.TB, p *parts.Profile) (rounded, polygons Outline) {
	t.Helper()
	o, err := p.Outline()
	if err != nil {
		t.Fatal(err)
	}
	rounded.Outer, polygons.Outer = Recognise(pointsOf(o.Outer)), Polygon(pointsOf(o.Outer)...)
	for _, h := range o.Holes {
		rounded.Holes = append(rounded.Holes, Recognise(pointsOf(h)))
		polygons.Holes = append(polygons.Holes, Polygon(pointsOf(h)...))
	}
	return rounded.Oriented(), polygons.Oriented()
}

// TestCatalogueOutlines: arcs do not change the area of any profile, every
// outline falls into triangles, with and without arcs, and its surface closes.
func TestCatalogueOutlines(t *testing.T) {
	c := parts.Embedded()
	for _, id := range c.IDs("profile") {
		t.Run(id, func(t *testing.T) {
			p, _ := c.Profile(id)
			if p.Given != nil {
				return // has no outline
			}
			rounded, polygons := outlineOf(t, p)
			if a, b := rounded.Area(), polygons.Area(); math.Abs(a/b-1) > 1e-12 {
				t.Errorf("area %.15g with arcs, %.15g as polygons", a, b)
			}
			for _, o := range []Outline{rounded, polygons} {
				body := Prism{Outline: o, Length: 0.5}
				m, err := body.Mesh(24)
				if err != nil {
					t.Fatal(err)
				}
				want := Prism{Outline: o.Straight(24), Length: 0.5}.Volume()
				if got := m.Volume(); math.Abs(got/want-1) > 1e-9 {
					t.Errorf("the surface encloses %.12g m³, area times length is %.12g m³", got, want)
				}
			}
		})
	}
}

func TestRecognise(t *testing.T) {
	tube, err := section.RectangularHollow{Width: 0.08, Height: 0.04, Wall: 0.004, OuterRadius: 0.008, InnerRadius: 0.004}.Outline()
	if err != nil {
		t.Fatal(err)
	}
	bar, err := section.RoundTube{Diameter: 0.05, Wall: 0.01}.Outline()
	if err != nil {
		t.Fatal(err)
	}
	angle, err := section.Angle{LegY: 0.05, LegZ: 0.05, Thickness: 0.005, RootRadius: 0.006}.Outline()
	if err != nil {
		t.Fatal(err)
	}
	tests := map[string]struct {
		points []Point
		radius float64 // of all its arcs
		arcs   int
	}{
		"corners of a tube":             {pointsOf(tube.Outer), 0.008, 4},
		"inner corners":                 {pointsOf(tube.Holes[0]), 0.004, 4},
		"a circle":                      {pointsOf(bar.Outer), 0.025, 2},
		"the bore in it":                {pointsOf(bar.Holes[0]), 0.015, 2},
		"root of an angle":              {pointsOf(angle.Outer), 0.006, 1},
		"a rectangle has none":          {pointsOf(section.Loop{{Y: 0}, {Y: 1}, {Y: 1, Z: 1}, {Z: 1}}), 0, 0},
		"an octagon is none":            {polygonOf(8, 1), 0, 0},
		"a polygon of sixteen is none":  {polygonOf(16, 1), 0, 0},
		"a fillet with points on it":    {fillet(12), 0.5, 1},
		"a quarter of a circle in four": {fillet(4), 0, 0}, // turns too much at a point
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			l := Recognise(tt.points)
			arcs := 0
			for i := range l {
				a, curved := l.Arc(i)
				if !curved {
					continue
				}
				arcs++
				// Points that lie on the arc itself give a slightly flatter one of the same area: 0.53 % for twelve chords.
				if math.Abs(a.Radius/tt.radius-1) > 6e-3 {
					t.Errorf("an arc of radius %.9g, want %.9g", a.Radius, tt.radius)
				}
			}
			if arcs != tt.arcs {
				t.Errorf("%d arcs, want %d: %v", arcs, tt.arcs, l)
			}
			if got, want := l.Area(), area(tt.points); math.Abs(got/want-1) > 1e-12 {
				t.Errorf("area %.15g, the polygon's is %.15g", got, want)
			}
		})
	}
}

func polygonOf(n int, r float64) []Point {
	out := make([]Point, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = Point{r * c, r * s}
	}
	return out
}

// fillet is a unit square with one corner rounded by n chords, its points on the arc.
func fillet(n int) []Point {
	out := []Point{{0, 0}, {1, 0}}
	for i := range n + 1 {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / float64(n))
		out = append(out, Point{0.5 + 0.5*c, 0.5 + 0.5*s})
	}
	return append(out, Point{0, 1})
}

// TestRecogniseKeepsTheArea, wherever the polygon begins and whichever way it turns.
func TestRecogniseKeepsTheArea(t *testing.T) {
	base := pointsOf(func() section.Loop {
		o, _ := section.TSlot{Module: 0.04, ModulesY: 2, ModulesZ: 1, Slot: 0.008, Lip: 0.004, Inner: 0.02, Depth: 0.012, Web: 0.003, Wall: 0.002, Corner: 0.003, Bore: 0.007}.Outline()
		return o.Outer
	}())
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, len(base)-1).Draw(t, "first")
		points := append(append([]Point{}, base[k:]...), base[:k]...)
		if rapid.Bool().Draw(t, "clockwise") {
			for i, j := 0, len(points)-1; i < j; i, j = i+1, j-1 {
				points[i], points[j] = points[j], points[i]
			}
		}
		l := Recognise(points)
		arcs := 0
		for _, v := range l {
			if v.Bulge != 0 {
				arcs++
			}
		}
		if arcs != 4 || math.Abs(l.Area()/area(points)-1) > 1e-12 {
			t.Fatalf("%d arcs, area %.15g of %.15g", arcs, l.Area(), area(points))
		}
	})
}
