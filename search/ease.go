package search

import (
	"context"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/design"
)

// Unrelaxed is what is in the way where no change of the task helps.
type Unrelaxed struct {
	Change    Change     `json:"change"` // what was tried at most
	Obstacles []Obstacle `json:"obstacles"`
	Blocking  []Blocked  `json:"blocking"`
}

// levers are checks whose wish is eased where no machine fails by wishes alone: what
// is judged before any machine is built as a whole depends on these.
var levers = []string{"task.rate", "axis.brake.wear", "axis.guide.life"}

// How a value is eased; own choices.
const (
	mostEased = 20   // at most by this factor, for the rate on the fastest that any motion is
	fineness  = 1.03 // what helps is known to this factor
	mostTries = 8    // searches for one value
	fewJudged = 128  // machines judged in each
	fewLooks  = 40   // blocks of seeds in each
	nearby    = 1.5  // factor within which what was found is a good beginning, and nothing else is looked at
	stride    = 1.3  // factor from what fails to what is tried next
)

// ease eases one value after the other until a machine is found.
func (r *Result) ease(ctx context.Context, tell func(string)) (*Relaxation, *Unrelaxed, error) {
	var still *Unrelaxed
	for _, kind := range levers {
		e := &easing{Result: r, lever: wishOf(kind), task: r.Problem.Task, tell: tell}
		if !e.matters() {
			continue
		}
		x, in, err := e.find(ctx)
		if err != nil || x != nil {
			return x, nil, err
		}
		if still == nil {
			still = in
		}
	}
	return nil, still, nil
}

// easing eases one value of the task.
type easing struct {
	*Result
	lever   *wish
	task    *design.Design // to which it is done: the user's, or one with other targets
	besides Relaxation     // these targets
	judged  int
	tries   int // searches
	tell    func(words string)
}

// matters tells whether anything was discarded by a check of the value. The rate
// decides on speeds and forces of whatever moves.
func (e *easing) matters() bool {
	if e.lever.path == "task.rate" {
		return true
	}
	of := func(kind string) bool { w := wishOf(kind); return w != nil && w.path == e.lever.path }
	return slices.ContainsFunc(e.Discarded, func(d Discarded) bool { return of(d.Reason) })
}

// find looks for the least that the value must be eased. What the bounds of axes
// leave nothing of is not searched.
func (e *easing) find(ctx context.Context) (*Relaxation, *Unrelaxed, error) {
	low := e.least()
	most := low * mostEased
	edge, last, err := e.edge(low, most)
	if err != nil {
		return nil, nil, err
	}
	if math.IsInf(edge, 1) {
		return nil, last.still(e.lever), nil
	}
	low = math.Max(low, edge/stride)
	hit, last, err := e.try(ctx, edge, nil)
	if err == nil && hit == nil {
		low = edge
		hit, err = e.byMiss(ctx, last)
	}
	if err == nil && hit == nil && edge < most {
		hit, last, err = e.try(ctx, most, nil)
	}
	if err == nil && hit == nil {
		low = edge / stride // with other targets all is open again
		hit, err = e.withTargets(ctx, last)
	}
	switch {
	case err != nil:
		return nil, nil, err
	case hit == nil:
		return nil, last.still(e.lever), nil
	}
	if low, hit, err = e.narrow(ctx, low, hit); err != nil {
		return nil, nil, err
	}
	hit.Nearer, hit.Judged = assess.Number(hit.factor(e.lever)/low-1), e.judged
	return &hit.Relaxation, nil, nil
}

// edge is the first factor in strides at which the bounds of axes leave anything;
// infinite where even the most does not.
func (e *easing) edge(low, most float64) (float64, *attempt, error) {
	if math.IsInf(most, 1) {
		return most, &attempt{result: e.Result}, nil
	}
	last, task := e.eased(most)
	w := newWalk(task, e.Space, e.Options)
	reached, err := w.reaches()
	if err != nil || !reached {
		w.finish()
		last.result = w.result
		return math.Inf(1), last, err
	}
	for at := low * stride; at < most; at *= stride {
		_, task := e.eased(at)
		reached, err := newWalk(task, e.Space, e.Options).reaches()
		if err != nil || reached {
			return at, nil, err
		}
	}
	return most, nil, nil
}

// narrow takes a value back until what is missing is known to be small: in growing
// strides from what fails, and then by half the logarithm of the factor.
func (e *easing) narrow(ctx context.Context, low float64, hit *attempt) (float64, *attempt, error) {
	for step := stride; e.tries < mostTries && hit.factor(e.lever) > low*fineness; {
		between := math.Min(low*step, math.Sqrt(low*hit.factor(e.lever)))
		next, all, err := e.try(ctx, between, hit)
		if err == nil && next == nil {
			low, step = between, step*stride
			next, err = e.byMiss(ctx, all)
		}
		if err != nil {
			return low, hit, err
		}
		if next != nil && next.factor(e.lever) < hit.factor(e.lever) {
			hit = next
		}
	}
	return low, hit, nil
}

