package assess

import (
	"context"
	"math"
)

// safetyChecks judge what keeps people from harm as far as a calculation can;
// the brakes of gravity axes are judged with their axes.
func (r *run) safetyChecks(context.Context) error {
	r.secondMeans()
	r.stopCategory()
	return nil
}

// secondMeans reminds of a second means under a raised load.
func (r *run) secondMeans() {
	gravity := false
	for _, a := range r.m.Axes {
		gravity = gravity || a.Gravity()
	}
	if !gravity || !r.m.Design.Task.PeopleNear {
		return
	}
	if r.m.Design.Equipment.Second == "none" {
		r.skip("safety.second_means", "people may be near a gravity axis and no second, independent means against falling is declared (equipment.second_means): the risk assessment decides whether one is needed. "+brakeCaution)
	}
}

func (r *run) stopCategory() {
	gravity := false
	for _, a := range r.m.Axes {
		gravity = gravity || math.Abs(a.Vertical()) > 0.7
	}
	c := newCheck("safety.stop_category", "equipment.control.stop_category", "the emergency stop is a controlled stop (category 1) where gravity acts")
	c.Note = "category 0 lets a vertical axis fall until its brake holds, and a fast level one coast"
	c.Caution = stopCaution
	r.add(present(c, !gravity || r.m.Design.Equipment.Control.StopCategory == 1, "IEC 60204-1, 9.2: an emergency stop is category 0 or 1; category 1 with a drive ramp, then power off and brake, is usual on gantries"), nil)
}
