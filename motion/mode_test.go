package motion

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// anyShake draws a move short enough in periods that a time-stepping solution
// keeps up with it.
func anyShake(t *rapid.T) (Profile, Mode) {
	m := anyMode(t)
	l := Limits{Speed: spread(t, "speed", 0.1, 5), Accel: spread(t, "accel", 1, 50)}
	if rapid.Bool().Draw(t, "jerk limited") {
		l.Jerk = spread(t, "jerk", 10, 1e4)
	}
	if rapid.Bool().Draw(t, "own decel") {
		l.Decel = spread(t, "decel", 1, 50)
	}
	return planned(t, spread(t, "stroke", 1e-3, 1), l), m
}

// The exact swing agrees with a fourth-order time-stepping solution of the
// equation of motion, during the move and after it.
func TestSwingAgreesWithTimeStepping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		c := p.Curve()
		w := m.omega()
		var y, v, greatest float64
		const perPeriod = 300 // fourth order: some 1e-8 a period
		for _, s := range c {
			steps := int(s.Duration*m.Frequency*perPeriod) + 50
			h := s.Duration / float64(steps)
			slope := func(u, y, v float64) (float64, float64) {
				return v, -s.after(u).Accel - 2*m.Damping*w*v - w*w*y
			}
			for i := range steps {
				u := float64(i) * h
				y1, v1 := slope(u, y, v)
				y2, v2 := slope(u+h/2, y+h/2*y1, v+h/2*v1)
				y3, v3 := slope(u+h/2, y+h/2*y2, v+h/2*v2)
				y4, v4 := slope(u+h, y+h*y3, v+h*v3)
				y += h / 6 * (y1 + 2*y2 + 2*y3 + y4)
				v += h / 6 * (v1 + 2*v2 + 2*v3 + v4)
				greatest = math.Max(greatest, math.Abs(y))
			}
			got := m.Swing(c, s.End())
			off := 1e-7 * (1 + p.Duration()*m.Frequency) // of the steps, growing with the periods
			if !near(got.Deflection, y, off, greatest) || !near(got.Speed, v, off, greatest*w) {
				t.Fatalf("at %g s: %g m, %g m/s; stepping gives %g m, %g m/s", s.End(), got.Deflection, got.Speed, y, v)
			}
		}
	})
}

// After the move the swing is free: its envelope falls by exp(-ζωt), and a
// deflection never exceeds it.
func TestFreeSwingDecays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		c := p.Curve()
		left := m.Residual(c)
		after := spread(t, "after", 0.01, 10) / m.Frequency
		s := m.Swing(c, c.End()+after)
		if want := left * math.Exp(-m.Damping*m.omega()*after); !near(s.Amplitude, want, 1e-9, want) {
			t.Fatalf("amplitude %g, want %g", s.Amplitude, want)
		}
		if math.Abs(s.Deflection) > s.Amplitude*(1+1e-12) {
			t.Fatalf("deflection %g beyond the envelope %g", s.Deflection, s.Amplitude)
		}
	})
}

// The closed form without damping is what the general solution gives, for equal
// and unequal ramps.
func TestUndampedAgreesWithSwing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		m.Damping = 0
		u := m.Undamped(&p)
		// Both subtract swings of the size of a jump to the peak speed, at angles
		// known to a rounding of the whole angle.
		off := 1e-12 * u.Jump * (1 + m.omega()*p.Duration())
		// The root in the closed form turns an error of a difference into its root.
		if !near(u.Amplitude, m.Residual(p.Curve()), 1, off+1e-7*u.RampAmplitude) {
			t.Fatalf("amplitude %g, general %g", u.Amplitude, m.Residual(p.Curve()))
		}
		if !near(u.Envelope, m.Envelope(&p), 1, off) {
			t.Fatalf("envelope %g, general %g", u.Envelope, m.Envelope(&p))
		}
		if !(u.Amplitude <= u.Envelope*(1+1e-9)) || !(u.AccelFilter <= 1 && u.JerkFilter <= 1 && u.Interference <= 1+1e-9) {
			t.Fatalf("%+v", u)
		}
	})
}

// No interference exceeds the envelope, with damping too.
func TestEnvelopeBoundsTheResidual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		c := p.Curve()
		floor := 1e-13 * p.PeakSpeed() / m.omega() * (1 + m.omega()*p.Duration())
		if r, e := m.Residual(c), m.Envelope(&p); r > e*(1+1e-9)+floor {
			t.Fatalf("residual %g above the envelope %g", r, e)
		}
	})
}

