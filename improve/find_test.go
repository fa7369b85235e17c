package improve

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// twins are the examples with planted faults.
var twins = []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"}

// read is the text of an example's file.
func read(t testing.TB, folder, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "examples", folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// judged judges a text with the embedded catalogue.
func judged(t testing.TB, text []byte) *assess.Assessment {
	t.Helper()
	d, wrong := design.Parse("gantry.yaml", text)
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	m, wrong := machine.Build(d, parts.Embedded())
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	a, err := assess.Run(context.Background(), m, assess.Options{Studies: studies})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// studies are the solved structures of all tests: what a remedy is claimed to do
// is judged again from its file without being solved again.
var studies = structure.NewCache(1 << 30)

func find(t testing.TB, a *assess.Assessment, opts Options) *Result {
	t.Helper()
	r, err := Find(context.Background(), a, parts.Embedded(), opts)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTwinsAreMended shows every planted fault mended by remedies alone: of what
// is proposed, that which leaves least over is written into the file, again and
// again, until nothing is over. With -v it prints the steps.
func TestTwinsAreMended(t *testing.T) {
	for _, twin := range twins {
		t.Run(twin, func(t *testing.T) {
			text := read(t, twin, "faulty.yaml")
			planted := bytesLines(text, "FAULT")
			a := judged(t, text)
			for step := 1; a.Counts.Over > 0; step++ {
				if step > 8 {
					t.Fatalf("still %d over after %d remedies: %v", a.Counts.Over, step-1, a.Governing())
				}
				r := find(t, a, Options{})
				best := r.Best()
				if best == nil {
					t.Fatalf("nothing mends %v", a.Governing())
				}
				next, err := r.Apply(best.Number)
				if err != nil {
					t.Fatal(err)
				}
				before := a.Counts.Over
				t.Logf("step %d, %d over, the worst %s", step, before, a.Governing()[0])
				t.Logf("   %s: mass %+.3g kg, cost %+.0f", best.Title, best.Mass, best.Cost)
				for _, e := range best.Edits {
					t.Logf("   %s: %s", e.Path, e.Value)
				}
				a = judged(t, next)
				if a.Counts != best.Counts || a.Counts.Over >= before {
					t.Fatalf("%q promised %+v, the file gives %+v", best.Title, best.Counts, a.Counts)
				}
				text = next
			}
			t.Logf("nothing is over, %d tight", a.Counts.Tight)
			if a.Counts.Unknown > 0 {
				t.Errorf("%d unknown at the end", a.Counts.Unknown)
			}
			for _, line := range planted {
				_, comment, _ := strings.Cut(line, "#")
				if !strings.Contains(string(text), comment) {
					t.Errorf("the comment %q is lost", comment)
				}
			}
		})
	}
}

func bytesLines(text []byte, with string) (out []string) {
	for line := range strings.Lines(string(text)) {
		if strings.Contains(line, with) {
			out = append(out, strings.TrimSpace(line))
		}
	}
	return out
}

// shared is the faulty crate portal with its remedies, which several tests read.
var shared = sync.OnceValues(func() (*Result, error) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "crate-portal", "faulty.yaml"))
	if err != nil {
		return nil, err
	}
	d, wrong := design.Parse("gantry.yaml", text)
	if len(wrong) > 0 {
		return nil, wrong.Err()
	}
	m, wrong := machine.Build(d, parts.Embedded())
	if len(wrong) > 0 {
		return nil, wrong.Err()
	}
	a, err := assess.Run(context.Background(), m, assess.Options{})
	if err != nil {
		return nil, err
	}
	return Find(context.Background(), a, parts.Embedded(), Options{Most: 8})
})

