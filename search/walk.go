package search

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"spanwright/search/front"
)

// walk chooses which candidates are judged and in what order. It decides by
// what was judged alone, in blocks of a fixed size, so that its way is the same
// on any number of processors.
type walk struct {
	*judge
	*prices
	result   *Result
	outcomes []Outcome // in the order in which they were judged
	seen     map[candidate]bool
	later    map[candidate]bool // not judged while the first numbers lead
	wide     bool               // all numbers lead
	at       map[string]candidate
	judged   int
	looks    int   // blocks of seeds at most
	gentle   []int // paces of seeds; nil: all
	first    bool  // the first machine that passes is enough
	passed   bool  // one does
}

// candidate is a choice by its places in the space.
type candidate struct {
	pace, frame int
	axes        [mostAxes]pick
}

// mostAxes is the most axes of any layout.
const mostAxes = 3

// pick is what is chosen of one axis: its part by the place in the space, its
// class of drives by the price, its join among those that suit the part.
type pick struct{ part, drive, join int }

// block is how many candidates are judged between two decisions: own choice,
// large enough to keep processors busy.
const block = 8

func (j *judge) key(at candidate) string {
	text := fmt.Sprintf("%d.%d", at.pace, at.frame)
	for _, x := range at.axes[:len(j.p.axes)] {
		text += fmt.Sprintf(".%d-%d-%d", x.part, x.drive, x.join)
	}
	return text
}

func (w *walk) run(ctx context.Context) error {
	w.report(0, 0)
	if w.opts.Most <= 0 || w.small(w.opts.Most) {
		all, err := w.grove.all()
		if err != nil {
			return err
		}
		w.wide = true
		return w.judgeAll(ctx, all)
	}
	return w.climb(ctx)
}

// small tells whether there are at most so many candidates, whatever passes.
func (w *walk) small(most int) bool {
	n := len(w.s.Paces) * len(w.s.Frames)
	for _, x := range w.s.Axes {
		drives, joins := w.opts.Drives, len(x.Joins)
		if drives <= 0 {
			drives = len(x.Motors) * len(x.Gears) * len(x.Brakes) * len(x.Screws)
		}
		if w.opts.Joins > 0 {
			joins = min(joins, w.opts.Joins)
		}
		if n *= len(x.Parts) * drives * joins; n > most {
			return false
		}
	}
	return true
}

// near judges a candidate that was good for a like task, and goes on from it; where
// it is not judged as a whole, it searches as if there were none.
func (w *walk) near(ctx context.Context, at candidate) error {
	if err := w.judgeAll(ctx, []candidate{at}); err != nil {
		return err
	}
	if w.judged == 0 {
		return w.run(ctx)
	}
	return w.goOn(ctx)
}

// spent tells whether the limit on whole judgements is reached, or enough was found.
func (w *walk) spent() bool {
	return w.opts.Most > 0 && w.judged >= w.opts.Most || w.first && w.passed
}

// left is how many whole judgements the limit leaves; 0 is no limit.
func (w *walk) left() int { return max(0, w.opts.Most-w.judged) }

// judgeAll judges candidates in blocks until the limit is reached.
func (w *walk) judgeAll(ctx context.Context, list []candidate) error {
	list = slices.DeleteFunc(slices.Clone(list), func(c candidate) bool { return w.seen[c] })
	for len(list) > 0 && !w.spent() {
		if err := ctx.Err(); err != nil {
			return err
		}
		n := min(block, len(list))
		if left := w.left(); left > 0 {
			n = min(n, left)
		}
		if err := w.judgeBlock(ctx, list[:n], len(list)); err != nil {
			return err
		}
		list = list[n:]
	}
	return nil
}

func (w *walk) judgeBlock(ctx context.Context, list []candidate, waiting int) error {
	known, lead, most := w.known(), w.leading(), w.left()
	out := make([]*Outcome, len(list))
	errs := make([]error, len(list))
	err := inParallel(len(list), func(i int) {
		if w.grove.at(list[i]) == nil {
			return // parts that do not go together: counted where they were found
		}
		if o, ok := w.opts.Known[w.key(list[i])]; ok {
			out[i] = &o
			return
		}
		o, err := w.evaluate(ctx, list[i], known, lead, most)
		out[i], errs[i] = &o, err
	}, func(int) {})
	if err != nil {
		return err
	}
	for i, o := range out {
		if left := w.left(); o != nil && errs[i] == nil && most > 0 && o.Whole > left {
			if left == 0 {
				break // as if it had not been judged: the limit holds on any number of processors
			}
			*o, errs[i] = w.evaluate(ctx, list[i], known, lead, left)
		}
		switch {
		case errors.Is(errs[i], errLater):
			w.later[list[i]] = true
			continue
		case errs[i] != nil:
			return errs[i]
		}
		w.learn(list[i], o)
	}
	w.report(len(known), waiting-len(list))
	return nil
}

