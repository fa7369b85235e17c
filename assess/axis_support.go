package assess

import (
	"math"

	"spanwright/guide"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/quantity"
)

// supportChecks judge how a beam that lies on the stand is held along its length.
func (r *run) supportChecks(a *machine.Axis) {
	if a.Index > 0 || len(a.Supports) == 0 {
		return
	}
	id, limits := a.Spec.ID, r.m.Design.Assumptions.Limits
	overhang := math.Max(a.Supports[0], a.Length-a.Supports[len(a.Supports)-1])
	widest, from := 0.0, 0.0
	for i := 1; i < len(a.Supports); i++ {
		if gap := a.Supports[i] - a.Supports[i-1]; gap > widest {
			widest, from = gap, a.Supports[i-1]
		}
	}
	spacing := axisCheck(id, "axis.support.spacing", ".join.support_spacing", "widest distance between supports of the beam")
	spacing.Note = "a support at each end and not more than this apart; the sag between them is computed besides"
	r.add(atMost(spacing, widest, limits.SupportSpacing, "m", ledger.Working{
		Formula: "e = s_2 - s_1",
		Inputs:  []ledger.Input{in("s_1", "support on one side of the widest gap, from the beam's end", from, "m", "machine"), in("s_2", "support on the other side", from+widest, "m", "machine")},
		Source:  practice,
	}), nil)
	if widest > 0 {
		r.beamSag(a, widest)
	}
	r.add(atMost(axisCheck(id, "axis.support.overhang", ".length", "beam beyond its last support"), overhang, limits.SupportSpacing/2, "m", ledger.Working{
		Formula: "o = o_b", Inputs: []ledger.Input{in("o_b", "longer overhang of the beam", overhang, "m", "machine")},
		Source: "half the largest distance between supports; " + practice,
	}), nil)
}

// beamSag judges the sag of the beam under its carriage between two supports.
func (r *run) beamSag(a *machine.Axis, span float64) {
	mem := r.m.Members[a.Beams[0]]
	bending := mem.Material.E * mem.Section.Iy
	if math.Abs(a.Normal.Z) < math.Abs(a.Side.Z) {
		bending = mem.Material.E * mem.Section.Iz // rails on the side: weight bends about the normal
	}
	c := axisCheck(a.Spec.ID, "axis.support.sag", ".part", "sag of the bare beam between its supports")
	c.Note = "the beam alone under half the moved weight on each of two blocks is taken as one load; the whole-machine sag is judged under tool"
	force := r.m.Moved(a.Index, true) * quantity.StandardGravity / float64(len(a.Beams))
	sag, err := guide.Span{Length: span, Bending: bending}.PointLoad(force, guide.ContinuousInside)
	r.add(atMost(c, sag, r.m.Design.Assumptions.Limits.BeamSag*span, "m", ledger.Working{
		Formula: "w = F * e^3 / EI * (1 / 48 - 1 / 128 / (1 / 2 + 1 / sqrt(12.0)))",
		Inputs: []ledger.Input{
			in("F", "weight on the beam", force, "N", "machine"), in("e", "distance of the supports", span, "m", "machine"),
			in("EI", "bending stiffness in the plane of gravity", bending, "N m2", "part "+mem.Profile.ID),
		},
		Source: "inner span of a long continuous beam, derived by slope deflection; limit " + practice,
	}), err)
}
