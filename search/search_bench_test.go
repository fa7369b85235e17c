package search

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// exampleTask is the task part of an example alone.
func exampleTask(b testing.TB, name string) *Problem {
	b.Helper()
	text, err := os.ReadFile(filepath.Join("..", "examples", name, "gantry.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	task, _, _ := strings.Cut(string(text), "\naxes:")
	d, list := design.ParseTask(name, []byte(task+"\n"))
	if len(list) > 0 {
		b.Fatal(list)
	}
	p, list := NewProblem(d, parts.Embedded())
	if len(list) > 0 {
		b.Fatal(list)
	}
	return p
}

// BenchmarkJudged is a candidate from choice to verdict: one that shares its
// structure with others, as the many paces and drives of a search do, and one
// whose structure is new.
func BenchmarkJudged(b *testing.B) {
	for _, name := range []string{"crate-portal", "seedling-gantry"} {
		p := exampleTask(b, name)
		s, _ := p.NewSpace()
		s.Paces = s.Paces[:1]
		j := &judge{p: p, s: s, opts: Usual(len(p.axes)), fits: &fits{list: map[onLegs]*axesFit{}}}
		j.grove = p.grove(s, j.opts)
		at, found := j.first(b)
		if !found {
			b.Fatal("no candidate reaches the whole judgement")
		}
		for kind, room := range map[string]int64{"shared": cacheRoom, "new": 0} {
			b.Run(name+"/"+kind, func(b *testing.B) {
				j.studies = nil
				if room > 0 {
					j.studies = structure.NewCache(room)
				}
				b.RunParallel(func(pb *testing.PB) { // as a search does
					for pb.Next() {
						if _, err := j.evaluate(context.Background(), at, nil, 0, 0); err != nil {
							b.Error(err)
						}
					}
				})
				b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "machines/s")
			})
		}
	}
}

// first is a candidate that is judged as a whole.
func (j *judge) first(b *testing.B) (candidate, bool) {
	w := walk{judge: j, prices: j.p.prices(j.s)}
	for n := range mostLooks {
		at := w.seed(n)
		if j.grove.at(at) == nil {
			continue
		}
		o, err := j.evaluate(context.Background(), at, nil, 0, 0)
		if err != nil {
			b.Fatal(err)
		}
		if o.Whole > 0 {
			return at, true
		}
	}
	return candidate{}, false
}

// BenchmarkSearch is a whole search from the task of an example alone, with the
// usual limits but for the number of judgements. It must find a machine that is
// cheaper or lighter than the one made by hand.
func BenchmarkSearch(b *testing.B) {
	for _, name := range []string{"crate-portal", "seedling-gantry"} {
		byHand := made(b, name)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				p := exampleTask(b, name)
				s, _ := p.NewSpace()
				o := Usual(len(p.axes))
				o.Most = 100
				r, err := Run(context.Background(), p, s, o)
				if err != nil {
					b.Fatal(err)
				}
				if !slices.ContainsFunc(r.Front, func(o Outcome) bool { return o.Values.Cost <= byHand.Cost || o.Values.Mass <= byHand.Mass }) {
					b.Fatalf("%d on the front, none cheaper or lighter than the one made by hand: %+v", len(r.Front), byHand)
				}
				b.ReportMetric(float64(r.Judged), "judged")
			}
		})
	}
}

// made is the example's own machine.
func made(b testing.TB, name string) Values {
	b.Helper()
	d, list := design.Load(os.DirFS(filepath.Join("..", "examples", name)), "gantry.yaml")
	if len(list) > 0 {
		b.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		b.Fatal(list)
	}
	a, err := assess.Run(context.Background(), m, assess.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return valuesOf(a)
}
