package structure

import (
	"testing"

	"spanwright/design"
)

// BenchmarkSensitivity is what a pose costs once, BenchmarkAfter what each
// further remedy costs, here other joints at all corners of a stand of four legs.
func BenchmarkSensitivity(b *testing.B) {
	m := example(b, "seedling-gantry")
	for b.Loop() {
		sensitivity(b, m, middle(m))
	}
}

func BenchmarkAfter(b *testing.B) {
	old := example(b, "seedling-gantry")
	before := sensitivity(b, old, middle(old))
	m := edited(b, "seedling-gantry", design.Edit{Path: "stand.generate.joint", Value: "bracket-45"})
	for b.Loop() {
		if _, err := before.After(m); err != nil {
			b.Fatal(err)
		}
	}
}
