package section

import "math"

// Moments are the integrals of area over an outline.
type Moments struct {
	Area     float64 // m²
	Centroid Point   // m
	Iy       float64 // integral z² dA about the centroid, m⁴
	Iz       float64 // integral y² dA about the centroid, m⁴
	Iyz      float64 // integral y z dA about the centroid, m⁴
}

// Moments integrates over the outline, exactly for its straight edges. The
// outline must have passed Check.
//
// With c_k = y_k z_k+1 - y_k+1 z_k summed over all edges, holes turning the
// other way:
//
//	A = sum c/2    A yc = sum (y_k + y_k+1) c/6    Iz = sum (y_k² + y_k y_k+1 + y_k+1²) c/12 ...
//
// Coordinates are taken from the first point, so that a section far from the
// origin loses no digits.
//
// Source: Green's theorem, any text on mechanics of materials.
func (o Outline) Moments() Moments {
	var area, sy, sz, yy, zz, yz float64
	origin := o.Outer[0]
	for k, l := range o.loops() {
		if (l.area() > 0) != (k == 0) {
			l = l.reversed()
		}
		for i, p := range l {
			a, b := p.sub(origin), l[(i+1)%len(l)].sub(origin)
			c := cross(a, b)
			area += c / 2
			sy += (a.Z + b.Z) * c / 6
			sz += (a.Y + b.Y) * c / 6
			yy += (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) * c / 12
			zz += (a.Z*a.Z + a.Z*b.Z + b.Z*b.Z) * c / 12
			yz += (a.Y*b.Z + 2*a.Y*a.Z + 2*b.Y*b.Z + b.Y*a.Z) * c / 24
		}
	}
	g := Point{sz / area, sy / area}
	return Moments{
		Area:     area,
		Centroid: g.add(origin),
		Iy:       zz - area*g.Z*g.Z,
		Iz:       yy - area*g.Y*g.Y,
		Iyz:      yz - area*g.Y*g.Z,
	}
}

// even is the relative difference below which second moments count as equal,
// a hundred times what rounding leaves of a symmetric outline.
const even = 1e-12

// Principal returns the larger and smaller second moment and the angle of the
// major axis from y towards z, rad, in (-pi/2, pi/2]. The angle is 0 where
// every axis is principal.
func (m Moments) Principal() (i1, i2, angle float64) {
	mean, half := (m.Iy+m.Iz)/2, (m.Iy-m.Iz)/2
	radius := math.Hypot(half, m.Iyz)
	if radius <= even*mean {
		return mean, mean, 0
	}
	angle = math.Atan2(-2*m.Iyz, m.Iy-m.Iz) / 2
	if angle <= -math.Pi/2 {
		angle = math.Pi / 2
	}
	return mean + radius, mean - radius, angle
}

// reach returns the largest distances of the outer loop from the axes through
// centre, turned by angle: across the first axis and across the second, m.
func (o Outline) reach(centre Point, angle float64) (first, second float64) {
	s, c := math.Sincos(angle)
	for _, p := range o.Outer {
		d := p.sub(centre)
		first = max(first, math.Abs(c*d.Z-s*d.Y))
		second = max(second, math.Abs(c*d.Y+s*d.Z))
	}
	return first, second
}
