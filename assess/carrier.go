package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/design"
	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/machine"
)

func carrierCheck(id, kind, title string) ledger.Check {
	c := axisCheck(id, kind, "", title)
	c.Subject = "equipment.carriers." + id
	return c
}

// carrierChecks judge the cable carrier of an axis and what lies in it.
func (r *run) carrierChecks(d *axisDuty) {
	a := d.axis
	r.carrierPresent(a)
	c := r.m.CableCarriers[a.Spec.ID]
	if c == nil {
		return
	}
	r.carrierLength(a, c)
	r.carrierFilling(a, c)
	r.carrierSpan(a, c)
	r.carrierMotion(a, c)
	r.carrierEnvelope(a, c)
	r.carrierLife(d, c)
}

// carrierPresent: a cable that travels runs in a cable carrier.
func (r *run) carrierPresent(a *machine.Axis) {
	id := a.Spec.ID
	crossing := len(r.m.Crossing(a.Index))
	c := carrierCheck(id, "carrier.present", "cables that travel run in a cable carrier")
	if crossing == 0 && !slices.Contains(r.m.Design.Equipment.NoCables, id) {
		r.add(unknown(c, "no cable crosses this joint by equipment.cables, and equipment.no_cables does not say so"), nil)
		return
	}
	met := !equip.NeedsCarrier(crossing, a.Spec.Travel, false) || r.m.CableCarriers[id] != nil
	r.add(present(c, met, fmt.Sprintf("%d cables cross the joint of axis %s", crossing, id)), nil)
}

// carrierLength judges the number of links.
func (r *run) carrierLength(a *machine.Axis, c *machine.CableCarrier) {
	id, part := a.Spec.ID, "part "+c.Part.ID
	k := carrierCheck(id, "carrier.length", "links of the cable carrier")
	from := "the least whole number of links"
	if c.Spec.Length != nil {
		from = "equipment.carriers." + id + ".length"
	}
	k.Note = fmt.Sprintf("built length %.4g m; the fixed end in the middle of the travel makes it shortest", c.Loop.Length)
	const whole = 1e-9 // a length that is a whole number of links up to round-off needs no further one
	need := math.Ceil(c.Loop.Needed/c.Shape.Pitch - whole)
	r.add(atLeast(k, float64(c.Loop.Links), need, "", ledger.Working{
		Formula: "N = ceil(L / p - 0.5)", Counted: true,
		Inputs: []ledger.Input{
			in("L", "built length", c.Loop.Length, "m", from), in("p", "pitch of the links", c.Shape.Pitch, "m", part),
			in("L_n", "needed: pi R + S/2 + |x_f| + K", c.Loop.Needed, "m", "geometry"),
			in("R", "bend radius", c.Shape.Radius, "m", part), in("S", "travel between the compressed bumpers", c.Shape.Travel, "m", "machine"),
			in("x_f", "fixed end, from mid travel", c.Shape.Fixed, "m", "equipment.carriers."+id+".fixed_at"),
			in("K", "straight links at both ends", c.Shape.AddOn, "m", practice),
		},
		Source: "geometry of a loop of constant length, derived",
	}), nil)
	r.results.Axes[id].Carrier = &CarrierResult{
		Links: c.Loop.Links, Length: Number(c.Loop.Length), Moving: Number(c.MovingMass()),
		Drag: Number(r.carrierDrag(a)), Push: Number(math.Abs(r.carrierPush(a))),
	}
}

// conductors are the cables of a carrier as package equip sees them.
func conductors(cables []design.Cable) []equip.Conductor {
	var out []equip.Conductor
	for _, c := range cables {
		k := equip.Conductor{Name: c.Name, Kind: equip.ConductorKind(c.Kind), Diameter: c.Diameter, Mass: c.Mass}
		if c.Bend != nil {
			k.BendFactor = *c.Bend
		}
		out = append(out, k)
	}
	return out
}

