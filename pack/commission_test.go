package pack

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"spanwright/asbuilt"
	"spanwright/assess"
	"spanwright/internal/project"
)

// TestSheetsOfEveryExample: commissioning sheet, acceptance test and forms can
// be made of every example, hold what each axis needs, and print no number
// that is none.
func TestSheetsOfEveryExample(t *testing.T) {
	for _, name := range []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"} {
		t.Run(name, func(t *testing.T) {
			p, list := project.Open(os.DirFS("../examples/"+name), "", "gantry.yaml")
			if err := list.Err(); err != nil {
				t.Fatal(err)
			}
			a, err := assess.Run(context.Background(), p.Machine, assess.Options{})
			if err != nil {
				t.Fatal(err)
			}
			s := NewSource(a, "test")
			plan, err := asbuilt.NewPlan(a)
			if err != nil {
				t.Fatal(err)
			}
			sheet, err := s.Commissioning(plan)
			if err != nil {
				t.Fatal(err)
			}
			commissioning, acceptance := written(t, sheet.HTML), written(t, s.Acceptance(plan).HTML)
			for _, x := range p.Machine.Axes {
				for _, want := range []string{"Axis " + x.Spec.ID + "<", "hard stop"} {
					if !strings.Contains(commissioning, want) {
						t.Errorf("the commissioning sheet lacks %q", want)
					}
				}
			}
			for _, text := range []string{commissioning, acceptance} {
				for _, wrong := range []string{"NaN", "Inf", "%!", "e+0"} {
					if i := strings.Index(text, wrong); i >= 0 {
						t.Errorf("%q in ...%s...", wrong, text[max(0, i-80):min(len(text), i+20)])
					}
				}
				if !strings.Contains(text, "holding brake by itself") || !strings.Contains(text, s.Hash[:16]) {
					t.Error("caution or hash is missing")
				}
			}
			for _, f := range s.Forms(plan) {
				text := written(t, f.Write)
				form, mistakes := asbuilt.Read(f.Name, []byte(text), asbuilt.Head{Hash: s.Hash})
				if err := mistakes.Err(); err != nil || len(form.Rows) > 0 || len(form.Warnings) > 0 {
					t.Errorf("%s is not read back: %v, %d rows, %v", f.Name, err, len(form.Rows), form.Warnings)
				}
			}
		})
	}
}

func written(t *testing.T, write func(io.Writer) error) string {
	t.Helper()
	var first, second bytes.Buffer
	if err := write(&first); err != nil {
		t.Fatal(err)
	}
	if err := write(&second); err != nil || first.String() != second.String() {
		t.Fatal("written twice, it differs", err)
	}
	return first.String()
}

// TestScrewsAreCountedOnce: the screws of the sheet are those of the parts.
func TestScrewsAreCountedOnce(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	m := s.Assessment.Machine
	want := map[string]int{}
	for _, mem := range m.Members {
		for _, j := range mem.Joints {
			if j.HasPart() {
				want[j.Part.ID]++
			}
		}
	}
	got := map[string]int{}
	for _, f := range fastenings(m) {
		id, _, _ := strings.Cut(f.part, ",")
		got[id] += f.places
		if f.torque <= 0 || f.each <= 0 {
			t.Errorf("%+v", f)
		}
	}
	for id, n := range want {
		if got[id] != n {
			t.Errorf("%s: %d places, want %d", id, got[id], n)
		}
	}
	if len(want) == 0 || fmt.Sprint(got) == "map[]" {
		t.Error("no joints")
	}
}
