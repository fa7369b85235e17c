package answer

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/diag"
	"spanwright/ledger"
	"spanwright/machine"
)

func judged(id string, value float64) ledger.Check {
	c := ledger.Check{ID: id, Value: value, Limit: 1}
	c.Judge(0.85)
	return c
}

// TestSummarySpeaksOfTheChosenChecks: what was not asked for neither counts nor governs.
func TestSummarySpeaksOfTheChosenChecks(t *testing.T) {
	all := []ledger.Check{judged("a", 2), judged("b", 1.5), judged("c", 0.9), judged("d", 0.1)}
	d, _ := design.Parse("x.yaml", []byte("machine: x\n"))
	a := &assess.Assessment{Machine: &machine.Machine{Design: d}, Checks: all, Counts: ledger.Count(all)}
	tests := map[string]struct {
		chosen []ledger.Check
		want   Summary
	}{
		"all":              {all, Summary{ledger.Over, ledger.Counts{Over: 2, Tight: 1, OK: 1}, []string{"a", "b"}}},
		"one that is over": {all[1:2], Summary{ledger.Over, ledger.Counts{Over: 1}, []string{"b"}}},
		"one that is ok":   {all[3:], Summary{ledger.OK, ledger.Counts{OK: 1}, []string{}}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, OfCheck(a, c.chosen, "x.yaml").Summary); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestEmptyListsAreLists: a reader may count on arrays.
func TestEmptyListsAreLists(t *testing.T) {
	d, _ := design.Parse("x.yaml", []byte("machine: x\n"))
	a := &assess.Assessment{Machine: &machine.Machine{Design: d}}
	text, err := json.Marshal(OfCheck(a, nil, "x.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"checks", "assumptions", "not_checked", "governing"} {
		if !strings.Contains(string(text), `"`+key+`":[]`) {
			t.Errorf("%s is not an empty array", key)
		}
	}
}

func TestRefusal(t *testing.T) {
	var b strings.Builder
	list := diag.List{{Pos: diag.Pos{File: "a.yaml", Line: 3, Column: 5}, Code: "unit-kind", Message: "m"}}
	if err := Write(&b, OfRefusal(list)); err != nil {
		t.Fatal(err)
	}
	want := `{
  "format": 1,
  "tool": {
    "name": "spanwright",
    "version": "` + NewHead().Tool.Version + `"
  },
  "diagnostics": [
    {
      "file": "a.yaml",
      "line": 3,
      "column": 5,
      "code": "unit-kind",
      "message": "m"
    }
  ]
}
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}
