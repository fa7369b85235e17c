package assess

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/equip"
	"spanwright/ledger"
)

// safetyChecks judge what keeps people from harm as far as a calculation can;
// the brakes of gravity axes are judged with their axes. Nothing here states
// that a machine is safe.
func (r *run) safetyChecks(context.Context) error {
	for i := range r.axes {
		if d := &r.axes[i]; d.axis.Gravity() && d.axis.Brake != nil {
			r.brakeTest(d)
		}
	}
	r.secondMeans()
	r.stopCategory()
	if err := r.guardChecks(); err != nil {
		return err
	}
	r.safetyResults()
	return nil
}

// gravityAxes are the ids of the axes on which gravity can move the load.
func (r *run) gravityAxes() []string {
	var out []string
	for _, a := range r.m.Axes {
		if a.Gravity() {
			out = append(out, a.Spec.ID)
		}
	}
	return out
}

// secondMeans asks for a second means under a raised load. With none declared
// the entry is never better than tight: whether one is needed is for the risk
// assessment.
func (r *run) secondMeans() {
	axes := r.gravityAxes()
	if len(axes) == 0 {
		return
	}
	means := equip.SecondMeans(r.m.Design.Equipment.Second)
	advice := equip.JudgeSecondMeans(true, r.m.Design.Task.PeopleNear, means)
	c := newCheck("safety.second_means", "equipment.second_means", "a second, independent means keeps the load of axis "+strings.Join(axes, ", ")+" up, or nobody is near")
	c.Caution = brakeCaution
	c.Note = advice.Reason
	if !advice.Allowed {
		c.Title = "the brake alone keeps the load of axis " + strings.Join(axes, ", ") + " up; the risk assessment must say whether that is enough"
		c.AtBest = ledger.Tight
		c.Note += "; declare it in equipment.second_means, or task.people_near: no if the guards keep everybody out"
	}
	if means == equip.Counterbalanced && !r.counterbalanced() {
		c.Over = true
		c.Note = "equipment.second_means is counterbalance, but not every gravity axis has one"
	}
	r.add(present(c, true, "belt, coupling and key between brake and load are single points of failure: where people may be under or beside a raised load, a second, independent means holds it"), nil)
}

func (r *run) counterbalanced() bool {
	for _, a := range r.m.Axes {
		if a.Gravity() && a.Spec.Counter == nil {
			return false
		}
	}
	return true
}

// stopCategory judges the category of the emergency stop.
func (r *run) stopCategory() {
	uncoupled := false
	for _, a := range r.m.Axes {
		uncoupled = uncoupled || a.Motors() > 1
	}
	category := equip.StopCategory(r.m.Design.Equipment.Control.StopCategory)
	advice := equip.JudgeEmergencyStop(category, len(r.gravityAxes()) > 0, uncoupled)
	c := newCheck("safety.stop_category", "equipment.control.stop_category", "the emergency stop is of category 0 or 1")
	c.Note = category.String() + "; " + advice.Reason
	c.Caution = stopCaution
	if category != equip.ControlledOff {
		c.AtBest = ledger.Tight
	}
	c = present(c, advice.Allowed, "an emergency stop is of category 0 or 1; category 1, supervised in time, then power off and brakes, is usual on gantries")
	c.Working.Source = "IEC 60204-1, 9.2, and ISO 13850 (from memory)"
	r.add(c, nil)
}

// longestStop is the longest stop of any axis by the stop category, s, from the
// end of the reaction on, and the axis that needs it.
func (r *run) longestStop() (seconds float64, axis string, err error) {
	reaction := r.m.Design.Equipment.Control.Reaction
	for i := range r.axes {
		d := &r.axes[i]
		times := []float64{}
		if equip.StopCategory(r.m.Design.Equipment.Control.StopCategory) == equip.PowerOff {
			for _, dir := range [2]float64{-1, 1} {
				stop, e := r.powerOff(d, dir)
				err = first(err, e)
				times = append(times, stop.Time)
			}
		} else {
			stop, e := r.controlledStop(d.axis)
			err = first(err, e)
			times = append(times, stop.Time)
		}
		if t := slices.Max(times) - reaction; t > seconds || axis == "" {
			seconds, axis = t, d.axis.Spec.ID
		}
	}
	return seconds, axis, err
}

// safetyResults collects what the risk assessment starts from.
func (r *run) safetyResults() {
	e := r.m.Design.Equipment
	out := &r.results.Safety
	if t, _, err := r.longestStop(); err == nil {
		out.StopTime = Number(t)
	} else {
		out.StopTime = Number(math.NaN())
	}
	s := equip.Situation{
		VerticalAxis: len(r.gravityAxes()) > 0, PeopleNear: r.m.Design.Task.PeopleNear,
		InterlockedDoor: e.Guards.DoorGap != nil || e.Guards.DoorLock, LightCurtain: e.Guards.Curtain != nil,
		Vacuum: r.m.Design.Task.Payload.Grip.By == "vacuum", CableCarrier: len(r.m.CableCarriers) > 0,
		Anchored: r.m.Design.Stand.Anchored, Axes: len(r.m.Axes),
	}
	out.Functions = append(out.Functions, equip.SafetyFunctions(s)...)
	r.hazards(s)
	r.requiredLevel()
}

// hazards keeps the list of hazards without those that the risk assessment has
// ruled out.
func (r *run) hazards(s equip.Situation) {
	off := r.m.Design.Equipment.HazardsOff
	known := map[string]bool{}
	for _, h := range equip.Hazards(s) {
		known[h.Kind] = true
		if !slices.Contains(off, h.Kind) {
			r.results.Safety.Hazards = append(r.results.Safety.Hazards, Hazard{h.Kind, h.Where, h.Measures})
		}
	}
	for _, name := range off {
		if !known[name] {
			r.skip("safety.hazards", fmt.Sprintf("equipment.hazards_excluded names %q, which is not on the list of hazards of this machine: nothing was taken off", name))
		}
	}
	r.skip("safety.hazards", fmt.Sprintf("%d kinds of hazard are listed for the risk assessment (ISO 12100), %d excluded by declaration; none is judged here beyond the checks of this ledger", len(r.results.Safety.Hazards), len(off)))
}

// requiredLevel estimates the required performance level. It never says that
// one is reached.
func (r *run) requiredLevel() {
	g := r.m.Design.Equipment.Guards
	level, err := equip.RequiredLevel(g.Severity, g.Exposure, g.Avoid)
	if err != nil {
		r.skip("safety.plr", "equipment.guards.severity, exposure and avoidance are not all declared: no required performance level is estimated")
		return
	}
	r.results.Safety.Level = string(level)
	r.skip("safety.plr", fmt.Sprintf("required performance level %s, estimated from %s, %s, %s (ISO 13849-1, Annex A, from memory); that it is reached must be shown by whoever designs the controls, for: %s",
		level, g.Severity, g.Exposure, g.Avoid, strings.Join(r.results.Safety.Functions, ", ")))
}
