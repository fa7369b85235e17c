package pack

import (
	"io"
	"testing"
)

// BenchmarkModels writes the three files of the seedling gantry.
func BenchmarkModels(b *testing.B) {
	for name, o := range map[string]ModelOptions{"simplified": {}, "detailed": {Detailed: true}} {
		b.Run(name, func(b *testing.B) {
			m := built(b, "seedling-gantry")
			for b.Loop() {
				for _, kind := range []string{"STEP", "GLB", "URDF"} {
					if err := modelWriters[kind](io.Discard, m, o); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}
