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

// spent tells whether the limit on whole judgements is reached.
func (w *walk) spent() bool { return w.opts.Most > 0 && w.judged >= w.opts.Most }

// judgeAll judges candidates in blocks until the limit is reached.
func (w *walk) judgeAll(ctx context.Context, list []candidate) error {
	list = slices.DeleteFunc(slices.Clone(list), func(c candidate) bool { return w.seen[c] })
	for len(list) > 0 && !w.spent() {
		if err := ctx.Err(); err != nil {
			return err
		}
		n := min(block, len(list))
		if err := w.judgeBlock(ctx, list[:n], len(list)); err != nil {
			return err
		}
		list = list[n:]
	}
	return nil
}

func (w *walk) judgeBlock(ctx context.Context, list []candidate, left int) error {
	known, lead := w.known(), w.leading()
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
		o, err := w.evaluate(ctx, list[i], known, lead)
		out[i], errs[i] = &o, err
	}, func(int) {})
	if err != nil {
		return err
	}
	for i, o := range out {
		switch {
		case errors.Is(errs[i], errLater):
			w.later[list[i]] = true
			continue
		case errs[i] != nil:
			return errs[i]
		}
		w.seen[list[i]] = true
		if o == nil {
			continue
		}
		if _, old := w.opts.Known[o.Key]; !old && w.opts.Learned != nil {
			w.opts.Learned(*o)
		}
		w.at[o.Key] = list[i]
		w.outcomes = append(w.outcomes, *o)
		w.judged += o.Whole
	}
	if w.opts.Progress != nil {
		x := Progress{What: "machines", Done: w.judged, Total: w.opts.Most, Judged: w.judged, Front: len(known)}
		if x.Total == 0 {
			x.Done, x.Total = len(w.seen), len(w.seen)+left-len(list)
		}
		w.opts.Progress(x)
	}
	return nil
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

// seeds is the share of the judgements that look about before the climb: own choice.
const seeds = 0.3

// climb judges candidates spread over the space, and then the neighbours of what
// is best so far, until there are none or the limit is reached.
func (w *walk) climb(ctx context.Context) error {
	for n := 0; n < mostLooks && float64(w.judged) < seeds*float64(w.opts.Most); n++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		list := make([]candidate, block)
		if err := inParallel(block, func(k int) { list[k] = w.seed(n*block + k) }, func(int) {}); err != nil {
			return err
		}
		if err := w.judgeAll(ctx, unique(list)); err != nil {
			return err
		}
	}
	for !w.spent() {
		list := w.neighbours()
		switch {
		case len(list) == 0 && w.wide:
			return nil
		case len(list) == 0:
			w.wide = true
			continue
		}
		if err := w.judgeAll(ctx, list[:min(len(list), 4*block)]); err != nil {
			return err
		}
	}
	return nil
}

// mostLooks is how many blocks of seeds are looked at: most candidates are
// discarded without a whole judgement, which must not go on for ever.
const mostLooks = 200

