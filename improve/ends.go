package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
)

// endOf is the description of an axis's ends, or nil.
func (s *situation) endOf(a *machine.Axis) *design.End {
	if a == nil {
		return nil
	}
	for i, e := range s.design.Equipment.Ends {
		if e.Axis == a.Spec.ID {
			return &s.design.Equipment.Ends[i]
		}
	}
	return nil
}

// leastOrder is the distance kept between software limit and switch when a
// switch is moved: own choice.
const leastOrder = step5

// mostOutward is how far hard stops are moved outward at most: beyond, beam and
// cable carrier grow too much. Own choice.
const mostOutward = 0.12 // m

// switches moves the over-travel switch inward, or the hard stop outward.
func switches(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	e := s.endOf(a)
	if e == nil {
		return nil
	}
	path := "equipment.ends." + a.Spec.ID + "."
	side := c.ID[strings.LastIndex(c.ID, ".")+1:]
	at, hard := input(c, "x_s"), input(c, "x_h")
	short, own := e.ShortPlus, e.SwitchPlus
	if side == "minus" {
		short, own = e.ShortMinus, e.SwitchMinus
	}
	soft := e.Soft - short
	title := func(to float64) string {
		return fmt.Sprintf("%s over-travel switch of axis %s at %s instead of %s beyond the travel", side, a.Spec.ID, length(to), length(at))
	}
	var out []proposal
	add := func(to float64, edit Edit) {
		if room := hard - to; to < at {
			out = append(out, proposal{Title: title(to), Why: "an earlier switch leaves more way to stop", Edits: []Edit{edit}, Estimate: c.Value / room, By: "way to stop over the new room"})
		}
	}
	if own != nil && short == 0 && e.Switch > soft {
		add(e.Switch, Edit{Path: path + "switch_" + side, Remove: true})
	}
	to := math.Max(down(hard-c.Value/s.goal(), step5), soft+leastOrder)
	add(to, Edit{Path: path + "switch_" + side, Value: length(to)})
	if outward := up(at+c.Value/s.goal(), step5); outward > e.HardStop && outward <= e.HardStop+mostOutward && short == 0 && c.Verdict == ledger.Over {
		edits := []Edit{{Path: path + "hard_stop", Value: length(outward)}}
		if e.Cam != nil {
			edits = append(edits, Edit{Path: path + "cam", Value: length(up(*e.Cam+outward-e.HardStop, step5))})
		}
		out = append(out, proposal{
			Title: fmt.Sprintf("hard stops of axis %s at %s instead of %s beyond the travel", a.Spec.ID, length(outward), length(e.HardStop)), Why: "more way to stop; the beam gets longer unless its length is given",
			Edits: edits, Estimate: c.Value / (outward - at), By: "way to stop over the new room", cost: free,
		})
	}
	return out
}

// shorterStop stops sooner: way ~ v²/(2a) with the reaction on top.
func shorterStop(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || c.Kind != "stop.switch" {
		return nil
	}
	l := a.Spec.Limits
	out := []proposal{s.atSpeed(a, c, math.Sqrt(s.goal()/c.Utilisation), 1.7)}
	now := valueOf(l.Stop, 1.5*l.Acceleration)
	if to := upTwo(now * c.Utilisation / s.goal()); to <= a.Part.AMax {
		out = append(out, proposal{
			Title: fmt.Sprintf("stop deceleration of axis %s at %s instead of %s", a.Spec.ID, acceleration(to), acceleration(now)), Why: "a harder stop is shorter; motor, joints and stand must bear it",
			Edits: []Edit{{Path: axisPath(a, "limits.stop_deceleration"), Value: acceleration(to)}}, Estimate: c.Utilisation * math.Pow(now/to, 0.8), By: "way ~ v2/(2a), part of it reaction and jerk", cost: free,
		})
	}
	return out
}

// switchOrder puts the switch half way between software limit and hard stop.
func switchOrder(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	e := s.endOf(a)
	if e == nil {
		return nil
	}
	side := c.ID[strings.LastIndex(c.ID, ".")+1:]
	short := e.ShortPlus
	if side == "minus" {
		short = e.ShortMinus
	}
	to := math.Max(down((e.Soft+e.HardStop)/2-short, step5), e.Soft-short+leastOrder)
	return []proposal{{
		Title: fmt.Sprintf("%s over-travel switch of axis %s at %s beyond the travel", side, a.Spec.ID, length(to)), Why: "software limit, switch, hard stop in this order",
		Edits: []Edit{{Path: "equipment.ends." + a.Spec.ID + ".switch_" + side, Value: length(to)}}, Estimate: 0, By: "order",
	}}
}

func longerCam(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if s.endOf(a) == nil || math.IsNaN(c.Limit) {
		return nil
	}
	to := up(c.Limit/s.goal(), step5)
	return []proposal{{
		Title: fmt.Sprintf("cam of axis %s %s long", a.Spec.ID, length(to)), Why: "keeps the switch actuated up to the compressed hard stop",
		Edits: []Edit{{Path: "equipment.ends." + a.Spec.ID + ".cam", Value: length(to)}}, Estimate: c.Limit / to, By: "length over need",
	}}
}

