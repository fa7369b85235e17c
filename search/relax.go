package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/quantity"
)

// Relaxation is a change of the task with which a machine was found.
type Relaxation struct {
	Changes []Change `json:"changes"`
	Least   float64  `json:"largest_factor"` // the largest factor by which a target is moved
	Found   Outcome  `json:"found"`

	// Nearer is by what share nearer to what is asked the last change was tried
	// without finding a machine, where short searches found it; NaN where it is the
	// least that any of the machines judged needs. In both cases it is an upper
	// bound: a machine that was not judged may need less.
	Nearer assess.Number `json:"nearer_tried"`
	Judged int           `json:"judged"` // machines judged for it
}

// Change is one value of the task that has to give.
type Change struct {
	Path   string  `json:"path"`
	From   float64 `json:"from"`
	To     float64 `json:"to"`
	Text   string  `json:"text"` // as it would be written
	Factor float64 `json:"factor"`
}

// wish is a value of the task that a check is judged against.
type wish struct {
	kind   string // of the check
	path   string
	of     quantity.Kind
	digits int
	get    func(*design.Task) *float64
	higher bool // is a higher value easier to meet
}

// wishes are the values of a task that may give way.
var wishes = []wish{
	{"task.rate", "task.rate", quantity.Rate, 3, func(t *design.Task) *float64 { return &t.Rate }, false},
	{"tool.sag.variation", "task.targets.sag_variation", quantity.Length, 3, func(t *design.Task) *float64 { return t.Targets.SagVariation }, true},
	{"tool.settle", "task.targets.settle_time", quantity.Time, 3, func(t *design.Task) *float64 { return t.Targets.SettleTime }, true},
	{"tool.frequency", "task.targets.first_frequency", quantity.Frequency, 3, func(t *design.Task) *float64 { return t.Targets.FirstFreq }, false},
	{"tool.repeatability", "task.targets.repeatability", quantity.Length, 3, func(t *design.Task) *float64 { return t.Targets.Repeatability }, true},
	{"tool.accuracy", "task.targets.accuracy", quantity.Length, 3, func(t *design.Task) *float64 { return t.Targets.Accuracy }, true},
	{"axis.guide.life", "task.duty.years", "", 2, func(t *design.Task) *float64 { return &t.Duty.Years }, false},
	{"axis.screw.life", "task.duty.years", "", 2, func(t *design.Task) *float64 { return &t.Duty.Years }, false},
	{"axis.brake.wear", "task.duty.emergency_stops_per_day", "", 2, func(t *design.Task) *float64 { return &t.Duty.Stops }, false},
}

// room is what a relaxed value gives beyond what was just missed: the machine is
// judged again with it, and may then be run a little otherwise; own choice.
const room = 1.002

// Relax looks for the smallest change of the task that unblocks it: among what was
// judged, the machine whose failing checks are all wishes of the task and whose
// largest miss is smallest, judged again with the changed task. If every machine
// fails by something else, or none was judged, a value of the task is eased until a
// machine is found, and then taken back as far as one is found. Where neither
// helps, the second answer says what is still in the way.
//
// tell hears of every value that is tried, in words; it may be nil.
func (r *Result) Relax(ctx context.Context, tell func(words string)) (*Relaxation, *Unrelaxed, error) {
	for _, o := range r.byMiss() {
		x := &Relaxation{Judged: r.Judged, Nearer: assess.Number(math.NaN())}
		if found, err := r.relaxedTo(ctx, x, r.Problem.Task, o); err != nil || found != nil {
			return found, nil, err
		}
	}
	return r.ease(ctx, tell)
}

// mostRelaxed is how many machines are judged again for a relaxation: own choice.
const mostRelaxed = 5

