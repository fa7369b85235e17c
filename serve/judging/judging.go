// Package judging judges working copies in the background: of each file the
// newest version, with runs of older ones cancelled; files take turns, and no
// more than a set number is judged at once. The last judgement of each file
// that could be made is kept, and so are those of texts judged lately.
//
// It computes no engineering and reads files only through the function it is
// given.
package judging

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"spanwright/assess"
	"spanwright/diag"
	"spanwright/internal/project"
	"spanwright/machine"
	"spanwright/structure"
)

// Judgement is what was found out about one text.
type Judgement struct {
	File    string
	Version int // of the working copy; 0 for other texts
	Text    string
	Took    time.Duration // 0 where the text had been judged before

	Project     *project.Project // as far as it could be read
	Diagnostics diag.List        // why it could not be judged
	Fault       error            // the program's own: it could not be judged for no reason of the design's
	Assessment  *assess.Assessment
}

// OK tells whether the text could be judged.
func (j *Judgement) OK() bool { return j.Assessment != nil }

// Progress is how far a run is.
type Progress struct {
	File    string `json:"file"`
	Version int    `json:"version"`
	Step    string `json:"step"`
	Done    int    `json:"done"`
	Total   int    `json:"total"`
}

// Settings of a judge. Open is needed.
type Settings struct {
	Open     func(file, text string) (*project.Project, diag.List) // reads a text as if it were the file
	Parallel int                                                   // most runs at once, at least 1
	Studies  *structure.Cache                                      // solved structures of machines that are judged again; may be nil
	Progress func(Progress)                                        // called during runs of working copies; must return at once; may be nil
	Unsaid   time.Duration                                         // progress of a run is not told before it took so long
	Judged   func(*Judgement)                                      // called after each of them; must return at once; may be nil
}

// ErrClosed is returned by what waits for a judge that was closed.
var ErrClosed = errors.New("the program is ending")

// Judge judges. It may be used by several goroutines.
type Judge struct {
	set    Settings
	run    engineRun
	ctx    context.Context
	cancel context.CancelFunc
	done   sync.WaitGroup

	mu    sync.Mutex
	wake  *sync.Cond
	queue []func() // in the order of asking
	track map[string]*track
	used  []*track // with a judgement, the latest last
	cache cache
}

// track is the way of one file through its versions.
type track struct {
	file    string
	version int // the newest
	text    string
	queued  bool
	cancel  context.CancelFunc // of the run that is going on
	last    *Judgement         // of the newest version that is done
	good    *Judgement         // the newest that could be judged
	news    chan struct{}      // closed with the next judgement
}

// New starts a judge; Close ends it.
func New(s Settings) *Judge { return begin(s, assess.Run) }

func begin(s Settings, run engineRun) *Judge {
	j := &Judge{set: s, run: run, track: map[string]*track{}}
	j.ctx, j.cancel = context.WithCancel(context.Background())
	j.wake = sync.NewCond(&j.mu)
	for range max(1, s.Parallel) {
		j.done.Add(1)
		go j.work()
	}
	return j
}

// engineRun is assess.Run, but in tests of the order of things.
type engineRun func(context.Context, *machine.Machine, assess.Options) (*assess.Assessment, error)

// Close cancels what is going on and waits for its end.
func (j *Judge) Close() {
	j.cancel()
	j.mu.Lock()
	j.queue = nil
	j.mu.Unlock()
	j.wake.Broadcast()
	j.done.Wait()
}

// work takes what is next until the judge is closed.
func (j *Judge) work() {
	defer j.done.Done()
	for {
		j.mu.Lock()
		for len(j.queue) == 0 && j.ctx.Err() == nil {
			j.wake.Wait()
		}
		if j.ctx.Err() != nil {
			j.mu.Unlock()
			return
		}
		next := j.queue[0]
		j.queue = j.queue[1:]
		j.mu.Unlock()
		next()
	}
}

// enqueue puts work at the end; the lock is held.
func (j *Judge) enqueue(work func()) {
	j.queue = append(j.queue, work)
	j.wake.Signal()
}

// Submit asks for the judgement of a version of a working copy; older versions
// are no longer wanted.
func (j *Judge) Submit(file string, version int, text string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	t := j.of(file)
	if version <= t.version {
		return
	}
	t.version, t.text = version, text
	switch {
	case t.cancel != nil:
		t.cancel() // the run asks for the next one when it ends
	case !t.queued:
		t.queued = true
		j.enqueue(func() { j.follow(t) })
	}
}

func (j *Judge) of(file string) *track {
	t := j.track[file]
	if t == nil {
		t = &track{file: file, news: make(chan struct{})}
		j.track[file] = t
	}
	return t
}