// bumpers proposes hard stops that take more.
func bumpers(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || s.m.Bumpers[a.Spec.ID] == nil {
		return nil
	}
	now := s.m.Bumpers[a.Spec.ID]
	return swaps(s, c, listed[*parts.Bumper](s, "bumper"), swap[*parts.Bumper]{
		path: "equipment.ends." + a.Spec.ID + ".bumper", noun: "bumper", now: now.ID, cost: now.Cost, pieces: 2 * float64(len(a.Beams)),
		factor: func(p *parts.Bumper) float64 {
			switch c.Kind {
			case "stop.energy_hit":
				return bigger(now.Energy, p.Energy)
			case "stop.energy_hour":
				return bigger(now.Hourly, p.Hourly)
			case "stop.deceleration":
				return bigger(now.Stroke*now.Eta, p.Stroke*p.Eta)
			}
			if p.MassRng[1] == 0 {
				return 0
			}
			return bigger(now.MassRng[1], p.MassRng[1])
		},
		why: "takes more energy, or takes it over a longer way", by: "energy, stroke times efficiency, range of the part",
	})
}

// carriers proposes another cable carrier.
func carriers(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || s.m.CableCarriers[a.Spec.ID] == nil {
		return nil
	}
	held := s.m.CableCarriers[a.Spec.ID]
	now := held.Part
	return swaps(s, c, listed[*parts.Carrier](s, "carrier"), swap[*parts.Carrier]{
		path: "equipment.carriers." + a.Spec.ID + ".part", noun: "cable carrier", now: now.ID, cost: now.CostPerM, price: func(p *parts.Carrier) float64 { return p.CostPerM }, pieces: held.Loop.Length,
		factor: func(p *parts.Carrier) float64 {
			if c.Kind != "carrier.bend" && p.Radius < now.Radius && c.Kind != "carrier.envelope" || c.Kind != "carrier.width" && p.Inner[0] < now.Inner[0] && c.Kind != "carrier.envelope" {
				return never()
			}
			switch c.Kind {
			case "carrier.bend":
				return bigger(now.Radius, p.Radius)
			case "carrier.width":
				return bigger(now.Inner[0], p.Inner[0])
			case "carrier.height":
				return bigger(now.Inner[1], p.Inner[1])
			case "carrier.fill":
				return bigger(now.Inner[0]*now.Inner[1], p.Inner[0]*p.Inner[1])
			case "carrier.life":
				return bigger(now.Cycles, p.Cycles)
			case "carrier.envelope":
				return p.Radius / now.Radius
			case "carrier.span":
				return bigger(last(now.Span), last(p.Span))
			}
			return never()
		},
		why: "radius, room and span are those of the part", by: "ratio of the parts' data",
	})
}

func last(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	return list[len(list)-1]
}

// carrierLength lets the cable carrier have the length that its loop needs.
func carrierLength(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	return []proposal{{
		Title: "cable carrier " + a.Spec.ID + " as long as its loop needs", Why: "the least whole number of links",
		Edits: []Edit{{Path: "equipment.carriers." + a.Spec.ID + ".length", Remove: true}}, Estimate: 1, By: "geometry of the loop",
	}}
}

// carrierTray carries the upper run.
func carrierTray(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	support, noun := "tray", "a tray under the upper run of"
	if a.Gravity() {
		support, noun = "hanging", "hanging"
	}
	return []proposal{{
		Title: fmt.Sprintf("%s cable carrier %s", noun, a.Spec.ID), Why: "no run of the carrier is free any more",
		Edits: []Edit{{Path: "equipment.carriers." + a.Spec.ID + ".support", Value: support}}, Estimate: 0, By: "the check no longer applies", cost: free,
	}}
}

// carrierAdded proposes the smallest carriers whose bend the cables bear.
func carrierAdded(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	crossing := s.m.Crossing(a.Index)
	if len(crossing) == 0 {
		return nil
	}
	var out []proposal
	for _, p := range listed[*parts.Carrier](s, "carrier") {
		if len(out) == swapsKept {
			break
		}
		if s.holdsCables(p, crossing) {
			out = append(out, proposal{
				Title: fmt.Sprintf("cable carrier %s on axis %s", p.ID, a.Spec.ID), Why: "cables that travel run in a carrier",
				Edits: []Edit{{Path: "equipment.carriers." + a.Spec.ID, Value: "{part: " + p.ID + "}"}}, Estimate: 0, By: "rule", cost: p.CostPerM * a.Spec.Travel,
			})
		}
	}
	return out
}

// holdsCables tells roughly whether cables fit and bend: by diameters and a bend
// factor of 10 where none is stated, common practice, no source.
func (s *situation) holdsCables(p *parts.Carrier, cables []design.Cable) bool {
	const spare, usualBend = 1.2, 10
	width := 0.0
	for _, k := range cables {
		width += spare*k.Diameter + p.Sep
		if spare*k.Diameter > p.Inner[1] || valueOf(k.Bend, usualBend)*k.Diameter > p.Radius {
			return false
		}
	}
	return width <= p.Inner[0]
}
