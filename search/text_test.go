package search

import (
	"context"
	"strings"
	"testing"

	"spanwright/design"
	"spanwright/ledger"
)

// TestFoundDesigns: each design on the front is a whole file that passes; what
// the user wrote stands in it as it was.
func TestFoundDesigns(t *testing.T) {
	task := strings.Replace(smallTask, "stand: #", "axes:\n  x:\n    motor: servo-400 # from stock\n  z:\nequipment:\n  control: {reaction: 20 ms} # measured\nstand: #", 1)
	p := problem(t, task)
	r := searched(t, p, smallSpace(p), Options{Drives: 1, Joins: 1, Most: 4})
	found, err := r.Found(context.Background(), 2, func(Outcome) string { return "first line\nsecond line" })
	if err != nil {
		t.Fatal(err)
	}
	if len(found) == 0 {
		t.Fatal("nothing was found")
	}
	for _, f := range found {
		text := string(f.Text)
		for _, kept := range []string{"# first line\n# second line\n", "motor: servo-400 # from stock", "reaction: 20 ms", "# measured", "span: 1.4 m", "# a free-standing portal must not tip along its length"} {
			if !strings.Contains(text, kept) {
				t.Errorf("%q is not in the design:\n%s", kept, text)
			}
		}
		d, list := design.Parse("found.yaml", f.Text)
		if len(list) > 0 {
			t.Fatalf("%v\n%s", list, text)
		}
		if d.Axes[0].Motor != "servo-400" || d.Equipment.Control.Reaction != 0.02 || d.Stand.Generate.Span != 1.4 {
			t.Errorf("what was settled has changed:\n%s", text)
		}
		if v := f.Assessment.Counts.Verdict(); v != ledger.OK && v != ledger.Tight {
			t.Errorf("the design is %s", v)
		}
	}
	c, err := r.Sample(context.Background(), found[0].Assessment.Machine, 4, 7)
	if err != nil {
		t.Fatal(err)
	}
	if c.Runs != 4 || c.Passed != 4 { // it passes at the unfavourable end of every range
		t.Errorf("%d of %d draws pass: %v", c.Passed, c.Runs, c.Fails)
	}
}
