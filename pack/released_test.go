package pack

import (
	"bytes"
	"path"
	"testing"
)

// TestNotReleasedEverywhere: what leaves the office singly says so itself. In
// compressed files (PDF, workbook) other tests look.
func TestNotReleasedEverywhere(t *testing.T) {
	for file, released := range map[string]bool{"gantry.yaml": true, "faulty.yaml": false} {
		s := source(t, "crate-portal", file)
		if s.Released() != released {
			t.Fatalf("%s: released %v", file, s.Released())
		}
		files, err := Files(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			switch path.Ext(f.Name) {
			case ".csv", ".html", ".svg", ".dxf", ".step", ".glb", ".urdf":
			default:
				continue
			}
			var b bytes.Buffer
			if err := f.Write(&b); err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			if bytes.Contains(b.Bytes(), []byte(NotReleased)) == released {
				t.Errorf("%s of %s: the mark is wrong", f.Name, file)
			}
		}
	}
}
