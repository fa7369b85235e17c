// Package crew runs functions side by side and hands a fault of one of them to
// whoever waits for them. Without it, a panic in a goroutine ends the whole
// program, whatever else it is doing. It computes nothing.
package crew

import (
	"fmt"
	"runtime/debug"
	"sync"
)

// Crew is a group of functions that run side by side. The zero value is ready.
type Crew struct {
	running sync.WaitGroup
	first   sync.Once
	fault   error
}

// Go starts a function.
func (c *Crew) Go(work func()) {
	c.running.Go(func() {
		defer func() {
			if fault := recover(); fault != nil {
				c.first.Do(func() { c.fault = fmt.Errorf("%v\n%s", fault, debug.Stack()) })
			}
		}()
		work()
	})
}

// Join returns when all functions have. It leaves a fault to Wait.
func (c *Crew) Join() { c.running.Wait() }

// Wait returns when all functions have. Where one of them panicked, it panics
// with the first fault and where it happened.
func (c *Crew) Wait() {
	c.running.Wait()
	if c.fault != nil {
		panic(c.fault)
	}
}
