package assess

import (
	"testing"
)

// BenchmarkCollisions is one look for collisions of a whole machine.
func BenchmarkCollisions(b *testing.B) {
	for _, name := range examplesOfAll {
		b.Run(name, func(b *testing.B) {
			r := &run{m: built(b, name, "gantry.yaml")}
			var err error
			if r.legs, err = legs(r.m); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if err := r.collisionChecks(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
