package assess

import (
	"math"
	"strings"
	"testing"

	"spanwright/clearance"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
)

// collisions are the checks of a machine for parts that run into each other.
func collisions(t testing.TB, m *machine.Machine) map[string]ledger.Check {
	t.Helper()
	r := &run{m: m, ledger: ledger.Ledger{Tight: m.Design.Assumptions.Tight}}
	var err error
	if r.legs, err = legs(m); err != nil {
		t.Fatal(err)
	}
	if err := r.collisionChecks(); err != nil {
		t.Fatal(err)
	}
	out := map[string]ledger.Check{}
	for _, c := range r.ledger.Sorted() {
		out[strings.TrimPrefix(c.ID, "build.collision.")] = c
	}
	return out
}

// TestExamplesRunFree: nothing in the examples runs into anything, their twins included.
func TestExamplesRunFree(t *testing.T) {
	for _, name := range examplesOfAll {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			checks := collisions(t, built(t, name, file))
			if len(checks) != int(classes)+1 {
				t.Errorf("%s/%s: %d checks, want one of each class and one of fixed parts", name, file, len(checks))
			}
			for id, c := range checks {
				if c.Verdict == ledger.Over || c.Verdict == ledger.Unknown {
					t.Errorf("%s/%s: %s is %v: %s", name, file, id, c.Verdict, c.Note)
				}
			}
		}
	}
}

// TestPlantedCollisions: a part put in the way of another is found, with both
// parts, by the check of its class, and by no other.
func TestPlantedCollisions(t *testing.T) {
	const way, tight = "    cross_rail_at: ends", "hard_stop: 310 mm, bumper: bumper-80"
	for name, c := range map[string]struct {
		example string
		replace []string
		class   string
		parts   [2]string
		others  []string // classes that find more of it
	}{
		"a rail between the middle legs": {"seedling-gantry", []string{way, "    cross_rail_at: all"}, "stand", [2]string{"cross_rail.middle", "z.body"}, []string{"tool", "carriers", "payload"}},
		"an over-travel into the runway": {"seedling-gantry", []string{tight, "hard_stop: 420 mm, bumper: bumper-80"}, "stand", [2]string{"x.", "z."}, []string{"tool", "axes", "carriers"}},
		"a plate that stands out":        {"sample-gantry", []string{"plate-80x100x12", "plate-160x160x15"}, "axes", [2]string{"y.interface.1.plate", "z."}, nil},
		"a short mast":                   {"crate-portal", []string{"    overhang: 346 mm", "    overhang: 300 mm"}, "tool", [2]string{"z.carrier", "tool"}, nil},
		"a beam without its under-beam":  {"crate-portal", []string{"    under_beam: profile-45x45-heavy", "    under_beam: none"}, "stand", [2]string{"top_rail", "x.block"}, nil},
		"a crate too wide for its place": {"crate-portal", []string{"size: [400 mm, 300 mm, 240 mm]", "size: [1100 mm, 400 mm, 240 mm]"}, "payload", [2]string{"leg", "payload"}, []string{"tool"}},
		"a loop too small for the beam":  {"sample-gantry", []string{"x: {part: carrier-20x38-r55}", "x: {part: carrier-15x38-r48}"}, "fixed", [2]string{"x.carrier_tray", "x.support"}, []string{"carriers"}},
	} {
		t.Run(name, func(t *testing.T) {
			checks := collisions(t, replaced(t, c.example, c.replace...))
			got := checks[c.class]
			if got.Verdict != ledger.Over {
				t.Errorf("%s is %v, %.4g m: %s", c.class, got.Verdict, got.Value, got.Note)
			}
			for _, part := range c.parts {
				if !strings.Contains(got.Note, part) {
					t.Errorf("%q names no %s", got.Note, part)
				}
			}
			for id, other := range checks {
				if id != c.class && other.Verdict == ledger.Over && !strings.Contains(strings.Join(c.others, " "), id) {
					t.Errorf("%s is over as well: %s", id, other.Note)
				}
			}
		})
	}
}

// TestClearanceIsTheUsersLimit: the distance stays, the verdict follows the limit.
func TestClearanceIsTheUsersLimit(t *testing.T) {
	plain := collisions(t, built(t, "crate-portal", "gantry.yaml"))["carriers"]
	strict := collisions(t, replaced(t, "crate-portal", "equipment:\n", "assumptions:\n  limits: {clearance: 400 mm}\n\nequipment:\n"))["carriers"]
	if plain.Value != strict.Value || strict.Limit != 0.4 || strict.Verdict != ledger.Over {
		t.Errorf("%.4g m at least %.4g m, then %.4g m at least %.4g m: %v", plain.Value, plain.Limit, strict.Value, strict.Limit, strict.Verdict)
	}
}

// TestMovesAreLookedAtThroughout: on a move of three axes that do not go in
// proportion, what is found is as near as the nearest of many places on it, and by
// no more than a millimetre nearer.
func TestMovesAreLookedAtThroughout(t *testing.T) {
	m := built(t, "seedling-gantry", "gantry.yaml")
	parts, err := m.Extents()
	if err != nil {
		t.Fatal(err)
	}
	var payload *machine.Extent
	var stand []machine.Extent
	for i := range parts {
		switch {
		case parts[i].Solid.Thing == machine.ThingPayload:
			payload = &parts[i]
		case parts[i].Solid.Body == 0:
			stand = append(stand, parts[i])
		}
	}
	from, to := []float64{0.15, 1.6, 0.1}, []float64{3.9, -0.1, 0.45}
	var moves []motion.Leg
	for i, a := range m.Axes {
		moves = append(moves, motion.Leg{Stroke: to[i] - from[i], Limits: limits(a.Spec.Limits, 1)})
	}
	move, err := motion.Independent(moves...)
	if err != nil {
		t.Fatal(err)
	}
	l := leg{step: &m.Design.Task.Cycle[0], from: from, to: to, move: move}
	s := search{m, m.Design.Assumptions.Limits.Clearance}
	found := s.along(payload, stand, &l)
	least := math.Inf(1)
	const places = 500
	for k := range places + 1 {
		var there []clearance.Range
		for i := range m.Axes {
			q := l.at(i, move.Duration*float64(k)/places)
			there = append(there, clearance.Range{Low: q, High: q})
		}
		least = min(least, s.during(payload, stand, there, "")[0].place.Distance)
	}
	// To a micrometre the search ends. Between two of the places the payload goes up to 1.5 m/s for 1/500 of the time.
	step := 3 * move.Duration / places
	if got := found[0].place.Distance; !(got <= least+1e-6 && got >= least-finestPath-step) {
		t.Errorf("%.6g m, the nearest of %d places %.6g m", got, places, least)
	}
	if len(found) == 0 || found[0].when == "" {
		t.Error("it does not say in which move")
	}
}

// TestRangesReachTheCompressedStops: programmed travel, hard stop and stroke, less
// what stands in the travel.
func TestRangesReachTheCompressedStops(t *testing.T) {
	r := &run{m: replaced(t, "crate-portal", "x: {switch: 15 mm,", "x: {shortened_plus: 300 mm, switch: 15 mm,")}
	got := r.wholeTravels()
	stroke := r.m.Bumpers["x"].Stroke
	for i, want := range [2]float64{-(0.560 + stroke), 1.8 - 0.3 + 0.560 + stroke} {
		if v := [2]float64{got[0].Low, got[0].High}[i]; math.Abs(v-want) > 1e-12 {
			t.Errorf("end %d at %.6g m, want %.6g m", i, v, want)
		}
	}
}
