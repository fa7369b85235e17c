package assess

import (
	"context"
	"testing"

	"spanwright/ledger"
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
		one, err := ScreenAxis(m, i)
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
