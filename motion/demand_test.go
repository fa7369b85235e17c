package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyLoad(t *rapid.T) Load {
	l := Load{Mass: spread(t, "mass", 0.1, 1e3), Steady: float64(rapid.IntRange(-500, 500).Draw(t, "steady"))}
	if rapid.Bool().Draw(t, "rubs") {
		l.Friction = spread(t, "friction", 1e-3, 200)
	}
	return l
}

// What the drive puts in less what it gets back is friction and lifting: the
// load rests before and after.
func TestEnergyIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, load, stroke := anyLimits(t), anyLoad(t), anyStroke(t)
		p := planned(t, stroke, l)
		d := load.Demand(p.Curve())
		left := d.Motoring - d.Braking
		spent := load.Friction*math.Abs(stroke) + load.Steady*stroke
		// Friction and steady force may cancel: the roundings are of their own size.
		size := d.Motoring + d.Braking + (load.Friction+math.Abs(load.Steady))*math.Abs(stroke)
		if !near(left, spent, 1e-12, size) {
			t.Fatalf("drive gave %.15g J, friction and lift took %.15g J", left, spent)
		}
		if !near(d.Frictional, load.Friction*math.Abs(stroke), 1e-11, load.Friction*stroke) || !near(d.Distance, stroke, 1e-11, stroke) && !near(d.Distance, -stroke, 1e-11, stroke) {
			t.Fatalf("friction work %g J over %g m", d.Frictional, d.Distance)
		}
	})
}

// The exact integrals agree with sums over small steps, and no step finds more
// power or force than the peaks.
func TestDemandAgreesWithSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, load, stroke := anyLimits(t), anyLoad(t), anyStroke(t)
		p := planned(t, stroke, l)
		c := p.Curve()
		d := load.Demand(c)
		var square, cube, motoring, braking, power, accelCube float64
		const steps = 400 // a segment; the midpoint rule is off by some 1e-5 where a sign changes
		for _, s := range c {
			h := s.Duration / steps
			for _, u := range []float64{1e-9 * s.Duration, (1 - 1e-9) * s.Duration} { // power may peak at the ends
				at := s.after(u)
				power = math.Max(power, load.Force(at)*at.Speed)
			}
			for i := range steps {
				at := s.after((float64(i) + 0.5) * h)
				f := load.Force(at)
				square += h * f * f
				cube += h * math.Abs(f*f*f*at.Speed)
				accelCube += h * math.Abs(at.Accel*at.Accel*at.Accel)
				if f*at.Speed > 0 {
					motoring += h * f * at.Speed
				} else {
					braking -= h * f * at.Speed
				}
				power = math.Max(power, f*at.Speed)
				if f > d.MaxForce+1e-12*d.PeakForce() || f < d.MinForce-1e-12*d.PeakForce() {
					t.Fatalf("force %g outside %g to %g", f, d.MinForce, d.MaxForce)
				}
			}
		}
		const sampled = 1e-4
		switch energy := d.Motoring + d.Braking; {
		case !near(d.SquareForce, square, sampled, square):
			t.Fatalf("∫F² %g, sampled %g", d.SquareForce, square)
		case !near(d.CubeForce, cube, sampled, cube):
			t.Fatalf("∫|F|³|v| %g, sampled %g", d.CubeForce, cube)
		case !near(c.CubeAccel(), accelCube, sampled, accelCube):
			t.Fatalf("∫|a|³ %g, sampled %g", c.CubeAccel(), accelCube)
		case !near(d.Motoring, motoring, sampled, energy), !near(d.Braking, braking, sampled, energy):
			t.Fatalf("%g and %g J, sampled %g and %g J", d.Motoring, d.Braking, motoring, braking)
		case power > d.PeakPower*(1+1e-9)+1e-12*d.PeakForce()*p.PeakSpeed(), power < d.PeakPower*(1-0.02)-1e-9*d.PeakForce()*p.PeakSpeed():
			t.Fatalf("peak power %g W, sampled %g W", d.PeakPower, power)
		}
	})
}

// Cutting a motion in two changes nothing of its demand.
func TestDemandsJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load := anyLoad(t)
		p := planned(t, anyStroke(t), anyLimits(t))
		c := p.Curve()
		cut := rapid.Float64Range(0.001, 0.999).Draw(t, "cut") * p.Duration()
		whole := load.Demand(c)
		joined := load.Demand(c.Between(0, cut)).Join(load.Demand(c.Between(cut, p.Duration())))
		// A cut time is known to a rounding of the whole time, and so is what lies before it.
		const rounding = 1e-12
		time, force, speed := whole.Duration, whole.PeakForce(), p.PeakSpeed()
		pairs := map[string]struct{ whole, joined, size float64 }{
			"square force": {whole.SquareForce, joined.SquareForce, force * force * time},
			"cube force":   {whole.CubeForce, joined.CubeForce, force * force * force * speed * time},
			"motoring":     {whole.Motoring, joined.Motoring, force * speed * time},
			"braking":      {whole.Braking, joined.Braking, force * speed * time},
			"friction":     {whole.Frictional, joined.Frictional, force * speed * time},
			"distance":     {whole.Distance, joined.Distance, speed * time},
			"duration":     {whole.Duration, joined.Duration, time},
		}
		for name, pair := range pairs {
			if !near(pair.whole, pair.joined, rounding, pair.size) {
				t.Fatalf("%s: %.15g as a whole, %.15g in two parts", name, pair.whole, pair.joined)
			}
		}
		// Force and speed at the cut change by what jerk and acceleration make of that rounding.
		otherForce := rounding * (force + time*load.Mass*c.PeakJerk())
		otherSpeed := rounding * (speed + time*c.PeakAccel())
		if !near(whole.PeakForce(), joined.PeakForce(), 1, otherForce) ||
			!near(whole.PeakPower, joined.PeakPower, 1, otherForce*speed+force*otherSpeed) {
			t.Fatalf("peaks %g N and %g N, %g W and %g W", whole.PeakForce(), joined.PeakForce(), whole.PeakPower, joined.PeakPower)
		}
	})
}

