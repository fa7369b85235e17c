package document

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCheckName(t *testing.T) {
	names := map[string]bool{
		"a.yaml": true, "a.yml": true, "A.YAML": true, "sub/b c.yaml": true, "grüße.yaml": true, "a.b.yaml": true,
		"": false, ".": false, "..": false, "/": false, "a": false, "a.txt": false, "a.yaml/": false, "/a.yaml": false,
		"../a.yaml": false, "sub/../a.yaml": false, "sub/../../a.yaml": false, "./a.yaml": false, "sub//a.yaml": false,
		`..\a.yaml`: false, `sub\a.yaml`: false, `C:\a.yaml`: false, "C:a.yaml": false, "a.yaml:stream.yaml": false,
		"a\x00.yaml": false, "a.yaml\x00": false, "a\n.yaml": false, "a\x7f.yaml": false, "a\xff.yaml": false,
		".yaml": false, ".hidden.yaml": false, ".spanwright/a.yaml": false, "sub/.git/a.yaml": false, " a.yaml": false, "sub./a.yaml": false,
		"a?.yaml": false, "*.yaml": false, "%2e%2e/a.yaml": true, // a name like any other
		strings.Repeat("a", 500) + ".yaml": false,
	}
	for name, want := range names {
		if err := CheckName(name); (err == nil) != want || err != nil && !errors.Is(err, ErrName) {
			t.Errorf("%q: error %v, want allowed %v", name, err, want)
		}
	}
}

// TestNothingOutsideIsReached: no link leads out of the folder, neither for
// reading nor for writing.
func TestNothingOutsideIsReached(t *testing.T) {
	outside := t.TempDir()
	write(t, outside, "secret.yaml", "secret\n")
	dir := t.TempDir()
	write(t, dir, "a.yaml", "a\n")
	for link, to := range map[string]string{
		"file.yaml": filepath.Join(outside, "secret.yaml"), "folder": outside, "none.yaml": filepath.Join(outside, "new.yaml"),
	} {
		if err := os.Symlink(to, filepath.Join(dir, link)); err != nil {
			t.Skipf("this system makes no links: %v", err)
		}
	}
	b := open(t, dir, Settings{})
	for _, name := range []string{"file.yaml", "folder/secret.yaml", "none.yaml"} {
		if d, err := b.Document(name); err == nil {
			t.Errorf("%s was opened: %+v", name, d.State())
		}
		if _, err := b.Create(name, "x\n", "w"); err == nil {
			t.Errorf("%s was created", name)
		}
	}
	if _, err := b.Create("folder/new.yaml", "x\n", "w"); err == nil {
		t.Error("a file was created behind a link")
	}
	entries, err := os.ReadDir(outside)
	if err != nil || len(entries) != 1 || onDisk(t, outside, "secret.yaml") != "secret\n" {
		t.Errorf("outside there is now %v (%v)", entries, err)
	}
	var listed []string
	for _, e := range b.List() {
		listed = append(listed, e.File)
	}
	if diff := cmp.Diff([]string{"a.yaml"}, listed); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
}

// TestHiddenFolderThatLeadsOut: not even unsaved work is written through a link.
func TestHiddenFolderThatLeadsOut(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	write(t, dir, "a.yaml", "a\n")
	if err := os.Symlink(outside, filepath.Join(dir, hiddenFolder)); err != nil {
		t.Skipf("this system makes no links: %v", err)
	}
	b := open(t, dir, Settings{})
	must(t)(b.document(t, "a.yaml").Write(1, "b\n", "w"))
	if _, err := b.Close(); err != nil {
		t.Error(err)
	}
	if entries, err := os.ReadDir(outside); err != nil || len(entries) > 0 {
		t.Errorf("outside there is now %v (%v)", entries, err)
	}
	if len(b.warnings) == 0 {
		t.Error("nobody was told that the work is not kept")
	}
}

// TestLinkInTheFolderStaysOne: saving through a link changes the file it leads to.
func TestLinkInTheFolderStaysOne(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "sub"), 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "sub/real.yaml", "old\n")
	if err := os.Symlink("sub/real.yaml", filepath.Join(dir, "link.yaml")); err != nil {
		t.Skipf("this system makes no links: %v", err)
	}
	b := open(t, dir, Settings{})
	d := b.document(t, "link.yaml")
	must(t)(d.Write(1, "new\n", "w"))
	must(t)(d.Save(2, false))
	if got := onDisk(t, dir, "sub/real.yaml"); got != "new\n" {
		t.Errorf("the file holds %q", got)
	}
	if info, err := os.Lstat(filepath.Join(dir, "link.yaml")); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link became %v (%v)", info.Mode(), err)
	}
}

func TestWhatIsNoText(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "latin.yaml", "gr\xfc\xdfe: 1\n")
	write(t, dir, "large.yaml", strings.Repeat("#\n", 1<<20))
	if err := os.Mkdir(filepath.Join(dir, "folder.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	b := open(t, dir, Settings{})
	for name, want := range map[string]error{"latin.yaml": ErrNotText, "large.yaml": ErrTooLarge, "folder.yaml": ErrNoFile, "none.yaml": ErrGone} {
		if _, err := b.Document(name); !errors.Is(err, want) {
			t.Errorf("%s: error %v, want %v", name, err, want)
		}
	}
}

func TestList(t *testing.T) {
	dir := t.TempDir()
	for _, folder := range []string{"sub", ".git", "node_modules", "sub/.spanwright"} {
		if err := os.MkdirAll(filepath.Join(dir, folder), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{
		"b.yaml": "spanwright: 1\nmachine: 'the: second'\n", "parts.yaml": "spanwright_parts: 1\n", "sub/c.yml": "\uFEFFspanwright: 1\nmachine: third # so\n",
		".git/d.yaml": "spanwright: 1\n", "node_modules/e.yaml": "spanwright: 1\n", "notes.txt": "spanwright: 1\n", "odd.yaml": "spanwright: 1\nmachine: [\n",
		"sub/.spanwright/left.yaml.unsaved": `{"format":1,"text":"spanwright: 1\n","base":"","fresh":true}`,
	} {
		write(t, dir, name, text)
	}
	b := open(t, dir, Settings{})
	if _, err := b.Create("a.yaml", "spanwright: 1\nmachine: first\n", "w"); err != nil {
		t.Fatal(err)
	}
	var got []Entry
	for _, e := range b.List() {
		e.Modified = e.Modified.Truncate(0)
		if (e.Modified.IsZero()) != (e.File == "a.yaml" || e.File == "sub/left.yaml") {
			t.Errorf("%s: modified %v", e.File, e.Modified)
		}
		got = append(got, Entry{File: e.File, Machine: e.Machine, Designs: e.Designs, Unsaved: e.Unsaved})
	}
	want := []Entry{
		{"a.yaml", "first", true, true, got[0].Modified}, {"b.yaml", "the: second", true, false, got[0].Modified}, {"odd.yaml", "", true, false, got[0].Modified},
		{"sub/c.yml", "third", true, false, got[0].Modified}, {"sub/left.yaml", "", true, true, got[0].Modified}, {"parts.yaml", "", false, false, got[0].Modified},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
}
