// Package jobs runs long work in the background: few at once, each with its
// progress, its result kept for a while, and an end when it is no longer wanted.
// It knows nothing of what the work is.
package jobs

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"
)

// State of a job.
type State string

// The states.
const (
	Running   State = "running" // or waiting for its turn
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Job is a job at one time.
type Job struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"`
	File    string    `json:"file"`
	State   State     `json:"state"`
	What    string    `json:"what"` // what is going on
	Done    int       `json:"done"`
	Total   int       `json:"total"` // 0: not known
	Started time.Time `json:"started"`
	Error   string    `json:"error,omitempty"`
	Result  any       `json:"result,omitempty"`

	Data []byte `json:"-"` // of the result, for download
}

// Work is what the job with the id does. It ends soon after its context; data goes with the
// result and is kept as long.
type Work func(ctx context.Context, id string, progress func(what string, done, total int)) (result any, data []byte, err error)

// Errors of jobs.
var (
	ErrNone = errors.New("there is no such job")
	ErrMany = errors.New("too many jobs wait already")
)

// Settings of the jobs.
type Settings struct {
	Parallel int       // most at once, at least 1
	Changed  func(Job) // called after each change, in order: must return at once
	Fault    func(error)
	Now      func() time.Time
}

// Bounds.
const (
	mostRunning = 16 // with those that wait
	mostEnded   = 24 // kept
	mostData    = 4  // kept with their data
)

// Jobs are the jobs of a server. They may be used by several goroutines.
type Jobs struct {
	set    Settings
	ctx    context.Context
	cancel context.CancelFunc
	turns  chan struct{}
	wait   sync.WaitGroup

	mu  sync.Mutex
	all []*entry // in the order of their start
}

type entry struct {
	job    Job
	cancel context.CancelFunc
}

// New makes room for jobs; Close ends them.
func New(s Settings) *Jobs {
	j := &Jobs{set: s, turns: make(chan struct{}, max(1, s.Parallel))}
	j.ctx, j.cancel = context.WithCancel(context.Background())
	return j
}

// Close cancels all jobs and waits for their end.
func (j *Jobs) Close() {
	j.cancel()
	j.wait.Wait()
}

// Start begins a job. One of the same kind on the same file that is still
// running is no longer wanted.
func (j *Jobs) Start(kind, file string, work Work) (Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	running := 0
	for _, e := range j.all {
		if e.job.State != Running {
			continue
		}
		if e.job.Kind == kind && e.job.File == file {
			e.cancel()
			continue
		}
		running++
	}
	if running >= mostRunning {
		return Job{}, ErrMany
	}
	ctx, cancel := context.WithCancel(j.ctx)
	e := &entry{cancel: cancel, job: Job{
		ID: strings.ToLower(rand.Text()[:16]), Kind: kind, File: file, State: Running, What: "waiting for its turn", Started: j.set.Now().UTC(),
	}}
	j.all = append(j.all, e)
	j.set.Changed(e.job)
	j.wait.Add(1)
	go j.run(ctx, e, work)
	return e.job, nil
}

func (j *Jobs) run(ctx context.Context, e *entry, work Work) {
	defer j.wait.Done()
	defer e.cancel()
	select {
	case j.turns <- struct{}{}:
		defer func() { <-j.turns }()
	case <-ctx.Done():
		j.change(e, func(job *Job) { job.State = Cancelled })
		return
	}
	result, data, err := j.guarded(ctx, e.job.ID, work, func(what string, done, total int) {
		j.change(e, func(job *Job) { job.What, job.Done, job.Total = what, done, total })
	})
	j.change(e, func(job *Job) {
		switch {
		case ctx.Err() != nil:
			job.State = Cancelled
		case err != nil:
			job.State, job.Error = Failed, err.Error()
		default:
			job.State, job.What, job.Done, job.Result, job.Data = Done, "done", job.Total, result, data
		}
	})
	j.forget()
}

// guarded turns a fault of the program into an error.
func (j *Jobs) guarded(ctx context.Context, id string, work Work, progress func(string, int, int)) (result any, data []byte, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = errors.New("the program failed over it; please report this with the design")
			j.set.Fault(fmt.Errorf("fault: %v\n%s", fault, debug.Stack()))
		}
	}()
	return work(ctx, id, progress)
}

func (j *Jobs) change(e *entry, to func(*Job)) {
	j.mu.Lock()
	defer j.mu.Unlock()
	to(&e.job)
	j.set.Changed(e.job)
}

// forget drops the oldest results.
func (j *Jobs) forget() {
	j.mu.Lock()
	defer j.mu.Unlock()
	ended, data := 0, 0
	for _, e := range slices.Backward(j.all) {
		if e.job.State == Running {
			continue
		}
		ended++
		if e.job.Data != nil {
			if data++; data > mostData {
				e.job.Data = nil
			}
		}
	}
	j.all = slices.DeleteFunc(j.all, func(e *entry) bool {
		if ended <= mostEnded || e.job.State == Running {
			return false
		}
		ended--
		return true
	})
}

// List lists the jobs on a file, the oldest first.
func (j *Jobs) List(file string) []Job {
	j.mu.Lock()
	defer j.mu.Unlock()
	out := []Job{}
	for _, e := range j.all {
		if e.job.File == file {
			out = append(out, e.job)
		}
	}
	return out
}

// Get returns a job.
func (j *Jobs) Get(id string) (Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	e, err := j.find(id)
	if err != nil {
		return Job{}, err
	}
	return e.job, nil
}

func (j *Jobs) find(id string) (*entry, error) {
	for _, e := range j.all {
		if e.job.ID == id {
			return e, nil
		}
	}
	return nil, fmt.Errorf("%q: %w", id, ErrNone)
}

// Cancel ends a job; one that has ended stays as it is. The job returned may
// still be running for a moment.
func (j *Jobs) Cancel(id string) (Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	e, err := j.find(id)
	if err != nil {
		return Job{}, err
	}
	e.cancel()
	return e.job, nil
}
