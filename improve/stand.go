package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
)

const generated = "stand.generate."

// clamps proposes as many clamps as the rule of the trade asks for, and more.
func clamps(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Spec.Join.By != "clamps" {
		return nil
	}
	now := 0
	if a.Spec.Join.ClampsPerSide != nil {
		now = *a.Spec.Join.ClampsPerSide
	}
	var out []proposal
	for n := max(now+1, s.design.Assumptions.Limits.ClampsPerSide); n <= 4 && len(out) < 2; n++ { // four a side are usual at most: common practice, no source
		out = append(out, proposal{
			Title: fmt.Sprintf("%d clamps a side on axis %s instead of %d", n, a.Spec.ID, now), Why: "more clamps hold more, and hold the beam straight",
			Edits: []Edit{{Path: axisPath(a, "join.clamps_per_side"), Value: fmt.Sprint(n)}}, Estimate: c.Utilisation * float64(now) / float64(n), By: "goes with the number of clamps",
			cost: float64(n - now),
		})
	}
	return out
}

// joinParts proposes other clamps or plates where an axis is joined, or supports
// closer together.
func joinParts(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	path, now := axisPath(a, "join.part"), a.Spec.Join.Part
	if a.Spec.Join.By == "clamps" {
		old, ok := s.parts.Clamp(now)
		if !ok {
			return nil
		}
		hold := func(p *parts.Clamp) float64 { return float64(p.Count) * p.Share * p.Torque / screwSize(p.Screw) }
		out := swaps(s, c, listed[*parts.Clamp](s, "clamp"), swap[*parts.Clamp]{
			path: path, noun: "clamp", now: now, cost: old.Cost, pieces: 8, why: "more and stronger screws press harder", by: "screw force times share",
			factor: func(p *parts.Clamp) float64 { return bigger(hold(old), hold(p)) },
		})
		return append(out, closerSupports(s, c)...)
	}
	old, ok := s.parts.Plate(now)
	if !ok {
		return nil
	}
	hold := func(p *parts.Plate) float64 {
		return float64(p.Count) * p.Torque / screwSize(p.Screw) * math.Hypot(p.PitchX, p.PitchY)
	}
	return swaps(s, c, listed[*parts.Plate](s, "plate"), swap[*parts.Plate]{
		path: path, noun: "plate", now: now, cost: old.Cost, pieces: 1, why: "more screws, farther apart", by: "screw force times their distance",
		factor: func(p *parts.Plate) float64 { return bigger(hold(old), hold(p)) },
	})
}

// screwSize is the nominal diameter of a thread name such as M8, mm.
func screwSize(thread string) float64 {
	var d float64
	if _, err := fmt.Sscanf(thread, "M%g", &d); err != nil {
		return math.NaN()
	}
	return d
}

// standJoints proposes other joints of the same module where the check names
// the design's place of the joint.
func standJoints(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil {
		return nil
	}
	path, now := c.Subject, ""
	switch path {
	case generated + "joint":
		now = g.Joint
	case generated + "brace_joint":
		now = g.BraceJoint
	case generated + "foot_joint":
		if now = g.FootJoint; now == "" || now == "none" {
			now = g.Joint
		}
	}
	old, ok := s.parts.Joint(now)
	if !ok {
		return nil
	}
	hold := func(p *parts.Joint) float64 {
		return float64(p.Count) * p.Torque / screwSize(p.Screw) * math.Max(1, p.Lever/0.03)
	}
	return swaps(s, c, listed[*parts.Joint](s, "joint"), swap[*parts.Joint]{
		path: path, noun: "joint", now: now, cost: old.Cost, pieces: 8, why: "another joint family, or more screws", by: "rough: screw force times lever",
		factor: func(p *parts.Joint) float64 {
			if p.Fits != old.Fits {
				return never()
			}
			f := bigger(hold(old), hold(p))
			if p.Tension && !old.Tension {
				f /= 2 // screws in tension instead of slot friction
			}
			return f
		},
	})
}

// cornerJoint proposes joints that work by screws in tension.
func cornerJoint(s *situation, c ledger.Check) []proposal {
	out := standJoints(s, c)
	kept := out[:0]
	for _, p := range out {
		if j, ok := s.parts.Joint(p.Edits[0].Value); ok && (j.Tension || j.Faces >= 2) {
			p.Estimate = 0
			kept = append(kept, p)
		}
	}
	return kept
}

// braceProfile is what braces are made of: as the braces that are there, else
// the lightest profile of one module of the braces' joint.
func (s *situation) braceProfile() string {
	g := s.design.Stand.Generate
	if len(g.Braces) > 0 {
		return g.Braces[0].Profile
	}
	joint, ok := s.parts.Joint(g.BraceJoint)
	if !ok {
		return ""
	}
	best, lightest := "", math.Inf(1)
	for _, p := range listed[*parts.Profile](s, "profile") {
		kg, err := s.parts.MassPerMetre(p)
		one := p.Slots == nil || p.Slots.NX == 1 && p.Slots.NY == 1
		if err != nil || !one || joint.Slot > 0 && p.Slots == nil || math.Abs(p.Size[0]-joint.Fits) > 1e-6 || math.Abs(p.Size[1]-joint.Fits) > 1e-6 {
			continue
		}
		if kg < lightest {
			best, lightest = p.ID, kg
		}
	}
	return best
}