// learn keeps what became of a candidate, nil where there is no such one.
func (w *walk) learn(at candidate, o *Outcome) {
	w.seen[at] = true
	if o == nil {
		return
	}
	if _, old := w.opts.Known[o.Key]; !old && w.opts.Learned != nil {
		w.opts.Learned(*o)
	}
	w.at[o.Key] = at
	w.outcomes = append(w.outcomes, *o)
	w.judged += o.Whole
	w.passed = w.passed || o.passes()
}

// report tells how far the search is.
func (w *walk) report(onFront, waiting int) {
	if w.opts.Progress == nil {
		return
	}
	x := Progress{What: "machines", Done: w.judged, Total: w.opts.Most, Judged: w.judged, Front: onFront}
	if x.Total == 0 {
		x.Done, x.Total = len(w.seen), len(w.seen)+waiting
	}
	w.opts.Progress(x)
}

// known are the classes of what passes so far and is beaten by nothing.
func (w *walk) known() (out [][]float64) {
	for _, i := range w.front() {
		out = append(out, front.Classes(w.opts.axes(), w.opts.vector(w.outcomes[i].Values)))
	}
	return out
}

// front are the indices of the outcomes on the front so far.
func (w *walk) front() (out []int) {
	var values [][]float64
	var index []int
	for i, o := range w.outcomes {
		if o.passes() {
			values, index = append(values, w.opts.vector(o.Values)), append(index, i)
		}
	}
	for _, k := range front.Keep(w.opts.axes(), values) {
		out = append(out, index[k])
	}
	return out
}

// leastFailing are the machines judged as a whole that come closest to passing and
// that nothing on the front beats; while there are none, whatever fails least.
func (w *walk) leastFailing(n int) (out []int) {
	known, lead := w.known(), w.leading()
	for i, o := range w.outcomes {
		if o.passes() || o.Stage != ByWhole && len(known) > 0 {
			continue
		}
		own := front.Classes(w.opts.axes(), w.opts.vector(o.Values))
		if !slices.ContainsFunc(known, func(k []float64) bool { return front.Beats(k[:lead], own[:lead]) }) {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(x, y int) int { return cmp.Compare(w.outcomes[x].badness(), w.outcomes[y].badness()) })
	var seen []string // parts of axes: one of each set stands for the others
	out = slices.DeleteFunc(out, func(i int) bool {
		parts := ""
		for _, a := range w.outcomes[i].Choice.Axes {
			parts += a.Part + " "
		}
		old := slices.Contains(seen, parts)
		seen = append(seen, parts)
		return old
	})
	return out[:min(n, len(out))]
}

// badness orders outcomes that do not pass: by how many checks fail and how far.
// What was not judged as a whole comes after what was.
func (o Outcome) badness() float64 {
	sum := 0.0
	for _, f := range o.Failing {
		u := float64(f.Utilisation)
		if f.Unknown || math.IsNaN(u) {
			u = 2
		}
		sum += 1 + math.Min(1, math.Max(0, u-1))
	}
	switch {
	case o.Reason == "fit":
		return 1e6
	case o.Stage != ByWhole:
		return 1e3 + sum
	}
	return sum
}

// differs counts in how many choices two frames differ; profiles of a kit count as one.
func (f Frame) differs(o Frame) int {
	n := 0
	for _, d := range []bool{
		f.Legs != o.Legs, f.Leg != o.Leg || f.TopRail != o.TopRail || f.Joint != o.Joint, f.BraceJoint != o.BraceJoint && f.Joint == o.Joint,
		f.Reach != o.Reach, f.Width != o.Width, f.Foot != o.Foot,
	} {
		if d {
			n++
		}
	}
	return n
}

// differs counts in how many choices two paces differ.
func (p Pace) differs(o Pace) int {
	n := 0
	for _, d := range []bool{p.Share != o.Share, p.Rise != o.Rise, p.Upright != o.Upright, p.Stop != o.Stop} {
		if d {
			n++
		}
	}
	return n
}

// nearestOf are the outcomes that fail least, one of each kind of failure.
func nearestOf(all []Outcome) (out []Outcome) {
	order := slices.Clone(all)
	slices.SortStableFunc(order, func(x, y Outcome) int { return cmp.Compare(x.badness(), y.badness()) })
	const most = 5
	for _, o := range order {
		if len(out) < most && o.Reason != "fit" && !slices.ContainsFunc(out, func(p Outcome) bool { return p.Reason == o.Reason }) {
			out = append(out, o)
		}
	}
	return out
}
