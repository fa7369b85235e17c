package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/ledger"
	"spanwright/machine"
)

// closerSupports brings the supports of a clamped beam closer; sag goes with L³.
func closerSupports(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || len(a.Supports) < 2 {
		return nil
	}
	widest := widestGap(a)
	power := 1.0
	if c.Kind == "axis.support.sag" {
		power = 3
	}
	to := down(widest*math.Pow(s.goal()/c.Utilisation, 1/power), step50)
	if !(to > 0) || to >= widest {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("supports of axis %s at most %s apart", a.Spec.ID, length(to)), Why: "less beam between supports",
		Edits: []Edit{{Path: axisPath(a, "join.support_spacing"), Value: length(to)}}, Estimate: c.Utilisation * math.Pow(to/widest, power), By: supportRule(c.Kind, power),
	}}
}

// widestGap is the widest distance between supports of a beam, m; 0 if it has fewer than two.
func widestGap(a *machine.Axis) float64 {
	widest := 0.0
	for i := 1; i < len(a.Supports); i++ {
		widest = math.Max(widest, a.Supports[i]-a.Supports[i-1])
	}
	return widest
}

// longerSpan brings the outermost supports out under the beam's ends.
func longerSpan(s *situation, c ledger.Check) []proposal {
	g, a := s.design.Stand.Generate, s.axis(c)
	if g == nil || a == nil || a.Index != 0 {
		return nil
	}
	span := up(g.Span+2*(c.Value-c.Limit*s.goal()), step50)
	return []proposal{{
		Title: fmt.Sprintf("stand with a span of %s instead of %s", length(span), length(g.Span)), Why: "the beam's ends overhang less",
		Edits: []Edit{{Path: generated + "span", Value: length(span)}}, Estimate: (c.Value - (span-g.Span)/2) / c.Limit, By: "geometry",
	}}
}

// longerBeam gives the rail the length that travel and ends need.
func longerBeam(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || math.IsNaN(c.Value) || c.Verdict != ledger.Over { // rail that just suffices suffices
		return nil
	}
	to := up(a.Length+c.Value/s.goal()-c.Limit, step50)
	if !(to > a.Length) {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("beam of axis %s %s long instead of %s", a.Spec.ID, length(to), text("length", down(a.Length, 0.001))), Why: "rail for travel and both ends",
		Edits: []Edit{{Path: axisPath(a, "length"), Value: length(to)}}, Estimate: c.Value / (c.Limit + to - a.Length), By: "geometry", cost: free,
	}}
}

// underBeam puts a second profile under a heavy axis: the beam's own or the
// stand's.
func underBeam(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	ids := []string{a.Part.Profile}
	if g := s.design.Stand.Generate; g != nil {
		ids = append(ids, g.TopRail, g.CrossRail)
	}
	var out []proposal
	for _, id := range ids {
		if p, ok := s.parts.Profile(id); ok {
			out = append(out, proposal{
				Title: fmt.Sprintf("under-beam %s below axis %s", id, a.Spec.ID), Why: "a heavy axis wants a second profile",
				Edits: []Edit{{Path: axisPath(a, "under_beam"), Value: id}}, Estimate: 0, By: "rule", cost: p.CostPerM * a.Length,
			})
		}
	}
	return out
}

// supportRule names the estimate; what one support of a joint has to hold follows
// its spacing only roughly.
func supportRule(kind string, power float64) string {
	rule := fmt.Sprintf("goes with L^%g", power)
	if strings.HasPrefix(kind, "joint.") {
		return "rough: " + rule
	}
	return rule
}
