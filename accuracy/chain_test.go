package accuracy

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"spanwright/given"
)

// lastDigits allows the last digits of sums of a few products.
var lastDigits = cmpopts.EquateApprox(1e-12, 1e-18)

// TestChainSigns: a child can predict where a lever goes.
func TestChainSigns(t *testing.T) {
	tests := map[string]struct {
		link Link
		want [3]float64
	}{
		"roll about X moves a hanging tool to +Y":  {Link{Angles: [3]float64{1e-3, 0, 0}, At: [3]float64{0, 0, 1}}, [3]float64{0, 1e-3, 0}},
		"pitch about Y moves a hanging tool to -X": {Link{Angles: [3]float64{0, 1e-3, 0}, At: [3]float64{0, 0, 1}}, [3]float64{-1e-3, 0, 0}},
		"yaw about Z moves a tool ahead to +Y":     {Link{Angles: [3]float64{0, 0, 1e-3}, At: [3]float64{-1, 0, 0}}, [3]float64{0, 1e-3, 0}},
		"a shift is passed on":                     {Link{Shift: [3]float64{1, 2, 3}}, [3]float64{1, 2, 3}},
	}
	for name, c := range tests {
		e, err := Chain([]Link{c.link}, [3]float64{})
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(c.want, e.Signed, lastDigits); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

// TestChainBounds: signs can only help, and the random sum lies below the worst case.
func TestChainBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vector := func(name string, size float64) (v [3]float64) {
			for k := range v {
				v[k] = rapid.Float64Range(-size, size).Draw(t, name)
			}
			return v
		}
		links := make([]Link, rapid.IntRange(1, 6).Draw(t, "links"))
		for i := range links {
			links[i] = Link{Angles: vector("angle", 1e-3), Shift: vector("shift", 1e-4), At: vector("at", 3)}
		}
		e, err := Chain(links, vector("tool", 3))
		if err != nil {
			t.Fatal(err)
		}
		for k := range e.Signed {
			slack := 1e-12 * (1 + e.Largest[k])
			if math.Abs(e.Signed[k]) > e.Largest[k]+slack || e.Random[k] > e.Largest[k]+slack {
				t.Fatalf("signed %g, random %g, largest %g", e.Signed[k], e.Random[k], e.Largest[k])
			}
		}
	})
}

func TestSagIsTheSameFromBothEnds(t *testing.T) {
	b := Beam{Span: 3, Bending: 96320}
	left, err := b.Sag(600, 0.4)
	if err != nil {
		t.Fatal(err)
	}
	right, _ := b.Sag(600, 2.6)
	middle, _ := b.Sag(600, 1.5)
	if d := cmp.Diff(left, right, lastDigits); d != "" {
		t.Errorf("(-left +right):\n%s", d)
	}
	if want := 600 * 27.0 / (48 * 96320); math.Abs(middle-want) > 1e-15 { // P L³/(48 E I)
		t.Errorf("in the middle %g m, want %g m", middle, want)
	}
	for _, a := range []float64{-0.1, 3.1, math.NaN()} {
		if _, err := b.Sag(600, a); !errors.Is(err, given.ErrRefused) {
			t.Errorf("load at %g m: %v", a, err)
		}
	}
}

func TestChainAndVariationRefuseNonsense(t *testing.T) {
	nan := math.NaN()
	for name, call := range map[string]func() error{
		"angle NaN":                 func() error { _, err := Chain([]Link{{Angles: [3]float64{nan}}}, [3]float64{}); return err },
		"tool at infinity":          func() error { _, err := Chain([]Link{{}}, [3]float64{math.Inf(1)}); return err },
		"taught place not there":    func() error { _, err := Vary([]float64{1, 2}, 2); return err },
		"unknown sag somewhere":     func() error { _, err := Vary([]float64{1, nan}, 0); return err },
		"bow of a beam of no depth": func() error { _, err := Bow{2.3e-5, 1, 0, 3}.Rise(); return err },
	} {
		if err := call(); !errors.Is(err, given.ErrRefused) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
