package verification

import (
	"slices"
	"testing"
)

func cases(t *testing.T) []Case {
	t.Helper()
	all, err := Cases()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		t.Fatal("no cases")
	}
	return all
}

func leftOut(t *testing.T) map[string]string {
	t.Helper()
	list, err := LeftOuts()
	if err != nil {
		t.Fatal(err)
	}
	reasons := map[string]string{}
	for _, group := range list {
		if len(group.Reason) < 20 {
			t.Errorf("left_out.json: %q is no reason", group.Reason)
		}
		for _, id := range group.IDs {
			if _, twice := reasons[id]; twice {
				t.Errorf("left_out.json: %s is listed twice", id)
			}
			reasons[id] = group.Reason
		}
	}
	return reasons
}

func models(t *testing.T) map[string]Model {
	t.Helper()
	all, err := Models()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestCases runs every case that is not left out.
func TestCases(t *testing.T) {
	reasons, known := leftOut(t), models(t)
	for _, c := range cases(t) {
		if _, out := reasons[c.ID]; out {
			continue
		}
		t.Run(c.ID, func(t *testing.T) {
			model, ok := Find(known, c)
			if !ok {
				t.Fatalf("no model for %q: add one, or list it in left_out.json with the reason", c.Topic)
			}
			got, err := model.Run(c)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range c.Compare(got) {
				switch {
				case r.Missing:
					t.Errorf("%s: not computed; %s gives %v", r.Key, c.Source, r.Want)
				case !r.OK:
					t.Errorf("%s = %.12v, %s gives %.12v, allowed difference %.3g (%s)", r.Key, r.Got, c.Source, r.Want, r.Allowed, c.Status)
				}
			}
		})
	}
}

// TestEveryCaseIsRunOrLeftOut holds the two lists apart and free of dead entries.
func TestEveryCaseIsRunOrLeftOut(t *testing.T) {
	reasons, known := leftOut(t), models(t)
	used := map[string]bool{}
	var ids []string
	for _, c := range cases(t) {
		ids = append(ids, c.ID)
		_, byID := known[c.ID]
		_, byTopic := known[c.Topic]
		if _, out := reasons[c.ID]; out && (byID || byTopic) {
			t.Errorf("%s has a model and stands in left_out.json", c.ID)
		}
		if byID {
			used[c.ID] = true
		} else if byTopic {
			used[c.Topic] = true
		}
	}
	for id := range reasons {
		if !slices.Contains(ids, id) {
			t.Errorf("left_out.json: there is no case %s", id)
		}
	}
	for key := range known {
		if !used[key] {
			t.Errorf("model %q serves no case", key)
		}
	}
}

// TestCasesSayWhereTheyComeFrom: an expectation without source or status is no
// evidence, and one without results checks nothing.
func TestCasesSayWhereTheyComeFrom(t *testing.T) {
	for _, c := range cases(t) {
		if c.Source == "" || c.Status == "" || c.Topic == "" {
			t.Errorf("%s lacks source, status or topic", c.ID)
		}
		if len(c.Results()) == 0 {
			t.Errorf("%s expects nothing", c.ID)
		}
		if !(c.TolRel >= 0 && c.TolRel < 0.2) {
			t.Errorf("%s: tol_rel %v is no tolerance", c.ID, c.TolRel)
		}
	}
}
