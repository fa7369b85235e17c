package search

import (
	"context"
	"fmt"
	"math/big"
	"runtime"
	"sync"

	"spanwright/search/front"
	"spanwright/structure"
)

// Result is what a search has found.
type Result struct {
	Problem *Problem
	Space   *Space
	Options Options

	Combinations *big.Int    // in the space
	Discarded    []Discarded // in the order of the stages
	Open         *big.Int    // combinations that the limit on judgements left unjudged
	Candidates   int         // chains on frames
	Screened     int         // of them judged without structure or as a whole
	Judged       int         // machines judged as a whole
	Passed       int         // of them pass
	Front        []Outcome   // that no other one beats, in the order in which they were found
	Nearest      []Outcome   // where none passes: those that fail least, the best first

	judge  *judge
	at     map[string]candidate
	judged []Outcome
}

// Complete tells whether everything in the space was judged or is known to be
// no better: the front is then that of the whole space but for what was left
// out by choice.
func (r *Result) Complete() bool { return r.Open.Sign() == 0 }

// cacheRoom is how much solved structures may take, bytes; own choice within the
// gigabyte that a search may use.
const cacheRoom = 128 << 20

// Run searches the space. The error is that of the context or of the engine; on
// it what was found so far is returned besides.
func Run(ctx context.Context, p *Problem, s *Space, opts Options) (*Result, error) {
	w := newWalk(p, s, opts)
	err := w.run(ctx)
	w.finish()
	return w.result, err
}

// newWalk is a search that has not begun.
func newWalk(p *Problem, s *Space, opts Options) *walk {
	r := &Result{Problem: p, Space: s, Options: opts, Combinations: s.Combinations(p.Catalogue), Open: new(big.Int)}
	j := &judge{p: p, s: s, opts: opts, grove: p.grove(s, opts), fits: &fits{list: map[onLegs]*axesFit{}}, studies: structure.NewCache(cacheRoom)}
	w := &walk{judge: j, prices: p.prices(s), result: r, seen: map[candidate]bool{}, later: map[candidate]bool{}, at: map[string]candidate{}, looks: mostLooks}
	r.judge, r.at = j, w.at
	return w
}

// inParallel does n things on all processors, and calls after for each from the
// calling goroutine, in no particular order. A panic is handed on as an error.
func inParallel(n int, do func(i int), after func(i int)) error {
	jobs, results := make(chan int), make(chan error)
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range jobs {
				results <- guarded(do, i)
			}
		}()
	}
	go func() {
		for i := range n {
			jobs <- i
		}
		close(jobs)
		wg.Wait()
		close(results)
	}()
	var first error
	for err := range results {
		if err != nil && first == nil {
			first = err
		}
		after(0)
	}
	return first
}

func guarded(do func(int), i int) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("candidate %d: %v", i, v)
		}
	}()
	do(i)
	return nil
}

// finish counts what became of the candidates and keeps the front.
func (w *walk) finish() {
	r := w.result
	t, chains := w.grove.tallied()
	r.Candidates = chains * len(w.s.Frames)
	var values [][]float64
	var passed []Outcome
	judged, cut := map[*branch]int{}, new(big.Int)
	for _, o := range w.outcomes {
		b := w.grove.at(w.at[o.Key])
		judged[b]++
		r.Screened++
		r.Judged += o.Whole
		switch {
		case o.passes():
			passed, values = append(passed, o), append(values, r.Options.vector(o.Values))
		case o.Cut:
			t.add(o.Stage, o.Reason, big.NewInt(int64(o.Whole)))
			cut.Add(cut, new(big.Int).Sub(b.tail.count(), big.NewInt(int64(o.Whole))))
		default:
			t.add(o.Stage, o.Reason, b.tail.count())
		}
	}
	r.Passed = len(passed)
	for _, i := range front.Keep(r.Options.axes(), values) {
		r.Front = append(r.Front, passed[i])
	}
	r.Open = cut.Add(cut, w.grove.open(judged))
	t.order()
	r.Discarded = t.list
	r.judged = w.outcomes
	if len(r.Front) == 0 {
		r.Nearest = nearestOf(w.outcomes)
	}
}
