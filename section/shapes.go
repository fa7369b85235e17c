package section

import (
	"fmt"
	"math"
	"strings"
)

// ShapeError lists why the numbers of a shape fit no section.
type ShapeError struct{ Reasons []string }

func (e *ShapeError) Error() string { return strings.Join(e.Reasons, "\n") }

// sizes collects reasons against the sizes of a shape.
type sizes struct{ reasons []string }

// positive refuses a size that is not above zero and below 10 m.
func (s *sizes) positive(name string, value float64) {
	s.refuse(!(value > 0 && value < 10), "%s: %s is no size between 0 and 10 m", name, mm(value))
}

// notNegative allows zero for features that may be absent.
func (s *sizes) notNegative(name string, value float64) {
	s.refuse(!(value >= 0 && value < 10), "%s: %s is no size from 0 to 10 m", name, mm(value))
}

func (s *sizes) refuse(wrong bool, format string, args ...any) {
	if wrong {
		s.reasons = append(s.reasons, fmt.Sprintf(format, args...))
	}
}

func (s *sizes) failed() bool { return len(s.reasons) > 0 }

// outline returns the drawn outline if nothing speaks against it.
func (s *sizes) outline(draw func() Outline) (Outline, error) {
	if s.failed() {
		return Outline{}, &ShapeError{s.reasons}
	}
	o := draw()
	if err := o.Check(); err != nil {
		return Outline{}, fmt.Errorf("the sizes give an outline that is no section: %w", err)
	}
	return o, nil
}

func mm(x float64) string { return fmt.Sprintf("%.4g mm", x*1e3) }

// RectangularHollow is a rectangular or square hollow section about the origin.
type RectangularHollow struct {
	Width       float64 // along y, m
	Height      float64 // along z, m
	Wall        float64 // m
	OuterRadius float64 // m; 0 is sharp
	InnerRadius float64 // m; 0 is sharp
}

// ColdFormed returns a cold-formed steel hollow section with the corner radii
// on which its standard bases section properties: outer 2, 2.5 or 3 times the
// wall, inner 1, 1.5 or 2 times, for walls up to 6 mm, up to 10 mm and above.
//
// Source: EN 10219-2, annex on structural properties (from memory).
func ColdFormed(width, height, wall float64) RectangularHollow {
	outer := 2.0
	switch {
	case wall > 10e-3:
		outer = 3
	case wall > 6e-3:
		outer = 2.5
	}
	return RectangularHollow{width, height, wall, outer * wall, (outer - 1) * wall}
}

// HotFinished returns a hot-finished steel hollow section with the corner
// radii on which its standard bases section properties: outer 1.5, inner 1
// times the wall.
//
// Source: EN 10210-2, annex on structural properties (from memory).
func HotFinished(width, height, wall float64) RectangularHollow {
	return RectangularHollow{width, height, wall, 1.5 * wall, wall}
}

// Outline draws the section, or returns a *ShapeError.
func (h RectangularHollow) Outline() (Outline, error) {
	var s sizes
	s.positive("width", h.Width)
	s.positive("height", h.Height)
	s.positive("wall", h.Wall)
	s.notNegative("outer radius", h.OuterRadius)
	s.notNegative("inner radius", h.InnerRadius)
	least := min(h.Width, h.Height)
	s.refuse(!s.failed() && !(2*h.Wall < least), "wall: %s leaves no hollow in a side of %s", mm(h.Wall), mm(least))
	s.refuse(!s.failed() && !(2*h.OuterRadius < least), "outer radius: %s does not fit a side of %s", mm(h.OuterRadius), mm(least))
	s.refuse(!s.failed() && !(2*h.InnerRadius < least-2*h.Wall), "inner radius: %s does not fit a hollow of %s", mm(h.InnerRadius), mm(least-2*h.Wall))
	return s.outline(func() Outline {
		return Outline{
			Outer: roundedRectangle(Point{}, h.Width, h.Height, h.OuterRadius, cornerEdges),
			Holes: []Loop{roundedRectangle(Point{}, h.Width-2*h.Wall, h.Height-2*h.Wall, h.InnerRadius, cornerEdges)},
		}
	})
}

// RoundTube is a round tube about the origin; Wall = Diameter/2 is a solid bar.
type RoundTube struct {
	Diameter float64 // outside, m
	Wall     float64 // m
}

// roundPoints draws round bars and tubes, where the circle is the whole
// section, finer than bores.
const roundPoints = 96

