package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"golang.org/x/term"

	"spanwright/internal/screen"
)

func newApp(stdin io.Reader, stdout, stderr io.Writer) *app {
	return &app{
		in: stdin, out: bufio.NewWriterSize(stdout, 1<<16), err: stderr,
		colour:   isTerminal(stdout) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb",
		progress: isTerminal(stderr) && os.Getenv("TERM") != "dumb",
	}
}

func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// style is how to draw on stdout.
func (a *app) style() screen.Style { return screen.Style{Colour: a.colour && !a.noColour} }

// patience is how long a command may work before it says what it is doing.
const patience = 500 * time.Millisecond

// progress shows one line that is overwritten, and cleared at the end.
type progress struct {
	w     io.Writer
	quiet time.Duration // time before the first line
	start time.Time

	mu    sync.Mutex
	shown bool
}

// newProgress returns nil where nobody would see it.
func (a *app) newProgress() *progress {
	if !a.progress {
		return nil
	}
	return &progress{w: a.err, quiet: patience, start: time.Now()}
}

// clearLine returns to the line's beginning and empties it.
const clearLine = "\r\x1b[K"

// step shows what is done, with a count where there is one.
func (p *progress) step(what string, done, total int) {
	if p == nil || time.Since(p.start) < p.quiet {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.shown = true
	if total > 0 {
		fmt.Fprintf(p.w, "%s%s, %d of %d", clearLine, what, done+1, total)
		return
	}
	fmt.Fprintf(p.w, "%s%s", clearLine, what)
}

// end clears the line.
func (p *progress) end() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown {
		fmt.Fprint(p.w, clearLine)
	}
}
