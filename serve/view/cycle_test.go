package view

import (
	"encoding/json"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/structure"
)

func TestCycleIsThatOfTheLedger(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		c := OfCycle(a)
		if c.Duration != a.Results.CycleTime {
			t.Errorf("the cycle takes %g s, the ledger says %g s", c.Duration, a.Results.CycleTime)
		}
		for i := range c.T {
			if i > 0 && !(c.T[i] >= c.T[i-1]) {
				t.Fatalf("%g s comes after %g s", c.T[i], c.T[i-1])
			}
		}
		if c.T[0] < 0 || c.T[len(c.T)-1] > float64(c.Duration) || len(c.Tool) != len(c.T) {
			t.Errorf("%d places at times from %g to %g s", len(c.Tool), c.T[0], c.T[len(c.T)-1])
		}
		for k, x := range c.Axes {
			most := 0.0
			for i := range c.T {
				most = max(most, math.Abs(x.Force[i]))
				if over := math.Abs(x.V[i]) - float64(x.Limits.V); over > 1e-9 { // rounding of a sum of accelerations
					t.Errorf("axis %s is faster than allowed by %g m/s", x.ID, over)
				}
				if x.Q[i] < -1e-9 || x.Q[i] > a.Machine.Axes[k].Spec.Travel+1e-9 {
					t.Errorf("axis %s stands at %g m", x.ID, x.Q[i])
				}
			}
			if !(math.Abs(most-float64(x.Peak)) <= 1e-12*most) { // the same sum in another order
				t.Errorf("axis %s is driven by %.12g N, the ledger says %.12g N", x.ID, most, x.Peak)
			}
		}
		before := c.Legs[len(c.Legs)-1].To
		at := Number(0)
		for _, l := range c.Legs {
			if l.From != before || l.Start != at || !(l.End >= l.Start && l.Until >= l.End) {
				t.Errorf("leg %+v begins where %s ended at %g s", l, before, at)
			}
			before, at = l.To, l.Until
		}
		near(t, "the end of the last leg", float64(at), float64(c.Duration), 1e-12)
	})
}

func TestSettlingStaysWithinItsEnvelope(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		worst := 0.0
		for _, s := range OfCycle(a).Settle {
			for i := range s.T {
				if math.Abs(s.Swing[i]) > s.Envelope[i]*(1+1e-12) { // rounding of a sum of ten
					t.Fatalf("leg %s swings %g m, its envelope is %g m", s.Name, s.Swing[i], s.Envelope[i])
				}
				if s.OK && s.T[i] > float64(s.Time)*(1+1e-6) && s.Envelope[i] > float64(*s.Band) { // the time is searched to 1e-6
					t.Errorf("leg %s is settled at %g s and swings %g m at %g s", s.Name, s.Time, s.Envelope[i], s.T[i])
				}
			}
			worst = max(worst, float64(s.Time))
		}
		if worst != float64(a.Results.Tool.SettleTime) {
			t.Errorf("the tool settles within %g s, the ledger says %g s", worst, a.Results.Tool.SettleTime)
		}
	})
}

func TestCurveIsJSON(t *testing.T) {
	text, err := json.Marshal(Curve{0, 1.5, -2e-9, math.NaN(), math.Inf(1), math.Copysign(0, -1), 1e300})
	if want := "[0,1.5,-2e-09,null,null,0,1e+300]"; err != nil || string(text) != want {
		t.Errorf("%s, %v, want %s", text, err, want)
	}
}

func TestSettleSaysWhyThereIsNoTime(t *testing.T) {
	swings := []structure.Swing{{Hz: 6, Amplitude: 1e-3, Direction: r3.Vec{X: 1}}}
	tests := map[string]struct {
		in   assess.Settling
		want string
	}{
		"settled":        {assess.Settling{Swings: swings, Damping: 0.01, Band: 1e-4, Time: 6.1, OK: true}, "6.1 s"},
		"never":          {assess.Settling{Swings: swings, Damping: 0, Band: 1e-4}, "never"},
		"no band":        {assess.Settling{Swings: swings, Damping: 0.01}, "no settle band is given"},
		"nothing swings": {assess.Settling{Damping: 0.01, Band: 1e-4, OK: true}, "0 s"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got := settle(c.in, "1 rack")
			if got.Text != c.want || math.IsNaN(float64(got.Time)) == c.in.OK {
				t.Errorf("%g s, %q, want %q", got.Time, got.Text, c.want)
			}
		})
	}
}
