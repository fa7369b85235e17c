package verification

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write docs/verification.md")

// TestPageIsCurrent: the committed page says what the program computes today.
func TestPageIsCurrent(t *testing.T) {
	file := filepath.Join("..", "docs", "verification.md")
	page, err := Page()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	committed, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(committed), "\n"), strings.Split(page, "\n")); diff != "" {
		t.Errorf("docs/verification.md is out of date, run go test ./verification -update (-committed +now):\n%s", diff)
	}
}

// TestPageShowsDifferences: what fails or is missing cannot look like a pass.
func TestPageShowsDifferences(t *testing.T) {
	tests := map[string]struct {
		file                           string
		want, got                      any
		missing                        bool
		shown, difference, allowedText string
	}{
		"equal":            {"drives", 2.0, 2.0, false, "2", "< 1e-09", "1e-06"},
		"within":           {"drives", 2.0, 2.000001, false, "2", "5e-07", "1e-06"},
		"outside":          {"drives", 2.0, 2.1, false, "2.1", "**0.05**", "1e-06"},
		"zero":             {"drives", 0.0, 3e-17, false, "≈ 0", "< 1e-10 abs", "1e-09 abs"},
		"not zero":         {"drives", 0.0, 0.5, false, "0.5", "**0.5 abs**", "1e-09 abs"},
		"missing":          {"drives", 2.0, nil, true, "missing", "**not computed**", ""},
		"word":             {"drives", "rigid", "rigid", false, "rigid", "none", "none"},
		"another word":     {"drives", "rigid", "pinned", false, "pinned", "**differs**", "none"},
		"number for word":  {"drives", 1.0, "infinite", false, "infinite", "**differs**", ""},
		"absolute governs": {"structure", 1e-13, 3e-13, false, "≈ 0", "2e-13 abs", "1e-12 abs"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			c := Case{File: tt.file, TolRel: 1e-6, Expected: Values{"x": tt.want}}
			got := Values{"x": tt.got}
			if tt.missing {
				got = Values{}
			}
			_, shown, difference, allowed := c.show(c.Compare(got)[0])
			if diff := cmp.Diff([]string{tt.shown, tt.difference, tt.allowedText}, []string{shown, difference, allowed}); diff != "" {
				t.Error(diff)
			}
		})
	}
}
