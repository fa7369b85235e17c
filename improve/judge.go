package improve

import (
	"context"
	"runtime"

	"spanwright/assess"
	"spanwright/internal/crew"
)

// judge is the full judgement of the changed machine.
func (s *situation) judge(ctx context.Context, list []Edit) (*assess.Assessment, error) {
	m, err := s.changed(list).build()
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