// braceReach is a reach of knee braces that suits the stand: about a fifth of
// its height, and no more than a third of its depth for braces across.
func (s *situation) braceReach(plane string) float64 {
	g := s.design.Stand.Generate
	reach := 0.22 * g.Height
	if plane == "across" {
		reach = math.Min(reach, g.Depth/3)
	}
	return math.Max(down(reach, step50), step50)
}

// oneRow tells whether the legs stand in one row on foot rails.
func oneRow(g *design.Generated) bool { return g.Legs.Count <= 3 }

// brace is the edit that appends a set of knee braces after n others.
func (s *situation) brace(n int, plane string, factor float64) Edit {
	g := s.design.Stand.Generate
	at := "top"
	if plane == "across" && oneRow(g) {
		at = "foot"
	}
	reach := math.Max(down(factor*s.braceReach(plane), step50), step50)
	return Edit{
		Path:  fmt.Sprintf("%sbraces[%d]", generated, n+1),
		Value: fmt.Sprintf("{plane: %s, at: %s, reach: %s, profile: %s}", plane, at, length(reach), s.braceProfile()),
	}
}

// bracing adds what is missing in each plane: knee braces, rails.
func bracing(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil || s.braceProfile() == "" {
		return nil
	}
	var out []proposal
	for _, factor := range []float64{1, 0.75, 1.3} {
		var edits []Edit
		var words []string
		n := len(g.Braces)
		for _, p := range [][2]string{{"b_l", "along"}, {"b_c", "across"}} {
			if input(c, p[0]) == 0 {
				edits, words = append(edits, s.brace(n, p[1], factor)), append(words, p[1])
				n++
			}
		}
		if input(c, "b_b") == 0 {
			edits, words = append(edits, Edit{Path: generated + "bottom_rail", Value: s.braceProfile()}), append(words, "near the floor")
		}
		if len(edits) == 0 {
			return nil
		}
		out = append(out, proposal{
			Title: fmt.Sprintf("bracing %s, %s", strings.Join(words, " and "), edits[0].reachWords()), Why: "an unbraced plane sways",
			Edits: edits, Estimate: c.Limit / (c.Value + float64(len(words))), By: "count of braced planes", cost: factor,
		})
	}
	return out
}

// reachWords says how far a new brace reaches.
func (e Edit) reachWords() string {
	_, after, found := strings.Cut(e.Value, "reach: ")
	if !found {
		return "profile " + e.Value
	}
	reach, _, _ := strings.Cut(after, ",")
	return "reach " + reach
}

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

// legs proposes stiffer legs of the same kind.
func legs(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil {
		return nil
	}
	return s.profiles(c, generated+"legs.profile", "legs", g.Legs.Profile, 1)
}

// profiles proposes stiffer profiles in one place; share is the part of the
// value that goes with 1/EI.
func (s *situation) profiles(c ledger.Check, path, noun, now string, share float64) []proposal {
	old, ok := s.parts.Profile(now)
	if !ok {
		return nil
	}
	before := s.stiffness(now)
	return swaps(s, c, listed[*parts.Profile](s, "profile"), swap[*parts.Profile]{
		path: path, noun: noun, now: now, cost: old.CostPerM, pieces: s.lengthOf(now), why: "a stiffer profile bends less", by: "share of the split times the ratio of EI",
		factor: func(p *parts.Profile) float64 {
			if !sameSystem(old, p) {
				return never()
			}
			return 1 - share*(1-bigger(before, s.stiffness(p.ID)))
		},
	})
}

// sameSystem tells whether two profiles take the same joints: slots of one
// module, or both tubes.
func sameSystem(a, b *parts.Profile) bool {
	if a.Slots != nil && b.Slots != nil {
		return a.Slots.Slot == b.Slots.Slot && a.Slots.Module == b.Slots.Module
	}
	return a.Slots == nil && b.Slots == nil && a.Shape == b.Shape && a.Material == b.Material
}

// lengthOf is the length of all bars of a profile, m.
func (s *situation) lengthOf(profile string) float64 {
	sum := 0.0
	for i, mem := range s.m.Members {
		if mem.Profile.ID == profile && mem.Role != machine.Beam && mem.Role != machine.Mast {
			sum += s.m.Length(i)
		}
	}
	return sum
}

// closerSupports brings the supports of a clamped beam closer; sag goes with L³.
func closerSupports(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || len(a.Supports) < 2 {
		return nil
	}
	widest := 0.0
	for i := 1; i < len(a.Supports); i++ {
		widest = math.Max(widest, a.Supports[i]-a.Supports[i-1])
	}
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

// guardDistance moves a guard out to what its check asks for. Which guard is
// right remains the risk assessment's decision.
func guardDistance(s *situation, c ledger.Check) []proposal {
	key := map[string]string{"safety.fence": "fence_distance", "safety.light_curtain": "curtain_distance", "safety.guard_distance": "door_distance"}[c.Kind]
	if key == "" || c.Sense != ledger.AtMost || math.IsNaN(c.Value) {
		return nil
	}
	to := up(c.Value/s.goal(), step50)
	return []proposal{{
		Title: "guard at a distance of " + length(to), Why: "farther from the moving parts; the risk assessment decides",
		Edits: []Edit{{Path: "equipment.guards." + key, Value: length(to)}}, Estimate: c.Value / to, By: "need over distance", cost: free,
	}}
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
