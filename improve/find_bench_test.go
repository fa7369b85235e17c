package improve

import (
	"context"
	"testing"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// BenchmarkFind proposes and judges the remedies of each faulty twin, as the
// command does after its own judgement.
func BenchmarkFind(b *testing.B) {
	for _, twin := range twins {
		b.Run(twin, func(b *testing.B) {
			d, wrong := design.Parse("gantry.yaml", read(b, twin, "faulty.yaml"))
			if len(wrong) > 0 {
				b.Fatal(wrong)
			}
			m, wrong := machine.Build(d, parts.Embedded())
			if len(wrong) > 0 {
				b.Fatal(wrong)
			}
			b.ReportAllocs()
			for b.Loop() {
				b.StopTimer()
				a, err := assess.Run(context.Background(), m, assess.Options{Studies: structure.NewCache(roomForStudies)})
				if err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				find(b, a, Options{})
			}
		})
	}
}
