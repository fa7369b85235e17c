package document

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// unsavedFile is where the copy of unsaved work on a.yaml is.
func unsavedFile(dir string) string { return filepath.Join(dir, hiddenFolder, "a.yaml"+unsavedMark) }

func awaitFile(t *testing.T, name string, there bool) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if _, err := os.Stat(name); (err == nil) == there {
			return
		}
	}
	t.Fatalf("%s: there %v, want %v", filepath.Base(name), !there, there)
}

// TestUnsavedWorkComesBack: after a crash the work is the working copy again,
// and the file on disk is one step back.
func TestUnsavedWorkComesBack(t *testing.T) {
	tests := map[string]struct {
		meanwhile func(t *testing.T, dir string)
		want      State
		back      string // one step back
	}{
		"as it was left": {
			func(*testing.T, string) {},
			State{"a.yaml", "mine\n", 1, false, Same, 1, 0, "", true}, "old\n",
		},
		"and the file was changed since": {
			func(t *testing.T, dir string) { write(t, dir, "a.yaml", "theirs\n") },
			State{"a.yaml", "mine\n", 1, false, Changed, 1, 0, "", true}, "theirs\n",
		},
		"and the file was taken away": {
			func(t *testing.T, dir string) { os.Remove(filepath.Join(dir, "a.yaml")) },
			State{"a.yaml", "mine\n", 1, false, Gone, 1, 0, "", true}, "",
		},
		"and the same was written by hand": {
			func(t *testing.T, dir string) { write(t, dir, "a.yaml", "mine\n") },
			State{"a.yaml", "mine\n", 1, true, Same, 0, 0, "", false}, "",
		},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "old\n", Settings{})
			must(t)(d.Write(1, "mine\n", "w"))
			awaitFile(t, unsavedFile(b.dir), true)
			c.meanwhile(t, b.dir)
			// The first run is left as a crash would leave it; the second begins.
			again := open(t, b.dir, Settings{Polling: true, Poll: time.Hour})
			next := again.document(t, "a.yaml")
			if diff := cmp.Diff(c.want, next.State()); diff != "" {
				t.Errorf("state (-want +got):\n%s", diff)
			}
			if c.want.Undo > 0 {
				if s := must(t)(next.Undo(1, "w")); s.Text != c.back || s.Recovered && s.Saved {
					t.Errorf("one step back is %+v, want %q", s, c.back)
				}
			}
		})
	}
}

func TestUnsavedNewDesignComesBack(t *testing.T) {
	dir := t.TempDir()
	b := open(t, dir, Settings{})
	if _, err := b.Create("a.yaml", "spanwright: 1\n", "w"); err != nil {
		t.Fatal(err)
	}
	awaitFile(t, unsavedFile(dir), true)
	again := open(t, dir, Settings{})
	s := again.document(t, "a.yaml").State()
	if s.Text != "spanwright: 1\n" || s.Disk != New || !s.Recovered {
		t.Errorf("state %+v, want the new design", s)
	}
}

// TestNothingIsLeftOfSavedWork: the copy goes when the file holds the work, by
// saving or by going back.
func TestNothingIsLeftOfSavedWork(t *testing.T) {
	b, d := opened(t, "old\n", Settings{})
	must(t)(d.Write(1, "new\n", "w"))
	awaitFile(t, unsavedFile(b.dir), true)
	must(t)(d.Save(2, false))
	awaitFile(t, unsavedFile(b.dir), false)
	must(t)(d.Write(2, "newer\n", "w"))
	awaitFile(t, unsavedFile(b.dir), true)
	must(t)(d.Undo(3, "w"))
	awaitFile(t, unsavedFile(b.dir), false)
	if len(b.warnings) > 0 {
		t.Error(b.warnings)
	}
}

// TestCloseKeepsAndNames: work that was changed a moment ago is kept, too.
func TestCloseKeepsAndNames(t *testing.T) {
	b, d := opened(t, "old\n", Settings{})
	write(t, b.dir, "b.yaml", "b\n")
	b.document(t, "b.yaml")
	must(t)(d.Write(1, "mine\n", "w"))
	unsaved, err := b.Close()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"a.yaml"}, unsaved); diff != "" {
		t.Errorf("unsaved (-want +got):\n%s", diff)
	}
	if s := open(t, b.dir, Settings{}).document(t, "a.yaml").State(); s.Text != "mine\n" || !s.Recovered {
		t.Errorf("state %+v, want the work", s)
	}
}

// TestBrokenCopyIsSaid: a copy that cannot be read stays, and the file opens.
func TestBrokenCopyIsSaid(t *testing.T) {
	for name, text := range map[string]string{"no JSON": "half a", "another form": `{"format":9,"text":"x"}`} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "a.yaml", "a\n")
			if err := os.Mkdir(filepath.Join(dir, hiddenFolder), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(unsavedFile(dir), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			b := open(t, dir, Settings{})
			if s := b.document(t, "a.yaml").State(); s.Text != "a\n" || s.Recovered {
				t.Errorf("state %+v", s)
			}
			if len(b.warnings) == 0 {
				t.Error("nobody was told")
			}
			awaitFile(t, unsavedFile(dir), true)
		})
	}
}
