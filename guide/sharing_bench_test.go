package guide

import "testing"

func BenchmarkPrepareCarriage(b *testing.B) {
	g := Rectangle(0.2, 0.12, Block{Normal: 2e8, Lateral: 1.5e8})
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.Carriage(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkShareFourBlocks(b *testing.B) {
	c, err := Rectangle(0.2, 0.12, Block{Normal: 2e8, Lateral: 1.5e8}).Carriage()
	if err != nil {
		b.Fatal(err)
	}
	r := Resultant{Force: Vector{0, 35, -343}, Moment: Vector{-51, 13, 14}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Share(r); err != nil {
			b.Fatal(err)
		}
	}
}
