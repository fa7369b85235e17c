package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/parts"
)

// generated is where the short description of a stand stands in a design.
const generated = "stand.generate."

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

// moreBraces adds braces and horizontal members against sway, lets those that are
// there reach farther or moves them, and widens the foot.
func moreBraces(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil {
		return nil
	}
	out := append(s.otherBraces(g), s.newBraces(g)...)
	out = append(out, s.horizontals(g)...)
	if depth := up(1.25*g.Depth, step50); !s.design.Stand.Anchored {
		out = append(out, proposal{
			Title: fmt.Sprintf("stand %s deep instead of %s", length(depth), length(g.Depth)), Why: "a wider foot rocks less on the floor; mind the floor space",
			Edits: []Edit{{Path: generated + "depth", Value: length(depth)}}, cost: free,
		})
	}
	for i := range out {
		out[i].structural, out[i].By = true, foreseenBy(c.Kind)
	}
	return out
}

// otherBraces changes the sets of braces that are there.
func (s *situation) otherBraces(g *design.Generated) (out []proposal) {
	for i, b := range g.Braces {
		path := fmt.Sprintf("%sbraces[%d].", generated, i+1)
		add := func(title, key, value string, cost float64) {
			out = append(out, proposal{Title: title, Why: "longer braces shorten what sways", Edits: []Edit{{Path: path + key, Value: value}}, cost: cost})
		}
		if b.Kind != "knee" {
			continue
		}
		for _, k := range []float64{1.3, 1.6} {
			reach := up(b.Reach*k, step50)
			add(fmt.Sprintf("braces %s with a reach of %s instead of %s", b.Plane, length(reach), length(b.Reach)), "reach", length(reach), 10*k)
		}
		if b.At != "both" && (b.Plane == "along" || b.Plane == "across") {
			add(fmt.Sprintf("braces %s at the legs' top and foot", b.Plane), "at", "both", free)
		}
		if b.Plane != "across" || !oneRow(g) {
			add(fmt.Sprintf("a diagonal in the plane %s instead of knee braces", b.Plane), "kind", "diagonal", free)
		}
	}
	return out
}

// newBraces braces the planes that have none.
func (s *situation) newBraces(g *design.Generated) (out []proposal) {
	if s.braceProfile() == "" {
		return nil
	}
	there := map[string]bool{}
	for _, b := range g.Braces {
		there[b.Plane] = true
	}
	for _, plane := range []string{"along", "across", "top"} {
		if there[plane] || plane == "top" && oneRow(g) {
			continue
		}
		e := s.brace(len(g.Braces), plane, 1)
		if plane == "top" {
			e.Value = strings.Replace(e.Value, "at: top, ", "", 1)
		}
		out = append(out, proposal{Title: fmt.Sprintf("braces in the plane %s, %s", plane, e.reachWords()), Why: "an unbraced plane sways", Edits: []Edit{e}, cost: free})
	}
	return out
}

// horizontals adds rails near the floor, or moves them.
func (s *situation) horizontals(g *design.Generated) (out []proposal) {
	profile := s.braceProfile()
	add := func(title, key, value string, cost float64) {
		out = append(out, proposal{Title: title, Why: "rails near the floor hold the legs' feet together", Edits: []Edit{{Path: generated + key, Value: value}}, cost: cost})
	}
	if profile != "" && g.BottomRail == "none" {
		add("rails near the floor along the stand, "+profile, "bottom_rail", profile, free)
	}
	if profile != "" && g.FootRail == "none" && !oneRow(g) {
		add("rails near the floor across the stand, "+profile, "foot_rail", profile, free)
	}
	if g.BottomRail == "none" && (g.FootRail == "none" || oneRow(g)) {
		return out
	}
	for _, k := range []float64{0.6, 1.8} {
		if to := up(k*g.BottomAt, step5); to < g.Height/2 {
			add(fmt.Sprintf("rails near the floor at a height of %s instead of %s", length(to), length(g.BottomAt)), "bottom_rail_height", length(to), 1)
		}
	}
	return out
}
