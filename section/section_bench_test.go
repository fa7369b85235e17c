package section

import "testing"

func benchmarkCompute(b *testing.B, shape interface{ Outline() (Outline, error) }) {
	o := drawn(b, shape)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compute(o); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOneModule(b *testing.B)    { benchmarkCompute(b, single()) }
func BenchmarkTwoModules(b *testing.B)   { benchmarkCompute(b, modules(1, 2)) }
func BenchmarkFourModules(b *testing.B)  { benchmarkCompute(b, modules(2, 2)) }
func BenchmarkEightModules(b *testing.B) { benchmarkCompute(b, modules(2, 4)) }
func BenchmarkHollow(b *testing.B)       { benchmarkCompute(b, ColdFormed(0.1, 0.06, 0.005)) }
func BenchmarkChannel(b *testing.B)      { benchmarkCompute(b, Channel{0.1, 0.05, 0.002, 0.002, 0}) }

func BenchmarkHash(b *testing.B) {
	o := drawn(b, modules(2, 2))
	for b.Loop() {
		o.Hash()
	}
}