// follow judges the newest version of a file.
func (j *Judge) follow(t *track) {
	ctx, cancel := context.WithCancel(j.ctx)
	defer cancel()
	j.mu.Lock()
	version, text := t.version, t.text
	t.queued, t.cancel = false, cancel
	j.mu.Unlock()
	found := j.judge(ctx, t.file, version, text)
	if ctx.Err() == nil || found.OK() || len(found.Diagnostics) > 0 {
		j.note(t, found)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	t.cancel = nil
	if t.version != version {
		t.queued = true
		j.enqueue(func() { j.follow(t) })
	}
}

// note makes a judgement known. The lock is not held while others are told: they
// may hold what keeps a version from being submitted.
func (j *Judge) note(t *track, found *Judgement) {
	j.mu.Lock()
	t.last = found
	if found.OK() {
		t.good = found
		j.touch(t)
	}
	close(t.news)
	t.news = make(chan struct{})
	j.mu.Unlock()
	if j.set.Judged != nil {
		j.set.Judged(found)
	}
}

// judge makes one run. Where it was cancelled, the judgement is empty.
func (j *Judge) judge(ctx context.Context, file string, version int, text string) (out *Judgement) {
	out = &Judgement{File: file, Version: version, Text: text}
	began := time.Now()
	defer func() {
		if fault := recover(); fault != nil {
			out.Fault = fmt.Errorf("fault: %v\n%s", fault, debug.Stack())
		}
	}()
	out.Project, out.Diagnostics = j.set.Open(file, text)
	if len(out.Diagnostics) > 0 {
		return out
	}
	key := cacheKey{file, out.Project.Digest()}
	if known := j.cache.get(key); known != nil {
		out.Project, out.Assessment = known.Project, known.Assessment
		return out
	}
	progress := func(step string, done, total int) {
		if j.set.Progress != nil && version > 0 && time.Since(began) >= j.set.Unsaid {
			j.set.Progress(Progress{File: file, Version: version, Step: step, Done: done, Total: total})
		}
	}
	found, err := j.run(ctx, out.Project.Machine, assess.Options{Progress: progress, Studies: j.set.Studies})
	var refused *assess.RefusedError
	switch {
	case errors.As(err, &refused):
		out.Diagnostics = out.Project.Named(refused.Diagnostics)
	case ctx.Err() != nil:
	case err != nil:
		out.Fault = err
	default:
		out.Assessment = found
		out.Took = time.Since(began)
		j.cache.put(key, out)
	}
	return out
}

// Wait returns the judgement of a version of a working copy or of a newer one,
// when it is there. The version must have been submitted.
func (j *Judge) Wait(ctx context.Context, file string, version int) (*Judgement, error) {
	for {
		j.mu.Lock()
		t := j.of(file)
		last, news := t.last, t.news
		j.mu.Unlock()
		if last != nil && last.Version >= version {
			return last, nil
		}
		select {
		case <-news:
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-j.ctx.Done():
			return nil, ErrClosed
		}
	}
}

// Last is the judgement of the newest version of a file that is done, or nil.
func (j *Judge) Last(file string) *Judgement {
	j.mu.Lock()
	defer j.mu.Unlock()
	if t := j.track[file]; t != nil {
		return t.last
	}
	return nil
}

// Good is the last judgement of a file that could be made, or nil.
func (j *Judge) Good(file string) *Judgement {
	j.mu.Lock()
	defer j.mu.Unlock()
	t := j.track[file]
	if t == nil || t.good == nil {
		return nil
	}
	j.touch(t)
	return t.good
}

// mostGood is how many files keep their judgement; one of three axes takes some
// 10 to 30 MB with its solved structures.
const mostGood = 24

// touch notes that a judgement is in use, and lets go of the one that was not
// for longest: its file is judged again when it is asked for.
func (j *Judge) touch(t *track) {
	if i := slices.Index(j.used, t); i >= 0 {
		j.used = slices.Delete(j.used, i, i+1)
	}
	j.used = append(j.used, t)
	if len(j.used) <= mostGood {
		return
	}
	oldest := j.used[0]
	j.used = slices.Delete(j.used, 0, 1)
	oldest.good = nil
	if oldest.cancel == nil && !oldest.queued {
		oldest.last, oldest.version = nil, 0
	}
}

// Once judges a text that is no working copy, in its turn.
func (j *Judge) Once(ctx context.Context, file, text string) (*Judgement, error) {
	var found *Judgement
	done := make(chan struct{})
	run, cancel := context.WithCancel(j.ctx)
	defer cancel()
	stop := context.AfterFunc(ctx, cancel)
	defer stop()
	j.mu.Lock()
	j.enqueue(func() {
		defer close(done)
		if run.Err() == nil {
			found = j.judge(run, file, 0, text)
		}
	})
	j.mu.Unlock()
	select {
	case <-done:
	case <-ctx.Done():
		return nil, ctx.Err()
	case <-j.ctx.Done():
		return nil, ErrClosed
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if run.Err() != nil {
		return nil, ErrClosed
	}
	return found, nil
}

// cacheKey is a file with everything it is made of.
type cacheKey struct {
	file   string
	digest [sha256.Size]byte
}
