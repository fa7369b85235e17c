package frame

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// TestKeptTiesChangeNothing: a pose that follows another in the same workspace,
// with some of its ties, is bit for bit the pose in a new workspace: statics,
// forces, modes, whatever was asked before.
func TestKeptTiesChangeNothing(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	load, err := base.Prepare(gantryCases()[1])
	if err != nil {
		t.Fatal(err)
	}
	tool := Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}
	type answer struct {
		Tool  [6]float64
		Ties  [][6]float64
		Hz    []float64
		Shape [6]float64
	}
	ask := func(t *rapid.T, p *Pose, ties []Tie, masses []Mass, modes bool) answer {
		var a answer
		if err := p.Set(ties, masses); err != nil {
			t.Fatal(err)
		}
		state, err := p.Static(load, nil)
		if err != nil {
			t.Fatal(err)
		}
		if a.Tool, err = state.At(tool); err != nil {
			t.Fatal(err)
		}
		for i := range ties {
			a.Ties = append(a.Ties, state.TieForces(i))
		}
		if modes {
			m, err := p.Modes(2, nil)
			if err != nil {
				t.Fatal(err)
			}
			a.Hz = append(a.Hz, m.Hz...)
			if a.Shape, err = m.Shape(1, tool); err != nil {
				t.Fatal(err)
			}
		}
		return a
	}
	rapid.Check(t, func(t *rapid.T) {
		used := base.NewPose()
		place := rapid.SampledFrom([]float64{0.2, 0.4, 0.7})
		for range rapid.IntRange(2, 6).Draw(t, "poses") {
			ties := gantryTies(place.Draw(t, "x"), place.Draw(t, "y"), 1+place.Draw(t, "z"))
			if rapid.Bool().Draw(t, "one tie less") {
				ties = append(ties[:2:2], ties[3:]...)
			}
			masses := payload(rapid.SampledFrom([]float64{5, 12}).Draw(t, "payload"))
			modes := rapid.Bool().Draw(t, "modes")
			if got, want := ask(t, used, ties, masses, modes), ask(t, base.NewPose(), ties, masses, modes); !reflect.DeepEqual(got, want) {
				t.Fatalf("%v in a used workspace, %v in a new one", got, want)
			}
		}
	})
}
