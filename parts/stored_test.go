package parts

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"spanwright/section"
)

var update = flag.Bool("update", false, "rewrite the stored sections and the reference page")

// costly tells whether the section takes so long that the test leaves torsion
// and shear to -update and compares outline, area and second moments only. The
// same method computes them for all others.
func costly(p *Profile) bool { return p.Slots != nil && p.Slots.NX*p.Slots.NY > 4 }

// TestStoredSections computes the sections of the embedded profiles again.
func TestStoredSections(t *testing.T) {
	c := Embedded()
	profiles := c.List("profile")
	hash, computed := make([]string, len(profiles)), make([]section.Properties, len(profiles))
	var wait sync.WaitGroup
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, p := range profiles {
		wait.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			o, err := p.(*Profile).Outline()
			if err != nil {
				t.Errorf("%s: %v", p.Base().ID, err)
				return
			}
			hash[i] = o.Hash()
			if m := o.Moments(); costly(p.(*Profile)) && !*update {
				computed[i] = section.Properties{Area: m.Area, Iy: m.Iy, Iz: m.Iz}
				return
			}
			if computed[i], err = section.Compute(o); err != nil {
				t.Errorf("%s: %v", p.Base().ID, err)
			}
		})
	}
	wait.Wait()
	if t.Failed() {
		return
	}
	if *update {
		var b bytes.Buffer
		for i, p := range profiles {
			line, err := json.Marshal(computed[i])
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&b, "%s %s %s\n", hash[i], p.Base().ID, line)
		}
		if err := os.WriteFile("sections.gen.txt", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	// Processors may fuse products and sums, so last digits differ between
	// machines; the solver's own bracket is 0.1 %.
	near := cmpopts.EquateApprox(1e-6, 1e-15)
	if c.sections.outlines[hash[0]] == "" && c.sections.outlines[hash[len(hash)-1]] == "" {
		t.Fatal("the outlines or the method of package section have changed; run go generate ./parts")
	}
	for i, p := range profiles {
		id := p.Base().ID
		if was := c.sections.outlines[hash[i]]; was == "" {
			t.Errorf("%s: the outline is not among those stored; run go generate ./parts", id)
			continue
		}
		got, err := c.Properties(p.(*Profile))
		if err != nil {
			t.Errorf("%s: %v", id, err)
			continue
		}
		if costly(p.(*Profile)) {
			got = section.Properties{Area: got.Area, Iy: got.Iy, Iz: got.Iz}
		}
		if diff := cmp.Diff(computed[i], got, near, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s: stored and computed sections differ; run go generate ./parts (-computed +stored):\n%s", id, diff)
		}
	}
	if lines := strings.Count(storedSections, "\n"); lines != len(profiles) {
		t.Errorf("%d sections are stored for %d profiles; run go generate ./parts", lines, len(profiles))
	}
}

// TestReferencePage holds the committed page to the source.
func TestReferencePage(t *testing.T) {
	var b bytes.Buffer
	if err := WriteReference(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("..", "docs", "reference", "parts.md")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(page), b.String()); diff != "" {
		t.Errorf("docs/reference/parts.md is not current; run go test ./parts -update (-page +source):\n%s", diff)
	}
}
