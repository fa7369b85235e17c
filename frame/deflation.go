package frame

import (
	"math"
	"slices"

	"spanwright/sparse"
)

// deflation solves with a stiffness on the complement of its null space.
type deflation struct {
	mass    func(dst, x []float64)   // dst = M x
	inverse func(dst, rhs []float64) // any generalised inverse of K; dst may be rhs
	free    [][]float64              // null space, M-orthonormal
	massed  [][]float64              // M times it
	x       []float64

	// For solveFour: free and massed, one vector after the other, and scratch.
	flat, flatMassed, sums, balanced []float64
}

// take adds a null vector; it reports whether the vector has mass of its own.
func (d *deflation) take(v []float64) bool {
	v = append([]float64(nil), v...)
	d.mass(d.x, v)
	before := dotProduct(v, d.x)
	for range 2 {
		for i, r := range d.free {
			addScaled(v, -dotProduct(d.massed[i], v), r)
		}
	}
	d.mass(d.x, v)
	mass := dotProduct(v, d.x)
	if !(mass > 1e-12*before) || !(mass > 0) {
		return false
	}
	scaleBy(v, 1/math.Sqrt(mass))
	scaleBy(d.x, 1/math.Sqrt(mass))
	d.free = append(d.free, v)
	d.massed = append(d.massed, append([]float64(nil), d.x...))
	return true
}

// solve sets dst = K⁺ rhs: the forces made self-balancing by inertia, the displacements M-orthogonal to the null space.
func (d *deflation) solve(dst, rhs []float64) {
	copy(dst, rhs)
	for i, r := range d.free {
		addScaled(dst, -dotProduct(r, rhs), d.massed[i])
	}
	d.inverse(dst, dst)
	for i, r := range d.free {
		addScaled(dst, -dotProduct(d.massed[i], dst), r)
	}
}

// solveFour is solve for four vectors side by side, which do not overlap, with an inverse for four.
func (d *deflation) solveFour(inverse func(dst, rhs []float64), dst, rhs []float64) {
	n, count := len(d.x), len(d.free)
	if count > 0 && d.flat == nil {
		d.flat, d.flatMassed = slices.Concat(d.free...), slices.Concat(d.massed...)
		d.sums, d.balanced = make([]float64, lanes*count), make([]float64, lanes*n)
	}
	if count == 0 {
		inverse(dst, rhs)
		return
	}
	copy(d.balanced, rhs)
	sparse.DotFour(count, d.flat, n, rhs, d.sums)
	sparse.SubtractFour(count, d.flatMassed, n, d.sums, d.balanced)
	inverse(dst, d.balanced)
	sparse.DotFour(count, d.flatMassed, n, dst, d.sums)
	sparse.SubtractFour(count, d.flat, n, d.sums, dst)
}
