package frame

import (
	"math"
	"testing"
)

// withPayload sets the gantry of the other tests with a payload.
func withPayload(t *testing.T) (*Base, *Pose, []Tie) {
	t.Helper()
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	ties := gantryTies(1.0, 0.6, 1.4)
	pose, err := base.Pose(ties, payload(12))
	if err != nil {
		t.Fatal(err)
	}
	return base, pose, ties
}

func TestLineFollowsTheMember(t *testing.T) {
	base, pose, _ := withPayload(t)
	load, err := base.Prepare(gantryCases()[0])
	if err != nil {
		t.Fatal(err)
	}
	state, err := pose.Static(load, nil)
	if err != nil {
		t.Fatal(err)
	}
	whole := state.Recover()
	for _, member := range []string{"bridge", "runway1"} {
		line := whole.Line(member, 5)
		for i, got := range line {
			want, err := state.At(Point{Member: member, Position: float64(i) / 4})
			if err != nil {
				t.Fatal(err)
			}
			close6(t, member, got, want, 1e-9) // the same sums in another order
		}
	}
	if whole.Line("bridge", 1) != nil || whole.Line("none", 5) != nil {
		t.Error("a line of one place, or of no member, has places")
	}
}

func TestEnergyOfAMode(t *testing.T) {
	_, pose, ties := withPayload(t)
	modes, err := pose.Modes(4, nil)
	if err != nil {
		t.Fatal(err)
	}
	system, err := pose.System()
	if err != nil {
		t.Fatal(err)
	}
	reference, err := system.Modes(4)
	if err != nil {
		t.Fatal(err)
	}
	for i, hz := range modes.Hz {
		e := modes.Energy(i)
		half := 2 * math.Pi * math.Pi * hz * hz     // ω²/2
		if !(math.Abs(e.Sum()-half) <= 1e-8*half) { // a Rayleigh quotient of a vector that is good to 1e-4 or better
			t.Errorf("mode %d stores %.12g, want %.12g", i, e.Sum(), half)
		}
		// The reference path gives the same parts; shapes agree less well than frequencies, to the root of their tolerance.
		work := reference.WorkOn(i, i)
		for k, want := range work.Members {
			if got := e.Members[k] + e.Ends[k]; !(math.Abs(got-want.Sum()/2) <= 1e-4*half) {
				t.Errorf("mode %d: member %d stores %.9g, reference %.9g", i, k, got, want.Sum()/2)
			}
		}
		own := len(work.Ties) - len(ties) // ties of the model come first
		for k := range ties {
			want := 0.0
			for _, x := range work.Ties[own+k] {
				want += x / 2
			}
			if !(math.Abs(e.Pose[k]-want) <= 1e-4*half) {
				t.Errorf("mode %d: tie %s stores %.9g, reference %.9g", i, ties[k].ID, e.Pose[k], want)
			}
		}
	}
}

func TestRecoveredModeIsItsShape(t *testing.T) {
	_, pose, _ := withPayload(t)
	modes, err := pose.Modes(3, nil)
	if err != nil {
		t.Fatal(err)
	}
	at := Point{Member: "bridge", Position: 0.37, Offset: [3]float64{0, 0, 0.07}}
	for i := range modes.Hz {
		want, err := modes.Shape(i, at)
		if err != nil {
			t.Fatal(err)
		}
		got, err := modes.Recover(i).At(at)
		if err != nil {
			t.Fatal(err)
		}
		close6(t, "shape", got, want, 1e-12) // the same numbers, summed alike
	}
}
