package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// spread draws a number whose logarithm is even over the range.
func spread(t *rapid.T, name string, least, most float64) float64 {
	return math.Exp(rapid.Float64Range(math.Log(least), math.Log(most)).Draw(t, name))
}

// anyLimits draws limits from a slow screw to a fast belt, with and without
// jerk limits, equal and unequal ramps.
func anyLimits(t *rapid.T) Limits {
	l := Limits{Speed: spread(t, "speed", 1e-3, 10), Accel: spread(t, "accel", 1e-2, 100)}
	if rapid.Bool().Draw(t, "own decel") {
		l.Decel = spread(t, "decel", 1e-2, 100)
	}
	if rapid.Bool().Draw(t, "jerk limited") {
		l.Jerk = spread(t, "jerk", 1e-1, 1e5)
	}
	switch rapid.IntRange(0, 2).Draw(t, "jerk down") {
	case 1:
		l.DecelJerk = spread(t, "decel jerk", 1e-1, 1e5)
	case 2:
		l.DecelJerk = math.Inf(1)
	}
	return l
}

func anyStroke(t *rapid.T) float64 {
	s := spread(t, "stroke", 1e-7, 100)
	if rapid.Bool().Draw(t, "back") {
		return -s
	}
	return s
}

func anyMode(t *rapid.T) Mode {
	m := Mode{Frequency: spread(t, "frequency", 0.5, 200)}
	if rapid.Bool().Draw(t, "damped") {
		m.Damping = rapid.Float64Range(0.001, 0.9).Draw(t, "damping")
	}
	return m
}

func planned(t *rapid.T, stroke float64, l Limits) Profile {
	p, err := Plan(stroke, l)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// near says whether two numbers agree to a part of a size.
func near(got, want, part, size float64) bool { return math.Abs(got-want) <= part*math.Abs(size) }

// checkMove holds a profile against what every move must keep.
//
// roundings is what some ten sums of numbers of the size of the stroke or peak
// may lose.
func checkMove(t *rapid.T, p *Profile, stroke float64, l Limits) {
	const roundings = 1e-12
	up, down, err := l.sides()
	if err != nil {
		t.Fatal(err)
	}
	c := p.Curve()
	end := c.Last()
	if !near(end.Position, stroke, roundings, stroke) {
		t.Fatalf("ends at %.17g of %.17g m", end.Position, stroke)
	}
	if !near(end.Speed, 0, roundings, p.PeakSpeed()) {
		t.Fatalf("ends at %g m/s, peak %g", end.Speed, p.PeakSpeed())
	}
	if at := p.At(p.Duration()); at.Position != stroke || at.Speed != 0 || at.Accel != 0 {
		t.Fatalf("from the end on it does not rest at the stroke: %+v", at)
	}
	if !near(c.End(), p.Duration(), roundings, p.Duration()) {
		t.Fatalf("segments take %g s, the move %g s", c.End(), p.Duration())
	}
	if sum := p.AccelDistance() + p.CruiseDistance() + p.DecelDistance(); !near(sum, math.Abs(stroke), roundings, stroke) {
		t.Fatalf("phases cover %.17g of %.17g m", sum, stroke)
	}
	if p.PeakSpeed() > l.Speed*(1+roundings) || p.PeakAccel() > up.accel*(1+roundings) || p.PeakDecel() > down.accel*(1+roundings) {
		t.Fatalf("limits %+v broken: speed %g, accel %g, decel %g", l, p.PeakSpeed(), p.PeakAccel(), p.PeakDecel())
	}
	if !near(c.PeakSpeed(), p.PeakSpeed(), roundings, p.PeakSpeed()) ||
		!near(c.PeakAccel(), math.Max(p.PeakAccel(), p.PeakDecel()), roundings, c.PeakAccel()) {
		t.Fatalf("peaks of the segments %g, %g against %g, %g, %g", c.PeakSpeed(), c.PeakAccel(), p.PeakSpeed(), p.PeakAccel(), p.PeakDecel())
	}
	direction := math.Copysign(1, stroke)
	for i, s := range c {
		if !(s.Duration > 0) {
			t.Fatalf("segment %d takes %g s", i, s.Duration)
		}
		limit := up.jerk
		if i >= p.upCount {
			limit = down.jerk
		}
		if math.Abs(s.Jerk) > limit*(1+roundings) {
			t.Fatalf("segment %d has jerk %g, limit %g", i, s.Jerk, limit)
		}
		if s.Speed*direction < -roundings*p.PeakSpeed() {
			t.Fatalf("segment %d runs backwards: %g m/s", i, s.Speed)
		}
	}
	jerkLimited := !math.IsInf(up.jerk, 1) && !math.IsInf(down.jerk, 1)
	checkContinuous(t, c, jerkLimited, roundings)
}

// checkContinuous: position and speed never jump, acceleration only without
// jerk limit, and such a motion also begins and ends without acceleration.
func checkContinuous(t *rapid.T, c Curve, accel bool, roundings float64) {
	way, speed, peak := math.Abs(c.Last().Position-c[0].Position), c.PeakSpeed(), c.PeakAccel()
	at := State{Position: c[0].Position}
	for i, s := range c {
		if i > 0 && !near(s.Start, c[i-1].End(), roundings, c.End()) {
			t.Fatalf("gap before segment %d: %g to %g s", i, c[i-1].End(), s.Start)
		}
		if !near(s.Position, at.Position, roundings, way) || !near(s.Speed, at.Speed, roundings, speed) {
			t.Fatalf("jump before segment %d: %+v to %+v", i, at, s.State)
		}
		if accel && !near(s.Accel, at.Accel, roundings, peak) {
			t.Fatalf("acceleration jumps before segment %d: %g to %g", i, at.Accel, s.Accel)
		}
		at = s.Last()
	}
	if accel && !near(at.Accel, 0, roundings, peak) {
		t.Fatalf("ends with acceleration %g", at.Accel)
	}
}

func TestPlanKeepsLimitsAndWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		p := planned(t, stroke, l)
		checkMove(t, &p, stroke, l)
	})
}