// Outline draws the tube, or returns a *ShapeError.
func (r RoundTube) Outline() (Outline, error) {
	var s sizes
	s.positive("diameter", r.Diameter)
	s.positive("wall", r.Wall)
	s.refuse(!s.failed() && !(2*r.Wall <= r.Diameter), "wall: %s is more than the radius of %s", mm(r.Wall), mm(r.Diameter/2))
	return s.outline(func() Outline {
		o := Outline{Outer: circle(Point{}, r.Diameter/2, roundPoints)}
		if 2*r.Wall < r.Diameter {
			o.Holes = []Loop{circle(Point{}, r.Diameter/2-r.Wall, roundPoints)}
		}
		return o
	})
}

// Flat is a solid rectangle about the origin.
type Flat struct {
	Width  float64 // along y, m
	Height float64 // along z, m
}

// Outline draws the flat, or returns a *ShapeError.
func (f Flat) Outline() (Outline, error) {
	var s sizes
	s.positive("width", f.Width)
	s.positive("height", f.Height)
	return s.outline(func() Outline {
		return Outline{Outer: roundedRectangle(Point{}, f.Width, f.Height, 0, 1)}
	})
}

// Angle is an angle with its heel at the origin and legs along +y and +z.
type Angle struct {
	LegY       float64 // length of the leg along y, outside, m
	LegZ       float64 // length of the leg along z, outside, m
	Thickness  float64 // m
	RootRadius float64 // of the inner corner, m; 0 is sharp
}

// Outline draws the angle, or returns a *ShapeError.
func (a Angle) Outline() (Outline, error) {
	var s sizes
	s.positive("leg along y", a.LegY)
	s.positive("leg along z", a.LegZ)
	s.positive("thickness", a.Thickness)
	s.notNegative("root radius", a.RootRadius)
	least := min(a.LegY, a.LegZ)
	s.refuse(!s.failed() && !(a.Thickness+a.RootRadius < least), "thickness and root radius: %s do not fit a leg of %s", mm(a.Thickness+a.RootRadius), mm(least))
	return s.outline(func() Outline {
		l := Loop{{0, 0}, {a.LegY, 0}, {a.LegY, a.Thickness}}
		l = append(l, innerCorner(Point{a.Thickness, a.Thickness}, Point{1, 1}, a.RootRadius)...)
		return Outline{Outer: append(l, Point{a.Thickness, a.LegZ}, Point{0, a.LegZ})}
	})
}

// innerCorner rounds an inner corner between a horizontal edge that arrives
// from side s.Y and a vertical edge that leaves towards s.Z, with the material
// beyond. A radius of 0 gives the corner itself.
func innerCorner(at, s Point, r float64) Loop {
	if r == 0 {
		return Loop{at}
	}
	c := Point{at.Y + s.Y*r, at.Z + s.Z*r}
	from := -s.Z * math.Pi / 2 // the horizontal edge touches below or above the centre
	to := from - s.Z*s.Y*math.Pi/2
	return arc(c, r, from, to, cornerEdges)
}

// Channel is a channel with the back of its web on the z axis, flanges towards
// +y, symmetric about y.
type Channel struct {
	Height     float64 // along z, outside, m
	Flange     float64 // width of a flange along y, outside, m
	Web        float64 // thickness of the web, m
	Thickness  float64 // thickness of the flanges, m
	RootRadius float64 // of the inner corners, m; 0 is sharp
}

// Outline draws the channel, or returns a *ShapeError.
func (c Channel) Outline() (Outline, error) {
	var s sizes
	s.positive("height", c.Height)
	s.positive("flange", c.Flange)
	s.positive("web", c.Web)
	s.positive("thickness", c.Thickness)
	s.notNegative("root radius", c.RootRadius)
	s.refuse(!s.failed() && !(c.Web+c.RootRadius < c.Flange), "web and root radius: %s do not fit a flange of %s", mm(c.Web+c.RootRadius), mm(c.Flange))
	s.refuse(!s.failed() && !(2*(c.Thickness+c.RootRadius) < c.Height), "thickness and root radius: twice %s do not fit a height of %s", mm(c.Thickness+c.RootRadius), mm(c.Height))
	return s.outline(func() Outline {
		h := c.Height / 2
		inner := h - c.Thickness
		l := Loop{{0, -h}, {c.Flange, -h}, {c.Flange, -inner}}
		l = append(l, innerCorner(Point{c.Web, -inner}, Point{1, 1}, c.RootRadius)...)
		upper := innerCorner(Point{c.Web, inner}, Point{1, -1}, c.RootRadius)
		for i := len(upper) - 1; i >= 0; i-- {
			l = append(l, upper[i])
		}
		return Outline{Outer: append(l, Point{c.Flange, inner}, Point{c.Flange, h}, Point{0, h})}
	})
}