// A jerk limit, a slower move and a stiffer load all have their known limits:
// an endless jerk is a trapezoid, a very stiff load does not swing.
func TestResidualLimits(t *testing.T) {
	hard := mustPlan(t, 1.2, Limits{Speed: 2, Accel: 5})
	almost := mustPlan(t, 1.2, Limits{Speed: 2, Accel: 5, Jerk: 1e9})
	m := Mode{Frequency: 8, Damping: 0.03}
	if a, b := m.Residual(hard.Curve()), m.Residual(almost.Curve()); math.Abs(a-b) > 1e-6*a {
		t.Errorf("trapezoid leaves %g m, its limit %g m", a, b)
	}
	stiff := Mode{Frequency: 8000}
	if r := stiff.Residual(hard.Curve()); r > 4*stiff.StaticDeflection(5) {
		t.Errorf("a stiff load swings by %g m, more than four static deflections", r)
	}
	// At worst, four times the static deflection: both ramps odd multiples of half a period, in step.
	worst := mustPlan(t, 1.2, Limits{Speed: 2, Accel: 4}) // 0.5 s up, 0.1 s on, 0.5 s down
	w := Mode{Frequency: 1}                               // half a period up
	if u := w.Undamped(&worst); math.Abs(u.Envelope-4*w.StaticDeflection(4)) > 1e-12 {
		t.Errorf("worst envelope %g m, want %g m", u.Envelope, 4*w.StaticDeflection(4))
	}
}

// TestPhis: the two ways of computing the functions meet, and both solve
// e^x = 1 + x φ1, φ1 = 1 + x φ2.
func TestPhis(t *testing.T) {
	for _, size := range []float64{0, 1e-9, 1e-3, 0.3, 0.4999, 0.5001, 2, 30} {
		for _, angle := range []float64{0.5, 0.7, 1} { // of half a turn: λ points to the left half of the plane
			x := cmplx.Rect(size, angle*math.Pi)
			phi1, phi2 := phis(x)
			if e := cmplx.Abs(cmplx.Exp(x) - 1 - x*phi1); e > 1e-15 {
				t.Errorf("φ1(%v) is off by %g", x, e)
			}
			if e := cmplx.Abs(phi1 - 1 - x*phi2); e > 4e-16 {
				t.Errorf("φ2(%v) is off by %g", x, e)
			}
		}
	}
}

func TestSettleTime(t *testing.T) {
	tests := map[string]struct {
		mode            Mode
		amplitude, band float64
		time            float64
		settles         bool
	}{
		"inside":                   {Mode{8, 0.03}, 5e-5, 1e-4, 0, true},
		"on the edge":              {Mode{8, 0.03}, 1e-4, 1e-4, 0, true},
		"still, no band":           {Mode{8, 0.03}, 0, 0, 0, true},
		"undamped":                 {Mode{8, 0}, 5e-4, 1e-4, 0, false},
		"no band":                  {Mode{8, 0.03}, 5e-4, 0, 0, false},
		"band below 0":             {Mode{8, 0.03}, 5e-4, -1e-4, 0, false},
		"amplitude not a number":   {Mode{8, 0.03}, math.NaN(), 1e-4, 0, false},
		"band not a number":        {Mode{8, 0.03}, 5e-4, math.NaN(), 0, false},
		"one time constant":        {Mode{1 / (2 * math.Pi), 0.1}, math.E, 1, 10, true},
		"endless amplitude":        {Mode{8, 0.03}, math.Inf(1), 1e-4, 0, false},
		"undamped but inside band": {Mode{8, 0}, 5e-5, 1e-4, 0, true},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			got, settles := tt.mode.SettleTime(tt.amplitude, tt.band)
			if settles != tt.settles || math.Abs(got-tt.time) > 1e-12 {
				t.Errorf("%g s, settles %v; want %g s, %v", got, settles, tt.time, tt.settles)
			}
		})
	}
}

// The envelope at the settle time is the band.
func TestSettleTimeEndsAtTheBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := anyShake(t)
		if m.Damping == 0 {
			m.Damping = 0.02
		}
		c := p.Curve()
		left := m.Residual(c)
		if left < 1e-12 {
			t.Skip("no swing is left to settle")
		}
		band := left * rapid.Float64Range(0.01, 0.99).Draw(t, "band")
		after, settles := m.SettleTime(left, band)
		if s := m.Swing(c, c.End()+after); !settles || !near(s.Amplitude, band, 1e-9, band) {
			t.Fatalf("after %g s the amplitude is %g m, band %g m", after, s.Amplitude, band)
		}
	})
}

func TestModeCheck(t *testing.T) {
	good := Mode{8, 0.03}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for _, m := range []Mode{{}, {0, 0.1}, {-8, 0.1}, {math.NaN(), 0.1}, {math.Inf(1), 0.1}, {8, -0.1}, {8, 1}, {8, math.NaN()}} {
		if err := m.Check(); !errors.Is(err, ErrMode) {
			t.Errorf("%+v: %v", m, err)
		}
	}
}

func TestStepRatio(t *testing.T) {
	for rise, want := range map[float64]float64{0: 2, 0.5: 1 + 2/math.Pi, 1: 1, 1.5: 1 + 2/(3*math.Pi), 2: 1} {
		if got := StepRatio(rise); math.Abs(got-want) > 1e-15*4 {
			t.Errorf("rise of %g periods: %g, want %g", rise, got, want)
		}
	}
}
