package view

import "testing"

// Benchmarks of what the page asks for while somebody drags a slider or types;
// the largest example that is no slab.
const large = "seedling-gantry"

func BenchmarkScene(b *testing.B) {
	a := judged(b, large)
	for b.Loop() {
		scene(b, a)
	}
}

func BenchmarkPose(b *testing.B) {
	a := judged(b, large)
	q := middle(a)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := OfPose(a, q, true); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkModes(b *testing.B) {
	a := judged(b, large)
	q := middle(a)
	for b.Loop() {
		if _, err := OfModes(a, q, true, 6); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJudgement(b *testing.B) {
	a := judged(b, large)
	for b.Loop() {
		OfJudgement(a)
	}
}

func BenchmarkCycle(b *testing.B) {
	a := judged(b, large)
	for b.Loop() {
		OfCycle(a)
	}
}

func BenchmarkSplit(b *testing.B) {
	a := judged(b, large)
	for b.Loop() {
		if _, err := OfSplit(a, "sag", nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFine(b *testing.B) {
	a := judged(b, large)
	for b.Loop() {
		if _, err := OfFine(a, FineQuery{AxisA: "x", AxisB: "z", Counts: [2]int{40, 20}}); err != nil {
			b.Fatal(err)
		}
	}
}
