package document

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// bench is a folder for one test, with what it told.
type bench struct {
	*Folder
	dir string

	mu       sync.Mutex
	states   []State
	warnings []error
}

// patience is how long a test waits for something in the background, many times
// what it takes on a busy machine.
const patience = 20 * time.Second

func open(t *testing.T, dir string, s Settings) *bench {
	t.Helper()
	b := &bench{dir: dir}
	s.Most = 1 << 20
	s.Changed = func(state State, _ bool) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.states = append(b.states, state)
	}
	s.Warn = func(err error) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.warnings = append(b.warnings, err)
	}
	f, err := Open(dir, s)
	if err != nil {
		t.Fatal(err)
	}
	b.Folder = f
	t.Cleanup(func() { f.Close() })
	return b
}

// opened is a folder with one file, and its working copy.
func opened(t *testing.T, text string, s Settings) (*bench, *Document) {
	t.Helper()
	dir := t.TempDir()
	write(t, dir, "a.yaml", text)
	b := open(t, dir, s)
	return b, b.document(t, "a.yaml")
}

func (b *bench) document(t *testing.T, name string) *Document {
	t.Helper()
	d, err := b.Document(name)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func write(t *testing.T, dir, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func onDisk(t *testing.T, dir, name string) string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// await waits until a document is as wanted.
func await(t *testing.T, d *Document, want string, is func(State) bool) State {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if s := d.State(); is(s) {
			return s
		}
	}
	t.Fatalf("the working copy is not %s: %+v", want, d.State())
	return State{}
}

func must(t *testing.T) func(State, error) State {
	return func(s State, err error) State {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
}

func TestChangesCountVersions(t *testing.T) {
	_, d := opened(t, "one\n", Settings{})
	ok := must(t)
	got := []State{
		d.State(),
		ok(d.Write(1, "two\r\n", "w")),
		ok(d.Write(2, "two\n", "w")), // the same text: no new version
		ok(d.Edit(2, "v", func(text string) (string, error) { return text + "three\n", nil })),
		ok(d.Undo(3, "w")),
		ok(d.Undo(4, "w")),
		ok(d.Redo(5, "v")),
	}
	want := []State{
		{"a.yaml", "one\n", 1, true, Same, 0, 0, "", false},
		{"a.yaml", "two\n", 2, false, Same, 1, 0, "w", false},
		{"a.yaml", "two\n", 2, false, Same, 1, 0, "w", false},
		{"a.yaml", "two\nthree\n", 3, false, Same, 2, 0, "v", false},
		{"a.yaml", "two\n", 4, false, Same, 1, 1, "w", false},
		{"a.yaml", "one\n", 5, true, Same, 0, 2, "w", false},
		{"a.yaml", "two\n", 6, false, Same, 1, 1, "v", false},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("states (-want +got):\n%s", diff)
	}
	if _, err := d.Redo(6, "v"); err != nil {
		t.Error(err)
	}
	if _, err := d.Redo(7, "v"); !errors.Is(err, ErrNothing) {
		t.Errorf("error %v, want that there is nothing to redo", err)
	}
}

// TestOldBaseIsAConflict: whoever saw an older version changes nothing, and is
// told the newest.
func TestOldBaseIsAConflict(t *testing.T) {
	_, d := opened(t, "one\n", Settings{})
	now := must(t)(d.Write(1, "two\n", "w"))
	calls := map[string]func() (State, error){
		"write": func() (State, error) { return d.Write(1, "three\n", "v") },
		"edit": func() (State, error) {
			return d.Edit(1, "v", func(string) (string, error) { t.Error("edited"); return "", nil })
		},
		"undo":               func() (State, error) { return d.Undo(1, "v") },
		"redo":               func() (State, error) { return d.Redo(1, "v") },
		"save":               func() (State, error) { return d.Save(1, true) },
		"of a later version": func() (State, error) { return d.Write(9, "three\n", "v") },
	}
	for name, call := range calls {
		t.Run(name, func(t *testing.T) {
			_, err := call()
			var conflict *ConflictError
			if !errors.As(err, &conflict) {
				t.Fatalf("error %v, want a conflict", err)
			}
			if diff := cmp.Diff(now, conflict.State); diff != "" {
				t.Error(diff)
			}
		})
	}
	if got := d.State(); got != now {
		t.Errorf("the working copy is %+v, want it as it was", got)
	}
}

func TestSaveKeepsTheFormOfTheFile(t *testing.T) {
	tests := map[string]struct {
		before, text, after string
	}{
		"line feeds":                     {"a\nb\n", "a\nc\n", "a\nc\n"},
		"carriage returns":               {"a\r\nb\r\n", "a\nc\n", "a\r\nc\r\n"},
		"a byte order mark":              {"\uFEFFa\n", "b\n", "\uFEFFb\n"},
		"both":                           {"\uFEFFa\r\n", "b\n", "\uFEFFb\r\n"},
		"mostly carriage returns":        {"a\r\nb\r\nc\n", "a\nb\nd\n", "a\r\nb\r\nd\r\n"},
		"no last line end":               {"a", "b", "b"},
		"text of a window with returns":  {"a\n", "b\r\nc\r\n", "b\nc\n"},
		"carriage returns kept with all": {"a\r\n", "b\r\nc\r\n", "b\r\nc\r\n"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, c.before, Settings{})
			if err := os.Chmod(filepath.Join(b.dir, "a.yaml"), 0o640); err != nil {
				t.Fatal(err)
			}
			must(t)(d.Write(1, c.text, "w"))
			s := must(t)(d.Save(2, false))
			if got := onDisk(t, b.dir, "a.yaml"); got != c.after {
				t.Errorf("the file holds %q, want %q", got, c.after)
			}
			if !s.Saved || s.Disk != Same {
				t.Errorf("state %+v, want saved", s)
			}
			info, err := os.Stat(filepath.Join(b.dir, "a.yaml"))
			if err != nil || info.Mode().Perm() != 0o640 {
				t.Errorf("permissions %v (%v), want those of before", info.Mode().Perm(), err)
			}
		})
	}
}

