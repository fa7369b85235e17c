package quantity

import "testing"

func BenchmarkParse(b *testing.B) {
	for _, c := range []struct {
		name, text string
		kind       Kind
	}{{"usual", "450 mm", Length}, {"typeset", "2.5 kg·m²", Inertia}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse(c.text, c.kind); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
