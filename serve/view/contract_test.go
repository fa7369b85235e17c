package view

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/assess"
	"spanwright/internal/project"
)

var update = flag.Bool("update", false, "write testdata/contract.txt anew")

// answers are all that the page can ask of an assessment.
func answers(t testing.TB, a *assess.Assessment) map[string]any {
	t.Helper()
	out := map[string]any{"judgement": OfJudgement(a), "map": OfMap(a), "cycle": OfCycle(a), "scene": scene(t, a)}
	must := func(name string, v any, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = v
	}
	q := a.SoftPose()
	loops, err := OfLoops(a.Machine, q)
	must("loops", loops, err)
	pose, err := OfPose(a, q, true)
	must("pose", pose, err)
	modes, err := OfModes(a, q, true, 4)
	must("modes", modes, err)
	fine, err := OfFine(a, FineQuery{AxisA: a.Machine.Axes[0].Spec.ID, AxisB: a.Machine.Axes[1].Spec.ID, Counts: [2]int{3, 2}})
	must("fine", fine, err)
	for _, of := range Splits {
		split, err := OfSplit(a, of, nil)
		must("split "+of, split, err)
	}
	var workings []any
	for i := range a.Checks {
		w, _ := OfWorking(a, a.Checks[i].ID)
		workings = append(workings, w)
	}
	out["workings"] = workings
	other := judged(t, "crate-portal")
	out["compare"] = Compare(Side{"a", a, a.Machine.Design.File.Text}, Side{"b", other, other.Machine.Design.File.Text})
	return out
}

// shapeOf adds what JSON holds to a list: path and kind of every value. The
// user's names and the coordinates of lists are left out.
func shapeOf(into map[string]map[string]bool, path string, v any) {
	kind := "string"
	switch x := v.(type) {
	case nil:
		kind = "null"
	case bool:
		kind = "yes or no"
	case float64:
		kind = "number"
	case []any:
		kind = "list"
		for _, e := range x {
			shapeOf(into, path+"[]", e)
		}
	case map[string]any:
		kind = "object"
		for key, e := range x {
			if strings.HasSuffix(path, "results.axes") {
				key = "AXIS"
			}
			shapeOf(into, strings.TrimPrefix(path+"."+key, "."), e)
		}
	}
	if into[path] == nil {
		into[path] = map[string]bool{}
	}
	into[path][kind] = true
}

// TestContract holds the keys and kinds of all answers over all examples: what
// the page may rely on. A change of the list is a change of the contract.
func TestContract(t *testing.T) {
	var b strings.Builder
	all := map[string]map[string]bool{}
	for _, example := range examples {
		for name, v := range answers(t, judged(t, example)) {
			name, _, _ = strings.Cut(name, " ")
			shapeOf(all, name, plain(t, v))
		}
	}
	for _, path := range slices.Sorted(maps.Keys(all)) {
		fmt.Fprintf(&b, "%s: %s\n", path, strings.Join(slices.Sorted(maps.Keys(all[path])), " or "))
	}
	const file = "testdata/contract.txt"
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), b.String()); d != "" {
		t.Errorf("the answers differ from %s (go test ./serve/view -update writes it): %s", file, d)
	}
}

// TestAnswersAreTheSameEachTime: also from another run of the studies.
func TestAnswersAreTheSameEachTime(t *testing.T) {
	p, list := project.Open(os.DirFS("../../examples/sample-gantry"), "", "gantry.yaml")
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	again, err := assess.Run(context.Background(), p.Machine, assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	first := answers(t, judged(t, "sample-gantry"))
	second := answers(t, again)
	for name, v := range first {
		if !bytes.Equal(written(t, v), written(t, second[name])) {
			t.Errorf("%s differs from run to run", name)
		}
	}
}
