package judging

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"

	"spanwright/assess"
	"spanwright/diag"
	"spanwright/examples"
	"spanwright/internal/project"
	"spanwright/machine"
	"spanwright/structure"
)

// patience is how long a test waits, many times what it takes.
const patience = 30 * time.Second

func starter(t *testing.T) string {
	t.Helper()
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// open reads a text as the server does; "broken" marks a text with mistakes.
func open(file, text string) (*project.Project, diag.List) {
	return project.Open(fstest.MapFS{file: {Data: []byte(text)}}, "", file)
}

// engine stands in for the studies where a test is about the order of things:
// each run waits until it is let go or is no longer wanted.
type engine struct {
	mu      sync.Mutex
	running int
	most    int
	began   []string // names of the machines
	ended   []string // those that were cancelled
	gate    chan struct{}
}

func (e *engine) run(ctx context.Context, m *machine.Machine, _ assess.Options) (*assess.Assessment, error) {
	name := m.Design.Name
	e.mu.Lock()
	e.began = append(e.began, name)
	e.running++
	e.most = max(e.most, e.running)
	e.mu.Unlock()
	defer func() {
		e.mu.Lock()
		defer e.mu.Unlock()
		e.running--
	}()
	if strings.Contains(name, "panic") {
		panic(name)
	}
	select {
	case <-e.gate:
		return &assess.Assessment{Machine: m}, nil
	case <-ctx.Done():
		e.mu.Lock()
		defer e.mu.Unlock()
		e.ended = append(e.ended, name)
		return nil, ctx.Err()
	}
}

// runs waits until so many runs have begun.
func (e *engine) runs(t *testing.T, n int) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(time.Millisecond) {
		e.mu.Lock()
		begun := len(e.began)
		e.mu.Unlock()
		if begun >= n {
			return
		}
	}
	t.Fatalf("%d runs have not begun: %v", n, e.began)
}

func judge(t *testing.T, s Settings) (*Judge, *engine) {
	t.Helper()
	e := &engine{gate: make(chan struct{})}
	s.Open = open
	j := begin(s, e.run)
	t.Cleanup(j.Close)
	return j, e
}

func wait(t *testing.T, j *Judge, file string, version int) *Judgement {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	found, err := j.Wait(ctx, file, version)
	if err != nil {
		t.Fatalf("%s version %d: %v", file, version, err)
	}
	return found
}

func named(text, name string) string {
	return strings.Replace(text, "machine: crate-loading portal", "machine: "+name, 1)
}

// TestRealDesign: a text is judged, its mistakes are told, and the last good
// judgement stays.
func TestRealDesign(t *testing.T) {
	var mu sync.Mutex
	var told []int
	steps := 0
	j := New(Settings{
		Open: open, Parallel: 1, Studies: structure.NewCache(64 << 20),
		Judged:   func(f *Judgement) { mu.Lock(); defer mu.Unlock(); told = append(told, f.Version) },
		Progress: func(Progress) { mu.Lock(); defer mu.Unlock(); steps++ },
	})
	defer j.Close()
	text := starter(t)
	j.Submit("a.yaml", 1, text)
	first := wait(t, j, "a.yaml", 1)
	if !first.OK() || len(first.Assessment.Checks) == 0 || first.Took == 0 {
		t.Fatalf("judgement %+v", first)
	}
	j.Submit("a.yaml", 2, strings.Replace(text, "rate: ", "rate: x", 1))
	broken := wait(t, j, "a.yaml", 2)
	if broken.OK() || len(broken.Diagnostics) == 0 || broken.Diagnostics[0].File != "a.yaml" || broken.Fault != nil {
		t.Errorf("judgement %+v, want diagnostics", broken)
	}
	if good := j.Good("a.yaml"); good != first {
		t.Errorf("the last good one is %+v", good)
	}
	j.Submit("a.yaml", 3, text)
	again := wait(t, j, "a.yaml", 3)
	if again.Assessment != first.Assessment || again.Took != 0 || again.Version != 3 {
		t.Error("a text that was judged before was judged again")
	}
	mu.Lock()
	defer mu.Unlock()
	if diff := cmp.Diff([]int{1, 2, 3}, told); diff != "" {
		t.Errorf("told (-want +got):\n%s", diff)
	}
	if steps == 0 {
		t.Error("no progress was told")
	}
}

