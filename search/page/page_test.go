package page

import (
	"regexp"
	"strings"
	"testing"

	"spanwright/assess"
	"spanwright/search"
)

func shown(t *testing.T, machine string) string {
	t.Helper()
	found := []search.Found{{Outcome: search.Outcome{
		Choice: search.Choice{Axes: []search.AxisChoice{{Drive: search.Drive{Part: "belt-axis-60", Motor: "servo-400", Gear: "none"}}}},
		Values: search.Values{Cost: 5228.4, Mass: 155.82, Cycle: 7.193, Sag: assess.Number(0.0001963), Frequency: 5.621}, Margin: 0.031,
	}, Chance: &search.Chance{Runs: 20, Passed: 19, Worst: "tool.settle"}}}
	var b strings.Builder
	if err := Of(machine, found, []string{"01.yaml"}, []string{"Some were left."}).Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestTableSaysItWithoutTheScript: everything of the picture stands in the table.
func TestTableSaysItWithoutTheScript(t *testing.T) {
	text := shown(t, "portal")
	table := text[strings.Index(text, "<table>"):strings.Index(text, "</table>")]
	for _, want := range []string{`<a href="01.yaml">`, "<td>5228</td>", "<td>155.8 kg</td>", "<td>7.193 s</td>", "<td>0.1963 mm</td>", "<td>5.621 Hz</td>", "<td>3.1 %</td>", "<td>95 %; most often over: tool.settle</td>"} {
		if !strings.Contains(table, want) {
			t.Errorf("%s is not in the table:\n%s", want, table)
		}
	}
	if !strings.Contains(text, "Some were left.") || !strings.Contains(text, "ISO 12100") {
		t.Error("how the front came about, or the caution, is missing")
	}
}

// TestPageNeedsNothingElse: no address, no file but the designs beside it.
func TestPageNeedsNothingElse(t *testing.T) {
	text := shown(t, "portal")
	if found := regexp.MustCompile(`(?i)https?:|//[a-z]|@import|<link|<img|src=`).FindString(text); found != "" {
		t.Errorf("%q leads out of the page", found)
	}
}

// TestNamesAreText: what a user writes stays text.
func TestNamesAreText(t *testing.T) {
	if text := shown(t, `<script>alert("x")</script>`); strings.Contains(text, `<script>alert`) {
		t.Error("the name of the machine became markup")
	}
}
