package assess

import (
	"context"
	"fmt"
	"math"

	"spanwright/ledger"
)

// taskChecks judge reach and rate.
func (r *run) taskChecks(context.Context) error {
	for i, a := range r.m.Axes {
		id := a.Spec.ID
		c := axisCheck(id, "task.reach", ".travel", "farthest a named point lies outside the travel")
		worst, name := math.Inf(-1), ""
		for _, p := range r.m.Design.Task.Points {
			x := p.At[id]
			if out := math.Max(-x, x-a.Spec.Travel); out > worst {
				worst, name = out, p.ID
			}
		}
		c.Note = fmt.Sprintf("point %q decides", name)
		x := 0.0
		for _, p := range r.m.Design.Task.Points {
			if p.ID == name {
				x = p.At[id]
			}
		}
		r.add(atMost(c, math.Max(0, worst), 0, "m", ledger.Working{
			Formula: "u = max(0, max(-x, x - S))",
			Inputs:  []ledger.Input{in("x", "coordinate of point "+name, x, "m", "task.points."+name), in("S", "programmed travel", a.Spec.Travel, "m", "axes."+id+".travel")},
			Source:  "geometry", Counted: true,
		}), nil)
		_ = i
	}
	r.rate()
	return nil
}

func (r *run) rate() {
	c := newCheck("task.rate", "task.rate", "cycle time")
	wanted := r.m.Design.Task.Rate
	moves, settles, dwells := 0.0, 0.0, 0.0
	for _, l := range r.legs {
		moves += l.move.Duration + l.shaped
		if l.settles {
			settles += l.settle
		}
		dwells += l.step.Dwell
	}
	w := ledger.Working{
		Formula: "T = t_m + t_s + t_d",
		Inputs: []ledger.Input{
			in("t_m", "moves, with the delay of input shapers", moves, "s", "motion profiles"), in("t_s", "settling where the end position matters, at the low end of stiffness and damping", settles, "s", "structure"),
			in("t_d", "dwells", dwells, "s", "task.cycle"),
		},
		Source: "sum of the steps",
	}
	for i, l := range r.legs {
		if s, ok := r.study.settle[i]; ok && !s.ok && r.m.Design.Task.Targets.SettleBand != nil {
			c.Note = fmt.Sprintf("step %d never settles within the band", l.index+1)
		}
	}
	r.add(atMost(c, r.timeline.Duration, 1/wanted, "s", w), nil)
	r.results.CycleTime, r.results.Rate = Number(r.timeline.Duration), Number(r.timeline.PerHour())
	for _, l := range r.legs {
		if l.settles && r.m.Design.Task.Targets.SettleBand == nil {
			r.skip("task.settling", "no task.targets.settle_band: the cycle time holds no settling")
			return
		}
	}
}
