package clearance

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func BenchmarkBetween(b *testing.B) {
	h := r3.Vec{X: 0.5, Y: 0.2, Z: 0.3}
	p := cuboid(r3.Vec{X: -3, Y: 0.1}, h, world, r3.Vec{X: 1}, r3.Vec{Y: 1})
	q := cuboid(r3.Vec{Z: 1, Y: 2}, h, world, r3.Vec{X: 1})
	ranges := []Range{{-1, 2}, {-0.2, 1}}
	for b.Loop() {
		Between(&p, &q, ranges)
	}
}

func BenchmarkApart(b *testing.B) {
	h := r3.Vec{X: 0.5, Y: 0.2, Z: 0.3}
	p := cuboid(r3.Vec{X: -3, Y: 0.1}, h, world, r3.Vec{X: 1}, r3.Vec{Y: 1})
	q := cuboid(r3.Vec{Z: 1, Y: 2}, h, world, r3.Vec{X: 1})
	ranges := []Range{{-1, 2}, {-0.2, 1}}
	for b.Loop() {
		Apart(&p, &q, ranges)
	}
}
