package stand

import "testing"

// BenchmarkSettle is one pose of a stand on six feet, one of them lifted.
func BenchmarkSettle(b *testing.B) {
	var feet []Foot
	for _, p := range []Point{{0, 0}, {1, 0}, {2, 0}, {2, 1.2}, {1, 1.2}, {0, 1.2}} {
		feet = append(feet, Foot{At: p, Stiffness: 1.5e7})
	}
	w := Weight{180, [3]float64{0.8, 0.75, 1.1}}
	push := []Action{{Force: [3]float64{-600, 0, 0}, At: [3]float64{0, 0, 1.7}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Settle(feet, w, push); err != nil {
			b.Fatal(err)
		}
	}
}
