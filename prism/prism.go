// Package prism describes straight bodies for drawings and model files: an
// outline of lines and circular arcs, drawn out along z. It knows areas,
// volumes, extents, the recognition of arcs in polygons, and triangles.
//
// It computes no strength and no section properties, and knows no machine and
// no file format. Outlines lie in the x-y plane, z follows right-handed; outer
// loops turn counter-clockwise and holes clockwise, so that the material is
// always on the left. All lengths are in m.
package prism

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Point is a point of an outline, m.
type Point struct{ X, Y float64 }

func (p Point) sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

func (p Point) dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

func (p Point) length() float64 { return math.Hypot(p.X, p.Y) }

// Outline is the edge of the material: inside Outer, outside all Holes.
type Outline struct {
	Outer Loop
	Holes []Loop
}

// Loops returns the outer loop and the holes behind it.
func (o Outline) Loops() []Loop { return append([]Loop{o.Outer}, o.Holes...) }

// Area is the area of the material, m², exact also with arcs: the holes count
// negative because they turn clockwise.
func (o Outline) Area() float64 {
	sum := 0.0
	for _, l := range o.Loops() {
		sum += l.Area()
	}
	return sum
}

// centroid is the centre of area of an outline without arcs, m.
func (o Outline) centroid() Point {
	var c Point
	area := 0.0
	for _, l := range o.Loops() {
		for i, p := range l {
			q := l.at(i + 1)
			a := p.Point.cross(q.Point) / 2
			area += a
			c.X += a * (p.X + q.X) / 3
			c.Y += a * (p.Y + q.Y) / 3
		}
	}
	return Point{c.X / area, c.Y / area}
}

// Oriented returns the outline with its outer loop counter-clockwise and its
// holes clockwise.
func (o Outline) Oriented() Outline {
	out := Outline{Outer: o.Outer}
	if o.Outer.Area() < 0 {
		out.Outer = o.Outer.Reversed()
	}
	for _, h := range o.Holes {
		if h.Area() > 0 {
			h = h.Reversed()
		}
		out.Holes = append(out.Holes, h)
	}
	return out
}

// Straight returns the outline with every arc as chords, perTurn to a full
// turn. The ends of arcs stay; a circle becomes a polygon within it.
func (o Outline) Straight(perTurn int) Outline {
	out := Outline{Outer: o.Outer.straight(perTurn)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, h.straight(perTurn))
	}
	return out
}

// Prism is an outline drawn out along z from the plane z = 0 to z = Length. Its
// ends may be cut at an angle: the end at z = 0 then rises by Ends[0], the end
// at z = Length by Ends[1].
type Prism struct {
	Outline
	Length float64
	Ends   [2]Slope
}

// Slope is the rise of an end plane, m/m along x and along y; zero is square.
type Slope struct{ X, Y float64 }

// Box is a box of size x, y along the outline and z along the length, centred
// in x and y, from z = 0.
func Box(x, y, z float64) Prism {
	return Prism{Outline: Outline{Outer: Rectangle(x, y)}, Length: z}
}

// Cylinder is a cylinder about z, from z = 0.
func Cylinder(diameter, length float64) Prism {
	return Prism{Outline: Outline{Outer: Circle(Point{}, diameter/2)}, Length: length}
}

// Z is the height of the end (0 or 1) above a point of the outline, m.
func (p Prism) Z(end int, at Point) float64 {
	return float64(end)*p.Length + p.Ends[end].X*at.X + p.Ends[end].Y*at.Y
}

// Square tells whether both ends are square to the length.
func (p Prism) Square() bool { return p.Ends == [2]Slope{} }

// Volume is area times length, m³; with slanting ends the length at the centre
// of area (derived: the integral of a plane over an area).
func (p Prism) Volume() float64 {
	if p.Square() {
		return p.Area() * p.Length
	}
	c := p.centroid()
	return p.Area() * (p.Z(1, c) - p.Z(0, c))
}

// ErrShape says that a prism is no body.
var ErrShape = errors.New("no body")

// Check tells why the prism is no body: loops that turn the wrong way or
// enclose nothing, numbers that are not finite, no length, slanting ends on
// arcs or ends that meet. It does not look for loops that cross.
func (p Prism) Check() error {
	if !(p.Length > 0) || math.IsInf(p.Length, 0) {
		return fmt.Errorf("%w: a length of %g m", ErrShape, p.Length)
	}
	for k, l := range p.Loops() {
		if err := p.checkLoop(k, l); err != nil {
			return err
		}
	}
	if !(p.Area() > 0) {
		return fmt.Errorf("%w: the holes are larger than the outline", ErrShape)
	}
	return nil
}

func (p Prism) checkLoop(k int, l Loop) error {
	name := "the outer loop"
	if k > 0 {
		name = fmt.Sprintf("hole %d", k)
	}
	for _, v := range l {
		if !finite(v.X, v.Y, v.Bulge) {
			return fmt.Errorf("%w: %s has a point that is no number", ErrShape, name)
		}
		if v.Bulge != 0 && !p.Square() {
			return fmt.Errorf("%w: %s has arcs and a slanting end; make it straight first", ErrShape, name)
		}
		if !(p.Z(1, v.Point) > p.Z(0, v.Point)) {
			return fmt.Errorf("%w: the ends meet within %s", ErrShape, name)
		}
	}
	if area := l.Area(); len(l) < 2 || !(area > 0) != (k > 0) || area == 0 {
		return fmt.Errorf("%w: %s has %d points and encloses %g m², outer loops turn counter-clockwise and holes clockwise", ErrShape, name, len(l), area)
	}
	return nil
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Support is how far the prism reaches along the unit vector d from the origin
// of its frame, m.
func (p Prism) Support(d r3.Vec) float64 {
	most := math.Inf(-1)
	for end, s := range p.Ends {
		// On the end plane, z = end*Length + s.x x + s.y y.
		flat := Point{d.X + d.Z*s.X, d.Y + d.Z*s.Y}
		size := flat.length()
		reach := 0.0
		if size > 0 {
			reach, _ = p.Outer.Support(Point{flat.X / size, flat.Y / size})
		}
		most = max(most, size*reach+float64(end)*p.Length*d.Z)
	}
	return most
}
