package pack

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// source judges an example.
func source(t testing.TB, example, file string) Source {
	t.Helper()
	d, list := design.Load(os.DirFS("../examples/"+example), file)
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	a, err := assess.Run(context.Background(), m, assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return NewSource(a, "spanwright test")
}

func note(name, text string) File {
	return File{Name: name, About: "a note", Write: func(w io.Writer) error { _, err := io.WriteString(w, text); return err }}
}

func TestWrite(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	dir := filepath.Join(t.TempDir(), "pack")
	first, err := Write(context.Background(), dir, s, []File{note("a.txt", "one"), note("deep/b.txt", "two")}, false)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(filepath.Join(dir, "deep", "b.txt")); err != nil || string(got) != "two" {
		t.Errorf("%q, %v", got, err)
	}
	// sha256 of "one", by any other tool.
	if e := first.Files[0]; e.Bytes != 3 || e.SHA256 != "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed" {
		t.Errorf("manifest says %+v", e)
	}
	if _, err := Write(context.Background(), dir, s, []File{note("a.txt", "three")}, false); err != nil {
		t.Errorf("a pack could not be replaced by a pack: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "deep")); !errors.Is(err, os.ErrNotExist) {
		t.Error("the old pack's files are still there")
	}
}

func TestForeignFilesAreKept(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "mine.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(context.Background(), dir, s, []File{note("a.txt", "one")}, false); !errors.Is(err, ErrForeign) {
		t.Errorf("%v, want ErrForeign", err)
	}
	if got, _ := os.ReadFile(filepath.Join(dir, "mine.txt")); string(got) != "mine" {
		t.Error("a foreign file was touched")
	}
	if _, err := Write(context.Background(), dir, s, []File{note("a.txt", "one")}, true); err != nil {
		t.Errorf("forced: %v", err)
	}
}

func TestFilledInFormsAreKept(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	dir := filepath.Join(t.TempDir(), "pack")
	if _, err := Write(context.Background(), dir, s, []File{note("form.csv", "axis\n")}, false); err != nil {
		t.Fatal(err)
	}
	form := filepath.Join(dir, "form.csv")
	if err := os.WriteFile(form, []byte("axis\nx\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(context.Background(), dir, s, []File{note("form.csv", "axis\n")}, false); !errors.Is(err, ErrForeign) {
		t.Errorf("%v, want ErrForeign", err)
	}
	if got, _ := os.ReadFile(form); string(got) != "axis\nx\n" {
		t.Error("a filled-in form was lost")
	}
}

func TestAnotherProgramsManifest(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "manifest.json"), []byte(`{"name": "site"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Room(dir, false); !errors.Is(err, ErrForeign) {
		t.Errorf("%v, want ErrForeign", err)
	}
}

func TestForceKeepsTheDesign(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "sub", "gantry.yaml")
	if err := os.Mkdir(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte("name: honey\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, dir string
		want      error
	}{
		{"the design's own folder", filepath.Dir(file), ErrForeign},
		{"a folder above it", dir, ErrForeign},
		{"a new folder beside it", filepath.Join(dir, "sub", "pack"), nil},
		{"a folder that cannot be made", filepath.Join(dir, "none", "pack"), ErrNoRoom},
	} {
		if err := Room(c.dir, true, file); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

func TestFailureLeavesNothing(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	parent := t.TempDir()
	dir := filepath.Join(parent, "pack")
	broken := errors.New("disk full")
	files := []File{note("a.txt", "one"), {Name: "b.txt", Write: func(io.Writer) error { return broken }}}
	if _, err := Write(context.Background(), dir, s, files, false); !errors.Is(err, broken) {
		t.Errorf("%v, want %v", err, broken)
	}
	left, err := os.ReadDir(parent)
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
