package improve

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/quantity"
)

// written are the nodes of a stand that is written out, and whether it is.
func (s *situation) written() (nodes []design.Node, ok bool) {
	return s.design.Stand.Nodes, s.design.Stand.Generate == nil && len(s.design.Stand.Nodes) > 0
}

// mostDiagonals is how many new members between nodes are looked at: own choice.
const mostDiagonals = 8

// diagonals proposes a member between two nodes of a written-out stand that is
// angled in a vertical plane: the longest of each plane first. They take the
// profile and joint of the braces that are there, else those of the lightest
// member.
func diagonals(s *situation, c ledger.Check) []proposal {
	nodes, ok := s.written()
	if !ok {
		return nil
	}
	like := s.braceLike()
	var out []proposal
	for i, a := range nodes {
		for _, b := range nodes[i+1:] {
			plane, long := s.angled(a, b)
			if plane == "" || s.joined(a.ID, b.ID) || c.Kind == "stand.bracing" && input(c, map[string]string{"along": "b_l", "across": "b_c"}[plane]) > 0 {
				continue
			}
			id := s.freeName("brace." + a.ID + "." + b.ID)
			p := proposal{
				Title: fmt.Sprintf("a brace from %s to %s, %s", a.ID, b.ID, like.Profile), Why: "an unbraced plane " + plane + " sways; see that nothing is in its way",
				Edits: []Edit{{Path: "stand.members." + id, Value: fmt.Sprintf("{from: %s, to: %s, profile: %s, joint: %s, role: brace}", a.ID, b.ID, like.Profile, like.Joint)}},
				cost:  -long, structural: strings.HasPrefix(c.Kind, "tool.") || c.Kind == "task.rate", By: foreseenBy(c.Kind),
			}
			if c.Kind == "stand.bracing" {
				p.Estimate, p.By = c.Limit/(c.Value+1), "count of braced planes"
			}
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b proposal) int { return cmp.Compare(a.cost, b.cost) })
	out = out[:min(len(out), mostDiagonals)]
	for i := range out {
		out[i].cost = free
	}
	return out
}

// angled is the vertical plane in which a line between two nodes is a diagonal, ""
// if it is none, and its length, m.
func (s *situation) angled(a, b design.Node) (plane string, long float64) {
	d := r3.Sub(vec(b.At), vec(a.At))
	long = r3.Norm(d)
	const clear = 0.2 // sine of the least angle to both sides: about 12 degrees, own choice
	along, across := math.Abs(r3.Dot(d, s.m.Stand.Along)), math.Abs(r3.Dot(d, s.m.Stand.Across))
	switch {
	case math.Abs(d.Z) < clear*long:
		return "", long
	case along > clear*long && across < 1e-3*long:
		return "along", long
	case across > clear*long && along < 1e-3*long:
		return "across", long
	}
	return "", long
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

func (s *situation) joined(a, b string) bool {
	return slices.ContainsFunc(s.design.Stand.Members, func(m design.Member) bool {
		return m.From == a && m.To == b || m.From == b && m.To == a
	})
}

func (s *situation) freeName(id string) string {
	name := strings.NewReplacer(" ", "-", ".", "-").Replace(id)
	for n := 2; slices.ContainsFunc(s.design.Stand.Members, func(m design.Member) bool { return m.ID == name }); n++ {
		name = fmt.Sprintf("%s-%d", id, n)
	}
	return name
}

// braceLike is the member that a new brace is made like.
func (s *situation) braceLike() design.Member {
	var best design.Member
	lightest := math.Inf(1)
	for _, m := range s.design.Stand.Members {
		p, ok := s.parts.Profile(m.Profile)
		if !ok {
			continue
		}
		kg, err := s.parts.MassPerMetre(p)
		if m.Role == "brace" {
			return m
		}
		if err == nil && kg < lightest {
			best, lightest = m, kg
		}
	}
	return best
}

// splayed moves the supports of a written-out stand outward, square to the edge
// over which it tips.
func splayed(s *situation, c ledger.Check) []proposal {
	nodes, ok := s.written()
	if !ok || s.design.Stand.Anchored {
		return nil
	}
	d, known := s.found.Decisive(c.ID)
	u := c.Utilisation
	if math.IsNaN(u) || math.IsInf(u, 0) {
		u = 1.25 // a foot that lifts: there is no ratio
	}
	out := r3.Vec{}
	if known && d.Feet[0] >= 0 {
		edge := r3.Sub(s.m.Nodes[s.m.Feet[d.Feet[1]].Node].At, s.m.Nodes[s.m.Feet[d.Feet[0]].Node].At)
		out = r3.Unit(r3.Vec{X: -edge.Y, Y: edge.X})
	} else {
		out = s.m.Stand.Across
	}
	middle := r3.Vec{}
	for _, f := range s.m.Feet {
		middle = r3.Add(middle, r3.Scale(1/float64(len(s.m.Feet)), s.m.Nodes[f.Node].At))
	}
	var edits []Edit
	most := 0.0
	for _, n := range nodes {
		if !slices.Contains(s.design.Stand.Supports, n.ID) {
			continue
		}
		at := vec(n.At)
		by := r3.Dot(r3.Sub(at, middle), out) * (u/s.goal() - 1)
		by = math.Copysign(up(math.Abs(by), step50), by)
		most = math.Max(most, math.Abs(by))
		to := r3.Add(at, r3.Scale(by, out))
		edits = append(edits, Edit{Path: "stand.nodes." + n.ID + ".at", Value: "[" + length(to.X) + ", " + length(to.Y) + ", " + length(to.Z) + "]"})
	}
	if !(most > 0) {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("supports of the stand up to %s farther out", length(most)), Why: "a wider foot bears a larger overturning moment; mind the floor space, and the members that end there",
		Edits: edits, Estimate: s.goal(), By: "rough: goes with 1/(distance of the edge)", cost: free,
	}}
}

