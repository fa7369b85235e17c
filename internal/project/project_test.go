package project

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"spanwright/examples"
)

// beltPart is a part file with one part, and a broken one.
const (
	brakePart  = "spanwright_parts: 1\nbrake:\n  hold-brake-4:\n    torque: 6 N m\n    apply_time: 30 ms\n"
	brokenPart = "spanwright_parts: 1\nbrake:\n  hold-brake-4:\n    torque: 6 mm\n    apply_time: 30 ms\n"
)

func starter(t *testing.T, more string) *fstest.MapFile {
	t.Helper()
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	return &fstest.MapFile{Data: append(text, more...)}
}

func TestOpen(t *testing.T) {
	p, list := Open(fstest.MapFS{"a.yaml": starter(t, "")}, "honey", "a.yaml")
	if len(list) > 0 {
		t.Fatal(list)
	}
	if p.Machine == nil || p.File() != "honey/a.yaml" {
		t.Errorf("machine %v, file %q", p.Machine != nil, p.File())
	}
}

func TestPartFilesWin(t *testing.T) {
	files := fstest.MapFS{"a.yaml": starter(t, "parts: [data/brakes.yaml]\n"), "data/brakes.yaml": {Data: []byte(brakePart)}}
	p, list := Open(files, "", "a.yaml")
	if len(list) > 0 {
		t.Fatal(list)
	}
	brake, ok := p.Catalogue.Brake("hold-brake-4")
	if !ok || brake.Torque != 6 || brake.Representative {
		t.Errorf("brake %+v, want the supplier's", brake)
	}
}

// TestMistakesNameTheUsersFiles: every place begins with the folder, and its
// text is at hand for the excerpt.
func TestMistakesNameTheUsersFiles(t *testing.T) {
	tests := map[string]struct {
		files fstest.MapFS
		want  []string // file:line and the code
	}{
		"no such file":                  {fstest.MapFS{}, []string{"honey/a.yaml [file-read]"}},
		"a mistake in the parts":        {fstest.MapFS{"a.yaml": starter(t, "parts: [b.yaml]\n"), "b.yaml": {Data: []byte(brokenPart)}}, []string{"honey/b.yaml:4:13 [unit-kind]"}},
		"a part file that is not there": {fstest.MapFS{"a.yaml": starter(t, "parts: [b.yaml]\n")}, []string{"honey/a.yaml [part-file-missing]"}},
		"a part file outside":           {fstest.MapFS{"a.yaml": starter(t, "parts: [../b.yaml]\n")}, []string{"honey/a.yaml [part-file-place]"}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			p, list := Open(c.files, "honey", "a.yaml")
			var got []string
			for _, d := range list {
				at := d.Pos.String()
				if d.File == "honey/a.yaml" {
					at = d.File // its lines move with the example
				}
				got = append(got, at+" ["+string(d.Code)+"]")
				if d.Line > 0 && !strings.Contains(string(p.Source(d.File)), d.Value) {
					t.Errorf("the text of %s is not at hand", d.File)
				}
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
			if p.Machine != nil {
				t.Error("a machine was built in spite of the mistakes")
			}
		})
	}
}

func TestLinkOutOfTheFolderIsNotFollowed(t *testing.T) {
	dir := t.TempDir()
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	for _, err := range []error{
		root.Mkdir("design", 0o755),
		root.WriteFile("secret.yaml", []byte(brakePart), 0o644),
		root.WriteFile("design/a.yaml", starter(t, "parts: [b.yaml]\n").Data, 0o644),
		root.Symlink("../secret.yaml", "design/b.yaml"),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	p, list := Open(os.DirFS(dir+"/design"), "", "a.yaml")
	if len(list) == 0 || p.Source("b.yaml") != nil {
		t.Errorf("mistakes %v, text read %v; the link leads out of the folder", list, p.Source("b.yaml") != nil)
	}
}
