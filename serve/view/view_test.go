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

func TestSizes(t *testing.T) {
	for _, name := range examples {
		a := judged(t, name)
		s := scene(t, a)
		p, err := OfPose(a, middle(a), true)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(name, len(written(t, s)), len(s.Solids), len(s.Meshes), "pose", len(written(t, p)), "map", len(written(t, OfMap(a))))
		t.Log(p.Tool.Total, p.Hz, p.Texts, p.Shape.Largest)
		var paths = map[string]int{}
		for _, x := range s.Solids {
			paths[x.Path]++
		}
		t.Log(paths)
	}
}

func BenchmarkPose(b *testing.B) {
	a := judged(b, "seedling-gantry")
	q := middle(a)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := OfPose(a, q, true); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScene(b *testing.B) {
	a := judged(b, "seedling-gantry")
	for b.Loop() {
		scene(b, a)
	}
}
