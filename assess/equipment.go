package assess

import (
	"context"
	"fmt"
	"math"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
)

const stopCaution = "Stopping distances are not safety distances to ISO 13855. People are kept away by guards chosen in the risk assessment (ISO 12100); local codes take precedence."

// equipmentChecks judge travel ends and hard stops.
func (r *run) equipmentChecks(context.Context) error {
	for i := range r.axes {
		r.endChecks(&r.axes[i])
	}
	return nil
}

func (r *run) endChecks(d *axisDuty) {
	a := d.axis
	id := a.Spec.ID
	end, stroke, ok := r.endOf(a)
	if !ok {
		r.add(unknown(axisCheck(id, "stop.switch", "", "over-travel switch leaves room to stop"), "equipment.ends."+id+": switch, hard stop and bumper"), nil)
		return
	}
	stop, err := r.controlledStop(a)
	if err != nil {
		r.add(axisCheck(id, "stop.switch", "", "over-travel switch leaves room to stop"), err)
		return
	}
	margin := stop.WithMargin(r.m.Design.Assumptions.Limits.StopMargin, leastStopMargin)
	for _, side := range [2]string{"minus", "plus"} {
		r.switchCheck(a, end, side, stop, margin)
	}
	r.softLimit(a, end)
	r.camCheck(a, end, stroke)
	r.bumperCheck(d, end, stop)
}

// leastStopMargin is the least margin on a stopping distance: common practice, no source.
const leastStopMargin = 0.010 // m

// switchAt is where the over-travel switch of a side trips, from the end of the programmed travel outward, m,
// and by how much the travel is shortened there.
func switchAt(e design.End, side string) (at, short float64) {
	at, short = e.Switch, e.ShortMinus
	own := e.SwitchMinus
	if side == "plus" {
		own, short = e.SwitchPlus, e.ShortPlus
	}
	if own != nil {
		at = *own
	}
	return at, short
}

// switchCheck judges the room between switch and hard stop (or what stands in
// the way) against the stop from full speed.
func (r *run) switchCheck(a *machine.Axis, end design.End, side string, stop motion.Stopping, withMargin float64) {
	id := a.Spec.ID
	c := axisCheck(id, "stop.switch", "", "way to stop from full speed after the "+side+" over-travel switch")
	c.ID += "." + side
	c.Subject = "equipment.ends." + id
	c.Caution = stopCaution
	at, short := switchAt(end, side)
	room := end.HardStop - short - at
	if end.Takes == "rest" {
		c.Note = "the hard stop may take the rest: see stop." + id + ".bumper"
		r.skip(c.ID, "equipment.ends."+id+".takes is rest: the hard stop takes what the switch leaves, and is judged for it")
		return
	}
	t := stop.Time
	f := r.m.Design.Assumptions.Limits.StopMargin
	r.add(atMost(c, withMargin, room, "m", ledger.Working{
		Formula: "s = max(s_0 * (1 + f), s_0 + c)",
		Inputs: []ledger.Input{
			in("s_0", fmt.Sprintf("stop from %.4g m/s at %.4g m/s2 in %.3g s, reaction included", a.Spec.Limits.Speed, stopDecel(a.Spec.Limits), t), stop.Distance, "m", "kinematics"),
			in("f", "margin", f, "", "assumptions.limits.stop_margin"), in("c", "least margin", leastStopMargin, "m", practice),
			in("x_s", "switch, beyond the travel", at, "m", "equipment.ends."+id), in("x_h", "hard stop or obstacle, beyond the travel", end.HardStop-short, "m", "equipment.ends."+id),
		},
		Source: "kinematics; margin " + practice,
	}), nil)
}

// softLimit judges the order of software limit, switch and hard stop.
func (r *run) softLimit(a *machine.Axis, end design.End) {
	id := a.Spec.ID
	for _, side := range [2]string{"minus", "plus"} {
		at, short := switchAt(end, side)
		c := axisCheck(id, "stop.order", "", side+" end: software limit, switch and hard stop in this order")
		c.ID += "." + side
		c.Subject = "equipment.ends." + id
		soft := end.Soft - short
		met := soft < at && at < end.HardStop-short && soft >= -short
		r.add(present(c, met, fmt.Sprintf("software limit %.4g mm, switch %.4g mm, hard stop %.4g mm beyond the travel; each must lie farther out than the one before", soft*1000, at*1000, (end.HardStop-short)*1000)), nil)
	}
}

// camCheck judges that the switch stays actuated up to the compressed hard stop.
func (r *run) camCheck(a *machine.Axis, end design.End, stroke float64) {
	id := a.Spec.ID
	c := axisCheck(id, "stop.cam", "", "cam that keeps the switch actuated up to the compressed hard stop")
	c.Subject = "equipment.ends." + id + ".cam"
	if end.Cam == nil {
		r.add(unknown(c, "equipment.ends."+id+".cam: the length over which the switch stays actuated"), nil)
		return
	}
	need := end.HardStop + stroke - end.Switch
	r.add(atLeast(c, *end.Cam, need, "m", ledger.Working{
		Formula: "l = l_c",
		Inputs: []ledger.Input{
			in("l_c", "cam", *end.Cam, "m", "equipment.ends."+id+".cam"), in("x_h", "hard stop", end.HardStop, "m", "equipment.ends."+id),
			in("s_b", "bumper stroke", stroke, "m", "part "+end.Bumper), in("x_s", "switch", end.Switch, "m", "equipment.ends."+id),
		},
		Source: "geometry: no dead zone behind the switch; " + practice,
	}), nil)
}

// bumperCheck judges the energy of a run into the hard stop: what is left of
// the speed if the switch stops the axis, or half the programmed speed at least.
func (r *run) bumperCheck(d *axisDuty, end design.End, stop motion.Stopping) {
	a := d.axis
	id := a.Spec.ID
	part := r.m.Bumpers[id]
	c := axisCheck(id, "stop.bumper", "", "energy of one hit on the hard stop")
	c.Subject = "equipment.ends." + id + ".bumper"
	at, short := switchAt(end, "plus")
	left := stop.SpeedAfter(math.Max(0, end.HardStop-short-at))
	v := math.Max(left, homingSpeed)
	rotary, err := d.train.RotaryMass()
	m := d.moved[1] + rotary
	push := 0.0
	if left > 0 {
		push = math.Abs(d.largest().force)
	}
	weight := d.moved[1] * 9.80665 * math.Abs(a.Vertical())
	e := m*v*v/2 + (push+weight)*part.Stroke
	c.Note = "speed at the hard stop: what the over-travel switch leaves, at least the speed of homing"
	c.Caution = stopCaution
	r.add(atMost(c, e, part.Energy, "J", ledger.Working{
		Formula: "E = m * v^2 / 2 + (F_p + G) * s_b",
		Inputs: []ledger.Input{
			in("m", "moved mass with all that turns, loaded", m, "kg", "machine"),
			in("v", "speed at first contact", v, "m/s", "kinematics"),
			in("F_p", "drive still pushing; none where the switch has stopped it", push, "N", "cycle"),
			in("G", "weight along the axis", weight, "N", "machine"),
			in("s_b", "stroke of the bumper", part.Stroke, "m", "part "+part.ID),
		},
		Source: "energy balance; limit from part " + part.ID,
	}), err)
}

// homingSpeed is a usual speed of homing, at which a hard stop may be met on purpose: common practice, no source.
const homingSpeed = 0.1 // m/s
