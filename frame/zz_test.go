package frame

import (
	"spanwright/sparse"
	"testing"
)

func BenchmarkZSolve(b *testing.B) {
	base, _ := NewBase(gantry())
	x := make([]float64, base.size())
	y := make([]float64, base.size())
	x[5] = 1
	var s sparse.Scratch
	for b.Loop() {
		base.factor.SolveWith(&s, y, x)
	}
}
func BenchmarkZMul(b *testing.B) {
	base, _ := NewBase(gantry())
	x := make([]float64, base.size())
	y := make([]float64, base.size())
	x[5] = 1
	for b.Loop() {
		base.mass.MulVec(y, x)
	}
}
func BenchmarkZNewBase(b *testing.B) {
	m := gantry()
	for b.Loop() {
		NewBase(m)
	}
}