// TestNewestWins: the run of an older version ends, and versions between are
// never begun.
func TestNewestWins(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 1})
	text := starter(t)
	j.Submit("a.yaml", 1, named(text, "one"))
	e.runs(t, 1)
	for v, name := range []string{"two", "three", "four"} {
		j.Submit("a.yaml", v+2, named(text, name))
	}
	j.Submit("a.yaml", 3, named(text, "late")) // an older one that comes last
	close(e.gate)
	if got := wait(t, j, "a.yaml", 2); got.Version != 4 || got.Assessment.Machine.Design.Name != "four" {
		t.Errorf("version %d was judged, want 4", got.Version)
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if diff := cmp.Diff([]string{"one", "four"}, e.began); diff != "" {
		t.Errorf("runs (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{"one"}, e.ended); diff != "" {
		t.Errorf("cancelled runs (-want +got):\n%s", diff)
	}
}

// TestFilesTakeTurns: who changes a file again and again does not keep others
// from being judged, and no more runs at once than allowed.
func TestFilesTakeTurns(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 2})
	text := starter(t)
	for f := range 12 {
		j.Submit(fmt.Sprintf("%d.yaml", f), 1, named(text, fmt.Sprint(f)))
	}
	e.runs(t, 2)
	j.Submit("0.yaml", 2, named(text, "0 again"))
	close(e.gate)
	for f := range 12 {
		wait(t, j, fmt.Sprintf("%d.yaml", f), 1)
	}
	wait(t, j, "0.yaml", 2)
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.most > 2 {
		t.Errorf("%d runs at once, at most 2 may be", e.most)
	}
	if last := e.began[len(e.began)-2:]; !slices.Contains(last, "0 again") { // two begin at once
		t.Errorf("the last are %q: the file that was changed again did not go to the end", last)
	}
}

func TestOnceAndItsEnd(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 1})
	text := starter(t)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error)
	go func() {
		_, err := j.Once(ctx, "a.yaml", named(text, "left"))
		done <- err
	}()
	e.runs(t, 1)
	cancel()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that nobody waits", err)
	}
	close(e.gate)
	found, err := j.Once(t.Context(), "a.yaml", named(text, "wanted"))
	if err != nil || !found.OK() {
		t.Errorf("judgement %+v, error %v", found, err)
	}
}

// TestFaultStaysOne: a fault of the program in one run is told, and the next run goes on.
func TestFaultStaysOne(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 1})
	close(e.gate)
	j.Submit("a.yaml", 1, named(starter(t), "panic"))
	if got := wait(t, j, "a.yaml", 1); got.OK() || got.Fault == nil || len(got.Diagnostics) > 0 {
		t.Errorf("judgement %+v, want a fault", got)
	}
	j.Submit("a.yaml", 2, named(starter(t), "sound"))
	if got := wait(t, j, "a.yaml", 2); !got.OK() {
		t.Errorf("judgement %+v, want a good one", got)
	}
}

func TestCloseEndsEverything(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 1})
	j.Submit("a.yaml", 1, starter(t))
	e.runs(t, 1)
	waits := make(chan error, 2)
	go func() { _, err := j.Wait(context.Background(), "a.yaml", 1); waits <- err }()
	go func() { _, err := j.Once(context.Background(), "b.yaml", starter(t)); waits <- err }()
	time.Sleep(10 * time.Millisecond) // so that both wait; right or wrong, they must end
	j.Close()
	for range 2 {
		if err := <-waits; !errors.Is(err, ErrClosed) {
			t.Errorf("error %v, want that the judge is closed", err)
		}
	}
}

// TestOldJudgementsAreLetGo: memory is bounded, and what was let go is judged
// again when it is asked for.
func TestOldJudgementsAreLetGo(t *testing.T) {
	j, e := judge(t, Settings{Parallel: 2})
	close(e.gate)
	text := starter(t)
	for f := range mostGood + 3 {
		name := fmt.Sprintf("%d.yaml", f)
		j.Submit(name, 1, named(text, name))
		wait(t, j, name, 1)
	}
	kept := 0
	for f := range mostGood + 3 {
		j.mu.Lock()
		if j.track[fmt.Sprintf("%d.yaml", f)].good != nil {
			kept++
		}
		j.mu.Unlock()
	}
	if kept != mostGood {
		t.Errorf("%d are kept, want %d", kept, mostGood)
	}
	j.Submit("0.yaml", 1, named(text, "0.yaml"))
	if got := wait(t, j, "0.yaml", 1); !got.OK() || j.Good("0.yaml") == nil {
		t.Errorf("judgement %+v, want it again", got)
	}
}

func TestCacheKeepsTheLatest(t *testing.T) {
	var c cache
	key := func(i int) cacheKey { return cacheKey{file: fmt.Sprint(i)} }
	for i := range mostCached {
		c.put(key(i), &Judgement{Version: i})
	}
	if c.get(key(0)) == nil {
		t.Fatal("the first is gone too early")
	}
	c.put(key(mostCached), &Judgement{})
	if c.get(key(0)) == nil || c.get(key(1)) != nil || len(c.known) != mostCached {
		t.Errorf("%d are kept, or not those used last", len(c.known))
	}
}
