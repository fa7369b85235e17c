package improve

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/machine"
	"spanwright/parts"
)

// savings proposes cheaper motors and gears where their checks leave room: the
// largest saving first.
func (s *situation) savings(opts Options) []proposal {
	if opts.OverOnly {
		return nil
	}
	var out []proposal
	for _, a := range s.m.Axes {
		out = append(out, s.cheaperMotor(a)...)
		out = append(out, s.cheaperGear(a)...)
	}
	slices.SortStableFunc(out, func(a, b proposal) int { return cmp.Compare(a.cost, b.cost) })
	return out[:min(len(out), mostSavings)]
}

// cheaperMotor is the cheapest motor of the same kind for which every check of
// the motor is expected to stay within its limit with margin.
func (s *situation) cheaperMotor(a *machine.Axis) []proposal {
	best, worst := a.Motor, 0.0
	for _, p := range listed[*parts.Motor](s, "motor") {
		if p.Kind != a.Motor.Kind || !(p.Cost < best.Cost) {
			continue
		}
		if u := s.motorUse(a, p); u <= s.design.Assumptions.Tight {
			best, worst = p, u
		}
	}
	if best == a.Motor {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("motor %s instead of %s on axis %s", best.ID, a.Motor.ID, a.Spec.ID), Why: fmt.Sprintf("the motor is used to %.0f %% at most", 100*s.motorUse(a, a.Motor)),
		Edits: []Edit{{Path: axisPath(a, "motor"), Value: best.ID}}, Estimate: worst, By: "ratio of the motors' torque, speed and inertia", cost: float64(a.Motors()) * (best.Cost - a.Motor.Cost),
	}}
}

// motorUse is the largest utilisation of the motor's checks with another motor.
func (s *situation) motorUse(a *machine.Axis, p *parts.Motor) float64 {
	most := 0.0
	for _, kind := range []string{"peak", "rms", "hold", "speed", "inertia", "pull_out"} {
		c, judged := s.checks["axis."+a.Spec.ID+".motor."+kind]
		if judged {
			most = math.Max(most, c.Utilisation*s.motorFactor(a, "axis.motor."+kind, p))
		}
	}
	return most
}

// cheaperGear is a smaller gear of the same ratio.
func (s *situation) cheaperGear(a *machine.Axis) []proposal {
	now := a.Gear
	if now == nil {
		return nil
	}
	use := func(kind string) float64 { return s.checks["axis."+a.Spec.ID+".gear."+kind].Utilisation }
	best, worst := now, 0.0
	for _, p := range listed[*parts.Gear](s, "gear") {
		if p.Kind != now.Kind || p.Ratio != now.Ratio || !(p.Cost < best.Cost) {
			continue
		}
		u := math.Max(use("peak")*bigger(now.T2B, p.T2B), use("mean")*bigger(now.T2N, p.T2N))
		u = math.Max(u, math.Max(use("speed_peak")*bigger(now.N1Max, p.N1Max), use("speed_mean")*bigger(now.N1N, p.N1N)))
		if a.Brake != nil {
			u = math.Max(u, use("brake")*bigger(now.T2Not, p.T2Not))
		}
		if u <= s.design.Assumptions.Tight {
			best, worst = p, u
		}
	}
	if best == now {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("gear %s instead of %s on axis %s", best.ID, now.ID, a.Spec.ID), Why: "the same ratio in a smaller size",
		Edits: []Edit{{Path: axisPath(a, "gear"), Value: best.ID}}, Estimate: worst, By: "torque and speed of the parts", cost: float64(a.Motors()) * (best.Cost - now.Cost),
	}}
}
