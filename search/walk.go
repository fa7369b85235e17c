package search

import (
	"cmp"
	"context"
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
	result   *Result
	outcomes []Outcome // in the order in which they were judged
	seen     map[candidate]int
	at       map[string]candidate
	judged   int
}

// block is how many candidates are judged between two decisions: own choice,
// large enough to keep processors busy.
const block = 8

func (j *judge) key(at candidate) string { return fmt.Sprintf("%d.%d", at.chain, at.frame) }

func (w *walk) run(ctx context.Context) error {
	total := len(w.chains) * len(w.s.Frames)
	if w.opts.Most <= 0 || total <= w.opts.Most {
		return w.everything(ctx)
	}
	return w.climb(ctx)
}

// everything judges all candidates, frame by frame within a chain.
func (w *walk) everything(ctx context.Context) error {
	var list []candidate
	for c := range w.chains {
		for f := range w.s.Frames {
			list = append(list, candidate{c, f})
		}
	}
	return w.judgeAll(ctx, list)
}

// spent tells whether the limit on whole judgements is reached.
func (w *walk) spent() bool { return w.opts.Most > 0 && w.judged >= w.opts.Most }

// judgeAll judges candidates in blocks until the limit is reached.
func (w *walk) judgeAll(ctx context.Context, list []candidate) error {
	list = slices.DeleteFunc(slices.Clone(list), func(c candidate) bool { _, seen := w.seen[c]; return seen })
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
	known := w.known()
	out := make([]Outcome, len(list))
	errs := make([]error, len(list))
	err := inParallel(len(list), func(i int) {
		if o, ok := w.opts.Known[w.key(list[i])]; ok {
			out[i] = o
			return
		}
		out[i], errs[i] = w.evaluate(ctx, list[i], known)
	}, func(int) {})
	if err != nil {
		return err
	}
	for i, o := range out {
		if errs[i] != nil {
			return errs[i]
		}
		if _, old := w.opts.Known[o.Key]; !old && w.opts.Learned != nil {
			w.opts.Learned(o)
		}
		w.seen[list[i]] = len(w.outcomes)
		w.at[o.Key] = list[i]
		w.outcomes = append(w.outcomes, o)
		w.judged += o.Whole
	}
	if w.opts.Progress != nil {
		total := w.opts.Most
		if total == 0 || len(w.seen)+left < total {
			total = len(w.seen) + left - len(list)
		}
		w.opts.Progress(Progress{What: "machines", Done: len(w.seen), Total: total, Judged: w.judged, Front: len(known)})
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

// climb judges candidates spread over the space, the cheap chains with every kind
// of frame, and then the neighbours of what is best so far, until there are none
// or the limit is reached.
func (w *walk) climb(ctx context.Context) error {
	if len(w.chains) == 0 {
		return nil
	}
	order := w.byCost()
	frames := len(w.s.Frames)
	for n := 0; float64(w.judged) < seeds*float64(w.opts.Most) && len(w.seen) < len(w.chains)*frames; n++ {
		var list []candidate
		for k := range block {
			// Two strides that share no factor with anything usual walk
			// through chains and frames evenly.
			i := n*block + k
			list = append(list, candidate{order[i*7919%len(order)], (i*104729 + i/len(order)) % frames})
		}
		slices.SortFunc(list, func(x, y candidate) int { return cmp.Or(cmp.Compare(x.chain, y.chain), cmp.Compare(x.frame, y.frame)) })
		if err := w.judgeAll(ctx, slices.Compact(list)); err != nil {
			return err
		}
		if n > mostLooks {
			break
		}
	}
	for !w.spent() {
		list := w.neighbours()
		if len(list) == 0 {
			return nil
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

// byCost are the chains, the cheapest first.
func (w *walk) byCost() []int {
	out := make([]int, len(w.chains))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(x, y int) int { return cmp.Compare(w.chains[x].cost, w.chains[y].cost) })
	return out
}

// neighbours are the candidates not judged yet that differ in one choice from
// one on the front or, while nothing passes, from those that fail least. Those
// of all, and of axes and stands, take turns.
func (w *walk) neighbours() []candidate {
	from := w.front()
	if len(from) == 0 {
		from = w.leastFailing(8)
	}
	var lists [][]candidate
	for _, i := range from {
		at := w.at[w.outcomes[i].Key]
		var frames, chains []candidate
		for f := range w.s.Frames {
			if w.s.Frames[at.frame].differs(w.s.Frames[f]) == 1 {
				frames = append(frames, candidate{at.chain, f})
			}
		}
		for c := range w.chains {
			if w.chains[at.chain].differs(&w.chains[c]) == 1 {
				chains = append(chains, candidate{c, at.frame})
			}
		}
		lists = append(lists, chains, frames)
	}
	return w.inTurn(lists)
}

// inTurn takes the first of every list, then the second, and so on, without what
// was judged and without repeating any.
func (w *walk) inTurn(lists [][]candidate) (out []candidate) {
	taken := map[candidate]bool{}
	for k, more := 0, true; more; k++ {
		more = false
		for _, list := range lists {
			if k >= len(list) {
				continue
			}
			more = true
			if _, seen := w.seen[list[k]]; !seen && !taken[list[k]] {
				taken[list[k]] = true
				out = append(out, list[k])
			}
		}
	}
	return out
}

// leastFailing are the outcomes that come closest to passing.
func (w *walk) leastFailing(n int) (out []int) {
	order := make([]int, len(w.outcomes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(w.outcomes[x].badness(), w.outcomes[y].badness()) })
	return order[:min(n, len(order))]
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

// differs counts in how many choices two chains differ.
func (k *chain) differs(o *chain) int {
	n := 0
	for _, d := range []bool{k.pace.Share != o.pace.Share, k.pace.Rise != o.pace.Rise, k.pace.Upright != o.pace.Upright, k.pace.Stop != o.pace.Stop} {
		if d {
			n++
		}
	}
	for i := range k.axes {
		x, y := k.axes[i], o.axes[i]
		if x.Join != y.Join {
			n++
		}
		switch {
		case x.Part != y.Part:
			n++
		case k.pace == o.pace && x.Drive != y.Drive:
			n++ // with another pace the drives follow
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
