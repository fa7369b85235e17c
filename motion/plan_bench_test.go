package motion

import "testing"

func BenchmarkPlan(b *testing.B) {
	for name, l := range map[string]Limits{
		"trapezoid":  {Speed: 2, Accel: 5},
		"seven":      {Speed: 2, Accel: 5, Jerk: 100},
		"no cruise":  {Speed: 20, Accel: 5, Decel: 3, Jerk: 100, DecelJerk: 40},
		"mixed ramp": {Speed: 20, Accel: 5, Decel: 50, Jerk: 1000, DecelJerk: 100},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Plan(0.6, l); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAt(b *testing.B) {
	p, err := Plan(1.2, Limits{Speed: 2, Accel: 5, Jerk: 100})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		_ = p.At(0.8)
	}
}

func BenchmarkResidual(b *testing.B) {
	p, err := Plan(1.2, Limits{Speed: 2, Accel: 5, Jerk: 100})
	if err != nil {
		b.Fatal(err)
	}
	m := Mode{Frequency: 8, Damping: 0.03}
	b.ReportAllocs()
	for b.Loop() {
		_ = m.Residual(p.Curve())
	}
}

func BenchmarkDemand(b *testing.B) {
	p, err := Plan(1.2, Limits{Speed: 2, Accel: 5, Jerk: 100})
	if err != nil {
		b.Fatal(err)
	}
	l := Load{Mass: 60, Friction: 40}
	b.ReportAllocs()
	for b.Loop() {
		_ = l.Demand(p.Curve())
	}
}
