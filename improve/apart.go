package improve

import (
	"fmt"
	"slices"

	"spanwright/ledger"
)

// mostApart is the largest shift that is proposed, m: own choice; more is another
// layout.
const mostApart = 0.25

// apart shifts an axis on what carries it until two parts clear each other: one
// that a part belongs to, or that carries the tool; and it does without a line shaft
// that is in the way. What is proposed was tried for collisions.
func apart(s *situation, c ledger.Check) (out []proposal) {
	d, known := s.found.Decisive(c.ID)
	by := up(c.Limit-c.Value, step5)
	if !known || !(by > 0) {
		return nil
	}
	for _, a := range s.m.Axes {
		if p := a.Spec.Pair; p != nil && p.Driven == "shaft" && slices.Contains(d.Meet[:], a.Spec.ID) {
			out = append(out, s.clearing(c, proposal{
				Title: "a motor on each runway of axis " + a.Spec.ID + " instead of the line shaft", Why: "the room between the runways becomes free",
				Edits: []Edit{{Path: axisPath(a, "pair.driven"), Value: "two-motors"}, {Path: axisPath(a, "pair.shaft"), Remove: true}}, cost: a.Motor.Cost,
			})...)
		}
		last := a.Index == len(s.m.Axes)-1
		if !slices.Contains(d.Meet[:], a.Spec.ID) && !(last && (slices.Contains(d.Meet[:], "tool") || slices.Contains(d.Meet[:], "payload"))) {
			continue
		}
		if by > mostApart {
			continue
		}
		for world, name := range [3]string{"X", "Y", "Z"} {
			for _, to := range [2]float64{by, -by} {
				at := a.Spec.Offset
				at[world] += to
				out = append(out, s.clearing(c, proposal{
					Title: fmt.Sprintf("axis %s shifted by %s along world %s", a.Spec.ID, length(to), name), Why: "the parts then clear each other; mind what fills the gap, and that the named points move along",
					Edits: []Edit{{Path: axisPath(a, "offset"), Value: "[" + length(at[0]) + ", " + length(at[1]) + ", " + length(at[2]) + "]"}}, cost: free + by,
				})...)
			}
		}
	}
	return out
}

// clearing is a proposal if it clears what a check of a collision is about and
// brings nothing else together.
func (s *situation) clearing(c ledger.Check, p proposal) []proposal {
	checks := s.changed(p.Edits).collisions()
	if checks == nil || s.breaks(checks) {
		return nil
	}
	p.By, p.meets = "geometry, tried", true
	if i := slices.IndexFunc(checks, func(x ledger.Check) bool { return x.ID == c.ID }); i >= 0 {
		if checks[i].Verdict == ledger.Over {
			return nil
		}
		p.Estimate = checks[i].Utilisation
	}
	return []proposal{p}
}
