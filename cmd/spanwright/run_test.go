package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"spanwright/examples"
)

func TestExitCodes(t *testing.T) {
	live := context.Background()
	stopped, stop := context.WithCancel(live)
	stop()
	tests := map[string]struct {
		ctx  context.Context
		err  error
		code int
		says string
	}{
		"done":                  {live, nil, 0, ""},
		"over, already said":    {live, errOver, 1, ""},
		"refused, already said": {live, errRefused, 2, ""},
		"a mistake":             {live, mistake("no such thing"), 2, "error: no such thing\n"},
		"a wrapped mistake":     {live, fmt.Errorf("here: %w", mistake("no such thing")), 2, "error: here: no such thing\n"},
		"anything else":         {live, errors.New("disk on fire"), 3, "error: disk on fire\n"},
		"interrupted":           {stopped, context.Canceled, 130, ""},
		"over before the stop":  {stopped, errOver, 1, ""},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var stderr strings.Builder
			if code := report(c.ctx, &stderr, c.err); code != c.code {
				t.Errorf("exit %d, want %d", code, c.code)
			}
			if stderr.String() != c.says {
				t.Errorf("says %q, want %q", stderr.String(), c.says)
			}
		})
	}
}

func TestPanicIsAFault(t *testing.T) {
	broken := func() int { panic("index out of range") }
	var short, long strings.Builder
	if code := guard(&short, false, broken); code != exitFault {
		t.Errorf("exit %d, want %d", code, exitFault)
	}
	if s := short.String(); !strings.HasPrefix(s, "internal fault: index out of range\nspanwright ") || !strings.Contains(s, "please report this") || strings.Contains(s, "goroutine") {
		t.Errorf("says %q", s)
	}
	guard(&long, true, broken)
	if !strings.Contains(long.String(), "goroutine") {
		t.Errorf("--debug shows no stack: %q", long.String())
	}
	if code := guard(io.Discard, false, func() int { return 1 }); code != 1 {
		t.Errorf("exit %d of a command without a fault, want its own", code)
	}
}

func TestInterruptStopsTheCheck(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var stdout, stderr bytes.Buffer
	code := run(ctx, []string{"check", starter(t, examples.Starters[0])}, strings.NewReader(""), &stdout, &stderr)
	if code != exitInterrupted || stdout.Len() > 0 {
		t.Errorf("exit %d with %d bytes on stdout, want %d and nothing", code, stdout.Len(), exitInterrupted)
	}
}

func TestInterruptStopsTheTable(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var stdout, stderr bytes.Buffer
	code := run(ctx, []string{"search", starter(t, examples.Starters[0]), "--vary", "task.payload.mass=3 kg|4 kg"}, strings.NewReader(""), &stdout, &stderr)
	if code != exitInterrupted || !strings.HasSuffix(stdout.String(), "\nstopped: 2 of 2 rows are missing\n") {
		t.Errorf("exit %d, want %d; %q", code, exitInterrupted, stdout.String())
	}
}

// full is a stream whose disk is full.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestLostResultIsAFault(t *testing.T) {
	var stderr strings.Builder
	code := run(context.Background(), []string{"version"}, strings.NewReader(""), full{}, &stderr)
	if code != exitFault || !strings.Contains(stderr.String(), "the result cannot be written: no space left") {
		t.Errorf("exit %d, %q", code, stderr.String())
	}
}

func TestProgress(t *testing.T) {
	tests := map[string]struct {
		speaks int // before this step; 0: never
		want   string
	}{
		"a quick command says nothing":               {0, ""},
		"a slow step is shown while it goes on":      {2, clearLine + "pose, 1 of 75" + clearLine + "pose, 31 of 75" + clearLine},
		"what comes after the patience is shown too": {1, clearLine + "pose, 1 of 75" + clearLine + "pose, 31 of 75" + clearLine},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var w strings.Builder
			p := &progress{w: &w, timer: time.NewTimer(time.Hour)}
			for i, done := range []int{0, 30} {
				if c.speaks == i+1 {
					p.speak()
				}
				p.step("pose", done, 75)
			}
			p.end()
			if w.String() != c.want {
				t.Errorf("wrote %q, want %q", w.String(), c.want)
			}
		})
	}
	var w strings.Builder
	over := &progress{w: &w, timer: time.NewTimer(time.Hour)}
	over.step("pose", 0, 75)
	over.end()
	over.speak() // the timer may fire while the end is under way
	if w.Len() > 0 {
		t.Errorf("wrote %q after the end", w.String())
	}
	var none *progress // where stderr is no terminal
	none.step("pose", 0, 1)
	none.end()
}

// TestSparseProgress: where no terminal is, a line at the beginning of a stage and
// one after each rest; nothing of a quick command.
func TestSparseProgress(t *testing.T) {
	var quick, slow strings.Builder
	s := newSparse(&quick, time.Hour, time.Hour)
	s.tell("machines", "machines, 1 of 9")
	s.end()
	if quick.Len() > 0 {
		t.Errorf("a quick command wrote %q", quick.String())
	}
	s = newSparse(&slow, time.Hour, time.Hour)
	s.tell("machines", "machines, 1 of 9")
	s.speak()
	s.tell("machines", "machines, 2 of 9")
	s.tell("machines", "machines, 3 of 9")
	s.speak()
	s.tell("designs", "writing designs")
	s.end()
	var said []string
	for line := range strings.Lines(slow.String()) {
		_, words, _ := strings.Cut(line, ": ") // after the time that has passed
		said = append(said, words)
	}
	if diff := cmp.Diff([]string{"machines, 1 of 9\n", "machines, 3 of 9\n", "writing designs\n"}, said); diff != "" {
		t.Error(diff)
	}
}

// TestStreamsThatAreNoTerminalStayPlain: no colour and no progress in a pipe.
func TestStreamsThatAreNoTerminalStayPlain(t *testing.T) {
	a := newApp(nil, io.Discard, io.Discard)
	if a.colour || a.progress || a.newProgress() != nil {
		t.Errorf("colour %v, progress %v in a pipe", a.colour, a.progress)
	}
}

// TestHelpOfEveryCommand: "help COMMAND" says what "COMMAND --help" does.
func TestHelpOfEveryCommand(t *testing.T) {
	for _, help := range helpTexts() {
		args := append([]string{"help"}, strings.Fields(help.name)[1:]...)
		if stdout, stderr, code := output(t, args...); code != exitDone || stdout != help.text || stderr != "" {
			t.Errorf("%v: exit %d, %q and %q, want the help of %s", args, code, stdout, stderr, help.name)
		}
	}
}
