// Command spanwright judges, explains and documents gantries from one design
// file. It parses arguments, calls the packages, prints and exits; it computes
// nothing itself.
//
// Results go to stdout and nothing else does; progress, notes and mistakes go
// to stderr. With --json the result is one object, also where it consists of
// mistakes. Exit 0: nothing is over its limit; 1: something is; 2: the input
// cannot be used; 3: a fault of the program or the system; 130: interrupted.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"
)

// grace is how long a command may take to end by itself after an interrupt.
const grace = 100 * time.Millisecond

// The program lives short and holds tens of megabytes, so memory is collected
// more rarely than usual: a fifth of the time of a check. The bound keeps long
// searches and an open page small.
const (
	rarely = 400       // per cent of what is in use
	most   = 800 << 20 // bytes
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(rarely)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(most)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	hurry := context.AfterFunc(ctx, func() {
		time.Sleep(grace)
		os.Exit(exitInterrupted)
	})
	os.Exit(run(context.WithValue(ctx, hurryKey{}, hurry), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// hurryKey is where the context keeps what calls off the end after grace.
type hurryKey struct{}

// unhurried lets a command that has work to keep end in its own time.
func unhurried(ctx context.Context) {
	if callOff, found := ctx.Value(hurryKey{}).(func() bool); found {
		callOff()
	}
}
