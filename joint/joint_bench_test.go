package joint

import "testing"

// BenchmarkChecks is one joint under one demand: the inner loop of a search over
// designs with many joints and load cases.
func BenchmarkChecks(b *testing.B) {
	demand := Demand{N: 100, Vy: 50, Vz: 150, T: 2, My: 20, Mz: 5}
	for _, f := range []Family{HiddenFastener, TwoBrackets, TwoGussets, CornerPlates} {
		h, e := hardware(b, f)
		j, err := Assemble(h, e, UsualSafety())
		if err != nil {
			b.Fatal(err)
		}
		b.Run(string(f), func(b *testing.B) {
			b.ReportAllocs()
			s := Sheet{Terse: true}
			for b.Loop() {
				s.Checks = s.Checks[:0]
				if err := j.Judge(demand, &s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
