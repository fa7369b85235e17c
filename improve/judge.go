package improve

import (
	"context"
	"fmt"
	"runtime"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/internal/crew"
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
	return assess.Run(ctx, m, assess.Options{Studies: s.studies})
}

// judgeAll judges every candidate; what cannot be built or solved is nil. The
// results stand in the order of the candidates.
func (s *situation) judgeAll(ctx context.Context, list []candidate, opts Options) ([]*assess.Assessment, error) {
	out := make([]*assess.Assessment, len(list))
	jobs, done := make(chan int), make(chan struct{})
	var all crew.Crew
	fed, ended := context.WithCancel(ctx)
	defer ended()
	for range min(runtime.GOMAXPROCS(0), len(list)) {
		all.Go(func() {
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
			case <-fed.Done():
				return
			}
		}
	}()
	go func() {
		defer close(done)
		all.Join()
	}()
	n := 0
	for range done {
		n++
		if opts.Progress != nil {
			opts.Progress("remedy", n, len(list))
		}
	}
	all.Wait()
	return out, ctx.Err()
}