// least is the factor up to which easing cannot help: 1, or for the rate that at
// which even the fastest motion takes too long.
func (e *easing) least() float64 {
	if e.lever.path != "task.rate" {
		return 1
	}
	return math.Max(1, e.Problem.leastCycle(e.Space)*e.Problem.Task.Task.Rate)
}

// attempt is a search with an eased task.
type attempt struct {
	Relaxation
	result *Result
	at     candidate // of the machine that was found
}

// change is what was done to the value.
func (x *Relaxation) change(w *wish) Change {
	i := slices.IndexFunc(x.Changes, func(c Change) bool { return c.Path == w.path })
	return x.Changes[i]
}

// factor is by how much the value was eased, as it is written.
func (x *Relaxation) factor(w *wish) float64 {
	c := x.change(w)
	if w.higher {
		return c.To / c.From
	}
	return c.From / c.To
}

// still is what was in the way of an attempt.
func (a *attempt) still(w *wish) *Unrelaxed {
	u := &Unrelaxed{Obstacles: append([]Obstacle{}, a.result.Obstacles()...), Blocking: append([]Blocked{}, a.result.Blocking()...)}
	if len(a.Changes) > 0 {
		u.Change = a.change(w)
	}
	return u
}

// eased is the task with the value eased by a factor.
func (e *easing) eased(factor float64) (*attempt, *Problem) {
	a, p, task := &attempt{}, *e.Problem, *e.task
	a.Changes, a.Least = slices.Clone(e.besides.Changes), e.besides.Least
	a.move(&task, e.lever, factor)
	p.Task = &task
	return a, &p
}

// try searches with the value eased by a factor, and only in the neighbourhood of
// what was found before if that was near. What is found is nil where nothing is.
func (e *easing) try(ctx context.Context, factor float64, before *attempt) (found, all *attempt, err error) {
	all, p := e.eased(factor)
	if e.tell != nil {
		e.tell(all.change(e.lever).String())
	}
	e.tries++
	opts := e.Options
	opts.Known, opts.Learned, opts.Progress = nil, nil, nil
	if opts.Most == 0 || opts.Most > fewJudged {
		opts.Most = fewJudged
	}
	w := newWalk(p, e.Space, opts)
	w.first, w.looks, w.gentle = true, fewLooks, e.Space.gentle()
	if before != nil && before.factor(e.lever) < factor*nearby {
		err = w.near(ctx, before.at)
	} else {
		err = w.run(ctx)
	}
	w.finish()
	all.result = w.result
	e.judged += w.judged
	if err != nil || len(w.result.Front) == 0 {
		return nil, all, err
	}
	all.Found = w.result.Front[0]
	all.at = w.at[all.Found.Key]
	return all, all, nil
}

// byMiss is the machine of an attempt that fails by the value alone, and by least,
// with the value eased as much as that machine needs; nil where there is none.
func (e *easing) byMiss(ctx context.Context, last *attempt) (*attempt, error) {
	for _, o := range last.result.byMiss() {
		if slices.ContainsFunc(o.Failing, func(f Failing) bool { return wishOf(f.Kind).path != e.lever.path }) {
			continue
		}
		more := 1.0
		for _, f := range o.Failing {
			more = math.Max(more, float64(f.Utilisation))
		}
		a, p := e.eased(last.factor(e.lever) * more * room)
		found, err := last.result.again(ctx, &a.Relaxation, p.Task, o)
		if err != nil {
			return nil, err
		}
		if found != nil {
			a.result, a.at = last.result, last.result.at[o.Key]
			return a, nil
		}
	}
	return nil, nil
}

// withTargets moves, besides the value, targets that the machines of an attempt miss,
// and goes on with a task that has these.
func (e *easing) withTargets(ctx context.Context, last *attempt) (*attempt, error) {
	for _, o := range last.result.byMiss() {
		if slices.ContainsFunc(o.Failing, func(f Failing) bool { return wishOf(f.Kind).path == e.lever.path }) {
			continue
		}
		x := Relaxation{Changes: slices.Clone(last.Changes), Least: last.Least}
		found, err := last.result.relaxedTo(ctx, &x, last.result.Problem.Task, o)
		if err != nil {
			return nil, err
		}
		if found == nil {
			continue
		}
		task := *e.task
		for _, c := range x.Changes {
			if c.Path != e.lever.path {
				setWish(&task.Task, c.Path, c.To)
				e.besides.Changes, e.besides.Least = append(e.besides.Changes, c), math.Max(e.besides.Least, c.Factor)
			}
		}
		e.task = &task
		return &attempt{x, last.result, last.result.at[o.Key]}, nil
	}
	return nil, nil
}
