package assess

import (
	"context"
	"testing"

	"spanwright/structure"
)

func benchmarkExamples(b *testing.B, opts func() Options) {
	for _, name := range []string{"crate-portal", "seedling-gantry"} {
		b.Run(name, func(b *testing.B) {
			m, opts := built(b, name, "gantry.yaml"), opts()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Run(context.Background(), m, opts); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkRun judges a machine that was never seen before.
func BenchmarkRun(b *testing.B) { benchmarkExamples(b, func() Options { return Options{} }) }

// BenchmarkRunAgain judges a machine whose structure is known.
func BenchmarkRunAgain(b *testing.B) {
	benchmarkExamples(b, func() Options { return Options{Studies: structure.NewCache(1 << 28)} })
}
