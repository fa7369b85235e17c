package main

import (
	"fmt"
	"io"
	"sync"
	"time"

	"spanwright/search"
)

// rest is how long a search that is not watched on a terminal is silent between
// two lines.
const rest = 10 * time.Second

// teller says how far a search is: on a terminal in one line that is overwritten,
// elsewhere in few lines, so that whoever reads a file sees that it lives.
type teller struct {
	line *progress // nil where no terminal is
	log  *sparse   // nil where one is
}

func (a *app) newTeller() teller {
	if a.progress {
		return teller{line: a.newProgress()}
	}
	return teller{log: newSparse(a.err, patience, rest)}
}

// tell says what is going on, in which stage.
func (t teller) tell(stage, words string) {
	t.line.step(words, -1, 0)
	t.log.tell(stage, words)
}

// step says which of several things of a stage is going on.
func (t teller) step(stage string, done, total int) {
	t.tell(stage, fmt.Sprintf("%s, %d of %d", stage, done+1, total))
}

func (t teller) end() {
	t.line.end()
	t.log.end()
}

// sparse writes a line when a stage begins and, after every rest, what is going on
// then. A command that is quick writes nothing.
type sparse struct {
	w       io.Writer
	began   time.Time
	stopped chan struct{}
	done    sync.WaitGroup

	mu     sync.Mutex
	stage  string // of the latest words
	latest string
	told   string // the stage that was written last
	loud   bool
}

func newSparse(w io.Writer, patience, rest time.Duration) *sparse {
	s := &sparse{w: w, began: time.Now(), stopped: make(chan struct{})}
	s.done.Go(func() {
		for wait := patience; ; wait = rest {
			select {
			case <-s.stopped:
				return
			case <-time.After(wait):
				s.speak()
			}
		}
	})
	return s
}

func (s *sparse) tell(stage, words string) {
	if s == nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.stage, s.latest = stage, words
	if s.loud && s.told != stage {
		s.write()
	}
}

// speak ends the silence.
func (s *sparse) speak() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.loud = true
	if s.latest != "" {
		s.write()
	}
}

func (s *sparse) write() {
	s.told = s.stage
	fmt.Fprintf(s.w, "after %s: %s\n", time.Since(s.began).Round(time.Second), s.latest)
}

func (s *sparse) end() {
	if s == nil {
		return
	}
	close(s.stopped)
	s.done.Wait()
}

// estimate tells how long a search may still take, for people only: nothing is
// decided by it.
type estimate struct{ began time.Time }

func newEstimate() estimate { return estimate{time.Now()} }

func (e estimate) words(x search.Progress) string {
	text := x.What
	if x.Total > 0 {
		text = fmt.Sprintf("%s, %d of %d", x.What, x.Done, x.Total)
	}
	if x.Judged > 0 {
		text += fmt.Sprintf(", %d judged, %d on the front", x.Judged, x.Front)
	}
	if x.Done > 0 && x.Total > x.Done {
		left := time.Since(e.began) * time.Duration(x.Total-x.Done) / time.Duration(x.Done)
		text += fmt.Sprintf(", about %s left", left.Round(time.Second))
	}
	return text
}
