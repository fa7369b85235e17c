package urdf

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Body is a rigid body: mass, centre of mass and inertia about it.
type Body struct {
	Mass    float64 // kg
	Centre  r3.Vec  // m
	Inertia Inertia // about the centre, in the axes in which Centre is given
}

// Inertia is the symmetric inertia matrix, kg m². Its off-diagonal elements are
// the matrix elements themselves: XY is minus the integral of x y dm.
type Inertia struct{ XX, YY, ZZ, XY, XZ, YZ float64 }

func (i Inertia) plus(k Inertia) Inertia {
	return Inertia{i.XX + k.XX, i.YY + k.YY, i.ZZ + k.ZZ, i.XY + k.XY, i.XZ + k.XZ, i.YZ + k.YZ}
}

// point is the inertia of a point mass at d.
func point(m float64, d r3.Vec) Inertia {
	return Inertia{
		m * (d.Y*d.Y + d.Z*d.Z), m * (d.X*d.X + d.Z*d.Z), m * (d.X*d.X + d.Y*d.Y),
		-m * d.X * d.Y, -m * d.X * d.Z, -m * d.Y * d.Z,
	}
}

// Box is the inertia of a homogeneous box about its centre: m (b² + c²)/12 and
// so on round.
func Box(mass float64, size r3.Vec) Inertia {
	x, y, z := size.X*size.X, size.Y*size.Y, size.Z*size.Z
	return Inertia{XX: mass * (y + z) / 12, YY: mass * (x + z) / 12, ZZ: mass * (x + y) / 12}
}

// Hollow is the inertia of a homogeneous box with a hollow of the given size
// about the same centre; mass is that of what remains. The hollow is taken off
// with the same density.
func Hollow(mass float64, outer, inner r3.Vec) (Inertia, error) {
	o, i := outer.X*outer.Y*outer.Z, inner.X*inner.Y*inner.Z
	if !(o > i) || !(i >= 0) {
		return Inertia{}, fmt.Errorf("%w: a hollow of %g m³ in a box of %g m³", ErrBody, i, o)
	}
	density := mass / (o - i)
	return Box(density*o, outer).plus(Box(-density*i, inner)), nil
}

// Bar is the inertia of a straight uniform bar about its centre: its section
// has the second moments iy and iz (m⁴) about its local axes y and z and the
// area a (m²); x, y, z are the local axes in the axes of the result.
//
// Derived: about x the second moments of both directions, about y and z a thin
// rod plus the section's own.
func Bar(mass, length, a, iy, iz float64, x, y, z r3.Vec) Inertia {
	rod := mass * length * length / 12
	about := [3]float64{mass * (iy + iz) / a, rod + mass*iy/a, rod + mass*iz/a}
	var out Inertia
	for i, d := range [3]r3.Vec{x, y, z} {
		out = out.plus(Inertia{
			about[i] * d.X * d.X, about[i] * d.Y * d.Y, about[i] * d.Z * d.Z,
			about[i] * d.X * d.Y, about[i] * d.X * d.Z, about[i] * d.Y * d.Z,
		})
	}
	return out
}

// Join is several bodies as one: masses add up, and each inertia is moved to
// the common centre by the parallel-axis theorem.
func Join(bodies ...Body) Body {
	var all Body
	for _, b := range bodies {
		all.Mass += b.Mass
		all.Centre = r3.Add(all.Centre, r3.Scale(b.Mass, b.Centre))
	}
	if all.Mass > 0 {
		all.Centre = r3.Scale(1/all.Mass, all.Centre)
	}
	for _, b := range bodies {
		all.Inertia = all.Inertia.plus(b.Inertia).plus(point(b.Mass, r3.Sub(b.Centre, all.Centre)))
	}
	return all
}

// ErrBody says that mass and inertia belong to no body.
var ErrBody = errors.New("no rigid body has this mass and inertia")

// Check tells whether a body can have this mass and inertia: all principal
// moments above zero, and none larger than the other two together.
func (b Body) Check() error {
	if !(b.Mass > 0) || math.IsInf(b.Mass, 0) {
		return fmt.Errorf("%w: mass %g kg", ErrBody, b.Mass)
	}
	i := b.Inertia
	var e mat.EigenSym
	if !e.Factorize(mat.NewSymDense(3, []float64{i.XX, i.XY, i.XZ, i.XY, i.YY, i.YZ, i.XZ, i.YZ, i.ZZ}), false) {
		return fmt.Errorf("%w: inertia %v", ErrBody, i)
	}
	p := e.Values(nil) // rising
	const rounding = 1e-9
	if !(p[0] > 0) || !(p[0]+p[1] >= p[2]*(1-rounding)) {
		return fmt.Errorf("%w: principal moments %.4g, %.4g, %.4g kg m²", ErrBody, p[0], p[1], p[2])
	}
	return nil
}
