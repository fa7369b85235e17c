package atomicfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// names lists the directory: nothing temporary may be left in it.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestWrite(t *testing.T) {
	broken := errors.New("half way")
	fails := func(w io.Writer) error {
		if _, err := io.WriteString(w, "half"); err != nil {
			return err
		}
		return broken
	}
	tests := map[string]struct {
		before string // text of the file before; "" is none
		mode   Mode
		write  func(io.Writer) error
		err    error
		after  string
		left   []string
	}{
		"a new file":                             {"", New, text("new"), nil, "new", []string{"a.yaml"}},
		"a new file with replace":                {"", Replace, text("new"), nil, "new", []string{"a.yaml"}},
		"an old file is kept":                    {"old", New, text("new"), ErrExists, "old", []string{"a.yaml"}},
		"an old file is replaced":                {"old", Replace, text("new"), nil, "new", []string{"a.yaml"}},
		"a failure leaves nothing":               {"", New, fails, broken, "", nil},
		"a failure leaves the old file":          {"old", Replace, fails, broken, "old", []string{"a.yaml"}},
		"an empty file is a file like any other": {"", New, text(""), nil, "", []string{"a.yaml"}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "a.yaml")
			if c.before != "" {
				if err := os.WriteFile(path, []byte(c.before), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			if err := Write(path, c.mode, c.write); !errors.Is(err, c.err) {
				t.Errorf("error %v, want %v", err, c.err)
			}
			if diff := cmp.Diff(c.left, names(t, dir)); diff != "" {
				t.Errorf("files in the directory (-want +got):\n%s", diff)
			}
			if len(c.left) == 0 {
				return
			}
			got, err := os.ReadFile(path)
			if err != nil || string(got) != c.after {
				t.Errorf("the file holds %q (%v), want %q", got, err, c.after)
			}
		})
	}
}

func TestReplaceKeepsPermissions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	if err := os.WriteFile(path, []byte("old"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := Write(path, Replace, text("new")); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o640 {
		t.Errorf("permissions are %v, want those of the old file", info.Mode().Perm())
	}
}

func TestMissingDirectoryIsAnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gone", "a.yaml")
	if err := Write(path, New, text("x")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error %v, want that the directory does not exist", err)
	}
}

// TestFileThatComesUpMeanwhileIsKept: between the first look and the naming
// somebody else writes the file.
func TestFileThatComesUpMeanwhileIsKept(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.yaml")
	err := Write(path, New, func(w io.Writer) error { return os.WriteFile(path, []byte("theirs"), 0o600) })
	if !errors.Is(err, ErrExists) {
		t.Errorf("error %v, want that the file exists", err)
	}
	got, err := os.ReadFile(path)
	if err != nil || string(got) != "theirs" {
		t.Errorf("the file holds %q (%v), want what was written meanwhile", got, err)
	}
	if diff := cmp.Diff([]string{"a.yaml"}, names(t, dir)); diff != "" {
		t.Errorf("files in the directory (-want +got):\n%s", diff)
	}
}

// TestWriteInStaysInside: no name leads out of the directory.
func TestWriteInStaysInside(t *testing.T) {
	outside, inside := t.TempDir(), t.TempDir()
	if err := os.Symlink(outside, filepath.Join(inside, "link")); err != nil {
		t.Skipf("this system makes no links: %v", err)
	}
	dir, err := os.OpenRoot(inside)
	if err != nil {
		t.Fatal(err)
	}
	defer dir.Close()
	for _, name := range []string{"../a.yaml", "link/a.yaml", "/a.yaml"} {
		if err := WriteIn(dir, name, Replace, text("x")); err == nil {
			t.Errorf("%s was written", name)
		}
	}
	if diff := cmp.Diff([]string(nil), names(t, outside)); diff != "" {
		t.Errorf("files outside (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{"link"}, names(t, inside)); diff != "" {
		t.Errorf("files inside (-want +got):\n%s", diff)
	}
}
