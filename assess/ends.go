package assess

import (
	"context"
	"fmt"
	"math"

	"spanwright/design"
	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
)

const stopCaution = "Stopping distances are not safety distances to ISO 13855. People are kept away by guards chosen in the risk assessment (ISO 12100); local codes take precedence."

// equipmentChecks judge cable carriers, ends of travel, hard stops and the
// grip, and collect power and maintenance.
func (r *run) equipmentChecks(context.Context) error {
	for i := range r.axes {
		r.carrierChecks(&r.axes[i])
	}
	r.cableLengths()
	for i := range r.axes {
		r.endChecks(&r.axes[i])
	}
	r.homingTurns()
	r.gripCheck()
	r.power()
	r.maintenance()
	return nil
}

// travelEnd is one end of an axis as the design places it, measured outward
// from the programmed travel. Where something stands in the travel, hard stop,
// software limit and, unless the design says otherwise, nothing else have moved in.
type travelEnd struct {
	name   string  // minus, plus
	sign   float64 // of the axis coordinate outward
	soft   float64 // software limit, m
	at     float64 // over-travel switch trips, m
	hard   float64 // first contact of the hard stop, or the obstacle, m
	last   float64 // bumper compressed, m
	short  float64 // how far something stands in the travel, m
	path   string
	design design.End
}

// room is the way from the switch to the hard stop, m.
func (e travelEnd) room() float64 { return e.hard - e.at }

// travelEnds are both ends of an axis, minus first.
func travelEnds(e design.End, stroke float64) [2]travelEnd {
	minus := travelEnd{name: "minus", sign: -1, at: e.Switch, short: e.ShortMinus}
	plus := travelEnd{name: "plus", sign: 1, at: e.Switch, short: e.ShortPlus}
	if e.SwitchMinus != nil {
		minus.at = *e.SwitchMinus
	}
	if e.SwitchPlus != nil {
		plus.at = *e.SwitchPlus
	}
	out := [2]travelEnd{minus, plus}
	for i := range out {
		t := &out[i]
		t.design, t.path = e, "equipment.ends."+e.Axis
		t.soft, t.hard = e.Soft-t.short, e.HardStop-t.short
		t.last = t.hard + stroke
	}
	return out
}

// leastStopMargin is the least margin on a stopping distance: common practice, no source.
const leastStopMargin = 0.010 // m

// endChecks judge both ends of an axis's travel.
func (r *run) endChecks(d *axisDuty) {
	a := d.axis
	id := a.Spec.ID
	end, stroke, ok := r.endOf(a)
	c := axisCheck(id, "stop.switch", "", "over-travel switch leaves room to stop")
	if !ok {
		r.add(unknown(c, "equipment.ends."+id+": switch, hard stop and bumper"), nil)
		return
	}
	stop, err := r.controlledStop(a)
	if err != nil {
		r.add(c, err)
		return
	}
	s := stopsOf{axis: d, controlled: stop}
	s.margined = stop.WithMargin(r.m.Design.Assumptions.Limits.StopMargin, leastStopMargin)
	r.withoutControl(&s)
	ends := travelEnds(end, stroke)
	for _, e := range ends {
		r.switchCheck(s, e)
		r.orderCheck(a, e)
		if e.short > 0 {
			r.shortenedChecks(s, e)
		}
		r.endPlaces(a, e)
	}
	r.camCheck(a, ends, stroke)
	r.homing(d, end)
	r.hardStopChecks(s, ends)
}

