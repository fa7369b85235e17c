package assess

import (
	"context"
	"math"
	"slices"

	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// Screened is what can be said of a machine before its structure is solved.
type Screened struct {
	Checks []ledger.Check // as they would come out at best, worst first
	Cycle  float64        // s: the least that the cycle can take

	rooms *rooms
}

// rooms is what was found about parts that run into each other.
type rooms struct {
	m      *machine.Machine
	checks []ledger.Check
	not    []NotChecked
}

// Screen judges what needs no deflection: reach, rate, axes with their drives,
// guides and brakes, ends of travel, cable carriers, the rules of the trade, what
// fits what, tipping and sliding; collisions only where nothing else is over.
//
// Settling is not known without the structure; it lengthens the cycle by
// something between nothing and what the wanted rate leaves. Mean values and
// lives are ratios of sums that are linear in the times of settling, so over all
// those times they are best at a corner: no settling at all, or all that may be
// in one leg. Each check is shown with its best value and its best limit over
// the corners. What is over here is therefore over in Run too or fails the
// rate; what is not may still be. Where something is over that no waiting mends,
// what waiting might mend is left out.
func Screen(m *machine.Machine) (*Screened, error) {
	r, out, err := screen(m, (*run).screenDuty, nil)
	if err != nil {
		return nil, err
	}
	if err := r.screenBuild(); err != nil {
		return nil, err
	}
	checks := append(out.Checks, r.ledger.Sorted()...)
	if !slices.ContainsFunc(checks, func(c ledger.Check) bool { return c.Verdict == ledger.Over }) {
		if out.rooms, err = r.lookAround(); err != nil {
			return nil, err
		}
		checks = append(checks, out.rooms.checks...)
	}
	out.Checks = sorted(m, checks)
	return out, nil
}

// Collisions judges alone what runs into each other, worst first.
func Collisions(m *machine.Machine) ([]ledger.Check, error) {
	r := &run{m: m}
	if err := r.planCycle(context.Background()); err != nil {
		return nil, err
	}
	found, err := r.lookAround()
	if err != nil {
		return nil, err
	}
	return found.checks, nil
}

// lookAround judges what runs into each other in a ledger of its own.
func (r *run) lookAround() (*rooms, error) {
	r.ledger, r.not = ledger.Ledger{Tight: r.m.Design.Assumptions.Tight}, nil
	if err := r.collisionChecks(); err != nil {
		return nil, err
	}
	return &rooms{r.m, r.ledger.Sorted(), r.not}, nil
}

// ScreenAxis is Screen for what concerns one axis alone, by its index: what it
// does depends on the axes that it carries, not on those that carry it. Only
// checks of the kinds that about names are judged; nil names all.
func ScreenAxis(m *machine.Machine, axis int, about func(kind string) bool) (*Screened, error) {
	_, out, err := screen(m, func(r *run) error { return r.screenAxis(r.m.Axes[axis]) }, about)
	return out, err
}

func screen(m *machine.Machine, once func(*run) error, about func(kind string) bool) (*run, *Screened, error) {
	r := &run{m: m}
	r.study.freq[structure.Nominal] = rigid
	if err := r.planCycle(context.Background()); err != nil {
		return nil, nil, err
	}
	best, err := r.corner(once, about)
	if err != nil {
		return nil, nil, err
	}
	cycle := r.timeline.Duration
	room := 1/m.Design.Task.Rate - cycle
	switch waits, stays := over(best); {
	case !waits || m.Design.Task.Targets.SettleBand == nil || !(room > 0):
	case stays:
		best = slices.DeleteFunc(best, func(c ledger.Check) bool { return c.Verdict == ledger.Over && eased(c.Kind) })
	default:
		if err := r.corners(once, about, room, best); err != nil {
			return nil, nil, err
		}
	}
	r.ledger, r.not = ledger.Ledger{Tight: m.Design.Assumptions.Tight}, nil
	return r, &Screened{Checks: sorted(m, best), Cycle: cycle}, nil
}

// corners takes the best of every check over the corners at which all the time
// that is left, s, is waited in one leg.
func (r *run) corners(once func(*run) error, about func(kind string) bool, room float64, best []ledger.Check) error {
	for i := range r.legs {
		if !r.legs[i].settles {
			continue
		}
		r.legs[i].settle = room
		more, err := r.corner(once, about)
		r.legs[i].settle = 0
		if err != nil {
			return err
		}
		for k := range best {
			best[k] = bestOf(best[k], more)
		}
	}
	return nil
}

// sorted judges checks and puts the worst first.
func sorted(m *machine.Machine, checks []ledger.Check) []ledger.Check {
	out := ledger.Ledger{Tight: m.Design.Assumptions.Tight}
	for _, c := range checks {
		out.Add(c)
	}
	return out.Sorted()
}

// rigid is a natural frequency so high that a machine feels an acceleration once
// and not more, Hz; no machine feels it less than that (see dynamic).
const rigid = 1e9

// corner runs the checks with the settle times that stand in the legs.
func (r *run) corner(once func(*run) error, about func(kind string) bool) ([]ledger.Check, error) {
	r.ledger, r.results, r.axes, r.not = ledger.Ledger{Tight: r.m.Design.Assumptions.Tight}, newResults(r.m), nil, nil
	if err := r.layTimeline(context.Background()); err != nil {
		return nil, err
	}
	err := once(r)
	checks := r.ledger.Sorted()
	if about != nil {
		checks = slices.DeleteFunc(checks, func(c ledger.Check) bool { return !about(c.Kind) })
	}
	return checks, err
}

// screenDuty judges what depends on the time of the cycle, and the axes with it.
func (r *run) screenDuty() error {
	ctx := context.Background()
	for _, do := range []func(context.Context) error{r.dutyOfAxes, r.taskChecks, r.axisChecks, r.equipmentChecks} {
		if err := do(ctx); err != nil {
			return err
		}
	}
	return nil
}

// screenBuild judges what depends on the build alone.
func (r *run) screenBuild() error {
	r.underBeams()
	r.cornerTension()
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

// over tells whether something is over that waiting may mend, and whether something
// is that it does not. The rate is judged with no waiting at all.
func over(checks []ledger.Check) (waits, stays bool) {
	for i := range checks {
		if c := &checks[i]; c.Verdict == ledger.Over && c.Kind != "task.rate" {
			waits, stays = waits || eased(c.Kind), stays || !eased(c.Kind)
		}
	}
	return waits, stays
}

// eased tells whether a check judges a mean over the cycle, a life, or what drives
// draw together: what a longer cycle may mend.
func eased(kind string) bool { return slices.Contains(easedKinds, kind) }

var easedKinds = []string{
	"axis.motor.rms", "axis.gear.mean", "axis.gear.speed_mean", "axis.guide.life", "axis.screw.life", "axis.supply", "carrier.life",
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
