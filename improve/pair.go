package improve

import (
	"fmt"

	"spanwright/ledger"
	"spanwright/parts"
)

// bothSides drives both runways: by a motor each, or by a line shaft.
func bothSides(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Spec.Pair == nil || a.Spec.Pair.Driven == "two-motors" {
		return nil
	}
	path := axisPath(a, "pair.")
	after := 0.5 // of two motors each takes half
	switch {
	case c.Kind == "pair.drive":
		after = 0 // no offset is left
	case c.Group == "pair":
		after = 0.2
	}
	price := a.Motor.Cost
	if a.Gear != nil {
		price += a.Gear.Cost
	}
	out := []proposal{{
		Title: "a motor on each runway of axis " + a.Spec.ID, Why: "no side is dragged along by the guide",
		Edits: []Edit{{Path: path + "driven", Value: "two-motors"}}, Estimate: c.Utilisation * after * 0.5, By: "rough: each side drives itself", cost: price,
	}}
	if c.Group != "pair" {
		return out
	}
	shafts := listed[*parts.Shaft](s, "shaft")
	for i := len(shafts) - 1; i >= 0 && len(out) < 3; i-- {
		p := shafts[i]
		if a.Spec.Pair.Driven == "shaft" && p.ID == a.Spec.Pair.Shaft {
			break
		}
		out = append(out, proposal{
			Title: fmt.Sprintf("line shaft %s between the runways of axis %s", p.ID, a.Spec.ID), Why: "one motor drives both sides; the shaft winds up a little",
			Edits: []Edit{{Path: path + "driven", Value: "shaft"}, {Path: path + "shaft", Value: p.ID}}, Estimate: c.Utilisation * after, By: "rough: wind-up of the shaft", cost: p.Cost + p.CostPerM*a.Spec.Pair.Spacing,
		})
	}
	return out
}

// moreFloat gives the floating side the travel it needs.
func moreFloat(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || !(c.Value > 0) {
		return nil
	}
	const half = 0.0005 // m
	to := up(c.Value/s.goal(), half)
	return []proposal{{
		Title: fmt.Sprintf("float of %s each way on axis %s", length(to), a.Spec.ID), Why: "room for parallelism, assembly and warmth",
		Edits: []Edit{{Path: axisPath(a, "pair.float"), Value: length(to)}}, Estimate: c.Value / to, By: "need over float",
	}}
}

// oneFixed lets one side float by 5 mm, which the check of the float then judges.
func oneFixed(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Spec.Pair == nil {
		return nil
	}
	edits := []Edit{{Path: axisPath(a, "pair.fixed_side"), Value: "minus"}}
	if a.Spec.Pair.Float == nil {
		edits = append(edits, Edit{Path: axisPath(a, "pair.float"), Value: length(step5)})
	}
	return []proposal{{Title: "minus side of axis " + a.Spec.ID + " fixed, plus side floating", Why: "errors of parallelism then press on nothing", Edits: edits, Estimate: 0, By: "rule"}}
}

// betterAligned asks for runways closer in height: the force goes with the error.
func betterAligned(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Spec.Pair == nil {
		return nil
	}
	const tenth = 0.00001 // m
	to := down(a.Spec.Pair.Height*s.goal()/c.Utilisation, tenth)
	if !(to > 0) {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("runways of axis %s levelled to %s of each other", a.Spec.ID, length(to)), Why: "the force on the outer blocks goes with the height error; assembly has to reach it",
		Edits: []Edit{{Path: axisPath(a, "pair.height_error"), Value: length(to)}}, Estimate: c.Utilisation * to / a.Spec.Pair.Height, By: "goes with the error",
	}}
}