// byMiss are the outcomes that fail by wishes alone, the smallest miss first.
func (r *Result) byMiss() (out []Outcome) {
	miss := map[string]float64{}
	for _, o := range r.judged {
		if o.Stage != ByWhole || o.passes() {
			continue
		}
		most, ok := 0.0, true
		for _, f := range o.Failing {
			ok = ok && !f.Unknown && wishOf(f.Kind) != nil && f.Utilisation < endless
			most = math.Max(most, float64(f.Utilisation))
		}
		if ok && len(o.Failing) > 0 {
			miss[o.Key] = most
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(x, y Outcome) int { return cmp.Compare(miss[x.Key], miss[y.Key]) })
	return out[:min(len(out), mostRelaxed)]
}

func wishOf(kind string) *wish {
	for i := range wishes {
		if wishes[i].kind == kind {
			return &wishes[i]
		}
	}
	return nil
}

// relaxedTo moves the wishes that a machine misses to what it does, and judges it
// again; nil if it still fails.
func (r *Result) relaxedTo(ctx context.Context, x *Relaxation, from *design.Design, o Outcome) (*Relaxation, error) {
	task := *from
	for _, f := range o.Failing {
		x.move(&task, wishOf(f.Kind), float64(f.Utilisation)*room)
	}
	return r.again(ctx, x, &task, o)
}

// move changes one value of the task by a factor on what is asked. Of several
// changes of one value the largest counts.
func (x *Relaxation) move(task *design.Design, w *wish, factor float64) {
	was := w.get(&task.Task)
	if was == nil {
		return
	}
	from := *was
	i := slices.IndexFunc(x.Changes, func(c Change) bool { return c.Path == w.path })
	switch {
	case i < 0:
		x.Changes = append(x.Changes, Change{})
		i = len(x.Changes) - 1
	case factor <= x.Changes[i].Factor:
		return
	default:
		from = x.Changes[i].From
	}
	to, text := w.eased(from, factor)
	setWish(&task.Task, w.path, to)
	x.Changes[i] = Change{w.path, from, to, text, factor}
	x.Least = math.Max(x.Least, factor)
}

// eased is a value moved by a factor, rounded to the digits shown in the direction
// that is easier to meet, and as it would be written.
func (w *wish) eased(from, factor float64) (to float64, text string) {
	to = from / factor
	if w.higher {
		to = from * factor
	}
	nudge := math.Pow10(-w.digits - 1)
	for want := to; ; {
		text = quantity.Number(to, w.digits)
		back, err := strconv.ParseFloat(text, 64)
		if w.of != "" {
			text = quantity.Format(w.of, to, w.digits)
			back, err = quantity.Parse(text, w.of)
		}
		const hair = 1e-9 // of reading back
		switch {
		case err != nil:
			return to, text
		case w.higher && back >= want*(1-hair), !w.higher && back <= want*(1+hair):
			return back, text
		case w.higher:
			to *= 1 + nudge
		default:
			to *= 1 - nudge
		}
	}
}

// setWish gives a value of the task its own place, so that the task it was
// copied from keeps its own.
func setWish(t *design.Task, path string, to float64) {
	switch path {
	case "task.rate":
		t.Rate = to
	case "task.targets.sag_variation":
		t.Targets.SagVariation = &to
	case "task.targets.settle_time":
		t.Targets.SettleTime = &to
	case "task.targets.first_frequency":
		t.Targets.FirstFreq = &to
	case "task.targets.repeatability":
		t.Targets.Repeatability = &to
	case "task.targets.accuracy":
		t.Targets.Accuracy = &to
	case "task.duty.years":
		t.Duty.Years = to
	case "task.duty.emergency_stops_per_day":
		t.Duty.Stops = to
	}
}

// again judges an outcome's machine for a changed task.
func (r *Result) again(ctx context.Context, x *Relaxation, task *design.Design, o Outcome) (*Relaxation, error) {
	relaxed := *r.Problem
	relaxed.Task = task
	j := *r.judge
	j.p = &relaxed
	k := j.grove.chain(r.at[o.Key])
	k.alike = nil
	f, why := r.judge.fitted(r.at[o.Key], r.judge.choice(r.at[o.Key]))
	if why != "" {
		return nil, nil
	}
	found := Outcome{Key: o.Key}
	if err := j.whole(ctx, &found, k, o.Choice, f, nil, 0); err != nil || !found.passes() {
		return nil, err
	}
	x.Found = found
	return x, nil
}

// String is the change in words.
func (c Change) String() string { return fmt.Sprintf("%s: %s", c.Path, c.Text) }