// carrierFilling judges inner height, width, bend radius and filling against
// the cables.
func (r *run) carrierFilling(a *machine.Axis, c *machine.CableCarrier) {
	id, part := a.Spec.ID, "part "+c.Part.ID
	cables := conductors(c.Cables)
	need, err := equip.Fill(cables, c.Part.Sep)
	if len(cables) == 0 {
		r.skip("carrier."+id+".width", "no cable lies in the carrier")
		return
	}
	thick, tight := cables[0], cables[0]
	sum, clear := 0.0, 0.0
	for _, k := range cables {
		sum, clear = sum+k.Diameter, clear+k.Clearance()
		if k.Diameter+k.Clearance() > thick.Diameter+thick.Clearance() {
			thick = k
		}
		if bendRadius(k) > bendRadius(tight) {
			tight = k
		}
	}
	const filling = "equipment.cables"
	r.add(atMost(carrierCheck(id, "carrier.height", "inner height that the thickest cable needs"), need.InnerHeight, c.Part.Inner[1], "m", ledger.Working{
		Formula: "h = d + c",
		Inputs:  []ledger.Input{in("d", thick.Name, thick.Diameter, "m", filling), in("c", "clearance around it", thick.Clearance(), "m", practice)},
		Source:  "clearances " + practice + "; limit from " + part,
	}), err)
	n := float64(len(cables))
	width := carrierCheck(id, "carrier.width", "inner width that the cables need beside each other")
	width.Note = "separators between all neighbours; from left to right: " + strings.Join(arranged(cables), ", ")
	r.add(atMost(width, need.InnerWidth, c.Part.Inner[0], "m", ledger.Working{
		Formula: "B = D + C + (n - 1) * t",
		Inputs: []ledger.Input{
			in("D", "diameters of all cables", sum, "m", filling), in("C", "clearances around them", clear, "m", practice),
			in("n", "cables", n, "", filling), in("t", "separator", c.Part.Sep, "m", part),
		},
		Source: "clearances and separators " + practice + "; limit from " + part,
	}), err)
	bend := carrierCheck(id, "carrier.bend", "bend radius that the cables need")
	if len(need.Unknown) > 0 {
		bend = unknown(bend, "equipment.cables: bend_factor of "+strings.Join(need.Unknown, ", ")+", from its maker")
	}
	factor, _ := tight.Bend()
	r.add(atMost(bend, need.BendRadius, c.Part.Radius, "m", ledger.Working{
		Formula: "R = k * d",
		Inputs:  []ledger.Input{in("k", "bend radius over diameter of "+tight.Name, factor, "", "equipment.cables, by kind where not stated"), in("d", "diameter", tight.Diameter, "m", filling)},
		Source:  "bend factors by kind " + practice + ", the careful end; limit from " + part,
	}), err)
	r.add(atMost(carrierCheck(id, "carrier.fill", "share of the inner area that the cables take"), need.Share(c.Part.Inner[0], c.Part.Inner[1]), equip.MostFill, "", ledger.Working{
		Formula: "phi = A / (B * h)",
		Inputs: []ledger.Input{
			in("A", "area of the cables", need.Area, "m2", filling), in("B", "inner width", c.Part.Inner[0], "m", part), in("h", "inner height", c.Part.Inner[1], "m", part),
		},
		Source: practice,
	}), err)
}

// bendRadius is what a cable needs by its known bend factor, m.
func bendRadius(k equip.Conductor) float64 {
	factor, _ := k.Bend()
	return factor * k.Diameter
}

// arranged are the names of cables from left to right, the heavy ones outside.
func arranged(cables []equip.Conductor) []string {
	var names []string
	for _, i := range equip.Arrange(cables) {
		names = append(names, cables[i].Name)
	}
	return names
}

// upright tells whether an axis is so steep that its carrier hangs.
func upright(a *machine.Axis) bool { return math.Abs(a.Vertical()) > 0.7 }

// fastCarrier is the acceleration above which a free span keeps a quarter in
// reserve: common practice, no source.
const fastCarrier = 10 // m/s²