// The governing limit is the one that helps: more of it makes the move shorter,
// more of a limit that a shorter form does not reach changes nothing.
func TestGoverningLimitIsTheOneThatHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		p := planned(t, stroke, l)
		faster, stronger := l, l
		faster.Speed *= 1.5
		stronger.Accel *= 1.5
		stronger.Decel *= 1.5
		quick, strong := planned(t, stroke, faster), planned(t, stroke, stronger)
		const same = 1e-12 // the same move, planned from other numbers
		switch p.Governs() {
		case LimitSpeed:
			// A constant-speed part of a rounding's length gains no more than that.
			if p.CruiseTime() > 1e-6*p.Duration() && !(quick.Duration() < p.Duration()) {
				t.Fatalf("speed governs, but more of it gives %.17g s after %.17g s", quick.Duration(), p.Duration())
			}
		case LimitAccel:
			if !(strong.Duration() < p.Duration()*(1+same)) || !near(quick.Duration(), p.Duration(), same, p.Duration()) {
				t.Fatalf("acceleration governs: %g s, with more acceleration %g, with more speed %g", p.Duration(), strong.Duration(), quick.Duration())
			}
		case LimitJerk:
			if !near(strong.Duration(), p.Duration(), same, p.Duration()) || !near(quick.Duration(), p.Duration(), same, p.Duration()) {
				t.Fatalf("jerk governs: %g s, with more acceleration %g, with more speed %g", p.Duration(), strong.Duration(), quick.Duration())
			}
		default:
			t.Fatalf("nothing governs a move of %g m", stroke)
		}
	})
}

// A world in which every length is k times as long and every time q times as
// long has the same moves.
func TestPlanScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		k, q := spread(t, "length", 1e-3, 1e3), spread(t, "time", 1e-3, 1e3)
		p := planned(t, stroke, l)
		l.Speed *= k / q
		l.Accel *= k / (q * q)
		l.Decel *= k / (q * q)
		l.Jerk *= k / (q * q * q)
		l.DecelJerk *= k / (q * q * q)
		big := planned(t, k*stroke, l)
		if !near(big.Duration(), q*p.Duration(), 1e-11, q*p.Duration()) || !near(big.PeakSpeed(), p.PeakSpeed()*k/q, 1e-11, big.PeakSpeed()) {
			t.Fatalf("%g s and %g m/s became %g s and %g m/s", p.Duration(), p.PeakSpeed(), big.Duration(), big.PeakSpeed())
		}
	})
}

// Run backwards in time, a move is the move back with the ramps exchanged.
func TestPlanReversed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		up, down, _ := l.sides()
		p := planned(t, stroke, l)
		back := planned(t, stroke, Limits{l.Speed, down.accel, up.accel, down.jerk, up.jerk})
		for _, part := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
			x := p.At(part * p.Duration()).Position
			y := stroke - back.At((1-part)*back.Duration()).Position
			if !near(x, y, 1e-10, stroke) { // times differ by roundings, positions by these times the speed
				t.Fatalf("at %g of the time: %.12g against %.12g m", part, x, y)
			}
		}
	})
}

// A longer way takes longer and is not slower.
func TestPlanGrowsWithStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), math.Abs(anyStroke(t))
		p, longer := planned(t, stroke, l), planned(t, stroke*1.001, l)
		if !(longer.Duration() > p.Duration()) || !(longer.PeakSpeed() >= p.PeakSpeed()*(1-1e-12)) {
			t.Fatalf("%g m more: %.17g after %.17g s", stroke*0.001, longer.Duration(), p.Duration())
		}
	})
}

