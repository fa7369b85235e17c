package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"spanwright/examples"
	"spanwright/search"
)

// TestOneSearchOfAFolder: while a search has a folder no other one begins with it;
// what a killed one leaves stands in nobody's way, and can be continued.
func TestOneSearchOfAFolder(t *testing.T) {
	file := starter(t, examples.Starters[0])
	f := searchFlags{out: filepath.Join(t.TempDir(), "found")}
	a := newApp(nil, io.Discard, io.Discard)
	p, _, opts, err := a.prepare(file, f)
	if err != nil {
		t.Fatal(err)
	}
	first, err := openState(f, p.text, p.Problem, opts)
	if err != nil {
		t.Fatal(err)
	}
	first.learn(search.Outcome{Key: "0.0"})
	for _, resume := range []bool{false, true} {
		f.resume = resume
		if _, err := openState(f, p.text, p.Problem, opts); err == nil || !strings.Contains(err.Error(), "another search is writing into "+f.out) {
			t.Errorf("a second search, resume %v: %v", resume, err)
		}
	}
	if _, err := first.file.WriteString(`{"key": "0.1", "sta`); err != nil { // the line at which it is killed
		t.Fatal(err)
	}
	first.close()
	again, err := openState(f, p.text, p.Problem, opts)
	if err != nil {
		t.Fatal(err)
	}
	if _, known := again.known["0.0"]; !known || len(again.known) != 1 {
		t.Errorf("known %v, want 0.0", again.known)
	}
	again.learn(search.Outcome{Key: "0.2"})
	again.close()
	text, err := os.ReadFile(statePath(f.out))
	if err != nil {
		t.Fatal(err)
	}
	if lines := strings.Split(strings.TrimSpace(string(text)), "\n"); len(lines) != 3 || !strings.HasPrefix(lines[2], `{"key":"0.2"`) {
		t.Errorf("the state holds %q", lines)
	}
}

// TestFolderThatCannotBe: what is wrong with -o is said with the file, the reason
// and what would do.
func TestFolderThatCannotBe(t *testing.T) {
	file := starter(t, examples.Starters[0])
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "letter"), "dear")
	if err := os.MkdirAll(filepath.Join(dir, "taken.search"), 0o755); err != nil { // no file can be made of that name
		t.Fatal(err)
	}
	tests := map[string]struct{ out, want string }{
		"no name":          {".", "give it a name, e.g. -o found"},
		"in no folder":     {filepath.Join(dir, "gone", "found"), "is not there; make it first"},
		"a file":           {filepath.Join(dir, "letter"), "letter is a file; -o takes a folder that is new"},
		"state unwritable": {filepath.Join(dir, "taken"), "; a search keeps files beside the folder of -o"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			stdout, stderr, code := output(t, "search", file, "-o", c.out)
			if code != exitInput || stdout != "" || !strings.Contains(stderr, c.want) || strings.Contains(stderr, "open ") {
				t.Errorf("exit %d, %q, want %d and %q", code, stderr, exitInput, c.want)
			}
		})
	}
}
