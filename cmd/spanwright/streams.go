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

// progress shows one line that is overwritten, and cleared at the end. It is
// silent until patience has run out, and then shows the step that is going on.
type progress struct {
	w     io.Writer
	timer *time.Timer

	mu     sync.Mutex
	latest string
	loud   bool
	ended  bool
}

// newProgress returns nil where nobody would see it.
func (a *app) newProgress() *progress {
	if !a.progress {
		return nil
	}
	p := &progress{w: a.err}
	p.timer = time.AfterFunc(patience, p.speak)
	return p
}

// clearLine returns to the line's beginning and empties it.
const clearLine = "\r\x1b[K"

// step says what is going on, with a count where there is one.
func (p *progress) step(what string, done, total int) {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.latest = what
	if total > 0 {
		p.latest = fmt.Sprintf("%s, %d of %d", what, done+1, total)
	}
	p.show()
}

// speak ends the silence.
func (p *progress) speak() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.loud = true
	p.show()
}

func (p *progress) show() {
	if p.loud && !p.ended && p.latest != "" {
		fmt.Fprint(p.w, clearLine+p.latest)
	}
}

// end clears the line.
func (p *progress) end() {
	if p == nil {
		return
	}
	p.timer.Stop()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	if p.loud {
		fmt.Fprint(p.w, clearLine)
	}
}
