package sparse

import (
	"sync"
	"sync/atomic"
)

// each calls f(worker, i) for i from 0 to count-1 on up to workers goroutines and waits for them. Whoever is free takes
// the next i, so that f must not care who calls it or in which order.
func each(workers, count int, f func(worker, i int)) {
	if workers = min(workers, count); workers <= 1 {
		for i := range count {
			f(0, i)
		}
		return
	}
	var next atomic.Int64
	var done sync.WaitGroup
	run := func(worker int) {
		for i := int(next.Add(1)) - 1; i < count; i = int(next.Add(1)) - 1 {
			f(worker, i)
		}
	}
	for worker := 1; worker < workers; worker++ {
		done.Go(func() { run(worker) })
	}
	run(0)
	done.Wait()
}