// TestSaveNeverOverwritesUnseen: what somebody else wrote meanwhile is kept
// unless the user says otherwise.
func TestSaveNeverOverwritesUnseen(t *testing.T) {
	tests := map[string]struct {
		meanwhile func(t *testing.T, dir string)
		mine      bool
		saved     bool
		after     string
	}{
		"another text":            {func(t *testing.T, dir string) { write(t, dir, "a.yaml", "theirs\n") }, false, false, "theirs\n"},
		"another text, mine":      {func(t *testing.T, dir string) { write(t, dir, "a.yaml", "theirs\n") }, true, true, "mine\n"},
		"the same text":           {func(t *testing.T, dir string) { write(t, dir, "a.yaml", "mine\n") }, false, true, "mine\n"},
		"written again as it was": {func(t *testing.T, dir string) { write(t, dir, "a.yaml", "old\n") }, false, true, "mine\n"},
		"taken away":              {func(t *testing.T, dir string) { os.Remove(filepath.Join(dir, "a.yaml")) }, false, true, "mine\n"},
		"taken away and come again": {func(t *testing.T, dir string) {
			os.Remove(filepath.Join(dir, "a.yaml"))
			write(t, dir, "a.yaml", "theirs\n")
		}, false, false, "theirs\n"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "old\n", Settings{Polling: true, Poll: time.Hour}) // nobody looks before the save does
			must(t)(d.Write(1, "mine\n", "w"))
			c.meanwhile(t, b.dir)
			s, err := d.Save(2, c.mine)
			var disk *DiskError
			if c.saved != (err == nil) || err != nil && !errors.As(err, &disk) {
				t.Fatalf("error %v, want saved %v", err, c.saved)
			}
			if got := onDisk(t, b.dir, "a.yaml"); got != c.after {
				t.Errorf("the file holds %q, want %q", got, c.after)
			}
			if disk != nil {
				s = disk.State
				if disk.Text != c.after || s.Disk != Changed {
					t.Errorf("told of %q, disk %s", disk.Text, s.Disk)
				}
			}
			if s.Saved != c.saved || s.Text != "mine\n" {
				t.Errorf("state %+v", s)
			}
		})
	}
}

func TestReloadCanBeUndone(t *testing.T) {
	b, d := opened(t, "old\n", Settings{Polling: true, Poll: time.Hour})
	ok := must(t)
	ok(d.Write(1, "mine\n", "w"))
	write(t, b.dir, "a.yaml", "theirs\n")
	s := ok(d.Reload("w"))
	if s.Text != "theirs\n" || !s.Saved || s.Disk != Same || s.Undo != 2 {
		t.Errorf("state %+v, want theirs", s)
	}
	if s = ok(d.Undo(s.Version, "w")); s.Text != "mine\n" || s.Saved {
		t.Errorf("state %+v, want mine again", s)
	}
	if err := os.Remove(filepath.Join(b.dir, "a.yaml")); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Reload("w"); !errors.Is(err, ErrGone) {
		t.Errorf("error %v, want that there is no file", err)
	}
}

func TestCreate(t *testing.T) {
	b, _ := opened(t, "old\n", Settings{})
	d, err := b.Create("new.yaml", "n: 1\n", "w")
	if err != nil {
		t.Fatal(err)
	}
	if s := d.State(); s.Disk != New || s.Saved || s.Version != 1 {
		t.Errorf("state %+v, want a new one", s)
	}
	if _, err := os.Stat(filepath.Join(b.dir, "new.yaml")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the file is there before it was saved: %v", err)
	}
	for _, name := range []string{"new.yaml", "a.yaml"} {
		if _, err := b.Create(name, "x", "w"); !errors.Is(err, ErrExists) {
			t.Errorf("%s: error %v, want that it exists", name, err)
		}
	}
	if s := must(t)(d.Save(1, false)); s.Disk != Same || !s.Saved {
		t.Errorf("state %+v, want saved", s)
	}
	if got := onDisk(t, b.dir, "new.yaml"); got != "n: 1\n" {
		t.Errorf("the file holds %q", got)
	}
}

// TestNewFileThatComesUpIsKept: another program writes the file that was never saved here.
func TestNewFileThatComesUpIsKept(t *testing.T) {
	b, _ := opened(t, "", Settings{Polling: true, Poll: time.Hour})
	d, err := b.Create("new.yaml", "mine\n", "w")
	if err != nil {
		t.Fatal(err)
	}
	write(t, b.dir, "new.yaml", "theirs\n")
	var disk *DiskError
	if _, err := d.Save(1, false); !errors.As(err, &disk) || onDisk(t, b.dir, "new.yaml") != "theirs\n" {
		t.Errorf("error %v, file %q; want theirs kept", err, onDisk(t, b.dir, "new.yaml"))
	}
}