// switchCheck judges the room between switch and hard stop (or what stands in
// the way) against the stop from full speed.
func (r *run) switchCheck(s stopsOf, e travelEnd) {
	a := s.axis.axis
	id := a.Spec.ID
	c := axisCheck(id, "stop.switch", "", "way to stop from full speed after the "+e.name+" over-travel switch")
	c.ID += "." + e.name
	c.Subject = e.path
	c.Caution = stopCaution
	if e.design.Takes == "rest" {
		r.skip(c.ID, fmt.Sprintf("%s.takes is rest: the hard stop takes what the switch leaves, %.3g m/s here; see stop.%s.energy_hit", e.path, s.controlled.SpeedAfter(math.Max(0, e.room())), id))
		return
	}
	need, err := equip.End{Task: e.at, StopDistance: s.margined, Clearance: equip.StopClearance}.Places()
	c.Note = s.note()
	r.add(atMost(c, need.HardStop-need.Switch, e.room(), "m", ledger.Working{
		Formula: "s = max(s_0 * (1 + f), s_0 + c) + c_h",
		Inputs: []ledger.Input{
			in("s_0", fmt.Sprintf("stop from %.4g m/s at %.4g m/s2 in %.3g s, reaction included", a.Spec.Limits.Speed, stopDecel(a.Spec.Limits), s.controlled.Time), s.controlled.Distance, "m", "kinematics"),
			in("f", "margin", r.m.Design.Assumptions.Limits.StopMargin, "", "assumptions.limits.stop_margin"), in("c", "least margin", leastStopMargin, "m", practice),
			in("c_h", "left before the hard stop", equip.StopClearance, "m", practice),
			in("x_s", "switch, beyond the travel", e.at, "m", e.path), in("x_h", "hard stop or obstacle, beyond the travel", e.hard, "m", e.path),
		},
		Source: "kinematics; margins " + practice,
	}), err)
}

// orderCheck judges the order of software limit, switch and hard stop.
func (r *run) orderCheck(a *machine.Axis, e travelEnd) {
	c := axisCheck(a.Spec.ID, "stop.order", "", e.name+" end: software limit, switch and hard stop in this order")
	c.ID += "." + e.name
	c.Subject = e.path
	met := e.soft < e.at && e.at < e.hard && e.soft >= -e.short
	r.add(present(c, met, fmt.Sprintf("software limit %.4g mm, switch %.4g mm, hard stop %.4g mm beyond the travel; each must lie farther out than the one before", e.soft*1000, e.at*1000, e.hard*1000)), nil)
}

// shortenedChecks judge an end into which something reaches: the switch has
// moved in with it, and the task keeps clear of it.
func (r *run) shortenedChecks(s stopsOf, e travelEnd) {
	a := s.axis.axis
	id := a.Spec.ID
	was := equip.Places{Soft: e.design.Soft, Switch: e.design.Switch, HardStop: e.design.HardStop, Last: e.last + e.short}
	task, name := r.farthestPoint(a, e)
	moved, err := equip.Shortened{By: e.short, Was: was, StopDistance: s.margined + equip.StopClearance, Task: task, SoftMargin: e.design.Soft}.Places()

	c := axisCheck(id, "stop.shortened", "", "over-travel switch moved in at the "+e.name+" end, where something stands in the travel")
	c.ID += "." + e.name
	c.Subject = e.path
	c.Caution = stopCaution
	c.Note = fmt.Sprintf("left in front of the obstacle had the switch stayed: %.4g mm; hard stop, cam, software limit and reference mark move in too", moved.ClearanceIfNotMoved*1000)
	r.add(atLeast(c, was.Switch-e.at, was.Switch-moved.Switch, "m", ledger.Working{
		Formula: "m = x_s - x_e", Counted: true,
		Inputs: []ledger.Input{
			in("x_s", "switch without the obstacle, beyond the travel", was.Switch, "m", e.path+".switch"),
			in("x_e", "switch at this end", e.at, "m", e.path+".switch_"+e.name),
			in("D", "the obstacle reaches in by", e.short, "m", e.path+".shortened_"+e.name),
		},
		Source: "arithmetic; that everything moves in with the obstacle is " + practice,
	}), err)

	c = axisCheck(id, "stop.reach", "", "task keeps out of the shortened "+e.name+" end")
	c.ID += "." + e.name
	c.Subject = e.path
	c.Note = fmt.Sprintf("point %q comes closest", name)
	r.add(atLeast(c, -task, -moved.LargestTask, "m", ledger.Working{
		Formula: "u = -x", Counted: true,
		Inputs: []ledger.Input{
			in("x", "last point of the task, beyond the programmed travel", task, "m", "task.points."+name),
			in("x_l", "last point that may be used", moved.LargestTask, "m", e.path),
		},
		Source: "arithmetic",
	}), err)
}

// farthestPoint is the task's point that lies farthest towards an end, seen
// outward from the programmed travel, m.
func (r *run) farthestPoint(a *machine.Axis, e travelEnd) (at float64, name string) {
	at = math.Inf(-1)
	for _, p := range r.m.Design.Task.Points {
		x := -p.At[a.Spec.ID]
		if e.sign > 0 {
			x = p.At[a.Spec.ID] - a.Spec.Travel
		}
		if x > at {
			at, name = x, p.ID
		}
	}
	return at, name
}

