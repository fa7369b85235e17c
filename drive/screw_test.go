package drive

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/rolling"
)

// The roots satisfy the frequency equations they are the first roots of.
func TestBendingRoots(t *testing.T) {
	equations := map[Ends]func(b float64) float64{
		FixedFree:          func(b float64) float64 { return math.Cos(b) + 1/math.Cosh(b) },
		SupportedSupported: math.Sin,
		FixedSupported:     func(b float64) float64 { return math.Tan(b) - math.Tanh(b) },
		FixedFixed:         func(b float64) float64 { return math.Cos(b) - 1/math.Cosh(b) },
	}
	for ends, f := range equations {
		b, err := ends.BendingRoot()
		if err != nil {
			t.Fatal(err)
		}
		// the root is given to its last digit; the slopes of f are between 1 and 2
		if !(math.Abs(f(b)) <= 1e-14) {
			t.Errorf("%v: %g leaves %g", ends, b, f(b))
		}
	}
	c, err := FixedSupported.BucklingFactor()
	if err != nil {
		t.Fatal(err)
	}
	x := math.Sqrt(c) * math.Pi
	if !(math.Abs(math.Tan(x)-x) <= 1e-12) {
		t.Errorf("tan %g = %g", x, math.Tan(x))
	}
}

// Johnson's parabola meets Euler's hyperbola with the same load and slope.
func TestColumnLawsMeet(t *testing.T) {
	s := Shaft{RootDiameter: 0.0273, Ends: SupportedSupported, Material: ScrewSteel()}
	const yield = 550e6
	s.Length = 1
	b, err := s.Buckling(yield)
	if err != nil {
		t.Fatal(err)
	}
	s.Length = b.Limit * s.RootDiameter / 4 * (1 - 1e-9)
	short, err := s.Buckling(yield)
	if err != nil {
		t.Fatal(err)
	}
	s.Length *= 1 + 2e-9
	slender, err := s.Buckling(yield)
	if err != nil {
		t.Fatal(err)
	}
	if short.Law != JohnsonLaw || slender.Law != EulerLaw {
		t.Errorf("laws %v and %v", short.Law, slender.Law)
	}
	within(t, "load at the limit", short.Critical, slender.Critical, 1e-8)
	within(t, "half the yield force", short.Critical/(math.Pi*s.RootDiameter*s.RootDiameter/4*yield), 0.5, 1e-8) // lengths are 1e-9 off the limit
}

func TestBucklingNeverBeatsEuler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Shaft{
			RootDiameter: rapid.Float64Range(5e-3, 0.1).Draw(t, "diameter"), Length: rapid.Float64Range(0.05, 6).Draw(t, "length"),
			Ends: Ends(rapid.IntRange(1, 4).Draw(t, "ends")), Material: ScrewSteel(),
		}
		b, err := s.Buckling(rapid.Float64Range(2e8, 1e9).Draw(t, "yield"))
		if err != nil {
			t.Fatal(err)
		}
		if b.Critical > b.Euler*(1+1e-12) {
			t.Fatalf("%+v", b)
		}
		d, err := s.EulerDiameter(b.Euler/2, 2)
		if err != nil || !(math.Abs(d-s.RootDiameter) <= 1e-12*s.RootDiameter) {
			t.Fatalf("diameter %g for the load of %g (%v)", d, s.RootDiameter, err)
		}
	})
}

// A frictionless drive gives back what it takes; friction costs either way.
func TestScrewEfficiencies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lead := rapid.Float64Range(0.01, 0.6).Draw(t, "lead angle")
		friction := rapid.Float64Range(0, 0.2).Draw(t, "friction angle")
		forward, backward, err := ThreadEfficiency(lead, friction)
		if err != nil {
			t.Fatal(err)
		}
		if forward > 1+1e-12 || backward > forward+1e-12 {
			t.Fatalf("forward %g, backward %g", forward, backward)
		}
		if (backward > 1e-12) != (lead > friction) && math.Abs(lead-friction) > 1e-9 {
			t.Fatalf("lead %g, friction %g: backward %g", lead, friction, backward)
		}
		if friction == 0 && !(math.Abs(forward*backward-1) <= 1e-12) {
			t.Fatalf("without friction %g and %g", forward, backward)
		}
	})
}

// The thread formula and the wedge formula are the same for a square thread.
func TestSlideScrewAgainstThreadEfficiency(t *testing.T) {
	s := SlideScrew{MeanDiameter: 0.03, Lead: 0.008, Friction: 0.08}
	e, err := s.Efficiency()
	if err != nil {
		t.Fatal(err)
	}
	lead, err := LeadAngle(s.Lead, s.MeanDiameter)
	if err != nil {
		t.Fatal(err)
	}
	forward, _, err := ThreadEfficiency(lead, math.Atan(s.Friction))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "efficiency", e, forward)
}