// memberJoints proposes another joint for all written-out members that have the one
// that a check is about.
func memberJoints(s *situation, c ledger.Check) []proposal {
	part := strings.TrimSuffix(strings.TrimPrefix(c.ID, "joint.explicit."), strings.TrimPrefix(c.Kind, "joint.explicit"))
	old, ok := s.parts.Joint(part)
	if !ok {
		return nil
	}
	out := s.strongerJoints(c, "", old)
	for i := range out {
		id := out[i].Edits[0].Value
		out[i].Edits = nil
		for _, mem := range s.design.Stand.Members {
			if mem.Joint == part {
				out[i].Edits = append(out[i].Edits, Edit{Path: memberPath(mem.ID, "joint"), Value: id})
			}
		}
	}
	return out
}

// memberProfiles proposes a stiffer profile for the written-out member that a
// check of the stand is about, or for all its legs.
func memberProfiles(s *situation, c ledger.Check) (out []proposal) {
	d, known := s.found.Decisive(c.ID)
	if !known || d.Member < 0 {
		return nil
	}
	id := s.m.Members[d.Member].Bar
	for _, mem := range s.design.Stand.Members {
		if mem.ID == id {
			out = append(out, s.profiles(c, memberPath(id, "profile"), "member "+id, mem.Profile, 1)...)
		}
	}
	return out
}

// stressed proposes stiffer profiles for what a check of stress is about, where the
// design names it: rails and braces of a generated stand.
func stressed(s *situation, c ledger.Check) []proposal {
	d, known := s.found.Decisive(c.ID)
	if !known || d.Member < 0 || s.design.Stand.Generate == nil || s.m.Members[d.Member].Role == machine.Leg {
		return nil
	}
	for _, p := range s.places() {
		if strings.HasPrefix(s.m.Members[d.Member].ID, p.bars) {
			return s.profiles(c, p.path, p.noun, p.profile, 1)
		}
	}
	return nil
}

// counterbalanced proposes a gas spring or a counterweight that carries most of
// the weight of a gravity axis. A brake has to hold without a gas spring, which may
// lose its gas; so for brakes a counterweight alone helps.
func counterbalanced(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || !a.Gravity() || a.Spec.Counter != nil {
		return nil
	}
	const carried = 0.8 // of the weight: own choice, so that the load never drifts up
	empty := s.m.Moved(a.Index, false)
	kg := downTwo(carried * empty)
	if !(kg > 0) {
		return nil
	}
	weight := kg * quantity.StandardGravity * math.Abs(a.Vertical())
	left := 1 - kg/s.m.Moved(a.Index, true)
	spring := proposal{
		Title: fmt.Sprintf("gas spring of %s on axis %s", force(downTwo(weight)), a.Spec.ID), Why: "the motor then carries a fifth of the weight; the brake must still hold all of it",
		Edits: []Edit{{Path: axisPath(a, "counterbalance"), Value: "{gas_spring: " + force(downTwo(weight)) + "}"}}, Estimate: c.Utilisation * left, By: "rough: weight that is left", cost: 2 * free,
	}
	load := proposal{
		Title: fmt.Sprintf("counterweight of %s on axis %s", text(quantity.Mass, kg), a.Spec.ID), Why: "rope and weight carry most of the load; they need a guide, a guard and a rope that is inspected",
		Edits: []Edit{{Path: axisPath(a, "counterbalance"), Value: "{weight: " + text(quantity.Mass, kg) + "}"}}, Estimate: c.Utilisation * left, By: "rough: weight that is left, its inertia aside", cost: 3 * free,
	}
	if strings.HasPrefix(c.Kind, "axis.brake.") {
		return []proposal{load}
	}
	return []proposal{spring, load}
}

// moreSupply asks for a supply that gives what the drives draw together.
func moreSupply(s *situation, c ledger.Check) []proposal {
	to := upTwo(c.Value / s.goal())
	return []proposal{{
		Title: "supply of " + text(quantity.Power, to), Why: "what all drives draw at one time; or let the axes start one after the other",
		Edits: []Edit{{Path: "equipment.supply_power", Value: text(quantity.Power, to)}}, Estimate: c.Value / to, By: "need over supply", cost: free,
	}}
}
