package variant

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"spanwright/serve/document"
)

func store(t *testing.T, dir string) *Store {
	t.Helper()
	folder, err := document.Open(dir, document.Settings{Most: 1 << 20})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { folder.Close() })
	clock := time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)
	return NewStore(folder, func() time.Time { clock = clock.Add(time.Second); return clock })
}

// TestVariantsOutliveTheRun: what one run kept, the next one finds.
func TestVariantsOutliveTheRun(t *testing.T) {
	dir := t.TempDir()
	s := store(t, dir)
	var want []Variant
	for i, name := range []string{"first", " second ", "grüße"} {
		v, err := s.Add("a.yaml", name, fmt.Sprintf("text %d\n", i), i+1, json.RawMessage(`{"mass_kg":1}`))
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, v)
	}
	if _, err := s.Add("b.yaml", "of another file", "x", 1, nil); err != nil {
		t.Fatal(err)
	}
	again := store(t, dir)
	got, err := again.List("a.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("variants (-want +got):\n%s", diff)
	}
	if v, text, err := again.Text("a.yaml", want[1].ID); err != nil || text != "text 1\n" || v.Name != "second" {
		t.Errorf("variant %+v, text %q, error %v", v, text, err)
	}
	if err := again.Remove("a.yaml", want[1].ID); err != nil {
		t.Fatal(err)
	}
	if _, _, err := again.Text("a.yaml", want[1].ID); !errors.Is(err, ErrNone) {
		t.Errorf("error %v, want that it is gone", err)
	}
	if got, err := again.List("a.yaml"); err != nil || len(got) != 2 {
		t.Errorf("%d variants are left (%v), want 2", len(got), err)
	}
}

func TestRefusals(t *testing.T) {
	s := store(t, t.TempDir())
	for _, name := range []string{"", "  ", strings.Repeat("n", longestName+1)} {
		if _, err := s.Add("a.yaml", name, "x", 1, nil); !errors.Is(err, ErrName) {
			t.Errorf("name %q: error %v", name, err)
		}
	}
	if _, err := s.Add("../a.yaml", "n", "x", 1, nil); !errors.Is(err, document.ErrName) {
		t.Errorf("error %v, want that the file is refused", err)
	}
	for _, id := range []string{"", "..", "../../../x", "abcdefghi", "ABCDEFGHIJ", "aaaaaaaaaa"} {
		if _, _, err := s.Text("a.yaml", id); !errors.Is(err, ErrNone) {
			t.Errorf("id %q: error %v", id, err)
		}
		if err := s.Remove("a.yaml", id); !errors.Is(err, ErrNone) {
			t.Errorf("id %q: error %v", id, err)
		}
	}
	for i := range most {
		if _, err := s.Add("a.yaml", "n", "x", i, nil); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.Add("a.yaml", "n", "x", 1, nil); !errors.Is(err, ErrMany) {
		t.Errorf("error %v, want that there are too many", err)
	}
}

// TestBrokenFilesAreLeftOut: a list does not fail because of one of them.
func TestBrokenFilesAreLeftOut(t *testing.T) {
	dir := t.TempDir()
	s := store(t, dir)
	v, err := s.Add("a.yaml", "whole", "x", 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	for id, text := range map[string]string{"bbbbbbbbbb": "half", "cccccccccc": `{"format":2,"id":"cccccccccc"}`} {
		if err := os.WriteFile(filepath.Join(dir, ".spanwright", "a.yaml."+id+".variant"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.List("a.yaml")
	if err != nil || len(got) != 1 || got[0].ID != v.ID {
		t.Errorf("variants %+v, error %v", got, err)
	}
	if _, _, err := s.Text("a.yaml", "bbbbbbbbbb"); err == nil || errors.Is(err, ErrNone) {
		t.Errorf("error %v, want that it cannot be read", err)
	}
}

// TestNoHeadlineHasAReason: a variant of which nothing is known says so, when it
// is kept and when it is listed.
func TestNoHeadlineHasAReason(t *testing.T) {
	s := store(t, t.TempDir())
	kept, err := s.Add("a.yaml", "x", "text\n", 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.List("a.yaml")
	if err != nil || len(list) != 1 {
		t.Fatalf("variants %+v, error %v", list, err)
	}
	for _, v := range []Variant{kept, list[0]} {
		raw, err := json.Marshal(v)
		if err != nil || !strings.Contains(string(raw), `"headline":null`) || v.Reason == "" {
			t.Errorf("%s (%v)", raw, err)
		}
	}
}