func TestSteepThreadJams(t *testing.T) {
	_, err := SlideScrew{MeanDiameter: 0.01, Lead: 0.2, Friction: 0.2}.Raise(100)
	wants(t, "steep thread", err, ErrJams)
	_, _, err = ThreadEfficiency(1.2, 0.5)
	wants(t, "lead and friction angle past a right angle", err, ErrJams)
}

func anyCycle(t *rapid.T) ScrewCycle {
	n := rapid.IntRange(1, 5).Draw(t, "steps")
	c := make(ScrewCycle, n)
	for i := range c {
		c[i] = ScrewStep{
			Force: rapid.Float64Range(-5000, 5000).Draw(t, "force"),
			Speed: rapid.Float64Range(1, 300).Draw(t, "speed"),
			Share: 1 / float64(n),
		}
	}
	return c
}

// One flank carrying both directions is the cautious view; two flanks or a
// preload split the load, and both flanks together do the same cubes.
func TestFlankLoads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCycle(t)
		all, err := c.MeanLoad()
		if err != nil {
			t.Fatal(err)
		}
		positive, negative, err := c.FlankLoads()
		if err != nil {
			t.Fatal(err)
		}
		sum := positive*positive*positive + negative*negative*negative
		if !(math.Abs(sum-all*all*all) <= 1e-9*all*all*all) {
			t.Fatalf("flanks %g and %g, together %g", positive, negative, all)
		}
		first, second, err := c.NutLoads(0)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(first-positive) <= 1e-9*all && math.Abs(second-negative) <= 1e-9*all) {
			t.Fatalf("without preload the nuts carry %g and %g, the flanks %g and %g", first, second, positive, negative)
		}
	})
}

func TestPreloadShortensLife(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCycle(t)
		r := ScrewRating{Dynamic: 2e4, Lead: 0.01, Reliability: 1}
		life := func(preload float64) float64 {
			a, b, err := c.NutLoads(preload)
			if err != nil {
				t.Fatal(err)
			}
			la, errA := r.Life(a, 100)
			lb, errB := r.Life(b, 100)
			if errA != nil || errB != nil {
				t.Fatal(errA, errB)
			}
			both, err := rolling.Combine(la.Turns, lb.Turns)
			if err != nil {
				t.Fatal(err)
			}
			return both
		}
		light, heavy := life(500), life(1500)
		if heavy > light*(1+1e-9) {
			t.Fatalf("preload 1500 N lives %g, 500 N %g", heavy, light)
		}
	})
}

// With two bearings the nut is held better than with one, and best at the ends.
func TestAxialShaft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := AxialShaft{2.06e11, 0.0295, 1.4}
		l := s.Length * rapid.Float64Range(0.01, 0.99).Draw(t, "place")
		one, err1 := s.OneSided(l)
		two, err2 := s.TwoSided(l, math.Inf(1))
		mid, err3 := s.TwoSided(s.Length/2, math.Inf(1))
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		if two < one || two < mid*(1-1e-12) {
			t.Fatalf("one %g, two %g, middle %g", one, two, mid)
		}
	})
}

func TestTravelTables(t *testing.T) {
	for _, tc := range []struct {
		grade  Grade
		travel float64
		want   float64 // µm
	}{{1, 0.315, 6}, {3, 1.0, 21}, {5, 1.001, 46}, {5, 3.15, 93}} {
		got, err := tc.grade.PositioningError(tc.travel)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "e_p", got*1e6, tc.want)
	}
	band, err := Grade(5).TravelBand(1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "v_up", band*1e6, 35)
}

func TestPinionForcesBalance(t *testing.T) {
	p := Pinion{Module: 2e-3, Teeth: 20, Helix: 0.34, PressureAngle: math.Pi / 9}
	f, err := p.Forces(1500)
	if err != nil {
		t.Fatal(err)
	}
	q, err := p.Gearing()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "torque times angle is force times travel", f.Torque*q, 1500)
	near(t, "bearing load", f.Bearing, math.Hypot(1500, f.Radial))
	// the forces are components of one normal force: F_t tan(alpha)/cos(beta) and F_t tan(beta)
	normal := 1500 / (math.Cos(p.PressureAngle) * math.Cos(p.Helix))
	near(t, "normal force", math.Hypot(math.Hypot(1500, f.Radial), f.Axial), normal)
}

func TestLineShaft(t *testing.T) {
	s := LineShaft{ShearModulus: 8e10, Diameter: 0.03, Length: 2.8, Coupling: math.Inf(1), Radius: 0.04}
	w, err := s.WindUp(170)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "force over linear stiffness", w.Skew, 170/w.Linear)
	s.Coupling = 1000
	soft, err := s.WindUp(170)
	if err != nil {
		t.Fatal(err)
	}
	if soft.Skew <= w.Skew {
		t.Errorf("a coupling makes the shaft stiffer: %g, %g", soft.Skew, w.Skew)
	}
}