// carrierSpan judges the free upper run.
func (r *run) carrierSpan(a *machine.Axis, c *machine.CableCarrier) {
	id, part := a.Spec.ID, "part "+c.Part.ID
	k := carrierCheck(id, "carrier.span", "free upper run of the cable carrier")
	if c.Spec.Support != "none" {
		r.skip(k.ID, "equipment.carriers."+id+".support is "+c.Spec.Support+": no run is free")
		return
	}
	straight, note, err := freeSpan(c)
	reserve := 1.0
	if math.Max(workingAccel(a.Spec.Limits), stopDecel(a.Spec.Limits)) > fastCarrier {
		reserve = 0.75
	}
	k.Note = note
	if regime := equip.JudgeSpan(c.Loop.UpperMax, reserve*straight, 0); err == nil && regime != equip.Straight {
		k.Note += "; a tray under the upper run, a stiffer carrier or a fixed end nearer the middle helps"
	}
	if upright(a) {
		k.Note += "; the axis is steep: a carrier that hangs wants support: hanging"
	}
	toward := c.Shape.Fixed
	if c.Shape.TowardMinus {
		toward = -toward
	}
	r.add(atMost(k, c.Loop.UpperMax, reserve*straight, "m", ledger.Working{
		Formula: "U = (L - pi * R + x_f + S / 2) / 2",
		Inputs: []ledger.Input{
			in("L", "built length", c.Loop.Length, "m", "geometry"), in("R", "bend radius", c.Shape.Radius, "m", part),
			in("x_f", "fixed end from mid travel, towards the bend", toward, "m", "equipment.carriers."+id+".fixed_at"),
			in("S", "travel between the compressed bumpers", c.Shape.Travel, "m", "machine"),
			in("q", "load of the cables", c.Dressed.Cables, "kg/m", "equipment.cables"), in("l_q", "free span at that load", straight, "m", part),
			in("k", "share of it that is used, 0.75 above 10 m/s2", reserve, "", practice),
		},
		Source: "geometry of a loop of constant length, derived; limit: span table of " + part,
	}), err)
}

// freeSpan is the permissible free span under the load of the cables, m.
func freeSpan(c *machine.CableCarrier) (span float64, note string, err error) {
	p, load := c.Part, c.Dressed.Cables
	switch len(p.SpanAt) {
	case 0:
		return 0, "", fmt.Errorf("span table of part %s", p.ID)
	case 1:
		span, err = equip.SpanPoint{Empty: p.MassPerM, Load: p.SpanAt[0], Span: p.Span[0]}.At(load)
		return span, "part data give one point; scaled with a constant moment of the links, an estimate", err
	}
	if load < p.SpanAt[0] {
		return p.Span[0], "lighter than the table begins: its first span counts", nil
	}
	span, err = equip.SpanTable{Loads: p.SpanAt, Spans: p.Span}.At(load)
	return span, "upper run straight, with its camber", err
}

// carrierMotion judges speed and acceleration.
func (r *run) carrierMotion(a *machine.Axis, c *machine.CableCarrier) {
	id, part := a.Spec.ID, "part "+c.Part.ID
	usual, err := equip.LimitsOf(equip.Arrangement(c.Spec.Support))
	least := func(own, usual float64) float64 {
		if own > 0 {
			return math.Min(own, usual)
		}
		return usual
	}
	l := a.Spec.Limits
	source := "limit: the smaller of " + part + " and what the arrangement stands (" + practice + ")"
	r.add(atMost(carrierCheck(id, "carrier.speed", "speed of the cable carrier"), l.Speed, least(c.Part.VMax, usual.Speed), "m/s", ledger.Working{
		Formula: "v = v_p", Inputs: []ledger.Input{in("v_p", "programmed speed", l.Speed, "m/s", "axes."+id+".limits.speed")}, Source: source,
	}), err)
	r.add(atMost(carrierCheck(id, "carrier.acceleration", "acceleration of the cable carrier, emergency stop included"), math.Max(workingAccel(l), stopDecel(l)), least(c.Part.AMax, usual.Acceleration), "m/s2", ledger.Working{
		Formula: "a = max(a_w, a_s)",
		Inputs: []ledger.Input{
			in("a_w", "programmed acceleration", workingAccel(l), "m/s2", "axes."+id+".limits"), in("a_s", "emergency stop", stopDecel(l), "m/s2", "axes."+id+".limits.stop_deceleration"),
		},
		Source: source,
	}), err)
}

