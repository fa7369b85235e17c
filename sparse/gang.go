package sparse

import (
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// task is work in numbered pieces that do not depend on each other, on who does them, or on their order.
type task interface {
	do(worker, piece int)
}

// taskFunc is a function as a task.
type taskFunc func(worker, piece int)

func (f taskFunc) do(worker, piece int) { f(worker, piece) }

// each does all pieces of f on up to workers goroutines and waits for them.
func each(workers, pieces int, f taskFunc) {
	var g gang
	g.each(workers, pieces, f)
}

// gang shares tasks between goroutines. Used again it allocates nothing. The zero value is ready.
type gang struct {
	task    task
	pieces  int
	next    atomic.Int64
	done    sync.WaitGroup
	fault   atomic.Pointer[error] // the first panic of a helper and where it happened
	helpers []func()              // worker k+1 as a function without arguments, which go starts without allocating
}

// each does all pieces of t: whoever is free takes the next. A panic of a helper is the caller's.
func (g *gang) each(workers, pieces int, t task) {
	if workers = min(workers, pieces); workers <= 1 {
		for i := range pieces {
			t.do(0, i)
		}
		return
	}
	g.task, g.pieces = t, pieces
	g.next.Store(0)
	for len(g.helpers) < workers-1 {
		worker := len(g.helpers) + 1
		g.helpers = append(g.helpers, func() {
			defer g.done.Done()
			defer g.catch()
			g.work(worker)
		})
	}
	g.done.Add(workers - 1)
	for _, help := range g.helpers[:workers-1] {
		go help()
	}
	g.work(0)
	g.done.Wait()
	g.task = nil
	if fault := g.fault.Swap(nil); fault != nil {
		panic(*fault)
	}
}

// catch keeps a panic for the one who waits: it would end the whole program.
func (g *gang) catch() {
	if fault := recover(); fault != nil {
		err := fmt.Errorf("%v\n%s", fault, debug.Stack())
		g.fault.CompareAndSwap(nil, &err)
	}
}

func (g *gang) work(worker int) {
	for i := int(g.next.Add(1)) - 1; i < g.pieces; i = int(g.next.Add(1)) - 1 {
		g.task.do(worker, i)
	}
}
