package frame

import (
	"errors"
	"math"
	"testing"
)

// table is a light table on four one-sided feet under its own weight, pushed sideways at the top with a force along X.
func table(push, gap float64) *Model {
	b := newBuilder()
	for i, x := range []float64{0, 1} {
		for j, y := range []float64{0, 0.8} {
			foot, top := "f"+string(rune('0'+i))+string(rune('0'+j)), "t"+string(rune('0'+i))+string(rune('0'+j))
			b.node(foot, x, y, 0)
			b.node(top, x, y, 1)
			b.member("leg"+foot, foot, top, "80x80", 1)
			k := [6]float64{1e5, 1e5, 1e7, 0, 0, 0}
			c := &Contact{Normal: [3]float64{0, 0, 1}}
			if i == 1 && j == 1 {
				c.Gap = gap
			}
			b.Springs = append(b.Springs, Spring{ID: foot, From: foot, K: k, Contact: c})
		}
	}
	b.member("x0", "t00", "t10", "80x80", 1)
	b.member("x1", "t01", "t11", "80x80", 1)
	b.member("y0", "t00", "t01", "80x80", 1)
	b.member("y1", "t10", "t11", "80x80", 1)
	b.Masses = []Mass{{At: Point{Node: "t00"}, M: 1}} // off the diagonals, so that three feet are a stance
	b.Cases = []Case{{ID: "push", Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}},
		Forces: []Force{{At: Point{Node: "t00"}, Force: [3]float64{push / 2, 0, 0}}, {At: Point{Node: "t01"}, Force: [3]float64{push / 2, 0, 0}}}}}
	return &b.Model
}

func feet(t *testing.T, s *State) (push []float64, sum float64) {
	t.Helper()
	for _, id := range []string{"f00", "f01", "f10", "f11"} {
		f, ok := s.JointForces(id)
		if !ok {
			t.Fatal("no foot ", id)
		}
		push = append(push, -f[UZ])
		sum -= f[UZ]
	}
	return push, sum
}

func TestContactsOnlyPush(t *testing.T) {
	m := table(0, 0)
	s, err := Assemble(m)
	if err != nil {
		t.Fatal(err)
	}
	weight := s.Mass() * 9.80665
	tipping := (weight-9.80665)*0.5 + 9.80665 // N: push times height 1 m = moment of the weight about the feet at x = 1
	tests := map[string]struct {
		push, gap float64
		open      int // feet that do not touch
		tips      bool
	}{
		"stands":                  {0, 0, 0, false},
		"pushed, still standing":  {tipping * 0.8, 0, 0, false},
		"pushed beyond balance":   {tipping * 1.05, 0, 0, true},
		"pushed the other way":    {-tipping * 1.05, 0, 0, true}, // less would do: the mass stands over x = 0
		"one foot 5 mm too short": {0, 5e-3, 1, false},
		"one foot 1 µm too short": {0, 1e-6, 0, false},
		"one foot 5 µm too long":  {0, -5e-6, 0, false},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			a, err := Solve(table(tt.push, tt.gap))
			var tip *TipError
			if errors.As(err, &tip) != tt.tips {
				t.Fatalf("got %v", err)
			}
			if tt.tips {
				if len(tip.On) != 2 || tip.Move == nil {
					t.Errorf("tips on %v", tip.On)
				}
				if want := "f1"; tt.push > 0 && tip.On[0][:2] != want {
					t.Errorf("tips on %v, want the feet at x = 1", tip.On)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			push, sum := feet(t, a.States[0])
			for i, f := range push {
				if f < -1e-9*weight {
					t.Errorf("foot %d pulls with %g N", i, -f)
				}
			}
			near(t, "sum of feet", sum, weight, 1e-9)
			if got := len(a.States[0].Open()); got != tt.open {
				t.Errorf("%d feet open (%v), want %d", got, a.States[0].Open(), tt.open)
			}
		})
	}
}

// TestContactsAreConsistent: an open foot is above the ground, a closed one presses with its stiffness times its depth.
func TestContactsAreConsistent(t *testing.T) {
	for _, gap := range []float64{0, 1e-6, 1e-5, 1e-4, 1e-3} {
		a, err := Solve(table(20, gap))
		if err != nil {
			t.Fatal(err)
		}
		s := a.States[0]
		for i, id := range []string{"f00", "f01", "f10", "f11"} {
			f, _ := s.JointForces(id)
			g := 0.0
			if i == 3 {
				g = gap
			}
			depth := -displacement(s, id)[UZ] - g
			want := math.Max(0, 1e7*depth)
			if math.Abs(-f[UZ]-want) > 1e-6 {
				t.Errorf("gap %g, foot %s presses with %g N at depth %g m", gap, id, -f[UZ], depth)
			}
		}
		// The split follows the contacts as they are.
		sys, err := Assemble(table(20, gap))
		if err != nil {
			t.Fatal(err)
		}
		states, err := sys.Statics()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := sys.Split(states[0], Direction(Point{Node: "t11"}, UX)); err != nil {
			t.Error(err)
		}
	}
}
