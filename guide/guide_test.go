package guide

import (
	"errors"
	"math"
	"testing"

	"spanwright/given"
	"spanwright/rolling"
)

// within compares relative to want.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

// near: a few operations on float64 stay far below 1e-9.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	within(t, what, got, want, 1e-9)
}

func must(t testing.TB) func(float64, error) float64 {
	return func(x float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

func TestRefusesNonsense(t *testing.T) {
	nan := math.NaN()
	block := Block{Normal: 2e8, Lateral: 1e8}
	rating := DynamicRating{20e3, Per100km}
	plain := LifeFactors{1, 1, 1, 1, 1}
	tests := map[string]func() error{
		"no block":                func() error { _, err := Group{}.Share(Resultant{}); return err },
		"block without stiffness": func() error { _, err := Group{{}}.Share(Resultant{}); return err },
		"block nowhere":           func() error { _, err := Group{{At: Vector{nan}, Normal: 1}}.Share(Resultant{}); return err },
		"resultant NaN":           func() error { _, err := Rectangle(1, 1, block).Share(Resultant{Force: Vector{0, nan}}); return err },
		"load NaN":                func() error { _, err := Sum(Load{Force: Vector{nan}}); return err },
		"capacity zero":           func() error { _, err := Capacity{}.Equivalent(BlockLoad{}); return err },
		"moment NaN": func() error {
			_, err := EqualCapacity(1, Vector{}).Equivalent(BlockLoad{Moment: Vector{nan}})
			return err
		},
		"no block to be worst":     func() error { _, _, err := EqualCapacity(1, Vector{}).Worst(Sharing{}); return err },
		"life factor missing":      func() error { _, err := rating.Life(100, LifeFactors{}); return err },
		"load factor below one":    func() error { f := plain; f.Load = 0.9; _, err := rating.Life(100, f); return err },
		"mean load negative":       func() error { _, err := rating.Life(-1, plain); return err },
		"never used":               func() error { _, err := Use{1, 1, 0, 250}.Time(1e6); return err },
		"life NaN":                 func() error { _, err := Use{1, 1, 8, 250}.Time(nan); return err },
		"no blocks touching":       func() error { _, err := ContactFactor(0); return err },
		"friction negative":        func() error { _, err := Friction{Coefficient: -1}.Force(1); return err },
		"roller without exponent":  func() error { _, err := Roller{6000, 0.035, 0}.Life(900); return err },
		"contact of nothing":       func() error { _, err := LineContact{Force: 1, Width: 1, Radius: 1}.Pressure(); return err },
		"flat groove":              func() error { _, _, err := Groove{Included: math.Pi, Radial: 1}.FlankForces(); return err },
		"guide length zero":        func() error { _, err := Wedge{Friction: 0.1, Resistance: 1}.Forces(); return err },
		"friction NaN":             func() error { _, err := Wedge{Length: 1, Friction: nan}.Forces(); return err },
		"yaw without guide":        func() error { _, err := YawStiffness{Structure: 1, Span: 1}.Total(); return err },
		"load outside the pair":    func() error { _, err := TwoDrives{1, 4, 3, 1, 1}.Share(); return err },
		"all rigid":                func() error { i := math.Inf(1); _, err := BothFixed{1e-4, i, i, i}.Force(); return err },
		"span without stiffness":   func() error { _, err := Span{Length: 1}.PointLoad(1, BuiltIn); return err },
		"ends missing":             func() error { _, err := Span{1, 1e5}.PointLoad(1, 0); return err },
		"one support":              func() error { _, err := LayOut(0, 1, []float64{0}); return err },
		"support beside the beam":  func() error { _, err := LayOut(0, 1, []float64{0, 1.2}); return err },
		"float of a negative span": func() error { _, err := FloatNeed{Span: -1}.Travel(); return err },
	}
	for name, run := range tests {
		if err := run(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A rating without a basis is worth nothing: not for life, not for conversion.
func TestBasisIsNeeded(t *testing.T) {
	plain := LifeFactors{1, 1, 1, 1, 1}
	if _, err := (DynamicRating{Load: 20e3}).Life(2000, plain); !errors.Is(err, ErrNoBasis) {
		t.Errorf("life without a basis: %v", err)
	}
	if _, err := (DynamicRating{Load: 20e3}).On(Per50km); !errors.Is(err, ErrNoBasis) {
		t.Errorf("conversion from no basis: %v", err)
	}
	if _, err := (DynamicRating{20e3, Per50km}).On(0); !errors.Is(err, ErrNoBasis) {
		t.Errorf("conversion to no basis: %v", err)
	}
}

// The life does not depend on the basis the same rating is written in.
func TestBasisDoesNotChangeLife(t *testing.T) {
	plain := LifeFactors{1, 1, 1, 1, 1.5}
	r := DynamicRating{20e3, Per100km}
	other := DynamicRating{must(t)(r.On(Per50km)), Per50km}
	near(t, "life", must(t)(other.Life(2000, plain)), must(t)(r.Life(2000, plain)))
	near(t, "back again", must(t)(other.On(Per100km)), 20e3)
}

func TestLifeFallsWithTheCube(t *testing.T) {
	r, plain := DynamicRating{20e3, Per100km}, LifeFactors{1, 1, 1, 1, 1}
	near(t, "double load", must(t)(r.Life(2000, plain)), 8*must(t)(r.Life(4000, plain)))
	hard := plain
	hard.Load = 2
	near(t, "load factor 2", must(t)(r.Life(2000, plain)), 8*must(t)(r.Life(2000, hard)))
	sure := plain
	sure.Reliability = must(t)(rolling.Reliability(rolling.Edition1990, 0.99))
	near(t, "99 %", must(t)(r.Life(2000, sure)), 0.21*must(t)(r.Life(2000, plain)))
}

// Life goes with the worst block; moments count, and need a rating.
func TestWorstBlock(t *testing.T) {
	c := EqualCapacity(45e3, Vector{500, 0, 380})
	s := Sharing{Blocks: []BlockLoad{{Normal: -300, Lateral: 40}, {Normal: 100, Moment: Vector{10, 0, 0}}, {Normal: -340}}}
	block, p, err := c.Worst(s)
	if err != nil || block != 1 {
		t.Errorf("worst is block %d (%v), want the one with the moment", block, err)
	}
	near(t, "load", p, 100+45e3*10/500)
	s.Blocks[2].Moment[1] = 1
	if _, _, err := c.Worst(s); !errors.Is(err, ErrNoRating) {
		t.Errorf("a pitch moment without rating: %v", err)
	}
}

// Unequal ratings: a block that is weaker off the rail counts more there.
func TestUnequalRatings(t *testing.T) {
	c := Capacity{Base: 40e3, Press: 40e3, Lift: 20e3, Lateral: 10e3}
	near(t, "pressed", must(t)(c.Equivalent(BlockLoad{Normal: -100})), 100)
	near(t, "lifted", must(t)(c.Equivalent(BlockLoad{Normal: 100})), 200)
	near(t, "sideways", must(t)(c.Equivalent(BlockLoad{Lateral: -100})), 400)
}

func TestLoadFactorsAndContact(t *testing.T) {
	for speed, want := range map[float64][2]float64{0: {1, 1.2}, 0.25: {1, 1.2}, 1: {1.2, 1.5}, 1.5: {1.5, 2}, 4: {2, 3.5}} {
		low, high, err := LoadFactorRange(speed)
		if err != nil || low != want[0] || high != want[1] {
			t.Errorf("%g m/s: %g to %g (%v)", speed, low, high, err)
		}
	}
	for n, want := range map[int]float64{1: 1, 2: 0.81, 6: 0.6, 9: 0.6} {
		near(t, "f_c", must(t)(ContactFactor(n)), want)
	}
}

func TestFriction(t *testing.T) {
	f := Friction{Coefficient: 0.003, Normal: 2400, SealDrag: 12, Blocks: 4, Viscous: 5}
	near(t, "at rest", must(t)(f.Force(0)), 55.2)
	near(t, "both ways alike", must(t)(f.Force(-2)), must(t)(f.Force(2)))
	near(t, "at speed", must(t)(f.Force(2)), 65.2)
	s := Sharing{Blocks: []BlockLoad{{Normal: -10, Lateral: 4}, {Normal: 6, Lateral: -2}}}
	near(t, "sum of loads", s.NormalSum(), 22)
}

func TestHertzStiffness(t *testing.T) {
	// two rows with approach d = d0 (F/F0)^(2/3) against each other: the stiffness of both
	// at zero outer load, by a small step
	const pre, d0 = 800.0, 5e-6
	row := func(d float64) float64 { return pre * math.Pow(d/d0, 1.5) }
	const step = d0 * 1e-4
	slope := (row(d0+step) - row(d0-step)) / step
	within(t, "stiffness", must(t)(HertzStiffness(pre, d0)), slope, 1e-7) // the step's own error
}

func TestRoller(t *testing.T) {
	r := Roller{6000, 0.035, rolling.BallExponent}
	l, err := r.Life(3000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "turns", l.Turns, 8e6)
	near(t, "distance", l.Distance, 8e6*math.Pi*0.035)
	near(t, "rating back", must(t)(RatingForTurns(3000, l.Turns, rolling.BallExponent)), 6000)
}

func TestGroove(t *testing.T) {
	g := Groove{Included: math.Pi / 3, Radial: 100, Axial: -30}
	n1, n2, err := g.FlankForces()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "toward the track", (n1+n2)*math.Sin(math.Pi/6), 100)
	near(t, "sideways", (n1-n2)*math.Cos(math.Pi/6), 30)
	g.Axial = 200
	if _, _, err := g.FlankForces(); !errors.Is(err, ErrLiftsOff) {
		t.Errorf("lifted wheel: %v", err)
	}
}

func TestWordsOfEnums(t *testing.T) {
	for got, want := range map[string]string{
		Per50km.String(): "50 km", Per100km.String(): "100 km", Basis(0).String(): "no basis",
		SimplySupported.String(): "simply supported", ContinuousAtStart.String(): "end span of a continuous beam", SpanEnds(0).String(): "ends unknown",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