// unique drops candidates that stand in the list before.
func unique(list []candidate) (out []candidate) {
	for _, c := range list {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// seed is the n-th of a row of candidates that are spread over the space: the
// fractions of multiples of roots of primes, one for each choice (Weyl's
// sequence). Of the parts that pass as an axis, half of the seeds take the
// cheapest, a quarter the next, and so on.
func (w *walk) seed(n int) candidate {
	used := 0
	fraction := func() float64 {
		_, f := math.Modf(float64(n+1) * math.Sqrt(float64(primes[used])))
		used++
		return f
	}
	take := func(count int) int { return min(int(fraction()*float64(count)), count-1) }
	c := candidate{pace: take(len(w.s.Paces)), frame: take(len(w.s.Frames))}
	t := w.grove.tree(c.pace)
	b := t.root
	for i := len(w.p.axes) - 1; i >= 0; i-- {
		rank := int(-math.Log2(1 - fraction()))
		var to *branch
		for _, part := range w.parts[i] {
			if b == nil || rank < 0 {
				break
			}
			if out := t.grow(b, part); len(out) > 0 {
				c.axes[i].part, to = part, out[0]
				rank--
			}
		}
		b = to
	}
	if b == nil {
		return c
	}
	for i, list := range b.joins {
		c.axes[i].join = take(len(list))
	}
	return c
}

// primes are one for each choice of a candidate.
var primes = [2 + 2*mostAxes]int{2, 3, 5, 7, 11, 13, 17, 19}

// neighbours are the candidates not judged yet that differ in one choice from
// one on the front, in turn with those that fail least and would be on it if they
// passed. The kinds of choices take turns.
func (w *walk) neighbours() []candidate {
	leaders, misses := w.leaders(), w.leastFailing(mostMisses)
	var from []candidate
	for n := range max(len(leaders), len(misses)) {
		for _, list := range [][]int{leaders, misses} {
			if n < len(list) {
				from = append(from, w.at[w.outcomes[list[n]].Key])
			}
		}
	}
	var lists [][]candidate
	for _, at := range from {
		lists = append(lists, w.exchanged(at, from))
		lists = append(lists, w.around(at)...)
	}
	return w.inTurn(lists)
}

// exchanged are the candidates that take over from another one its pace, its frame
// or one axis.
func (w *walk) exchanged(at candidate, others []candidate) (out []candidate) {
	for _, o := range others {
		c := at
		c.pace = o.pace
		out = append(out, c)
		c = at
		c.frame = o.frame
		out = append(out, c)
		for i := range w.s.Axes {
			c = at
			c.axes[i] = o.axes[i]
			out = append(out, c)
		}
	}
	return out
}

// mostMisses is how many machines that fail are looked around at: own choice.
const mostMisses = 8

// leaders are the outcomes on the front, the best in each number first, then the
// second in each, and so on.
//
// While most judgements are left, the first two numbers alone count: by a single
// choice a cheap machine becomes a stiffer one, and a stiff one hardly a cheap one.
func (w *walk) leaders() []int {
	all := w.front()
	var lists [][]int
	for k := range w.leading() {
		list := slices.Clone(all)
		slices.SortStableFunc(list, func(x, y int) int {
			return cmp.Compare(w.opts.vector(w.outcomes[x].Values)[k], w.opts.vector(w.outcomes[y].Values)[k])
		})
		lists = append(lists, list)
	}
	var out []int
	for n := range all {
		for _, list := range lists {
			if !slices.Contains(out, list[n]) {
				out = append(out, list[n])
			}
		}
	}
	return out
}

// leading is how many of the numbers lead.
func (w *walk) leading() int {
	n := len(w.opts.objectives())
	w.wide = w.wide || float64(w.judged) >= narrow*float64(w.opts.Most)
	if w.wide {
		return n
	}
	return min(n, 2)
}

// narrow is the share of the judgements up to which the first numbers alone lead: own choice.
const narrow = 0.5

// around are the candidates that differ in one choice, by the kind of choice.
func (w *walk) around(at candidate) [][]candidate {
	var drives, frames, paces []candidate
	parts := make([][]candidate, len(w.s.Axes))
	for _, f := range nearest(w.frames, at.frame) {
		if w.s.Frames[at.frame].differs(w.s.Frames[f]) == 1 {
			c := at
			c.frame = f
			frames = append(frames, c)
		}
	}
	for k := range w.s.Paces {
		if w.s.Paces[at.pace].differs(w.s.Paces[k]) == 1 {
			c := at
			c.pace = k
			paces = append(paces, c)
		}
	}
	for i := range w.s.Axes {
		for _, k := range nearest(w.parts[i], at.axes[i].part) {
			c := at
			c.axes[i] = pick{part: k}
			parts[i] = append(parts[i], c)
		}
	}
	b := w.grove.at(at)
	for i, list := range b.joins {
		for k := range list {
			c := at
			c.axes[i].join = k
			drives = append(drives, c)
		}
		for _, d := range []int{at.axes[i].drive - 1, at.axes[i].drive + 1} {
			if c := at; d >= 0 {
				c.axes[i].drive = d
				drives = append(drives, c)
			}
		}
	}
	return append(parts, frames, paces, drives)
}

// inTurn takes the first of every list, then the second, and so on, without what
// was judged and without repeating any.
func (w *walk) inTurn(lists [][]candidate) (out []candidate) {
	taken := map[candidate]bool{}
	for len(lists) > 0 {
		left := lists[:0]
		for _, list := range lists {
			for len(list) > 0 && (w.seen[list[0]] || taken[list[0]] || !w.wide && w.later[list[0]]) {
				list = list[1:]
			}
			if len(list) > 0 {
				taken[list[0]] = true
				out = append(out, list[0])
				left = append(left, list[1:])
			}
		}
		lists = left
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
