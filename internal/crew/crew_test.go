package crew

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
)

func TestWaitReturnsAfterAll(t *testing.T) {
	var c Crew
	var done atomic.Int64
	for range 100 {
		c.Go(func() { done.Add(1) })
	}
	c.Wait()
	if done.Load() != 100 {
		t.Errorf("%d of 100 have run", done.Load())
	}
}

// TestFaultComesToTheOneWhoWaits: with its place, and after the others have ended.
func TestFaultComesToTheOneWhoWaits(t *testing.T) {
	var c Crew
	var done atomic.Int64
	for i := range 10 {
		c.Go(func() {
			if i == 3 {
				panic("out of range")
			}
			done.Add(1)
		})
	}
	defer func() {
		fault := fmt.Sprint(recover())
		if !strings.HasPrefix(fault, "out of range\n") || !strings.Contains(fault, "crew_test.go") || done.Load() != 9 {
			t.Errorf("after %d others: %s", done.Load(), fault)
		}
	}()
	c.Wait()
	t.Error("the fault was kept back")
}
