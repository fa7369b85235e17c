package jobs

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// patience is how long a test waits, many times what it takes.
const patience = 20 * time.Second

// news collects what was told of each job.
type news struct {
	mu     sync.Mutex
	states []Job
	faults []error
}

func start(t *testing.T, parallel int) (*Jobs, *news) {
	t.Helper()
	n := &news{}
	clock := time.Unix(0, 0)
	j := New(Settings{
		Parallel: parallel,
		Changed:  func(job Job) { n.mu.Lock(); defer n.mu.Unlock(); n.states = append(n.states, job) },
		Fault:    func(err error) { n.mu.Lock(); defer n.mu.Unlock(); n.faults = append(n.faults, err) },
		Now:      func() time.Time { return clock },
	})
	t.Cleanup(j.Close)
	return j, n
}

func (j *Jobs) await(t *testing.T, id string, want State) Job {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if job, err := j.Get(id); err != nil || job.State == want {
			return job
		}
	}
	job, err := j.Get(id)
	t.Fatalf("the job is %s (%v), want %s", job.State, err, want)
	return Job{}
}

func begin(t *testing.T, j *Jobs, kind, file string, work Work) Job {
	t.Helper()
	job, err := j.Start(kind, file, work)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// untilEnd works until it is no longer wanted.
func untilEnd(ctx context.Context, _ string, _ func(string, int, int)) (any, []byte, error) {
	<-ctx.Done()
	return nil, nil, ctx.Err()
}

func TestJobEnds(t *testing.T) {
	tests := map[string]struct {
		work Work
		want Job
	}{
		"done": {
			func(_ context.Context, id string, progress func(string, int, int)) (any, []byte, error) {
				progress("half", 1, 2)
				return "result of " + id, []byte("data"), nil
			},
			Job{State: Done, What: "done", Done: 2, Total: 2, Data: []byte("data")},
		},
		"failed": {
			func(context.Context, string, func(string, int, int)) (any, []byte, error) {
				return nil, nil, errors.New("no paper")
			},
			Job{State: Failed, What: "waiting for its turn", Error: "no paper"},
		},
		"a fault of the program": {
			func(context.Context, string, func(string, int, int)) (any, []byte, error) { panic("oh") },
			Job{State: Failed, What: "waiting for its turn", Error: "the program failed over it; please report this with the design"},
		},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			j, n := start(t, 1)
			first := begin(t, j, "kind", "a.yaml", c.work)
			if first.State != Running {
				t.Errorf("it begins as %s", first.State)
			}
			c.want.ID, c.want.Kind, c.want.File, c.want.Started = first.ID, "kind", "a.yaml", first.Started
			if c.want.State == Done {
				c.want.Result = "result of " + first.ID
			}
			got := j.await(t, first.ID, c.want.State)
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("job (-want +got):\n%s", diff)
			}
			n.mu.Lock()
			defer n.mu.Unlock()
			if last := n.states[len(n.states)-1]; last.State != c.want.State {
				t.Errorf("the last that was told is %s", last.State)
			}
			if (len(n.faults) > 0) != (name == "a fault of the program") {
				t.Errorf("faults %v", n.faults)
			}
		})
	}
}

func TestCancel(t *testing.T) {
	j, _ := start(t, 1)
	running := begin(t, j, "kind", "a.yaml", untilEnd)
	waiting := begin(t, j, "kind", "b.yaml", untilEnd)
	for _, id := range []string{waiting.ID, running.ID} {
		if _, err := j.Cancel(id); err != nil {
			t.Fatal(err)
		}
		j.await(t, id, Cancelled)
	}
	if _, err := j.Cancel("none"); !errors.Is(err, ErrNone) {
		t.Errorf("error %v, want that there is no such job", err)
	}
}

// TestNewerJobWins: of one kind on one file, only the last is wanted.
func TestNewerJobWins(t *testing.T) {
	j, _ := start(t, 1)
	old := begin(t, j, "improve", "a.yaml", untilEnd)
	other := begin(t, j, "pack", "a.yaml", untilEnd)
	begin(t, j, "improve", "a.yaml", untilEnd)
	j.await(t, old.ID, Cancelled)
	if job, _ := j.Get(other.ID); job.State != Running {
		t.Errorf("the other job is %s", job.State)
	}
	if got := len(j.List("a.yaml")); got != 3 {
		t.Errorf("%d jobs are listed, want 3", got)
	}
}

func TestBounds(t *testing.T) {
	j, _ := start(t, 4)
	done := func(context.Context, string, func(string, int, int)) (any, []byte, error) { return 1, []byte("d"), nil }
	var last Job
	for range 2 * mostEnded {
		last = begin(t, j, "kind", "a.yaml", done)
		j.await(t, last.ID, Done)
	}
	for end := time.Now().Add(patience); len(j.List("a.yaml")) > mostEnded && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	kept, data := j.List("a.yaml"), 0
	for _, job := range kept {
		if job.Data != nil {
			data++
		}
	}
	if len(kept) != mostEnded || data != mostData || kept[len(kept)-1].ID != last.ID {
		t.Errorf("%d jobs are kept, %d with data", len(kept), data)
	}
	for i := range mostRunning {
		begin(t, j, "kind", string(rune('b'+i)), untilEnd)
	}
	if _, err := j.Start("kind", "z", untilEnd); !errors.Is(err, ErrMany) {
		t.Errorf("error %v, want that there are too many", err)
	}
}
