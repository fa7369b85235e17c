package tuning

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/given"
)

// The notch is neutral at rest and exactly as deep as said at its centre,
// whatever the sample time: that is what pre-warping is for.
func TestNotchDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := Notch{
			Frequency: rapid.Float64Range(1, 400).Draw(t, "Hz"), Numerator: rapid.Float64Range(0.001, 0.3).Draw(t, "zn"),
			Denominator: rapid.Float64Range(0.05, 1).Draw(t, "zd"), Sample: 0.001,
		}
		b, err := n.Digital()
		if err != nil {
			t.Fatal(err)
		}
		// 1e-6: the poles lie close to 1 at low frequencies, which costs digits.
		if g := b.Gain(0, n.Sample); math.Abs(g-1) > 1e-6 {
			t.Errorf("gain at rest %g", g)
		}
		if g, want := b.Gain(n.Frequency, n.Sample), n.Numerator/n.Denominator; math.Abs(g-want) > 1e-6*math.Max(want, 1) {
			t.Errorf("gain at the centre %g, want %g", g, want)
		}
		if !(math.Abs(b.A[2]) < 1) {
			t.Errorf("the filter is unstable: a2 = %g", b.A[2])
		}
	})
}

// A parallelogram made with a known angle gives the angle back, and the
// difference of the diagonals agrees with the short form.
func TestDiagonals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.2, 10).Draw(t, "a"), rapid.Float64Range(0.2, 10).Draw(t, "b")
		e := rapid.Float64Range(-0.02, 0.02).Draw(t, "e")
		d := Diagonals{A: a, B: b, D1: math.Hypot(a+b*math.Sin(e), b*math.Cos(e)), D2: math.Hypot(a-b*math.Sin(e), b*math.Cos(e))}
		got, err := d.Error()
		if err != nil || math.Abs(got-e) > 1e-9 { // cancellation in d1 - d2
			t.Errorf("%+v: %g, %v; want %g", d, got, err, e)
		}
		diff, err := DiagonalDifference(a, b, e)
		if err != nil || math.Abs(diff-(d.D1-d.D2)) > 1e-3*math.Abs(diff)+1e-12 { // small angles: e² is 4e-4
			t.Errorf("difference %g, want %g", diff, d.D1-d.D2)
		}
	})
}

func TestAdvise(t *testing.T) {
	for name, c := range map[string]struct {
		r    Resonance
		band float64
		want Remedy
		kind string
	}{
		"high modes are notched":                 {Resonance{26, 28, 30}, 8, UseNotch, ""},
		"a steady low mode takes two impulses":   {Resonance{5.4, 5.6, 5.8}, 8, UseShaper, "zv"},
		"a wandering one takes three":            {Resonance{5, 6, 6.8}, 8, UseShaper, "zvd"},
		"one that moves too far wants slow jerk": {Resonance{4, 6, 9}, 8, UseJerk, ""},
		"just three bandwidths is not above":     {Resonance{24, 24, 24}, 8, UseShaper, "zv"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := Advise(c.r, c.band)
			if err != nil || got.Remedy != c.want || got.Shaper != c.kind {
				t.Errorf("%+v, %v", got, err)
			}
		})
	}
}

func TestFollowing(t *testing.T) {
	e, window, err := PositionLoop{Gain: 50, FeedForward: 1}.Following(2, 1e-4)
	if err != nil || e != 0 || window != 1e-3 {
		t.Errorf("full feed-forward: %g, %g, %v; the in-position window must hold the trip window up", e, window, err)
	}
}

func TestFirstSettings(t *testing.T) {
	if k, err := FirstGain(20); err != nil || math.Abs(k-31.41592653589793) > 1e-12 {
		t.Errorf("%g, %v", k, err)
	}
	if k, err := FirstGain(200); err != nil || k != 60 {
		t.Errorf("a stiff drive: %g, %v", k, err)
	}
	if w := InPositionWindow(1e-3, 1e6); w != 2.5e-4 {
		t.Errorf("a quarter of the band: %g", w)
	}
	if w := InPositionWindow(1e-6, 1e5); w != 1e-4 {
		t.Errorf("ten counts: %g", w)
	}
}

func TestRefusals(t *testing.T) {
	_, errFeed := Feed{PerTurn: 0.1}.Settings(1, 1)
	_, errNotch := Notch{Frequency: 600, Denominator: 0.5, Sample: 0.001}.Digital()
	_, errDiagonal := Diagonals{1, 1, 4, 1}.Error()
	_, errAdvice := Advise(Resonance{5, 6, 4}, 8)
	_, _, errLoop := PositionLoop{}.Following(1, 1)
	_, errGain := FirstGain(math.NaN())
	for name, err := range map[string]error{"feed": errFeed, "notch": errNotch, "diagonal": errDiagonal, "advice": errAdvice, "loop": errLoop, "gain": errGain} {
		if !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
