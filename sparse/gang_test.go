package sparse

import (
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

// TestGangHandsOnAPanic: a fault in a helper reaches the caller, once, and the
// gang works on.
func TestGangHandsOnAPanic(t *testing.T) {
	var g gang
	caught := func(f taskFunc) (what string) {
		defer func() {
			if err, ok := recover().(error); ok {
				what = err.Error()
			}
		}()
		g.each(3, 100, f)
		return ""
	}
	// The caller's own goroutine waits until a helper has failed.
	var failed sync.WaitGroup
	failed.Add(1)
	var once atomic.Bool
	what := caught(func(worker, _ int) {
		if worker == 0 {
			failed.Wait()
			return
		}
		if once.CompareAndSwap(false, true) {
			defer failed.Done()
			panic("a piece is broken")
		}
	})
	if !strings.Contains(what, "a piece is broken") || !strings.Contains(what, "gang_test.go") {
		t.Errorf("the caller got %.200q", what)
	}
	var done atomic.Int64
	if again := caught(func(int, int) { done.Add(1) }); again != "" || done.Load() != 100 {
		t.Errorf("afterwards: %q, %d of 100 pieces", again, done.Load())
	}
}