// carrierEnvelope judges the room for the bend beyond the end of travel.
func (r *run) carrierEnvelope(a *machine.Axis, c *machine.CableCarrier) {
	id, part := a.Spec.ID, "part "+c.Part.ID
	k := carrierCheck(id, "carrier.envelope", "room that the bend needs beyond the programmed travel")
	side, toward := "plus", c.Shape.Fixed
	if c.Shape.TowardMinus {
		side, toward = "minus", -toward
	}
	beyond := (c.Shape.Travel - a.Spec.Travel) / 2
	need := c.Loop.Overhang + beyond
	height := equip.CarrierHeight(c.Shape.Radius, c.Shape.OuterHeight, c.Loop.UpperMax)
	out := r.results.Axes[id].Carrier
	out.Overhang, out.Side, out.Height = Number(need), side, Number(height)
	text := fmt.Sprintf("the bend opens to the %s end; free height needed %.3g m; the bend must stay clear of guards, legs and stops", side, height)
	if upright(a) {
		text = fmt.Sprintf("the bend hangs; beside the travel the loop is %.3g m wide", 2*c.Shape.Radius+c.Shape.OuterHeight)
	}
	if c.Spec.Room == nil {
		r.skip(k.ID, fmt.Sprintf("equipment.carriers.%s.room is not declared; %.3g m are needed beyond the programmed travel, from the place of the moving bracket; %s", id, need, text))
		return
	}
	k.Note = text + "; the room counts from the place of the moving bracket at the end of the programmed travel"
	r.add(atMost(k, need, *c.Spec.Room, "m", ledger.Working{
		Formula: "o = (L - pi * R + x_f + S / 2) / 2 + R + h_a / 2 - S / 2 + h",
		Inputs: []ledger.Input{
			in("L", "built length", c.Loop.Length, "m", "geometry"), in("R", "bend radius", c.Shape.Radius, "m", part),
			in("x_f", "fixed end from mid travel, towards the bend", toward, "m", "equipment.carriers."+id+".fixed_at"),
			in("S", "travel between the compressed bumpers", c.Shape.Travel, "m", "machine"), in("h_a", "outer height of the links", c.Shape.OuterHeight, "m", part),
			in("h", "compressed bumper beyond the programmed travel", beyond, "m", "equipment.ends."+id),
		},
		Source: "geometry of a loop of constant length, derived",
	}), nil)
}

// leastCarrierLife is the least time between replacements that a check accepts: own choice, not more often than a yearly service.
const leastCarrierLife = 1 // years

// carrierLife judges the time until the links have reached their bending cycles.
func (r *run) carrierLife(d *axisDuty, c *machine.CableCarrier) {
	id, part := d.axis.Spec.ID, "part "+c.Part.ID
	k := carrierCheck(id, "carrier.life", "years until the cable carrier is to be replaced")
	n := r.strokes(d.axis.Index)
	duty := r.m.Design.Task.Duty
	switch {
	case n == 0:
		r.skip(k.ID, "the axis does not move in the cycle")
		return
	case c.Part.Cycles == 0:
		r.add(unknown(k, "bending cycles of "+part), nil)
		return
	}
	years := c.Part.Cycles * r.timeline.Duration / (n * duty.HoursPerYear)
	k.Note = fmt.Sprintf("the cables' own bending life is their maker's to state; a wearing part: due %.2g times in the %.3g years of service", math.Floor(duty.Years/years), duty.Years)
	r.add(atLeast(k, years, leastCarrierLife, "years", ledger.Working{
		Formula: "Y = N * T / (n * H)",
		Inputs: []ledger.Input{
			in("N", "bending cycles", c.Part.Cycles, "", part), in("T", "cycle time", r.timeline.Duration, "s", "cycle"),
			in("n", "strokes forth and back in a cycle, short ones counted in full", n, "", "cycle"), in("H", "running time a year", duty.HoursPerYear, "s", "task.duty.hours_per_year"),
		},
		Source: "counting; limit: not more often than a yearly service, own choice",
	}), nil)
}
