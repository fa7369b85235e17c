package assess

import (
	"context"
	"fmt"

	"spanwright/ledger"
	"spanwright/machine"
)

// jointChecks judge what holds members and axes together.
func (r *run) jointChecks(context.Context) error {
	for _, a := range r.m.Axes {
		if a.Spec.Join.By == "clamps" {
			r.clampCount(a)
		}
	}
	return nil
}

// clampCount judges the number of clamps on each side of a clamped beam.
func (r *run) clampCount(a *machine.Axis) {
	id := a.Spec.ID
	c := axisCheck(id, "joint.clamps", ".join.clamps_per_side", "clamps on each side of the beam at each support")
	c.Note = "one clamp a side cannot hold the beam straight; four are usual at most"
	if a.Spec.Join.ClampsPerSide == nil {
		r.add(unknown(c, fmt.Sprintf("axes.%s.join.clamps_per_side is not given", id)), nil)
		return
	}
	n := float64(*a.Spec.Join.ClampsPerSide)
	r.add(atLeast(c, n, float64(r.m.Design.Assumptions.Limits.ClampsPerSide), "", ledger.Working{
		Formula: "n = n_c", Counted: true,
		Inputs: []ledger.Input{in("n_c", "clamps on each side at each support", n, "", "axes."+id+".join.clamps_per_side")},
		Source: practice,
	}), nil)
}
