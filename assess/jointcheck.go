package assess

import (
	"context"
	"fmt"
	"slices"

	"spanwright/internal/crew"
	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// jointChecks judge what holds members and axes together: every kind of joint
// of the stand and every support and interface of an axis, one check for each
// way of failing, at the place, pose and combination that uses it most.
func (r *run) jointChecks(context.Context) error {
	for _, a := range r.m.Axes {
		if a.Spec.Join.By == "clamps" {
			r.clampCount(a)
		}
	}
	groups, desk := append(r.standJoints(), r.axisJoints()...), newJointDesk()
	for _, g := range groups {
		r.fitCheck(g)
		if err := g.search(r.study.forces, desk); err != nil {
			g.missing = err.Error()
		}
	}
	if err := r.otherLevels(groups, desk); err != nil {
		return err
	}
	for _, g := range groups {
		if err := r.addGroup(g); err != nil {
			return err
		}
	}
	r.holdLines()
	r.unjudgedJoints()
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

// jointSafety are the factors of the design, with friction at its low end.
func (r *run) jointSafety() joint.Safety {
	s := joint.UsualSafety()
	s.Slip, s.Yield = r.m.Design.Assumptions.Limits.Slip, r.m.Design.Assumptions.Limits.Stress
	s.Friction = r.m.Design.Assumptions.SlotFriction.Low
	return s
}

// otherLevels judges what was found at the high stiffness again at the low and
// the nominal one, at the same place, pose and combination.
func (r *run) otherLevels(groups []*jointGroup, desk *jointDesk) error {
	high := r.study.forces
	var poses []int
	for _, g := range groups {
		for _, f := range g.found {
			if !slices.Contains(poses, f.force.Pose) {
				poses = append(poses, f.force.Pose)
			}
		}
	}
	if len(poses) == 0 {
		return nil
	}
	slices.Sort(poses)
	at := make([][]float64, len(poses))
	for i, p := range poses {
		at[i] = high.Poses[p]
	}
	if r.study.fresh {
		var all crew.Crew
		for l := structure.Low; l < structure.High; l++ {
			all.Go(func() { _, _ = r.study.levels[l].JointForces(at, nil) }) // remembered
		}
		all.Wait()
	}
	for l := structure.Low; l < structure.High; l++ {
		forces, err := r.study.levels[l].JointForces(at, high.Combos)
		if err != nil {
			return err
		}
		for _, g := range groups {
			for i := range g.found {
				if err := g.found[i].judgeAgain(g, l, forces, slices.Index(poses, g.found[i].force.Pose), desk); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
