package assess

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"spanwright/ledger"
	"spanwright/structure"
)

// TestScreenNeverAsksMoreThanRun: what is over before the structure is solved
// is over afterwards, for no value there is better than here.
func TestScreenNeverAsksMoreThanRun(t *testing.T) {
	for _, name := range []string{"crate-portal", "sample-gantry"} {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			m := built(t, name, file)
			first, err := Screen(m)
			if err != nil {
				t.Fatal(err)
			}
			whole, err := Run(context.Background(), m, Options{})
			if err != nil {
				t.Fatal(err)
			}
			byID := map[string]ledger.Check{}
			for _, c := range whole.Checks {
				byID[c.ID] = c
			}
			late := byID["task.rate"].Verdict == ledger.Over
			compared := 0
			for _, c := range first.Checks {
				w, there := byID[c.ID]
				if !there {
					t.Errorf("%s/%s: %s is screened and not judged", name, file, c.ID)
					continue
				}
				compared++
				const roundOff = 1e-9
				if !late && c.Utilisation > w.Utilisation*(1+roundOff) {
					t.Errorf("%s/%s: %s is used to %.6g at best before the structure, to %.6g after", name, file, c.ID, c.Utilisation, w.Utilisation)
				}
			}
			if compared < 60 {
				t.Errorf("%s/%s: only %d checks compared", name, file, compared)
			}
		}
	}
}

func BenchmarkScreen(b *testing.B) {
	for _, name := range []string{"crate-portal", "seedling-gantry"} {
		m := built(b, name, "gantry.yaml")
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Screen(m); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestScreenOfOneAxis: the axes one by one say the same as all at once.
func TestScreenOfOneAxis(t *testing.T) {
	m := built(t, "seedling-gantry", "gantry.yaml")
	all, err := Screen(m)
	if err != nil {
		t.Fatal(err)
	}
	byID := map[string]ledger.Check{}
	for _, c := range all.Checks {
		byID[c.ID] = c
	}
	for i, a := range m.Axes {
		one, err := ScreenAxis(m, i, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(one.Checks) < 20 {
			t.Errorf("axis %s: only %d checks", a.Spec.ID, len(one.Checks))
		}
		for _, c := range one.Checks {
			if w := byID[c.ID]; w.Value != c.Value && !(w.Value != w.Value && c.Value != c.Value) {
				t.Errorf("%s: %.9g alone, %.9g with the others", c.ID, c.Value, w.Value)
			}
		}
	}
}

// TestWaitingEasesOnlyWhatIsNamed: however long is waited in a leg, no check
// outside the list of those that it may ease gets another value or limit.
func TestWaitingEasesOnlyWhatIsNamed(t *testing.T) {
	moved := map[string]bool{}
	for _, name := range []string{"crate-portal", "sample-gantry", "slab-gantry", "seedling-gantry"} {
		r := &run{m: built(t, name, "gantry.yaml")}
		r.study.freq[structure.Nominal] = rigid
		if err := r.planCycle(context.Background()); err != nil {
			t.Fatal(err)
		}
		atOnce, err := r.corner((*run).screenDuty, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.legs {
			r.legs[i].settle = 3
			later, err := r.corner((*run).screenDuty, nil)
			if err != nil {
				t.Fatal(err)
			}
			r.legs[i].settle = 0
			byID := map[string]ledger.Check{}
			for _, c := range later {
				byID[c.ID] = c
			}
			for _, c := range atOnce {
				const roundOff = 1e-9 // the cycle is looked at from another beginning
				w := byID[c.ID]
				if !(math.Abs(w.Value-c.Value) > roundOff*math.Abs(c.Value) || math.Abs(w.Limit-c.Limit) > roundOff*math.Abs(c.Limit)) {
					continue
				}
				moved[c.Kind] = true
				if c.Kind != "task.rate" && !eased(c.Kind) {
					t.Errorf("%s: %s is %.9g with waiting, %.9g without", name, c.ID, w.Value, c.Value)
				}
			}
		}
	}
	if len(moved) < 5 {
		t.Errorf("waiting moved %v alone: the test shows nothing", moved)
	}
}

// TestCollisionsTakenOver: a run that takes over what was screened says the same.
func TestCollisionsTakenOver(t *testing.T) {
	m := built(t, "crate-portal", "gantry.yaml")
	first, err := Screen(m)
	if err != nil {
		t.Fatal(err)
	}
	if first.rooms == nil {
		t.Fatal("collisions of a machine that passes were not looked for")
	}
	want, err := Run(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := Run(context.Background(), m, Options{Screened: first})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want.Checks, got.Checks, cmpopts.EquateNaNs()); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(want.NotChecked, got.NotChecked); diff != "" {
		t.Error(diff)
	}
}
