package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyLegs(t *rapid.T) []Leg {
	legs := make([]Leg, rapid.IntRange(1, 3).Draw(t, "axes"))
	for i := range legs {
		legs[i] = Leg{anyStroke(t), anyLimits(t)}
		if rapid.IntRange(0, 4).Draw(t, "rests") == 0 {
			legs[i].Stroke = 0
		}
	}
	return legs
}

// On a straight line all axes have gone the same part of their way at any time,
// each within its own limits, and one of them could not be quicker.
func TestStraightIsStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs := anyLegs(t)
		line, err := Straight(legs...)
		if err != nil {
			t.Fatal(err)
		}
		tightest := 0.0 // greatest use of any limit
		for i, leg := range legs {
			p := &line.Profiles[i]
			if leg.Stroke == 0 {
				if p.Duration() != 0 {
					t.Fatalf("axis %d goes nowhere in %g s", i, p.Duration())
				}
				continue
			}
			checkMove(t, p, leg.Stroke, leg.Limits)
			up, down, _ := leg.Limits.sides()
			tightest = max(tightest, p.PeakSpeed()/leg.Limits.Speed, p.PeakAccel()/up.accel, p.PeakDecel()/down.accel,
				p.up.jerk()/up.jerk, p.down.jerk()/down.jerk)
			for _, part := range []float64{0.1, 0.4, 0.8} {
				at := part * line.Duration
				if got, want := p.At(at).Position/leg.Stroke, line.Path.At(at).Position/line.Path.Stroke(); !near(got, want, 1e-12, 1) {
					t.Fatalf("axis %d is at %g of its way, the path at %g", i, got, want)
				}
			}
		}
		if line.Duration > 0 && !(tightest > 1-1e-9) {
			t.Fatalf("no limit is used by more than %g", tightest)
		}
		if (line.Governs >= 0) != (line.Duration > 0) {
			t.Fatalf("axis %d governs a move of %g s", line.Governs, line.Duration)
		}
	})
}

// More of the governing limit of the governing axis shortens the line.
func TestStraightNamesTheGoverningAxis(t *testing.T) {
	fast := Limits{Speed: 5, Accel: 20}
	tests := map[string]struct {
		legs  []Leg
		axis  int
		limit Limit
	}{
		"slow y":               {[]Leg{{1.2, fast}, {1.2, Limits{Speed: 0.5, Accel: 20}}}, 1, LimitSpeed},
		"weak x":               {[]Leg{{0.2, Limits{Speed: 5, Accel: 2}}, {0.2, fast}}, 0, LimitAccel},
		"weak brake of y":      {[]Leg{{0.2, fast}, {0.2, Limits{Speed: 5, Accel: 20, Decel: 1}}}, 1, LimitAccel},
		"soft y":               {[]Leg{{1e-4, fast}, {1e-4, Limits{Speed: 5, Accel: 20, Jerk: 10}}}, 1, LimitJerk},
		"slow y hardly moves":  {[]Leg{{1.2, fast}, {0.01, Limits{Speed: 0.5, Accel: 20}}}, 0, LimitAccel},
		"slow y does not move": {[]Leg{{3, fast}, {0, Limits{Speed: 0.5, Accel: 20}}}, 0, LimitSpeed},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			line, err := Straight(tt.legs...)
			if err != nil {
				t.Fatal(err)
			}
			if line.Governs != tt.axis || line.Limit != tt.limit {
				t.Errorf("axis %d, %v; want axis %d, %v", line.Governs, line.Limit, tt.axis, tt.limit)
			}
		})
	}
}

func TestFinishTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs := anyLegs(t)
		m, err := FinishTogether(legs...)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := Independent(legs...)
		if err != nil {
			t.Fatal(err)
		}
		if m.Duration != alone.Duration || m.Governs != alone.Governs {
			t.Fatalf("%g s by axis %d against %g s by axis %d", m.Duration, m.Governs, alone.Duration, alone.Governs)
		}
		for i, leg := range legs {
			if leg.Stroke == 0 {
				continue
			}
			checkMove(t, &m.Profiles[i], leg.Stroke, leg.Limits)
			if d := m.Profiles[i].Duration(); !near(d, m.Duration, 1e-12, m.Duration) {
				t.Fatalf("axis %d takes %g of %g s", i, d, m.Duration)
			}
		}
	})
}

// The straight line is never quicker than the axes alone.
func TestStraightIsNotQuicker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs := anyLegs(t)
		line, err := Straight(legs...)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := Independent(legs...)
		if err != nil {
			t.Fatal(err)
		}
		if !(line.Duration >= alone.Duration*(1-1e-12)) {
			t.Fatalf("line %.17g s, slowest axis alone %.17g s", line.Duration, alone.Duration)
		}
	})
}

func TestNobodyMoves(t *testing.T) {
	l := Limits{Speed: 1, Accel: 1}
	line, err := Straight(Leg{0, l}, Leg{0, l})
	if err != nil || line.Duration != 0 || line.Governs != -1 || line.Limit != LimitNone || math.IsNaN(line.Profiles[0].At(0).Position) {
		t.Errorf("%+v, %v", line.Move, err)
	}
	m, err := FinishTogether(Leg{0, l})
	if err != nil || m.Duration != 0 || m.Governs != -1 {
		t.Errorf("%+v, %v", m, err)
	}
}
