package improve

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

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

// edgeAcross tells whether the edge that it tips over lies at one end of the span:
// both its feet have the same place along it.
func (s *situation) edgeAcross(c ledger.Check) bool {
	d, known := s.found.Decisive(c.ID)
	if !known || d.Feet[0] < 0 {
		return false
	}
	var along [2]float64
	for i, foot := range d.Feet {
		along[i] = r3.Dot(s.m.Nodes[s.m.Feet[foot].Node].At, s.m.Stand.Along)
	}
	return math.Abs(along[0]-along[1]) < 0.01
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
