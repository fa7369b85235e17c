package frame

import "math"

// dominant finds the largest eigenvalues of a small dense symmetric positive matrix by subspace iteration.
type dominant struct {
	values  []float64
	vectors [][]float64 // orthonormal
	next    [][]float64 // A times them
	turned  [][]float64
	ritz    ritz
}

// spareVectors are iterated beyond those wanted, for speed.
const spareVectors = 3

// find iterates until the residuals |A x - θ x| of the first n pairs are below tolerance times θ; it reports whether that
// happened. a has rows of length size.
//
// Source: subspace iteration with Rayleigh-Ritz (Bathe, Finite Element Procedures, from memory).
func (d *dominant) find(a []float64, size, n int, tolerance float64) bool {
	k := min(n+spareVectors, size)
	d.resize(k, size)
	d.start(a, size, k)
	for range 60 {
		if !d.orthonormalise() {
			return false
		}
		for j, x := range d.vectors {
			for i := range size {
				d.next[j][i] = dotProduct(a[i*size:(i+1)*size], x)
			}
		}
		d.ritz.resize(k)
		for i := range k {
			d.ritz.k.a[i*k+i] = 1
			for j := range i + 1 {
				v := dotProduct(d.vectors[i], d.next[j])
				d.ritz.m[i*k+j], d.ritz.m[j*k+i] = v, v
			}
		}
		if !d.ritz.solve() {
			return false
		}
		d.turn(d.vectors)
		d.turn(d.next)
		done := true
		for j := range k {
			d.values[j] = 1 / d.ritz.values[j]
			if j < n && done {
				sum := 0.0
				for i, x := range d.vectors[j] {
					r := d.next[j][i] - d.values[j]*x
					sum += r * r
				}
				done = math.Sqrt(sum) <= tolerance*d.values[j]
			}
		}
		if done {
			return true
		}
		d.vectors, d.next = d.next, d.vectors
	}
	return false
}

func (d *dominant) resize(k, size int) {
	d.values = sized(d.values, k)
	for _, list := range []*[][]float64{&d.vectors, &d.next, &d.turned} {
		for len(*list) < k {
			*list = append(*list, nil)
		}
		*list = (*list)[:k]
		for j := range *list {
			(*list)[j] = sized((*list)[j], size)
		}
	}
}

// start takes the columns of the largest diagonal entries, the first of equal ones.
func (d *dominant) start(a []float64, size, k int) {
	last, lastAt := math.Inf(1), -1
	for j := range k {
		best, at := -1.0, 0
		for i := range size {
			v := a[i*size+i]
			if after := v < last || v == last && i > lastAt; after && v > best {
				best, at = v, i
			}
		}
		copy(d.vectors[j], a[at*size:(at+1)*size])
		last, lastAt = best, at
	}
}

// orthonormalise makes the vectors orthonormal, twice for the sake of rounding.
func (d *dominant) orthonormalise() bool {
	for j, x := range d.vectors {
		for range 2 {
			for _, y := range d.vectors[:j] {
				addScaled(x, -dotProduct(x, y), y)
			}
			size := math.Sqrt(dotProduct(x, x))
			if !(size > 0) || math.IsInf(size, 0) {
				return false
			}
			scaleBy(x, 1/size)
		}
	}
	return true
}

// turn replaces the vectors by their combinations that the projected problem gives.
func (d *dominant) turn(list [][]float64) {
	k := len(list)
	for j := range k {
		clear(d.turned[j])
		for i := range k {
			addScaled(d.turned[j], d.ritz.v[j*k+i], list[i])
		}
	}
	for j := range k {
		copy(list[j], d.turned[j])
	}
}
