package improve

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
)

// savings proposes cheaper motors, gears, brakes and, in a machine that passes,
// lighter profiles and smaller axes where the checks leave room: the largest
// saving first.
func (s *situation) savings(opts Options) []proposal {
	if opts.OverOnly {
		return nil
	}
	var out []proposal
	for _, a := range s.m.Axes {
		out = append(out, s.cheaperMotor(a)...)
		out = append(out, s.cheaperGear(a)...)
		out = append(out, s.cheaperBrake(a)...)
	}
	if s.found.Counts.Over == 0 { // a structure that is not enough is not made lighter
		out = append(out, s.lighter()...)
	}
	slices.SortStableFunc(out, func(a, b proposal) int { return cmp.Compare(a.cost, b.cost) })
	most := mostSavings
	if len(s.m.Axes) > 2 {
		most = 1
	}
	return out[:min(len(out), most)]
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

// cheaperBrake is a smaller hold brake with margin.
func (s *situation) cheaperBrake(a *machine.Axis) []proposal {
	now := a.Brake
	if now == nil {
		return nil
	}
	use := func(kind string) float64 { return s.checks["axis."+a.Spec.ID+".brake."+kind].Utilisation }
	best, worst := now, 0.0
	for _, p := range listed[*parts.Brake](s, "brake") {
		if !(p.Cost < best.Cost) {
			continue
		}
		u := math.Max(use("hold")*bigger(now.Torque, p.Torque), math.Max(use("energy")*bigger(now.Energy, p.Energy), use("wear")*bigger(now.Wear, p.Wear)))
		if u <= s.design.Assumptions.Tight {
			best, worst = p, u
		}
	}
	if best == now {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("hold brake %s instead of %s on axis %s", best.ID, now.ID, a.Spec.ID), Why: "it still holds with margin; the risk assessment decides",
		Edits: []Edit{{Path: axisPath(a, "brake"), Value: best.ID}}, Estimate: worst, By: "torque, heat and wear of the parts", cost: float64(a.Motors()) * (best.Cost - now.Cost),
	}}
}

// lighter proposes cheaper profiles of the stand and smaller axis parts for which
// every check of the tool is expected to stay where it is ok, and none to get
// worse that is not.
func (s *situation) lighter() (out []proposal) {
	try := func(title, path, id string, worst, cost float64) bool {
		p := proposal{
			Title: title, Why: "there is more stiffness and strength than is asked for", Edits: []Edit{{Path: path, Value: id}},
			By: "sensitivities of the tool, strength and rating of the parts", cost: cost,
		}
		p.Estimate = math.Max(worst, s.keeps(p.Edits))
		if p.Estimate <= s.design.Assumptions.Tight {
			out = append(out, p)
		}
		return p.Estimate <= s.design.Assumptions.Tight
	}
	if s.design.Stand.Generate != nil {
		for _, at := range s.places() {
			s.cheaperProfile(at, try)
		}
	}
	for _, a := range s.m.Axes {
		s.cheaperAxis(a, try)
	}
	return out
}

// looks is how many parts are looked at in one place, the cheapest first.
const looks = 3

// keeps is the largest utilisation that the tool's checks are expected to have;
// infinite where one that is tight or over would get worse.
func (s *situation) keeps(list []Edit) float64 {
	p := s.prospect(list)
	if p.err != nil {
		return math.Inf(1)
	}
	most := 0.0
	for _, id := range []string{"tool.frequency", "tool.sag.variation", "tool.accuracy", "tool.settle"} {
		c, judged := s.checks[id]
		if !judged {
			continue
		}
		u := s.used(c, p)
		if c.Verdict != ledger.OK {
			if u > c.Utilisation {
				return math.Inf(1)
			}
			continue
		}
		most = math.Max(most, u)
	}
	return most
}

// cheaperProfile looks for the cheapest profile that serves in one place.
func (s *situation) cheaperProfile(at place, try func(title, path, id string, worst, cost float64) bool) {
	now, ok := s.parts.Profile(at.profile)
	if !ok {
		return
	}
	stress := math.Max(s.checks["stand.stress"].Utilisation, s.checks["stand.buckling"].Utilisation)
	list := slices.DeleteFunc(listed[*parts.Profile](s, "profile"), func(p *parts.Profile) bool {
		return !(p.CostPerM < now.CostPerM) || !sameSystem(now, p) || !(stress*bigger(s.stiffness(now.ID), s.stiffness(p.ID)) <= s.design.Assumptions.Tight)
	})
	slices.SortStableFunc(list, func(a, b *parts.Profile) int { return cmp.Compare(a.CostPerM, b.CostPerM) })
	for _, p := range list[:min(len(list), looks)] {
		worst := stress * bigger(s.stiffness(now.ID), s.stiffness(p.ID))
		if try(fmt.Sprintf("%s %s instead of %s", at.noun, p.ID, now.ID), at.path, p.ID, worst, (p.CostPerM-now.CostPerM)*s.lengthOf(now.ID)) {
			return
		}
	}
}

// cheaperAxis looks for the cheapest axis part with the same kind of drive whose
// blocks and beam serve.
func (s *situation) cheaperAxis(a *machine.Axis, try func(title, path, id string, worst, cost float64) bool) {
	now := a.Part
	price := priceOfAxis(a)
	use := func(p *parts.Axis) float64 {
		most := 0.0
		for _, kind := range []string{"guide.static", "guide.load", "guide.life", "length", "speed", "acceleration", "support.sag"} {
			if c, judged := s.checks["axis."+a.Spec.ID+"."+kind]; judged {
				most = math.Max(most, c.Utilisation*s.axisFactor(a, "axis."+kind, p))
			}
		}
		return most
	}
	list := slices.DeleteFunc(listed[*parts.Axis](s, "axis"), func(p *parts.Axis) bool {
		return p.Drive != now.Drive || !(price(p) < price(now)) || !(use(p) <= s.design.Assumptions.Tight)
	})
	slices.SortStableFunc(list, func(p, q *parts.Axis) int { return cmp.Compare(price(p), price(q)) })
	for _, p := range list[:min(len(list), looks)] {
		if try(fmt.Sprintf("axis part %s instead of %s on axis %s", p.ID, now.ID, a.Spec.ID), axisPath(a, "part"), p.ID, use(p), float64(len(a.Beams))*(price(p)-price(now))) {
			return
		}
	}
}
