package document

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// ways are the two ways of hearing of changes on disk.
var ways = map[string]Settings{
	"the system tells": {Poll: time.Hour},
	"looking":          {Polling: true, Poll: 20 * time.Millisecond},
}

// replace writes a file as many editors do: aside, and then under its name.
func replace(t *testing.T, dir, name, text string) {
	t.Helper()
	write(t, dir, name+"~", text)
	if err := os.Rename(filepath.Join(dir, name+"~"), filepath.Join(dir, name)); err != nil {
		t.Fatal(err)
	}
}

// TestDiskIsFollowed: a working copy without changes of its own is what is on disk.
func TestDiskIsFollowed(t *testing.T) {
	for name, s := range ways {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "old\n", s)
			write(t, b.dir, "a.yaml", "written\n")
			got := await(t, d, "as written", func(s State) bool { return s.Text == "written\n" })
			if got.Version != 2 || !got.Saved || got.Disk != Same || got.EditedBy != ByDisk || got.Undo != 1 {
				t.Errorf("state %+v", got)
			}
			replace(t, b.dir, "a.yaml", "replaced\n")
			await(t, d, "as replaced", func(s State) bool { return s.Text == "replaced\n" && s.Saved })
			if err := os.Remove(filepath.Join(b.dir, "a.yaml")); err != nil {
				t.Fatal(err)
			}
			gone := await(t, d, "without file", func(s State) bool { return s.Disk == Gone })
			if gone.Text != "replaced\n" || gone.Saved {
				t.Errorf("state %+v, want the text kept and unsaved", gone)
			}
			write(t, b.dir, "a.yaml", "again\n")
			await(t, d, "as it came again", func(s State) bool { return s.Text == "again\n" && s.Saved && s.Disk == Same })
		})
	}
}

// TestOwnWorkIsKept: what is on disk does not take the place of unsaved work.
func TestOwnWorkIsKept(t *testing.T) {
	for name, s := range ways {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "old\n", s)
			must(t)(d.Write(1, "mine\n", "w"))
			replace(t, b.dir, "a.yaml", "theirs\n")
			got := await(t, d, "beside another file", func(s State) bool { return s.Disk == Changed })
			if got.Text != "mine\n" || got.Saved || got.Version != 2 {
				t.Errorf("state %+v, want mine kept", got)
			}
			replace(t, b.dir, "a.yaml", "mine\n")
			await(t, d, "the same as the file", func(s State) bool { return s.Disk == Same && s.Saved })
		})
	}
}

// TestFileThatIsNoTextAnyMore: the working copy stays as it is, is no longer
// saved, and comes back with the file.
func TestFileThatIsNoTextAnyMore(t *testing.T) {
	for name, s := range ways {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "old\n", s)
			for what, raw := range map[string]string{"other bytes": "gr\xfc\xdfe: 1\n", "too much": strings.Repeat("#\n", 1<<20)} {
				replace(t, b.dir, "a.yaml", raw)
				got := await(t, d, "of a file with "+what, func(s State) bool { return s.Disk == Unreadable })
				if got.Text != "old\n" || got.Saved || got.Version != 1 {
					t.Errorf("%s: state %+v, want the text kept and unsaved", what, got)
				}
				if text, exists := d.OnDisk(); exists {
					t.Errorf("%s: the text on disk is %q", what, text)
				}
				replace(t, b.dir, "a.yaml", "old\n")
				await(t, d, "as before", func(s State) bool { return s.Disk == Same && s.Saved && s.Version == 1 })
			}
			replace(t, b.dir, "a.yaml", "gr\xfc\xdfe: 1\n")
			await(t, d, "of another file", func(s State) bool { return s.Disk == Unreadable })
			replace(t, b.dir, "a.yaml", "theirs\n")
			await(t, d, "as written", func(s State) bool { return s.Disk == Same && s.Saved && s.Text == "theirs\n" })
			if err := os.Remove(filepath.Join(b.dir, "a.yaml")); err != nil {
				t.Fatal(err)
			}
			if err := os.Mkdir(filepath.Join(b.dir, "a.yaml"), 0o755); err != nil {
				t.Fatal(err)
			}
			await(t, d, "without file", func(s State) bool { return s.Disk == Gone && !s.Saved })
			if len(b.warnings) > 0 {
				t.Errorf("warnings %v", b.warnings)
			}
		})
	}
}

// TestUnsavedWorkBesideNoText: work that was kept is opened although its file is
// no text any more.
func TestUnsavedWorkBesideNoText(t *testing.T) {
	b, d := opened(t, "old\n", ways["the system tells"])
	must(t)(d.Write(1, "mine\n", "w"))
	if _, err := b.Close(); err != nil {
		t.Fatal(err)
	}
	write(t, b.dir, "a.yaml", "gr\xfc\xdfe: 1\n")
	again := open(t, b.dir, Settings{}).document(t, "a.yaml")
	if s := again.State(); s.Text != "mine\n" || !s.Recovered || s.Saved || s.Disk != Unreadable || s.Undo != 0 {
		t.Errorf("state %+v", s)
	}
	var disk *DiskError
	if _, err := again.Save(1, false); !errors.As(err, &disk) {
		t.Errorf("error %v, want that the file is another", err)
	}
	must(t)(again.Save(1, true))
	if got := onDisk(t, b.dir, "a.yaml"); got != "mine\n" {
		t.Errorf("the file holds %q", got)
	}
}

func TestRenamedFileIsGone(t *testing.T) {
	b, d := opened(t, "old\n", ways["the system tells"])
	if err := os.Rename(filepath.Join(b.dir, "a.yaml"), filepath.Join(b.dir, "b.yaml")); err != nil {
		t.Fatal(err)
	}
	await(t, d, "without file", func(s State) bool { return s.Disk == Gone && !s.Saved })
	must(t)(d.Save(1, false))
	if got := onDisk(t, b.dir, "a.yaml") + onDisk(t, b.dir, "b.yaml"); got != "old\nold\n" {
		t.Errorf("the files hold %q", got)
	}
}

// TestFilesBeside: a change of a file on which the design depends is a new version.
func TestFilesBeside(t *testing.T) {
	for name, s := range ways {
		t.Run(name, func(t *testing.T) {
			b, d := opened(t, "a\n", s)
			write(t, b.dir, "parts.yaml", "one\n")
			d.Follow([]string{"parts.yaml", "none.yaml", "../outside.yaml"})
			replace(t, b.dir, "parts.yaml", "two, and longer\n")
			s := await(t, d, "of a new version", func(s State) bool { return s.Version == 2 })
			if s.Text != "a\n" || !s.Saved || s.Undo != 0 {
				t.Errorf("state %+v, want the text as it was", s)
			}
			write(t, b.dir, "none.yaml", "now it is\n")
			await(t, d, "of a new version", func(s State) bool { return s.Version == 3 })
		})
	}
}
