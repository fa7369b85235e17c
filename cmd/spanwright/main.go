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
	"syscall"
	"time"
)

// grace is how long a command may take to end by itself after an interrupt.
const grace = 100 * time.Millisecond

func main() {
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
