package assess

import (
	"context"
	"math"

	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// Screened is what can be said of a machine before its structure is solved.
type Screened struct {
	Checks []ledger.Check // as they would come out at best, worst first
	Cycle  float64        // s: the least that the cycle can take
}

// Screen judges what needs no deflection: reach, rate, axes with their drives,
// guides and brakes, ends of travel, cable carriers, the rules of the trade, what
// fits what, tipping and sliding.
//
// Settling is not known without the structure; it lengthens the cycle by
// something between nothing and what the wanted rate leaves. Mean values and
// lives are ratios of sums that are linear in the times of settling, so over all
// those times they are best at a corner: no settling at all, or all that may be
// in one leg. Each check is shown with its best value and its best limit over
// the corners. What is over here is therefore over in Run too or fails the
// rate; what is not may still be.
func Screen(m *machine.Machine) (*Screened, error) { return screen(m, (*run).screenOnce) }

// ScreenAxis is Screen for what concerns one axis alone, by its index: what it
// does depends on the axes that it carries, not on those that carry it.
func ScreenAxis(m *machine.Machine, axis int) (*Screened, error) {
	return screen(m, func(r *run) error { return r.screenAxis(r.m.Axes[axis]) })
}

func screen(m *machine.Machine, once func(*run) error) (*Screened, error) {
	r := &run{m: m}
	r.study.freq[structure.Nominal] = rigid
	if err := r.planCycle(context.Background()); err != nil {
		return nil, err
	}
	best, err := r.corner(once)
	if err != nil {
		return nil, err
	}
	cycle := r.timeline.Duration
	room := 1/m.Design.Task.Rate - cycle
	if m.Design.Task.Targets.SettleBand != nil && room > 0 && undecided(best) {
		for i := range r.legs {
			if !r.legs[i].settles {
				continue
			}
			r.legs[i].settle = room
			more, err := r.corner(once)
			r.legs[i].settle = 0
			if err != nil {
				return nil, err
			}
			for k := range best {
				best[k] = bestOf(best[k], more)
			}
		}
	}
	out := ledger.Ledger{Tight: m.Design.Assumptions.Tight}
	for _, c := range best {
		out.Add(c)
	}
	return &Screened{Checks: out.Sorted(), Cycle: cycle}, nil
}

// rigid is a natural frequency so high that a machine feels an acceleration once
// and not more, Hz; no machine feels it less than that (see dynamic).
const rigid = 1e9

// corner runs the checks with the settle times that stand in the legs.
func (r *run) corner(once func(*run) error) ([]ledger.Check, error) {
	r.ledger, r.results, r.axes, r.not = ledger.Ledger{Tight: r.m.Design.Assumptions.Tight}, newResults(r.m), nil, nil
	if err := r.layTimeline(context.Background()); err != nil {
		return nil, err
	}
	err := once(r)
	return r.ledger.Sorted(), err
}

func (r *run) screenOnce() error {
	ctx := context.Background()
	for _, do := range []func(context.Context) error{r.dutyOfAxes, r.taskChecks, r.axisChecks, r.equipmentChecks} {
		if err := do(ctx); err != nil {
			return err
		}
	}
	if err := r.buildChecks(ctx); err != nil {
		return err
	}
	r.braceChecks()
	for _, g := range r.standJoints() {
		r.fitCheck(g)
	}
	return r.tippingChecks()
}

func (r *run) screenAxis(a *machine.Axis) error {
	d, err := r.dutyOf(a, r.m.Lumps())
	if err != nil {
		return err
	}
	r.axes = append(r.axes, d)
	if err := r.axisChecks(context.Background()); err != nil {
		return err
	}
	r.carrierChecks(&r.axes[0])
	r.endChecks(&r.axes[0])
	return nil
}

// undecided tells whether anything is over that a longer cycle might mend.
func undecided(checks []ledger.Check) bool {
	for _, c := range checks {
		if c.Verdict == ledger.Over && c.Kind != "task.rate" {
			return true
		}
	}
	return false
}

// bestOf takes the better value and the better limit of the same check. The
// rate keeps its value without settling, which is its best.
func bestOf(c ledger.Check, others []ledger.Check) ledger.Check {
	for _, o := range others {
		if o.ID != c.ID || c.Verdict == ledger.Unknown || o.Verdict == ledger.Unknown {
			continue
		}
		if c.Sense == ledger.AtMost {
			c.Value, c.Limit = math.Min(c.Value, o.Value), math.Max(c.Limit, o.Limit)
		} else {
			c.Value, c.Limit = math.Max(c.Value, o.Value), math.Min(c.Limit, o.Limit)
		}
	}
	return c
}

// Train is motor, gear and transmission of an axis with all that turns.
func Train(a *machine.Axis) (drive.Train, error) { return train(a) }
