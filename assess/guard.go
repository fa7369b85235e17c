package assess

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"spanwright/design"
	"spanwright/equip"
	"spanwright/ledger"
)

// guardCaution goes with every distance of a guard.
const guardCaution = equip.Caution

// wear is the factor on a stop that is not monitored: common practice, no source.
const wear = 1.1

func guardCheck(kind, title string) ledger.Check {
	c := newCheck(kind, "equipment.guards", title)
	c.Caution = guardCaution
	return c
}

// guardChecks judge the distances of the guards that are declared, and say
// plainly where none is.
func (r *run) guardChecks() error {
	g := r.m.Design.Equipment.Guards
	r.guarded(g)
	stop, axis, err := r.longestStop()
	if g.Curtain != nil || g.Detect != nil {
		r.curtain(g, stop, axis, err)
	}
	if g.DoorGap != nil || g.DoorLock {
		r.door(g, stop, axis, err)
	}
	if g.Fence != nil || g.FenceGap != nil || g.Hazard != nil {
		r.fence(g)
	}
	return r.gap(g)
}

// guarded says whether anything keeps people away.
func (r *run) guarded(g design.Guards) {
	c := guardCheck("safety.guarding", "guards that keep people away are declared")
	if !r.m.Design.Task.PeopleNear {
		r.skip(c.ID, "task.people_near is no: by declaration nobody is near while the machine is powered")
		return
	}
	var declared []string
	for _, p := range []struct {
		there bool
		name  string
	}{{g.Fence != nil, "fence"}, {g.Curtain != nil, "light curtain"}, {g.DoorGap != nil || g.DoorLock, "door"}} {
		if p.there {
			declared = append(declared, p.name)
		}
	}
	c.Note = strings.Join(declared, ", ") + " declared; that they leave no way in is for the risk assessment to show"
	if len(declared) == 0 {
		c.Title = "people may be near and no guard is declared; the risk assessment must show what keeps them away"
		c.Note = "nothing in this ledger proves the guarding: declare fence, light curtain or door in equipment.guards to have their distances judged"
		c.AtBest = ledger.Tight
	}
	c = present(c, true, "where a hazard remains, guards or protective devices keep people from it")
	c.Working.Source = "ISO 12100:2010, 6.3 (from memory)"
	r.add(c, nil)
}

// curtain judges the distance of a light curtain.
func (r *run) curtain(g design.Guards, stop float64, axis string, err error) {
	c := guardCheck("safety.light_curtain", "distance that the light curtain needs")
	control := r.m.Design.Equipment.Control
	switch {
	case g.Curtain == nil:
		r.add(unknown(c, "equipment.guards.curtain_distance"), nil)
		return
	case g.Detect == nil:
		r.add(unknown(c, "equipment.guards.curtain_resolution: the detection capability"), nil)
		return
	case control.Sensor == nil:
		r.add(unknown(c, "equipment.control.sensor_time: response of the light curtain and its logic"), nil)
		return
	}
	total, errTotal := equip.StopTime{Sensor: *control.Sensor, Drive: control.Reaction, Stop: stop, Wear: wear}.Total()
	need, errNeed := equip.CurtainDistance(total, *g.Detect)
	c.Note = equip.CurtainEdition + ", approach at right angles; the edition of 2024 is put differently; reaching over the curtain is not judged"
	w := stopWorking(need, *control.Sensor, control.Reaction, stop, axis)
	switch {
	case *g.Detect > 0.040:
		c.AtBest = r.fromMemory(g)
	case need.Speed*total+need.Added < 0.1:
		w.Formula = "S = max(0.1, K * (t_s + t_r + w * t_b) + C)"
	case need.Speed < 2:
		w.Formula = "S = max(0.5, K * (t_s + t_r + w * t_b) + C)"
	}
	w.Source = equip.CurtainEdition + ", 6.2 (formula and the rule of 500 mm confirmed in public operating manuals, the rest from memory)"
	r.add(atMost(c, need.Least, *g.Curtain, "m", w), first(err, errTotal, errNeed))
}

// stopWorking is the working of a distance from a time chain.
func stopWorking(need equip.Distance, sensor, reaction, stop float64, axis string) ledger.Working {
	return ledger.Working{
		Formula: "S = K * (t_s + t_r + w * t_b) + C",
		Inputs: []ledger.Input{
			in("K", "approach speed", need.Speed, "m/s", equip.CurtainEdition), in("t_s", "response of the device and its logic", sensor, "s", "equipment.control.sensor_time"),
			in("t_r", "reaction of controller and drive", reaction, "s", "equipment.control.reaction"), in("w", "wear of a stop that is not monitored", wear, "", practice),
			in("t_b", "longest stop by the stop category, axis "+axis, stop, "s", "kinematics"), in("C", "reach through or past the guard", need.Added, "m", equip.CurtainEdition),
		},
	}
}

