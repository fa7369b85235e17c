package guide

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyWedge(t *rapid.T) Wedge {
	return Wedge{
		Length: rapid.Float64Range(0.1, 2).Draw(t, "length"), Friction: rapid.Float64Range(0, 0.4).Draw(t, "friction"),
		DriveOffset: rapid.Float64Range(-2, 2).Draw(t, "drive offset"), LoadOffset: rapid.Float64Range(-2, 2).Draw(t, "load offset"),
		Resistance: rapid.Float64Range(1, 1000).Draw(t, "resistance"),
	}
}

// The forces satisfy both balances they come from, and cost at least the resistance.
func TestWedgeForcesBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWedge(t)
		f, err := w.Forces()
		if errors.Is(err, ErrWedged) {
			if math.Abs(w.DriveOffset) < w.Length/(2*w.Friction)*(1-1e-9) {
				t.Fatalf("wedges although its offset is below the limit: %+v", w)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		scale := f.Drive + 2*w.Friction*f.Couple + w.Resistance
		if !(math.Abs(f.Drive-w.Resistance-2*w.Friction*f.Couple) <= 1e-9*scale) {
			t.Fatalf("drive %g, resistance %g and friction %g", f.Drive, w.Resistance, 2*w.Friction*f.Couple)
		}
		turning := TurningMoment(f.Drive, w.DriveOffset, w.Resistance, w.LoadOffset)
		if !(math.Abs(f.Couple*w.Length-turning) <= 1e-9*(turning+scale)) {
			t.Fatalf("couple %g on %g, moment %g", f.Couple, w.Length, turning)
		}
		if f.Amplification < 1-1e-9 {
			t.Fatalf("friction helps: %g", f.Amplification)
		}
	})
}

// More friction never helps, and what wedges keeps wedging.
func TestFrictionNeverHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWedge(t)
		less, errLess := w.Forces()
		w.Friction += rapid.Float64Range(0, 0.2).Draw(t, "more")
		more, errMore := w.Forces()
		if errLess != nil && errMore == nil {
			t.Fatalf("wedged, and free with more friction: %+v", w)
		}
		if errMore == nil && more.Drive < less.Drive*(1-1e-9) {
			t.Fatalf("drive %g with more friction, %g with less", more.Drive, less.Drive)
		}
	})
}

// A mirrored bridge needs the same force.
func TestWedgeMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWedge(t)
		a, errA := w.Forces()
		w.DriveOffset, w.LoadOffset = -w.DriveOffset, -w.LoadOffset
		b, errB := w.Forces()
		if (errA == nil) != (errB == nil) || !(math.Abs(a.Drive-b.Drive) <= 1e-12*a.Drive) {
			t.Fatalf("%+v (%v), mirrored %+v (%v)", a, errA, b, errB)
		}
	})
}

// At the needed length the bridge just wedges; a little longer it moves.
func TestNeededLength(t *testing.T) {
	w := Wedge{Friction: 0.25, DriveOffset: 1.2, Resistance: 200}
	w.Length = w.NeededLength()
	near(t, "needed length", w.Length, 0.6)
	if _, err := w.Forces(); !errors.Is(err, ErrWedged) {
		t.Errorf("at the needed length: %v", err)
	}
	w.Length *= 1.001
	if _, err := w.Forces(); err != nil {
		t.Errorf("longer: %v", err)
	}
}

// The trade's ratio and the physics are two answers: at friction 0.25 they meet,
// on rolling guides they do not.
func TestTradeRatioBesideWedging(t *testing.T) {
	w := Wedge{Length: 0.6, Friction: 0.003, DriveOffset: 1.8, Resistance: 200}
	rule, err := w.RatioRule(TradeRatio)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "utilisation of the rule", rule.Utilisation, 1.5)
	near(t, "friction that wedges at this ratio", rule.WedgesAt, 1.0/6)
	f, err := w.Forces()
	if err != nil {
		t.Fatalf("a rolling guide wedges at 3:1: %v", err)
	}
	within(t, "amplification on balls", f.Amplification, 1.018, 1e-3)
	near(t, "friction of the rule", must(t)(FrictionAtRatio(TradeRatio)), 0.25)
	limit := must(t)(LimitRatio(0.25))
	near(t, "ratio at that friction", limit, TradeRatio)
	if !math.IsInf(must(t)(LimitRatio(0)), 1) {
		t.Error("without friction something wedges")
	}
}

func TestSkewOfPairs(t *testing.T) {
	y := YawStiffness{Guide: 27e6, Structure: math.Inf(1), Span: 3}
	s, err := y.Skew(300)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lag", s.Lag, s.Angle*3)
	y.Structure = 27e6
	soft, err := y.Skew(300)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "as soft a structure doubles it", soft.Angle, 2*s.Angle)
	y.Drive = 8e5
	near(t, "drives on both sides add", must(t)(y.Total()), 13.5e6+8e5*9/2)
}

func TestTwoDrivesShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := TwoDrives{
			Force: rapid.Float64Range(-1000, 1000).Draw(t, "force"), Span: 3, FromA: rapid.Float64Range(0, 3).Draw(t, "place"),
			StiffnessA: 8e5, StiffnessB: 6e5,
		}
		s, err := d.Share()
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(s.A+s.B-d.Force) <= 1e-12*math.Abs(d.Force)) || !(math.Abs(s.B*3-d.Force*d.FromA) <= 1e-12*math.Abs(d.Force)*3) {
			t.Fatalf("shares %+v of %+v", s, d)
		}
	})
	skew, force, err := SkewSources{20e-6, -30e-6, 10e-6, -40e-6}.Fight(5e6)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "skew", skew, 100e-6)
	near(t, "fighting force", force, 500)
}

func TestMisalignment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := BothFixed{1e-4, rapid.Float64Range(1e7, 1e9).Draw(t, "A"), rapid.Float64Range(1e7, 1e9).Draw(t, "B"), rapid.Float64Range(1e5, 1e9).Draw(t, "frame")}
		f, err := b.Force()
		if err != nil {
			t.Fatal(err)
		}
		taken := f.Force/b.StiffnessA + f.Force/b.StiffnessB + f.Force/b.Frame
		if !(math.Abs(taken-1e-4) <= 1e-15) {
			t.Fatalf("springs take %g of the error", taken)
		}
	})
	f := FloatNeed{Parallelism: 0.5e-3, Assembly: 0.3e-3, BridgeGrowth: 23e-6, BaseGrowth: 12e-6, Span: 3, Rise: -20, ElasticSpread: 0.1e-3}
	got, err := f.Travel()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "thermal, cooling counts too", got.Thermal, 0.66e-3)
	near(t, "float", got.Total, 1.56e-3)
	tilt, err := HeightError{-2e-4, 3, 2e5, math.Inf(1)}.Tilt()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "moment of a rigid bridge", tilt.Moment, 2e-4/3*2e5)
}
