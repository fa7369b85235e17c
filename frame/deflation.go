package frame

import "math"

// deflation solves with a stiffness on the complement of its null space.
type deflation struct {
	mass    func(dst, x []float64)   // dst = M x
	inverse func(dst, rhs []float64) // any generalised inverse of K; dst may be rhs
	free    [][]float64              // null space, M-orthonormal
	x       []float64
}

// take adds a null vector; it reports whether the vector has mass of its own.
func (d *deflation) take(v []float64) bool {
	v = append([]float64(nil), v...)
	d.mass(d.x, v)
	before := dotProduct(v, d.x)
	for range 2 {
		for _, r := range d.free {
			addScaled(v, -dotProduct(r, d.x), r)
			d.mass(d.x, v)
		}
	}
	mass := dotProduct(v, d.x)
	if !(mass > 1e-12*before) || !(mass > 0) {
		return false
	}
	for i := range v {
		v[i] /= math.Sqrt(mass)
	}
	d.free = append(d.free, v)
	return true
}

// solve sets dst = K⁺ rhs: the forces made self-balancing by inertia, the displacements M-orthogonal to the null space.
func (d *deflation) solve(dst, rhs []float64) {
	copy(dst, rhs)
	for _, r := range d.free {
		d.mass(d.x, r)
		addScaled(dst, -dotProduct(r, rhs), d.x)
	}
	d.inverse(dst, dst)
	d.mass(d.x, dst)
	for _, r := range d.free {
		addScaled(dst, -dotProduct(r, d.x), r)
	}
}
