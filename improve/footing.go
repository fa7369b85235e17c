package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/ledger"
	"spanwright/parts"
)

// widerFoot widens what the stand stands on: the tipping moment that it bears
// goes with the distance of the critical edge.
func widerFoot(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil || s.design.Stand.Anchored {
		return nil
	}
	u := c.Utilisation
	if math.IsNaN(u) || math.IsInf(u, 0) {
		u = 1.25 // a foot that lifts: there is no ratio
	}
	var out []proposal
	for i, k := range []float64{u / s.goal(), u / 0.98} {
		depth := up(g.Depth*k, step50)
		out = append(out, proposal{
			Title: fmt.Sprintf("stand %s deep instead of %s", length(depth), length(g.Depth)), Why: "a wider foot bears a larger overturning moment; mind the floor space",
			Edits: []Edit{{Path: generated + "depth", Value: length(depth)}}, Estimate: u * g.Depth / depth, By: "goes with 1/depth", cost: float64(i),
		})
	}
	side := up(g.Depth*(u/s.goal()-1)/2+g.Outrigger, step50)
	out = append(out, proposal{
		Title: fmt.Sprintf("outriggers of %s", length(side)), Why: "angled feet beyond the legs, where floor space permits",
		Edits: []Edit{{Path: generated + "outrigger", Value: length(side)}}, Estimate: u * (g.Depth + 2*g.Outrigger) / (g.Depth + 2*side), By: "rough: 1/(depth + 2 outriggers), their angle left aside", cost: 2 * free, spoils: oneRow(g),
	})
	if span := up(g.Span*u/s.goal(), step50); s.edgeAcross(c) {
		out = append(out, proposal{
			Title: fmt.Sprintf("stand with a span of %s instead of %s", length(span), length(g.Span)), Why: "it tips over its end",
			Edits: []Edit{{Path: generated + "span", Value: length(span)}}, Estimate: u * g.Span / span, By: "goes with 1/span", cost: 2 * free,
		})
	}
	return out
}

// edgeAcross tells whether the working names an edge at one end of the span:
// both its feet have the same place along it.
func (s *situation) edgeAcross(c ledger.Check) bool {
	_, feet, _ := strings.Cut(inputName(c, "M_t"), "the edge ")
	from, to, found := strings.Cut(feet, " to ")
	to, _, _ = strings.Cut(to, " ")
	at := map[string]float64{}
	for _, f := range s.m.Feet {
		n := s.m.Nodes[f.Node]
		at[n.ID] = n.At.X*s.m.Stand.Along.X + n.At.Y*s.m.Stand.Along.Y
	}
	a, okA := at[from]
	b, okB := at[to]
	return found && okA && okB && math.Abs(a-b) < 0.01
}

func feet(s *situation, c ledger.Check) []proposal {
	now, ok := s.parts.Foot(s.design.Stand.Foot)
	if !ok {
		return nil
	}
	return swaps(s, c, listed[*parts.Foot](s, "foot"), swap[*parts.Foot]{
		path: "stand.foot", noun: "foot", now: now.ID, cost: now.Cost, pieces: float64(len(s.m.Feet)), why: "bears more", by: "capacity of the part",
		factor: func(p *parts.Foot) float64 { return bigger(now.Capacity, p.Capacity) },
	})
}
