package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"

	"spanwright/internal/release"
)

// Exit codes, the same for every command.
const (
	exitDone        = 0
	exitOver        = 1
	exitInput       = 2
	exitFault       = 3
	exitInterrupted = 130
)

// errOver ends a command whose result, already printed, has a check over its limit.
var errOver = errors.New("over")

// errRefused ends a command that has already said what is wrong with its input.
var errRefused = errors.New("refused")

// inputError is a mistake in the arguments or the input, for the user to mend.
type inputError struct{ error }

func (e inputError) Unwrap() error { return e.error }

func mistake(format string, args ...any) error { return inputError{fmt.Errorf(format, args...)} }

// run is the whole command; tests call it as main does.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := newApp(stdin, stdout, stderr)
	return guard(stderr, slices.Contains(args, "--debug"), func() int {
		root := a.root()
		root.SetArgs(args)
		root.SetIn(stdin)
		root.SetOut(a.out)
		root.SetErr(stderr)
		err := root.ExecuteContext(ctx)
		if flushed := a.out.Flush(); flushed != nil && (err == nil || errors.Is(err, errOver)) {
			err = fmt.Errorf("the result cannot be written: %w", flushed)
		}
		return report(ctx, stderr, err)
	})
}

// report prints what went wrong, unless the command has said so, and returns
// the exit code.
func report(ctx context.Context, stderr io.Writer, err error) int {
	var input inputError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errOver):
		return exitOver
	case errors.Is(err, errRefused):
		return exitInput
	case ctx.Err() != nil:
		return exitInterrupted
	case errors.As(err, &input):
		fmt.Fprintf(stderr, "error: %v\n", err)
		return exitInput
	}
	fmt.Fprintf(stderr, "error: %v\n", err)
	return exitFault
}

// guard turns a panic into exit 3 with one request to report it; the stack is
// printed with --debug.
func guard(stderr io.Writer, stack bool, command func() int) (code int) {
	defer func() {
		fault := recover()
		if fault == nil {
			return
		}
		code = exitFault
		build := release.ThisBuild()
		fmt.Fprintf(stderr, "internal fault: %v\n%s %s, %s %s %s\n", fault, release.Name, release.Version, build.Go, build.Platform, build.Revision)
		if stack {
			stderr.Write(debug.Stack())
			return
		}
		fmt.Fprintln(stderr, "please report this with the input that caused it; --debug prints where it happened")
	}()
	return command()
}

// app is what the commands share: the streams and what was decided about them.
type app struct {
	in       io.Reader
	out      *bufio.Writer
	err      io.Writer
	colour   bool // of stdout, unless --no-color
	progress bool // stderr is a terminal

	noColour bool
}
