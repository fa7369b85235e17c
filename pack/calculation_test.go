package pack

import (
	"bytes"
	"strings"
	"testing"
)

// TestReportHoldsEveryCheck: nothing that was judged, and nothing that was not,
// may be missing from the report.
func TestReportHoldsEveryCheck(t *testing.T) {
	s := source(t, "crate-portal", "faulty.yaml")
	var b bytes.Buffer
	if err := s.Calculation().HTML(&b); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for _, c := range s.Assessment.Checks {
		if !strings.Contains(text, `id="`+c.ID+`"`) {
			t.Errorf("check %s is missing", c.ID)
		}
	}
	for _, n := range s.Assessment.NotChecked {
		if !strings.Contains(text, n.What) {
			t.Errorf("not checked, and not said: %s", n.What)
		}
	}
	if !strings.Contains(text, NotReleased) {
		t.Error("a design with checks over is not marked")
	}
	for _, foreign := range []string{"<script", "http://", "https://"} {
		if strings.Contains(strings.ReplaceAll(text, "http://www.w3.org/2000/svg", ""), foreign) {
			t.Errorf("the page refers to %q", foreign)
		}
	}
}
