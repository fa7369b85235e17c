package section

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Closed forms from any handbook of section properties.
func TestMomentsClosedForms(t *testing.T) {
	const b, h = 0.06, 0.09
	tests := map[string]struct {
		outline                  Outline
		area, yc, zc, iy, iz, yz float64
	}{
		"rectangle off the origin": {
			Outline{Outer: Loop{{5, 7}, {5 + b, 7}, {5 + b, 7 + h}, {5, 7 + h}}},
			b * h, 5 + b/2, 7 + h/2, b * h * h * h / 12, h * b * b * b / 12, 0},
		"rectangle clockwise": {
			Outline{Outer: Loop{{0, 0}, {0, h}, {b, h}, {b, 0}}},
			b * h, b / 2, h / 2, b * h * h * h / 12, h * b * b * b / 12, 0},
		"right triangle": {
			Outline{Outer: Loop{{0, 0}, {b, 0}, {0, h}}},
			b * h / 2, b / 3, h / 3, b * h * h * h / 36, h * b * b * b / 36, -b * b * h * h / 72},
		"a hole of either direction": {
			Outline{Outer: Loop{{-b, -h}, {b, -h}, {b, h}, {-b, h}}, Holes: []Loop{{{-b / 2, -h / 2}, {b / 2, -h / 2}, {b / 2, h / 2}, {-b / 2, h / 2}}}},
			3 * b * h, 0, 0, 2. / 3 * b * h * h * h * (2 - 1./8), 2. / 3 * h * b * b * b * (2 - 1./8), 0},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			m := c.outline.Moments()
			near(t, "A", m.Area, c.area, 1e-12)
			near(t, "Iy", m.Iy, c.iy, 1e-10) // the far rectangle loses digits of its coordinates
			near(t, "Iz", m.Iz, c.iz, 1e-10)
			for what, v := range map[string][2]float64{
				"yc": {m.Centroid.Y, c.yc}, "zc": {m.Centroid.Z, c.zc}, "Iyz": {m.Iyz, c.yz},
			} {
				if math.Abs(v[0]-v[1]) > 1e-14 {
					t.Errorf("%s = %g, want %g", what, v[0], v[1])
				}
			}
		})
	}
}

func TestHollowRectangleByDifference(t *testing.T) {
	o := drawn(t, RectangularHollow{Width: 0.06, Height: 0.1, Wall: 0.004})
	m := o.Moments()
	near(t, "Iy", m.Iy, (0.06*math.Pow(0.1, 3)-0.052*math.Pow(0.092, 3))/12, 1e-12)
	near(t, "Iz", m.Iz, (0.1*math.Pow(0.06, 3)-0.092*math.Pow(0.052, 3))/12, 1e-12)
}

// Turning a section moves the principal axes with it and changes no principal
// moment.
func TestPrincipalAxesTurnWithTheSection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline(t)
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		i1, i2, before := o.Moments().Principal()
		j1, j2, after := o.Turned(angle).Moments().Principal()
		if math.Abs(i1-j1)+math.Abs(i2-j2) > 1e-12*i1 {
			t.Fatalf("principal moments %g, %g became %g, %g", i1, i2, j1, j2)
		}
		if i1-i2 < 1e-3*i1 {
			return // the direction of nearly equal axes is not sharp
		}
		if turn := math.Remainder(after-before-angle, math.Pi); math.Abs(turn) > 1e-8 {
			t.Fatalf("axis at %g turned by %g is at %g", before, angle, after)
		}
	})
}

func TestPrincipalAngle(t *testing.T) {
	tests := map[string]struct {
		m     Moments
		angle float64
	}{
		"tall: bending about y is the stiff one": {Moments{Iy: 2, Iz: 1}, 0},
		"wide: the stiff axis is z":              {Moments{Iy: 1, Iz: 2}, math.Pi / 2},
		"every axis":                             {Moments{Iy: 1, Iz: 1}, 0},
		"metal along the diagonal y = z":         {Moments{Iy: 1, Iz: 1, Iyz: 0.5}, -math.Pi / 4},
		"metal along the other diagonal":         {Moments{Iy: 1, Iz: 1, Iyz: -0.5}, math.Pi / 4},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if _, _, angle := c.m.Principal(); math.Abs(angle-c.angle) > 1e-15 {
				t.Errorf("angle %g, want %g", angle, c.angle)
			}
		})
	}
}

// A flat bar turned by 30 degrees: bending about its long axis is the stiff
// one only if the axis lies across the long side.
func TestTurnedFlat(t *testing.T) {
	flat := drawn(t, Flat{Width: 0.01, Height: 0.1})
	p := compute(t, flat.Turned(math.Pi/6))
	near(t, "angle", p.Angle, math.Pi/6, 1e-9)
	near(t, "I1", p.I1, 0.01*math.Pow(0.1, 3)/12, 1e-9)
	near(t, "W1", p.W1, 0.01*0.1*0.1/6, 1e-9)
	near(t, "W2", p.W2, 0.1*0.01*0.01/6, 1e-9)
	straight := compute(t, flat.Turned(math.Pi/6).Turned(-p.Angle))
	near(t, "Iy turned back", straight.Iy, p.I1, 1e-9)
}

func TestCirclePolygon(t *testing.T) {
	o := Outline{Outer: circle(Point{1, 2}, 0.05, circlePoints)}
	m := o.Moments()
	near(t, "area", m.Area, math.Pi*0.05*0.05, 1e-12)
	near(t, "second moment", m.Iy, math.Pi*math.Pow(0.05, 4)/4, 1e-4)
	if s := o.symmetry(m.Centroid); !s.Double() || !s.Swap {
		t.Errorf("a round bar is not symmetric: %+v", s)
	}
}

// A rounded corner must take exactly (4 - pi) r² from a rectangle and keep its
// tangent points.
func TestRoundedCornersKeepArea(t *testing.T) {
	for _, n := range []int{1, 2, 3, 6, 24} {
		l := roundedRectangle(Point{}, 0.1, 0.06, 0.01, n)
		want := 0.1*0.06 - (4-math.Pi)*0.01*0.01
		if n == 1 {
			want = 0.1*0.06 - 2*0.01*0.01 // a chamfer has no points to move
		}
		near(t, "area", l.area(), want, 1e-12)
		lo, hi := Outline{Outer: l}.Extents()
		near(t, "width", hi.Y-lo.Y, 0.1, 1e-12)
		near(t, "height", hi.Z-lo.Z, 0.06, 1e-12)
	}
}