// fromMemory caps a verdict that rests on a table which was not seen.
func (r *run) fromMemory(g design.Guards) ledger.Verdict {
	if g.Standard {
		return ledger.Unknown // no cap
	}
	return ledger.Tight
}

// door judges an interlocked door: locked until standstill, or far enough away.
func (r *run) door(g design.Guards, stop float64, axis string, err error) {
	c := guardCheck("safety.guard_distance", "distance that the interlocked door needs")
	if g.DoorLock {
		c.Title = "the door stays locked until standstill"
		c.Note = fmt.Sprintf("unlock by a standstill monitor, or later than the longest stop, %.3g s here", stop)
		if off := r.longestPowerOff(); !math.IsNaN(off) {
			c.Note += fmt.Sprintf(" and %.3g s without power", off)
		}
		c.Note += "; if a person can be shut in, an escape release inside"
		c = present(c, true, "a door that would let a hand in before the machine rests is locked until it does")
		c.Working.Source = "ISO 14119 (from memory)"
		r.add(c, nil)
		return
	}
	control := r.m.Design.Equipment.Control
	const reach = 0 // no opening in the door
	total, errTotal := equip.StopTime{Drive: control.Reaction, Stop: stop, Wear: wear}.Total()
	need, errNeed := equip.DoorDistance(total, reach)
	c.Note = "without locking, the machine must rest before a hand arrives; nearer than that the door stays locked until standstill; openings in the door add their reach"
	w := stopWorking(need, 0, control.Reaction, stop, axis)
	w.Source = "ISO 14119 with the speed of ISO 13855 (from memory)"
	c.AtBest = r.fromMemory(g)
	r.add(atMost(c, need.Least, *g.DoorGap, "m", w), first(err, errTotal, errNeed))
}

// longestPowerOff is the longest stop without power, s; NaN if an axis does not stop.
func (r *run) longestPowerOff() float64 {
	most := 0.0
	for _, out := range r.results.Axes {
		most = math.Max(most, float64(out.PowerOffTime)) // Max keeps a NaN
	}
	return most
}

// fence judges the reach over a fence by the table for high risk.
func (r *run) fence(g design.Guards) {
	c := guardCheck("safety.fence", "distance behind the fence that its height asks for")
	for _, p := range []struct {
		value *float64
		name  string
	}{{g.Fence, "fence_height"}, {g.FenceGap, "fence_distance"}, {g.Hazard, "hazard_height"}} {
		if p.value == nil {
			r.add(unknown(c, "equipment.guards."+p.name), nil)
			return
		}
	}
	reach, err := equip.HighRiskReach().At(*g.Hazard, *g.Fence, g.Standard)
	w := ledger.Working{
		Formula: "distance in the row of the hazard's height and the column of the fence's height, nothing interpolated, the careful neighbour", Solver: true,
		Inputs: []ledger.Input{
			in("a", "height of the nearest moving part", *g.Hazard, "m", "equipment.guards.hazard_height"),
			in("b", "height of the fence", *g.Fence, "m", "equipment.guards.fence_height"),
		},
		Source: "ISO 13857, Table 2, high risk (from memory)",
	}
	c.Note = reach.Note
	if errors.Is(err, equip.ErrOutsideTable) {
		c.Over, c.Note = true, err.Error()
		r.ledger.Add(atMost(c, math.NaN(), *g.FenceGap, "m", w))
		return
	}
	if reach.AtBestTight {
		c.AtBest = ledger.Tight
	}
	if reach.MoreMeasures {
		c.Note = strings.TrimPrefix(c.Note+"; a structure below 1.4 m needs further measures at high risk", "; ")
	}
	r.add(atMost(c, reach.Least, *g.FenceGap, "m", w), err)
}

// gap judges the free space at the ends of travel against crushing.
func (r *run) gap(g design.Guards) error {
	clearance := r.m.Design.Equipment.Clearance
	c := guardCheck("safety.gap", "gap at the ends of travel in which a body is not crushed")
	c.Subject = "equipment.clearance"
	if clearance == nil {
		r.skip(c.ID, "equipment.clearance is not declared: gaps between moving and fixed parts at the ends of travel are not judged against ISO 13854")
		return nil
	}
	if !r.m.Design.Task.PeopleNear {
		r.skip(c.ID, "task.people_near is no: by declaration nobody can be crushed while the machine is powered")
		return nil
	}
	least, err := equip.LeastGap(equip.Body)
	if err != nil {
		return err
	}
	c.AtBest = r.fromMemory(g)
	c.Note = "head 300, leg 180, foot or arm 120, hand 100, finger 25 mm where nothing else can get in"
	r.add(atLeast(c, *clearance, least, "m", ledger.Working{
		Formula: "e = e_c", Inputs: []ledger.Input{in("e_c", "free space at the ends of travel", *clearance, "m", "equipment.clearance")},
		Source: "ISO 13854, Table 1, body (from memory)", Counted: true,
	}), nil)
	return nil
}
