package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"spanwright/design"
	"spanwright/quantity"
)

// Relaxation is a change of the task with which a machine was found.
type Relaxation struct {
	Changes []Change `json:"changes"`
	Least   float64  `json:"largest_factor"` // the largest factor by which a target is moved
	Found   Outcome  `json:"found"`
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

// room is what a relaxed value gives beyond what was just missed, so that
// rounding to the digits shown does not take it back; own choice.
const room = 1.005

// Relax looks for the smallest change of the task that unblocks it: among what was
// judged, the machine whose failing checks are all wishes of the task and whose
// largest miss is smallest, judged again with the changed task. If every machine
// fails by something else, or none was judged, the rate is lowered step by step
// until a machine is found. It returns nil where neither helps.
//
// tell hears of every rate that is tried, as it would be written; it may be nil.
func (r *Result) Relax(ctx context.Context, tell func(rate string)) (*Relaxation, error) {
	for _, o := range r.byMiss() {
		found, err := r.relaxedTo(ctx, o)
		if err != nil || found != nil {
			return found, err
		}
	}
	return r.slower(ctx, tell)
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
func (r *Result) relaxedTo(ctx context.Context, o Outcome) (*Relaxation, error) {
	task := *r.Problem.Task
	out := &Relaxation{}
	for _, f := range o.Failing {
		out.move(&task, wishOf(f.Kind), float64(f.Utilisation))
	}
	return r.again(ctx, out, &task, o)
}

// move changes one value of the task by a factor on what is asked.
func (x *Relaxation) move(task *design.Design, w *wish, factor float64) {
	own := task.Task.Targets // pointers stay the user's
	was := w.get(&task.Task)
	if was == nil {
		return
	}
	from := *was
	to := from * factor * room
	if !w.higher {
		to = from / (factor * room)
	}
	text := quantity.Number(to, w.digits)
	if w.of != "" {
		text = quantity.Format(w.of, to, w.digits)
		if back, err := quantity.Parse(text, w.of); err == nil {
			to = back
		}
	}
	task.Task.Targets = own
	setWish(&task.Task, w.path, to)
	for i, c := range x.Changes {
		if c.Path == w.path {
			if (to > c.To) == w.higher {
				x.Changes[i].To, x.Changes[i].Text, x.Changes[i].Factor = to, text, factor
			}
			setWish(&task.Task, w.path, x.Changes[i].To)
			return
		}
	}
	x.Changes = append(x.Changes, Change{w.path, from, to, text, factor})
	x.Least = math.Max(x.Least, factor)
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

// slowerBy are the shares of the rate that are tried where no machine fails by
// wishes alone: own choice.
var slowerBy = []float64{0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1}

// slower lowers the rate until a search with few judgements finds a machine.
func (r *Result) slower(ctx context.Context, tell func(rate string)) (*Relaxation, error) {
	for _, share := range slowerBy {
		task := *r.Problem.Task
		x := &Relaxation{}
		w := &wishes[0]
		x.move(&task, w, 1/(share*room))
		if tell != nil {
			tell(x.Changes[0].Text)
		}
		p := *r.Problem
		p.Task = &task
		opts := r.Options
		opts.Known, opts.Learned, opts.Progress = nil, nil, nil
		if opts.Most == 0 || opts.Most > fewJudged {
			opts.Most = fewJudged
		}
		found, err := Run(ctx, &p, r.Space, opts)
		if err != nil {
			return nil, err
		}
		if len(found.Front) > 0 {
			x.Found = found.Front[0]
			return x, nil
		}
	}
	return nil, nil
}

// fewJudged is the limit of judgements of one step: own choice.
const fewJudged = 64

// String is the change in words.
func (c Change) String() string { return fmt.Sprintf("%s: %s", c.Path, c.Text) }

// Blocking counts over all outcomes that were judged which checks failed, the
// most frequent among machines judged as a whole first.
func (r *Result) Blocking() []Blocked {
	var out []Blocked
	for _, o := range r.judged {
		seen := map[string]bool{}
		for _, f := range o.Failing {
			if seen[f.Kind] {
				continue
			}
			seen[f.Kind] = true
			i := slices.IndexFunc(out, func(b Blocked) bool { return b.Kind == f.Kind })
			if i < 0 {
				out = append(out, Blocked{Kind: f.Kind, Least: math.Inf(1)})
				i = len(out) - 1
			}
			out[i].Count++
			if o.Stage == ByWhole {
				out[i].Whole++
			}
			if u := float64(f.Utilisation); u < out[i].Least {
				out[i].Least = u
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Blocked) int {
		return cmp.Or(cmp.Compare(y.Whole, x.Whole), cmp.Compare(y.Count, x.Count))
	})
	return out
}

// Blocked is a kind of check that fails.
type Blocked struct {
	Kind  string  `json:"kind"`
	Count int     `json:"candidates"`
	Whole int     `json:"as_a_whole"`        // of them judged as a whole: nothing that is known sooner stood in their way
	Least float64 `json:"least_utilisation"` // of those that fail it
}