// camCheck judges that the switch stays actuated up to the compressed hard stop.
func (r *run) camCheck(a *machine.Axis, ends [2]travelEnd, stroke float64) {
	id := a.Spec.ID
	c := axisCheck(id, "stop.cam", "", "cam that keeps the switch actuated up to the compressed hard stop")
	c.Subject = "equipment.ends." + id + ".cam"
	e := ends[0]
	if ends[1].last-ends[1].at > e.last-e.at {
		e = ends[1]
	}
	if e.design.Cam == nil {
		r.add(unknown(c, "equipment.ends."+id+".cam: the length over which the switch stays actuated"), nil)
		return
	}
	c.Note = "the " + e.name + " end asks for more"
	r.add(atLeast(c, *e.design.Cam, e.last-e.at, "m", ledger.Working{
		Formula: "l = l_c",
		Inputs: []ledger.Input{
			in("l_c", "cam", *e.design.Cam, "m", "equipment.ends."+id+".cam"), in("x_h", "hard stop", e.hard, "m", "equipment.ends."+id),
			in("s_b", "bumper stroke", stroke, "m", "part "+e.design.Bumper), in("x_s", "switch", e.at, "m", "equipment.ends."+id),
		},
		Source: "geometry: no dead zone behind the switch; " + practice,
	}), nil)
}

// endPlaces lists an end in the axis coordinate, for whoever sets the machine up.
func (r *run) endPlaces(a *machine.Axis, e travelEnd) {
	at := func(out float64) Number {
		if e.sign > 0 {
			return Number(a.Spec.Travel + out)
		}
		return Number(-out)
	}
	out := r.results.Axes[a.Spec.ID]
	out.Ends = append(out.Ends, EndPlaces{End: e.name, Soft: at(e.soft), Switch: at(e.at), HardStop: at(e.hard), Last: at(e.last)})
}

// homing judges that a search for the reference stops on the cam, and keeps its
// speeds.
func (r *run) homing(d *axisDuty, end design.End) {
	a := d.axis
	id := a.Spec.ID
	c := axisCheck(id, "stop.homing", "", "way to stop while searching the reference")
	c.Subject = "equipment.ends." + id + ".cam"
	if end.Cam == nil {
		r.skip(c.ID, "equipment.ends."+id+".cam is missing: search speed and creep speed follow from it")
		return
	}
	decel := workingAccel(a.Spec.Limits)
	speeds, err := equip.Homing{Deceleration: decel, Cam: *end.Cam}.Speeds()
	stop, errStop := motion.ControlledStop{Speed: speeds.Search, Decel: decel, Reaction: r.m.Design.Equipment.Control.Reaction}.Stop()
	c.Note = "the reference mark is taken to be as long as the cam of the over-travel switch; a mark of its own is shorter as a rule"
	r.add(atMost(c, stop.Distance, *end.Cam, "m", ledger.Working{
		Formula: "s = v * t + v^2 / (2 * a)",
		Inputs: []ledger.Input{
			in("v", "search speed", speeds.Search, "m/s", practice), in("t", "reaction", r.m.Design.Equipment.Control.Reaction, "s", "equipment.control.reaction"),
			in("a", "deceleration", decel, "m/s2", "axes."+id+".limits"),
		},
		Source: "kinematics; search speed " + practice,
	}), first(err, errStop))
	r.results.Axes[id].Homing = &HomingResult{
		Search: Number(speeds.Search), Creep: Number(speeds.Creep),
		PerRev: Number(2 * math.Pi / (d.train.Transmission.Gearing * d.train.Gear.Ratio)),
	}
}

// homingTurns puts the axes into the order in which they home. Encoders are
// taken as incremental: the part data do not tell.
func (r *run) homingTurns() {
	var axes []equip.HomingAxis
	for _, a := range r.m.Axes {
		axes = append(axes, equip.HomingAxis{Name: a.Spec.ID, Vertical: a.Gravity(), TwoMotors: a.Motors() > 1})
	}
	for i, h := range equip.HomingOrder(axes) {
		if out := r.results.Axes[h.Name].Homing; out != nil {
			out.Turn, out.Steps = i+1, h.Steps()
		}
	}
}