func portal(t testing.TB) *Result {
	t.Helper()
	r, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestGainsAreThoseOfTheFile: what a remedy claims is what judging its file gives.
func TestGainsAreThoseOfTheFile(t *testing.T) {
	r := portal(t)
	a := r.Assessment
	if len(r.Remedies) < 6 {
		t.Fatalf("only %d remedies", len(r.Remedies))
	}
	for i, m := range r.Remedies {
		if i%8 != 0 && m.Purpose != Together {
			continue // some of each kind; judging all takes long
		}
		text, err := r.Apply(m.Number)
		if err != nil {
			t.Fatal(err)
		}
		if m.Number != i+1 {
			t.Errorf("remedy %d has number %d", i+1, m.Number)
		}
		again := judged(t, text)
		now := byID(again)
		if m.Purpose == Mend && !m.After.Gone {
			if diff := cmp.Diff(outcome(now[m.Problem]), *m.After, cmp.Comparer(sameNumber)); diff != "" {
				t.Errorf("%s: %s", m.Title, diff)
			}
			if !(m.After.Utilisation < m.Before.Utilisation) && m.After.Verdict <= m.Before.Verdict {
				t.Errorf("%s gains nothing: %v to %v", m.Title, m.Before.Utilisation, m.After.Utilisation)
			}
		}
		for _, id := range m.Resolves {
			if now[id].Verdict == ledger.Over {
				t.Errorf("%s does not mend %s", m.Title, id)
			}
		}
		if got := float64(again.Results.Cost - a.Results.Cost); !(math.Abs(got-float64(m.Cost)) <= 1e-9*float64(a.Results.Cost)) { // the same sums
			t.Errorf("%s: cost change %v, claimed %v", m.Title, got, m.Cost)
		}
	}
}

func sameNumber(a, b assess.Number) bool {
	return a == b || math.IsNaN(float64(a)) && math.IsNaN(float64(b))
}

// TestEditsAreLocal: applying a remedy changes the lines of its edits only.
func TestEditsAreLocal(t *testing.T) {
	r := portal(t)
	text := r.Assessment.Machine.Design.File.Text
	old := strings.Split(string(text), "\n")
	for _, m := range r.Remedies {
		changed, err := r.Apply(m.Number)
		if err != nil {
			t.Fatal(err)
		}
		kept := 0
		lines := strings.Split(string(changed), "\n")
		for _, line := range old {
			if slices.Contains(lines, line) {
				kept++
			}
		}
		if lost := len(old) - kept; lost > len(m.Edits) {
			t.Errorf("%s: %d lines differ for %d edits", m.Title, lost, len(m.Edits))
		}
	}
	if _, err := r.Apply(0); err == nil {
		t.Error("remedy 0 was applied")
	}
	if _, err := r.Apply(len(r.Remedies) + 1); err == nil {
		t.Error("a remedy that does not exist was applied")
	}
}

// TestEstimatesRank: of remedies for one check, the one that is expected to
// gain more gains more, and no estimate is far off. Estimates that call
// themselves rough are left out; a tenth is what the exponents leave aside:
// masses that change with the part.
func TestEstimatesRank(t *testing.T) {
	r := portal(t)
	compared := 0
	for _, p := range r.Problems {
		var estimated []Remedy
		for _, n := range p.Remedies {
			m := r.Remedies[n-1]
			if m.Problem == p.Check.ID && m.Estimate != nil && !m.After.Gone && !math.IsInf(p.Check.Utilisation, 0) && !strings.HasPrefix(m.Estimate.By, "rough") {
				estimated = append(estimated, m)
			}
		}
		for i, x := range estimated {
			if off := float64(x.After.Utilisation/x.Estimate.Utilisation - 1); !(math.Abs(off) <= 0.15) {
				t.Errorf("%s: %s expected %.3g, got %.3g", p.Check.ID, x.Title, x.Estimate.Utilisation, x.After.Utilisation)
			}
			for _, y := range estimated[i+1:] {
				compared++
				if clear := 0.2 * float64(y.Estimate.Utilisation); x.Estimate.Utilisation < y.Estimate.Utilisation-assess.Number(clear) && x.After.Utilisation > y.After.Utilisation {
					t.Errorf("%s: %q was expected to gain more than %q and gains less", p.Check.ID, x.Title, y.Title)
				}
			}
		}
	}
	if compared == 0 {
		t.Error("nothing was compared")
	}
}

// TestBestEndangersNobody: what leaves least over is not the best where it brings a
// load nearer to falling.
func TestBestEndangersNobody(t *testing.T) {
	worse := func(check string) *Result {
		side := Side{Check: check, Before: Outcome{Utilisation: 2, Verdict: ledger.Over}, After: Outcome{Utilisation: 4, Verdict: ledger.Over}}
		return &Result{
			Assessment: &assess.Assessment{Counts: ledger.Counts{Over: 5}},
			Remedies:   []Remedy{{Number: 1, Counts: ledger.Counts{Over: 1}, Side: []Side{side}}, {Number: 2, Counts: ledger.Counts{Over: 4}}},
		}
	}
	for check, want := range map[string]int{
		"axis.z.brake.hold": 2, "axis.z.motor.hold": 2, "safety.z.brake_test": 2, "stand.tipping.stop": 2,
		"axis.x.motor.inertia": 1, "tool.settle": 1,
	} {
		if got := worse(check).Best().Number; got != want {
			t.Errorf("%s twice as bad: remedy %d is the best, want %d", check, got, want)
		}
	}
}

// TestSameAtAnyWidth: the result does not depend on the number of processors.
func TestSameAtAnyWidth(t *testing.T) {
	a := portal(t).Assessment // solved without the tests' studies, so each search solves anew
	opts := Options{PerProblem: 1, Most: 2, OverOnly: true, Singly: true}
	wide := find(t, a, opts)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	narrow := find(t, a, opts)
	if diff := cmp.Diff(wide.Remedies, narrow.Remedies, cmp.Comparer(sameNumber), cmp.AllowUnexported(Remedy{})); diff != "" {
		t.Error(diff)
	}
}

// TestEstimatesAtAnyWidth: what the rules expect does not depend on how many of
// them are asked at a time.
func TestEstimatesAtAnyWidth(t *testing.T) {
	s := poorly(t, "weak portal")
	all := func() (out []float64) {
		again := newSituation(s.found, s.parts)
		for _, p := range again.problems(Options{}) {
			for _, q := range p.proposals {
				out = append(out, q.Estimate)
			}
		}
		return out
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	narrow := all()
	if len(narrow) < 20 {
		t.Fatalf("only %d proposals", len(narrow))
	}
	for range 4 {
		runtime.GOMAXPROCS(4)
		if diff := cmp.Diff(narrow, all(), cmpopts.EquateNaNs()); diff != "" {
			t.Fatal(diff)
		}
	}
}

func TestCancelled(t *testing.T) {
	a := portal(t).Assessment
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Find(ctx, a, parts.Embedded(), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
