package search

import (
	"slices"

	"spanwright/parts"
)

// How a stand may look; own choice, every one judged as a whole.
var (
	braceReaches = []float64{0.30, 0.45, 0.60} // m, knee braces from the corner
	footWidths   = []float64{0.5, 0.7, 0.9}    // one row of legs: length of the foot rails over the height
	feetOffered  = 3                           // the lightest levelling feet from M12 on
)

// allFrames are the stands that the catalogue's T-slot profiles allow.
func (p *Problem) allFrames() (out []Frame) {
	legs, widths := []int{2}, footWidths
	if p.gantry() {
		legs, widths = []int{4, 6}, []float64{0}
	}
	for _, m := range p.modules() {
		brace := p.bar(m, 1, 1, true)
		for _, k := range p.kits(m) {
			for _, joint := range p.jointsOf(m, k.deep) {
				for _, count := range legs {
					for _, reach := range braceReaches {
						for _, width := range widths {
							for _, foot := range p.feet() {
								f := Frame{Legs: count, Leg: k.leg, TopRail: k.top, BottomRail: k.low, FootRail: k.low,
									Joint: joint.corner, BraceJoint: joint.brace, Brace: brace, Reach: reach, Foot: foot, Width: width}
								if count >= 4 {
									f.CrossRail = k.leg
								} else {
									f.FootRail = k.leg
								}
								out = append(out, f)
							}
						}
					}
				}
			}
		}
	}
	return out
}

// modules are the modules of the T-slot profiles that have braces and gussets, m, rising.
func (p *Problem) modules() (out []float64) {
	for _, part := range p.Catalogue.List("profile") {
		s := part.(*parts.Profile).Slots
		if s != nil && !slices.Contains(out, s.Module) && p.bar(s.Module, 1, 1, true) != "" {
			out = append(out, s.Module)
		}
	}
	slices.Sort(out)
	return out
}

// kit is a set of profiles that go together.
type kit struct {
	leg, top, low string
	deep          int // modules of the deepest rail end that a corner joint holds
}

// kits are sets of profiles of a module, the lightest first.
func (p *Problem) kits(m float64) (out []kit) {
	one, flat := p.bar(m, 1, 1, true), p.bar(m, 1, 2, false)
	if one != "" {
		out = append(out, kit{one, one, p.orElse(p.bar(m, 1, 1, false), one), 1})
	}
	for _, heavy := range []bool{false, true} {
		square := p.bar(m, 2, 2, heavy)
		if square == "" {
			continue
		}
		out = append(out, kit{square, square, p.orElse(flat, square), 2})
		if tall := p.bar(m, 2, 4, heavy); tall != "" {
			out = append(out, kit{square, tall, p.orElse(flat, square), 2})
		}
	}
	return out
}

func (p *Problem) orElse(id, other string) string {
	if id == "" {
		return other
	}
	return id
}

// bar is the cheapest or the heaviest T-slot profile of so many modules; "" for none.
func (p *Problem) bar(module float64, wide, high int, heavy bool) string {
	var found []*parts.Profile
	for _, part := range p.Catalogue.List("profile") {
		b := part.(*parts.Profile)
		if s := b.Slots; s != nil && s.Module == module && s.NX == wide && s.NY == high {
			found = append(found, b)
		}
	}
	if len(found) == 0 {
		return ""
	}
	cheapest(found, func(b *parts.Profile) (float64, string) { return b.CostPerM, b.ID })
	if heavy {
		return found[len(found)-1].ID
	}
	return found[0].ID
}

// hardware are the joints of a stand.
type hardware struct{ corner, brace string }

// jointsOf are the corner joints of a module, which carry by screws in tension
// as the rule of the trade wants, each with the brace joints that hold by slot
// on both faces. Plates must reach past the depth of what they hold.
func (p *Problem) jointsOf(module float64, deep int) (out []hardware) {
	var corners, braces []*parts.Joint
	for _, part := range p.Catalogue.List("joint") {
		j := part.(*parts.Joint)
		switch {
		case j.Fits != module || j.Slot == 0:
		case j.Family == "corner plate" && j.Pitch > float64(deep)*module:
			corners = append(corners, j)
		case j.Family == "two gussets" || j.Family == "two brackets":
			braces = append(braces, j)
		}
	}
	price := func(j *parts.Joint) (float64, string) { return j.Cost, j.ID }
	cheapest(corners, price)
	cheapest(braces, price)
	if len(corners) == 0 {
		return nil
	}
	for _, b := range braces {
		out = append(out, hardware{corners[0].ID, b.ID})
	}
	return out
}

// feet are the lightest levelling feet that are not anchored.
func (p *Problem) feet() (out []string) {
	var list []*parts.Foot
	for _, part := range p.Catalogue.List("foot") {
		if f := part.(*parts.Foot); f.Anchors == 0 {
			list = append(list, f)
		}
	}
	cheapest(list, func(f *parts.Foot) (float64, string) { return f.Cost, f.ID })
	for _, f := range list[max(0, len(list)-feetOffered):] {
		out = append(out, f.ID)
	}
	return out
}
