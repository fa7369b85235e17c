package search

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/design"
	"spanwright/examples"
	"spanwright/parts"
)

func portal(t *testing.T) *design.Design {
	t.Helper()
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	d, list := design.Parse("portal.yaml", text)
	if len(list) > 0 {
		t.Fatal(list)
	}
	return d
}

func TestParseSweep(t *testing.T) {
	tests := map[string]struct {
		text string
		want Sweep
		err  string // part of it
	}{
		"values given":        {"axes.x.motor=servo-750|servo-1000", Sweep{"axes.x.motor", "servo-1000", []string{"servo-750", "servo-1000"}}, ""},
		"a short path":        {"stand.profile=profile-90x90-light", Sweep{"stand.generate.legs.profile", "profile-90x90-heavy", []string{"profile-90x90-light"}}, ""},
		"words of a choice":   {"axes.x.shaper", Sweep{"axes.x.shaper", "", []string{"none", "zv", "zvd"}}, ""},
		"a number without":    {"axes.x.travel", Sweep{}, "names no part"},
		"nearly a path":       {"axes.x.motr", Sweep{}, `did you mean "axes.x.motor"?`},
		"an empty value":      {"axes.x.motor=", Sweep{}, "names an empty value"},
		"one that is empty":   {"axes.x.motor=servo-750||servo-1000", Sweep{}, "names an empty value"},
		"more than one value": {"axes.travel", Sweep{}, "axes.x.travel or axes.z.travel"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := ParseSweep(c.text, portal(t), parts.Embedded())
			if c.err != "" {
				if !errors.Is(err, ErrSweep) || !strings.Contains(err.Error(), c.err) {
					t.Errorf("error %v, want one with %q", err, c.err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
	all, err := ParseSweep("axes.x.drive.belt", portal(t), parts.Embedded())
	if err != nil || len(all.Values) != len(parts.Embedded().IDs("belt")) {
		t.Errorf("all belts: %d, %v", len(all.Values), err)
	}
}

// TestVary: rows come in the order of the values; one that cannot be is refused,
// the value of the design itself comes out as the design.
func TestVary(t *testing.T) {
	d := portal(t)
	sweeps := []Sweep{{"axes.z.brake", "hold-brake-4", []string{"hold-brake-4", "none", "hold-brake-5"}}}
	rows, err := Vary(context.Background(), d, parts.Embedded(), sweeps, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 3 || rows[0].Counts.Over != 0 || rows[1].Counts.Over == 0 || rows[1].Refused != "" || rows[2].Refused == "" {
		t.Errorf("%+v", rows)
	}
	if !(rows[1].Numbers.Cost < rows[0].Numbers.Cost) {
		t.Errorf("without a brake it costs %g, with one %g", float64(rows[1].Numbers.Cost), float64(rows[0].Numbers.Cost))
	}
}

// TestStoppedTable: a table that is stopped holds the rows that are finished.
func TestStoppedTable(t *testing.T) {
	sweeps := []Sweep{{"task.payload.mass", "12 kg", []string{"9 kg", "10 kg", "11 kg", "12 kg", "13 kg", "14 kg", "15 kg", "16 kg"}}}
	ctx, stop := context.WithCancel(context.Background())
	rows, err := Vary(ctx, portal(t), parts.Embedded(), sweeps, func(string, int, int) { stop() })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that of the context", err)
	}
	if len(rows) == 0 || len(rows) == Rows(sweeps) {
		t.Fatalf("%d of %d rows were finished", len(rows), Rows(sweeps))
	}
	for _, row := range rows {
		if len(row.Values) != 1 || row.Worst == "" {
			t.Errorf("a row that is not finished: %+v", row)
		}
	}
}
