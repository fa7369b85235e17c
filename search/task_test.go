package search

import (
	"slices"
	"testing"

	"spanwright/design"
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
