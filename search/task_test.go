package search

import (
	"context"
	"slices"
	"testing"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// smallTask is a light portal with short moves; the axes are settled as far as
// the tests want.
const smallTask = `spanwright: 1
machine: small portal
task:
  payload: {mass: 1 kg, size: [100 mm, 100 mm, 80 mm], centre: [0 mm, 0 mm, -40 mm], grip: {by: form}}
  tool: {mass: 0.5 kg, centre: [0 mm, 0 mm, -20 mm], point: [0 mm, 0 mm, -40 mm]}
  points:
    a: {x: 50 mm, z: 20 mm}
    b: {x: 400 mm, z: 120 mm}
  cycle:
    - {to: a, dwell: 0.5 s}
    - {to: b, loaded: yes, dwell: 0.5 s}
  rate: 600 /h
  targets: {sag_variation: 1 mm, settle_band: 1 mm, settle_time: 1 s, first_frequency: 3 Hz}
  duty: {hours_per_year: 2000 h, years: 5, emergency_stops_per_day: 0.5}
  surroundings: {floor: slab}
stand: # a free-standing portal must not tip along its length
  generate:
    span: 1.4 m
`

func parsed(t testing.TB, text string) *design.Design {
	t.Helper()
	d, list := design.ParseTask("task.yaml", []byte(text))
	if len(list) > 0 {
		t.Fatal(list)
	}
	return d
}

func problem(t testing.TB, text string) *Problem {
	t.Helper()
	p, list := NewProblem(parsed(t, text), parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return p
}

// smallSpace is a space of the small portal in which some choices pass and some
// fail at every stage.
func smallSpace(p *Problem) *Space {
	light := Frame{Legs: 2, Leg: "profile-40x40-heavy", TopRail: "profile-40x40-heavy", BottomRail: "profile-40x40-light", FootRail: "profile-40x40-heavy",
		Joint: "corner-plate-40", BraceJoint: "gusset-40-double", Brace: "profile-40x40-heavy", Reach: 0.3, Foot: "foot-m12", Width: 1.2}
	heavy := light
	heavy.Leg, heavy.TopRail, heavy.FootRail, heavy.BottomRail, heavy.Joint = "profile-80x80-light", "profile-80x80-light", "profile-80x80-light", "profile-40x80-light", "corner-plate-40-double"
	return &Space{
		Paces: []Pace{{0.9, 0.1, 1, 1.2}},
		Axes: []AxisSpace{
			{Parts: []string{"belt-axis-60"}, Screws: []string{""}, Motors: []string{"servo-100", "servo-400"}, Gears: []string{none, "planetary-60-10"}, Brakes: []string{none}, Joins: []string{"clamp-60"}},
			{Parts: []string{"mast-axis-60"}, Screws: []string{""}, Motors: []string{"servo-400"}, Gears: []string{"planetary-60-7", "planetary-60-10"}, Brakes: []string{"hold-brake-0.3", "hold-brake-1.3"}, Joins: []string{"plate-120x120x15", "plate-160x160x15-ribbed"}},
		},
		Frames: []Frame{light, heavy},
	}
}

func sortVectors(list [][]float64) { slices.SortFunc(list, slices.Compare) }

// TestGantryFromItsTaskAlone: of the task of an example with three axes, few
// judgements at some of the paces make a machine that passes and is cheaper or
// lighter than the one made by hand.
func TestGantryFromItsTaskAlone(t *testing.T) {
	if testing.Short() {
		t.Skip("judges forty machines with three axes")
	}
	p := exampleTask(t, "seedling-gantry")
	s, list := p.NewSpace()
	if len(list) > 0 {
		t.Fatal(list)
	}
	s.Paces = slices.DeleteFunc(s.Paces, func(k Pace) bool { return k.Share < 0.99 || k.Rise > 0.1 })
	o := Usual(len(p.axes))
	o.Most = 40
	r := searched(t, p, s, o)
	found, err := r.Found(context.Background(), 3, func(Outcome) string { return "about" })
	if err != nil {
		t.Fatal(err)
	}
	byHand := made(t, "seedling-gantry")
	if !slices.ContainsFunc(found, func(f Found) bool { return f.Values.Cost <= byHand.Cost || f.Values.Mass <= byHand.Mass }) {
		t.Errorf("%d found, none is as cheap or as light as the one made by hand", len(found))
	}
	for _, f := range found {
		d, list := design.Parse("found.yaml", f.Text)
		if len(list) > 0 {
			t.Fatalf("%v\n%s", list, f.Text)
		}
		m, list := machine.Build(d, p.Catalogue)
		if len(list) > 0 {
			t.Fatal(list)
		}
		a, err := assess.Run(context.Background(), m, assess.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if a.Counts.Over+a.Counts.Unknown > 0 {
			t.Errorf("%+v fails %v", f.Choice, failing(a.Checks))
		}
	}
}