// The evaluation of a segment agrees with summing its jerk in small steps.
func TestPlanAgreesWithTimeStepping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		p := planned(t, stroke, l)
		var x, v float64
		const steps = 200 // a segment; Simpson's rule is exact for its parabola
		for _, s := range p.Curve() {
			h := s.Duration / steps
			for i := range steps {
				t0 := s.Start + float64(i)*h
				a0, a1, a2 := s.At(t0).Accel, s.At(t0+h/2).Accel, s.At(t0+h).Accel
				vMiddle := v + h/2*(a0+a1)/2
				vNext := v + h*(a0+4*a1+a2)/6
				x += h * (v + 4*vMiddle + vNext) / 6
				v = vNext
			}
		}
		if !near(x, stroke, 1e-10, stroke) || !near(v, 0, 1e-10, p.PeakSpeed()) {
			t.Fatalf("stepping ends at %g m with %g m/s, planned %g m", x, v, stroke)
		}
	})
}

func TestStretchedKeepsTheWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		p := planned(t, stroke, l)
		k := spread(t, "stretch", 1, 100)
		slow := p.Stretched(p.Duration() * k)
		if !near(slow.Duration(), k*p.Duration(), 1e-12, k*p.Duration()) || slow.Stroke() != stroke {
			t.Fatalf("stretched by %g: %g s after %g s", k, slow.Duration(), p.Duration())
		}
		checkMove(t, &slow, stroke, l) // slower by all, so inside all limits
		for _, part := range []float64{0.2, 0.5, 0.8} {
			fast, late := p.At(part*p.Duration()), slow.At(part*slow.Duration())
			if !near(late.Position, fast.Position, 1e-10, stroke) || !near(late.Speed*k, fast.Speed, 1e-10, p.PeakSpeed()) {
				t.Fatalf("at %g of the time: %+v against %+v", part, late, fast)
			}
		}
	})
}

// A move given a time takes that time, and a little less speed would not do.
func TestPlanTimeIsSlowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		quickest := planned(t, stroke, l)
		wanted := quickest.Duration() * spread(t, "patience", 1, 50)
		p, err := PlanTime(stroke, wanted, l)
		if err != nil {
			t.Fatal(err)
		}
		checkMove(t, &p, stroke, l)
		// Near the quickest move duration hardly depends on speed, and speed on it: 1e-9 of it is asked for.
		if !near(p.Duration(), wanted, 1e-9, wanted) {
			t.Fatalf("takes %.12g of %.12g s", p.Duration(), wanted)
		}
		l.Speed = p.PeakSpeed() * (1 - 1e-4)
		if slower := planned(t, stroke, l); !(slower.Duration() > wanted*(1-1e-9)) {
			t.Fatalf("%g m/s is also fast enough: %g of %g s", l.Speed, slower.Duration(), wanted)
		}
	})
}

// With one jerk time for all, the jerk parts have it, and no stroke leaves a
// swing at the frequencies that fit it.
func TestPlanJerkTimeLeavesNoSwing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, stroke := anyLimits(t), anyStroke(t)
		l.Jerk, l.DecelJerk = 0, 0
		jerkTime := spread(t, "jerk time", 1e-3, 1)
		p, err := PlanJerkTime(stroke, l, jerkTime)
		if err != nil {
			t.Fatal(err)
		}
		checkMove(t, &p, stroke, l)
		if p.JerkTime() != jerkTime || p.DecelJerkTime() != jerkTime {
			t.Fatalf("jerk times %g and %g, not %g", p.JerkTime(), p.DecelJerkTime(), jerkTime)
		}
		n := float64(rapid.IntRange(1, 3).Draw(t, "periods"))
		m := Mode{Frequency: n / jerkTime}
		// What a jump to the peak speed would leave is the scale of the cancellation;
		// the phase of a long move is known to a rounding of its angle.
		scale := p.PeakSpeed() / m.omega() * math.Max(1, m.omega()*p.Duration())
		if r := m.Residual(p.Curve()); !(r <= 1e-12*scale) {
			t.Fatalf("swing of %g m is left, a jump would leave %g m", r, scale)
		}
	})
}

// A jerk limit that asks for the same jerk times gives the same move.
func TestPlanJerkTimeAgreesWithPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Limits{Speed: spread(t, "speed", 0.1, 5), Accel: spread(t, "accel", 1, 50), Jerk: spread(t, "jerk", 10, 1e4)}
		stroke := spread(t, "stroke", 1e-4, 10)
		p := planned(t, stroke, l)
		q, err := PlanJerkTime(stroke, l, p.JerkTime())
		if err != nil {
			t.Fatal(err)
		}
		if !near(q.Duration(), p.Duration(), 1e-12, p.Duration()) || !near(q.PeakSpeed(), p.PeakSpeed(), 1e-12, p.PeakSpeed()) {
			t.Fatalf("%g s, %g m/s against %g s, %g m/s", q.Duration(), q.PeakSpeed(), p.Duration(), p.PeakSpeed())
		}
	})
}
