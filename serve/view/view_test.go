package view

import (
	"context"
	"encoding/json"
	"os"
	"sync"
	"testing"

	"spanwright/assess"
	"spanwright/internal/project"
)

// examples are the designs that all tests look at.
var examples = []string{"crate-portal", "sample-gantry", "seedling-gantry", "slab-gantry"}

// judgedOnce keeps what was judged, for the tests only read it.
var judgedOnce = func() map[string]func() (*assess.Assessment, error) {
	out := map[string]func() (*assess.Assessment, error){}
	for _, name := range examples {
		out[name] = sync.OnceValues(func() (*assess.Assessment, error) {
			p, list := project.Open(os.DirFS("../../examples/"+name), "", "gantry.yaml")
			if err := list.Err(); err != nil {
				return nil, err
			}
			return assess.Run(context.Background(), p.Machine, assess.Options{})
		})
	}
	return out
}()

func judged(t testing.TB, name string) *assess.Assessment {
	t.Helper()
	a, err := judgedOnce[name]()
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func written(t testing.TB, v any) []byte {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func middle(a *assess.Assessment) []float64 {
	q := make([]float64, len(a.Machine.Axes))
	for i, x := range a.Machine.Axes {
		q[i] = x.Spec.Travel / 2
	}
	return q
}

func scene(t testing.TB, a *assess.Assessment) *Scene {
	t.Helper()
	s, err := OfScene(a.Machine, a.Timeline.Range)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