// The closed form for a whole symmetric move: ∫a² dt = 2 a_p² (T_a - 4 t_j/3).
func TestSquareAccelOfAWholeMove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Limits{Speed: spread(t, "speed", 0.1, 5), Accel: spread(t, "accel", 1, 50), Jerk: spread(t, "jerk", 10, 1e4)}
		p := planned(t, anyStroke(t), l)
		want := 2 * p.PeakAccel() * p.PeakAccel() * (p.AccelTime() - 4*p.JerkTime()/3)
		if got := p.Curve().SquareAccel(); !near(got, want, 1e-12, want) {
			t.Fatalf("%g, want %g", got, want)
		}
	})
}

func TestDemandOfSpecialMotions(t *testing.T) {
	held := Chain(0, State{}, Piece{Duration: 2})
	tests := map[string]struct {
		load  Load
		curve Curve
		want  Demand
	}{
		// 30 kg hang still for 2 s: the force counts, friction and energy do not.
		"held weight": {Load{30, 300, 50}, held, Demand{Duration: 2, MaxForce: 300, MinForce: 300, SquareForce: 180000}},
		"nothing":     {Load{30, 300, 50}, nil, Demand{}},
		// Lowered at 0.5 m/s: 300 N hold against 0.5 m/s, less 50 N of friction.
		"lowered": {Load{30, 300, 50}, Chain(0, State{Speed: -0.5}, Piece{Duration: 2}),
			Demand{Duration: 2, Distance: 1, MaxForce: 250, MinForce: 250, SquareForce: 125000, CubeForce: 250 * 250 * 250, Braking: 250, Frictional: 50}},
		// A throw: 1 m/s against 2 m/s² turns after 0.5 s and comes back with the same speed.
		"turns inside a segment": {Load{1, 0, 0}, Chain(0, State{Speed: 1}, Piece{1, -2, 0}),
			Demand{Duration: 1, Distance: 0.5, MaxForce: -2, MinForce: -2, SquareForce: 4, CubeForce: 4, PeakPower: 2, PeakAt: 1, Motoring: 0.5, Braking: 0.5}},
		// Friction above the braking force: the drive still pushes (case D11).
		"overloaded brake": {Load{10, 0, 40}, Chain(0, State{Speed: 1}, Piece{0.5, -2, 0}),
			Demand{Duration: 0.5, Distance: 0.25, MaxForce: 20, MinForce: 20, SquareForce: 200, CubeForce: 2000, PeakPower: 20, Motoring: 5, Frictional: 10}},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			got := tt.load.Demand(tt.curve)
			pairs := [][2]float64{
				{got.Duration, tt.want.Duration}, {got.Distance, tt.want.Distance}, {got.MaxForce, tt.want.MaxForce}, {got.MinForce, tt.want.MinForce},
				{got.SquareForce, tt.want.SquareForce}, {got.CubeForce, tt.want.CubeForce}, {got.PeakPower, tt.want.PeakPower}, {got.PeakAt, tt.want.PeakAt},
				{got.Motoring, tt.want.Motoring}, {got.Braking, tt.want.Braking}, {got.Frictional, tt.want.Frictional},
			}
			for _, pair := range pairs {
				if !near(pair[0], pair[1], 1e-12, math.Max(1, pair[1])) {
					t.Fatalf("got  %+v\nwant %+v", got, tt.want)
				}
			}
		})
	}
	if mean := (Load{30, 300, 50}).Demand(held).MeanForce(); mean != 0 {
		t.Errorf("mean force over no way: %g", mean)
	}
	lowered := Load{30, 300, 50}.Demand(Chain(0, State{Speed: -0.5}, Piece{Duration: 2}))
	if !near(lowered.MeanForce(), 250, 1e-12, 250) || !near(lowered.RMSForce(4), 250/math.Sqrt2, 1e-12, 250) {
		t.Errorf("mean %g N, RMS over twice the time %g N", lowered.MeanForce(), lowered.RMSForce(4))
	}
}

func TestDemandDoesNotAllocate(t *testing.T) {
	p := mustPlan(t, 1.2, Limits{Speed: 2, Accel: 5, Jerk: 100})
	load := Load{Mass: 60, Friction: 40}
	mode := Mode{Frequency: 8, Damping: 0.03}
	sum := 0.0
	if n := testing.AllocsPerRun(100, func() {
		sum += load.Demand(p.Curve()).Motoring + mode.Envelope(&p)
	}); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}
