package improve

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
)

// build makes the edits and puts the changed machine together.
func (s *situation) build(list []Edit) (*machine.Machine, error) {
	text, err := s.design.File.Apply(edits(list)...)
	if err != nil {
		return nil, err
	}
	d, wrong := design.Parse(s.design.File.Name, text)
	if len(wrong) > 0 {
		return nil, fmt.Errorf("%w: %w", errRefused, wrong.Err())
	}
	m, wrong := machine.Build(d, s.parts)
	if len(wrong) > 0 {
		return nil, fmt.Errorf("%w: %w", errRefused, wrong.Err())
	}
	return m, nil
}

// judge is the full judgement of the changed machine.
func (s *situation) judge(ctx context.Context, list []Edit) (*assess.Assessment, error) {
	m, err := s.build(list)
	if err != nil {
		return nil, err
	}
	return assess.Run(ctx, m, assess.Options{})
}

// judgeAll judges every candidate; what cannot be built or solved is nil. The
// results stand in the order of the candidates.
func (s *situation) judgeAll(ctx context.Context, list []candidate, opts Options) ([]*assess.Assessment, error) {
	out := make([]*assess.Assessment, len(list))
	jobs, done := make(chan int), make(chan struct{})
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(list)) {
		wait.Go(func() {
			for i := range jobs {
				if a, err := s.judge(ctx, list[i].Edits); err == nil {
					out[i] = a
				}
				done <- struct{}{}
			}
		})
	}
	go func() {
		defer close(jobs)
		for i := range list {
			select {
			case jobs <- i:
			case <-ctx.Done():
				return
			}
		}
	}()
	go func() {
		wait.Wait()
		close(done)
	}()
	n := 0
	for range done {
		n++
		if opts.Progress != nil {
			opts.Progress("remedy", n, len(list))
		}
	}
	return out, ctx.Err()
}

// together adds the first remedies of all checks that are over as one, if they
// need more than one.
func (s *situation) together(ctx context.Context, out *Result) error {
	var all []Edit
	var numbers []int
	taken := map[string]bool{}
	solved := map[string]bool{}
	for _, p := range out.Problems {
		if p.Check.Verdict != ledger.Over || len(p.Remedies) == 0 || solved[p.Check.ID] {
			continue
		}
		r := out.Remedies[p.Remedies[0]-1]
		if slices.ContainsFunc(r.Edits, func(e Edit) bool { return taken[e.Path] }) {
			continue
		}
		for _, e := range r.Edits {
			taken[e.Path] = true
		}
		for _, id := range r.Resolves {
			solved[id] = true
		}
		all, numbers = append(all, r.Edits...), append(numbers, r.Number)
	}
	if len(numbers) < 2 {
		return nil
	}
	after, err := s.judge(ctx, all)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return nil // together they do not fit; each by itself does
	}
	out.Judged++
	text := fmt.Sprint(numbers[0])
	for i, n := range numbers[1:] {
		if i == len(numbers)-2 {
			text += fmt.Sprintf(" and %d", n)
		} else {
			text += fmt.Sprintf(", %d", n)
		}
	}
	c := candidate{proposal: proposal{Title: "remedies " + text + " together", Why: "the first remedy of every check that is over", Edits: all}, purpose: Together}
	r := Remedy{
		Purpose: Together, Title: c.Title, Why: c.Why, Edits: all, Counts: after.Counts, Number: len(out.Remedies) + 1,
		Mass: after.Results.Mass - s.found.Results.Mass, Cost: after.Results.Cost - s.found.Results.Cost,
	}
	r.changes(s.found, after)
	if len(r.Resolves) > len(r.Creates) {
		out.Remedies = append(out.Remedies, r)
	}
	return nil
}
