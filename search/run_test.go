package search

import (
	"context"
	"math/big"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/assess"
	"spanwright/search/front"
	"spanwright/structure"
)

func searched(t testing.TB, p *Problem, s *Space, o Options) *Result {
	t.Helper()
	r, err := Run(context.Background(), p, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fronts are the values of a front, as they are compared.
func fronts(r *Result) (out []Values) {
	for _, o := range r.Front {
		out = append(out, o.Values)
	}
	return out
}

// everyChoice lists the combinations of a space one by one, without any bound.
func everyChoice(s *Space) (out []Choice) {
	out = []Choice{{}}
	grow := func(n int, with func(c Choice, k int) Choice) {
		var next []Choice
		for _, c := range out {
			for k := range n {
				next = append(next, with(c, k))
			}
		}
		out = next
	}
	grow(len(s.Paces), func(c Choice, k int) Choice { c.Pace = s.Paces[k]; return c })
	grow(len(s.Frames), func(c Choice, k int) Choice { c.Frame = s.Frames[k]; return c })
	for _, a := range s.Axes {
		grow(len(a.Parts)*len(a.Motors)*len(a.Gears)*len(a.Brakes)*len(a.Joins), func(c Choice, k int) Choice {
			take := func(list []string) string {
				word := list[k%len(list)]
				k /= len(list)
				return word
			}
			x := AxisChoice{Drive: Drive{Part: take(a.Parts), Motor: take(a.Motors), Gear: take(a.Gears), Brake: take(a.Brakes)}, Join: take(a.Joins), UnderBeam: none}
			c.Axes = append(c.Axes[:len(c.Axes):len(c.Axes)], x)
			return c
		})
	}
	return out
}

// judgedAlone is a choice judged as a whole, whatever any bound says of it.
func judgedAlone(t *testing.T, p *Problem, s *Space, c Choice, studies *structure.Cache) (Values, bool) {
	t.Helper()
	limits, ok := p.limitsAt(c.Pace)
	if !ok {
		return Values{}, false
	}
	f := p.roughFit(s, c.Pace, limits)
	for i := len(c.Axes) - 1; i >= 0; i-- {
		p.fitEnd(c, &f, i) // what it says of the checks is what is tested here
	}
	if p.withRoom(c, &f) != nil || p.fitStand(c, &f) != nil {
		return Values{}, false
	}
	m, err := p.build(c, f)
	if err != nil {
		return Values{}, false
	}
	a, err := assess.Run(context.Background(), m, assess.Options{Studies: studies})
	if err != nil {
		t.Fatal(err)
	}
	return valuesOf(a), a.Counts.Over+a.Counts.Unknown == 0
}

// TestPruningLosesNothing: the front of a search with all its bounds is the front
// of all combinations judged as a whole one by one.
func TestPruningLosesNothing(t *testing.T) {
	p := problem(t, smallTask)
	s := smallSpace(p)
	var all []Values
	var vectors [][]float64
	studies := structure.NewCache(cacheRoom)
	choices := everyChoice(s)
	for _, c := range choices {
		if v, passes := judgedAlone(t, p, s, c, studies); passes {
			all, vectors = append(all, v), append(vectors, Options{}.vector(v))
		}
	}
	r := searched(t, p, s, Options{})
	if n := big.NewInt(int64(len(choices))); r.Combinations.Cmp(n) != 0 {
		t.Errorf("%s combinations, want %s", r.Combinations, n)
	}
	if r.Judged >= len(choices)/2 || len(all) == 0 || len(all) == len(choices) {
		t.Fatalf("%d judged of %d, %d pass: the space shows nothing", r.Judged, len(choices), len(all))
	}
	var want [][]float64
	for _, i := range front.Keep(Options{}.axes(), vectors) {
		want = append(want, front.Classes(Options{}.axes(), vectors[i]))
	}
	var got [][]float64
	for _, v := range fronts(r) {
		got = append(got, front.Classes(Options{}.axes(), Options{}.vector(v)))
	}
	sortVectors(want)
	sortVectors(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("front of all %d combinations against that of the search: %s", len(choices), diff)
	}
}

// TestCombinationsAreAccountedFor: discarded, passed and left open add up to the
// space.
func TestCombinationsAreAccountedFor(t *testing.T) {
	p := problem(t, smallTask)
	s := smallSpace(p)
	for name, o := range map[string]Options{"everything": {}, "a choice of it": {Drives: 1, Joins: 1, Most: 2}} {
		if sum, r := accounted(searched(t, p, s, o)); sum.Cmp(r.Combinations) != 0 {
			t.Errorf("%s: %s combinations are accounted for, %s are in the space: %v", name, sum, r.Combinations, r.Discarded)
		}
	}
}

// accounted sums what was discarded, passes, or was left open.
func accounted(r *Result) (*big.Int, *Result) {
	sum := new(big.Int).Set(r.Open)
	for _, d := range r.Discarded {
		sum.Add(sum, d.Count)
	}
	for _, x := range r.judged {
		if x.passes() {
			sum.Add(sum, r.judge.grove.chain(r.at[x.Key]).count())
		}
	}
	return sum, r
}

// TestLimitIsExact: as many machines are judged as the limit says, also where
// several drives of a candidate are tried, and what is cut off is left open.
func TestLimitIsExact(t *testing.T) {
	p := problem(t, strings.Replace(smallTask, "first_frequency: 3 Hz", "first_frequency: 90 Hz", 1)) // drives of the same kind are tried in turn
	s := smallSpace(p)
	s.Axes[1].Gears = append(s.Axes[1].Gears, "planetary-60-5")
	cut := 0
	for _, most := range []int{2, 4, 6} {
		sum, r := accounted(searched(t, p, s, Options{Most: most}))
		if r.Judged != most {
			t.Errorf("%d machines were judged, the limit is %d", r.Judged, most)
		}
		if sum.Cmp(r.Combinations) != 0 {
			t.Errorf("limit %d: %s combinations are accounted for, %s are in the space", most, sum, r.Combinations)
		}
		for _, o := range r.judged {
			if o.Cut {
				cut++
			}
		}
	}
	if cut == 0 {
		t.Error("no limit fell between the drives of a candidate: the test shows nothing")
	}
}

// TestProcessorsDoNotMatter: one processor finds what several find, in the same
// order, and every combination is accounted for.
func TestProcessorsDoNotMatter(t *testing.T) {
	small, large := problem(t, smallTask), portalTask(t)
	space, list := large.NewSpace()
	if len(list) > 0 {
		t.Fatal(list)
	}
	space.Paces = space.Paces[:1]
	tests := map[string]struct {
		p *Problem
		s *Space
		o Options
	}{
		"everything": {small, smallSpace(small), Options{Drives: 1, Joins: 2, Most: 6}},
		"a climb":    {large, space, Options{Drives: 1, Joins: 2, Most: 8}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			several := searched(t, c.p, c.s, c.o)
			before := runtime.GOMAXPROCS(1)
			defer runtime.GOMAXPROCS(before)
			one := searched(t, c.p, c.s, c.o)
			if diff := cmp.Diff(several.judged, one.judged); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(several.Discarded, one.Discarded, cmp.Comparer(func(x, y *big.Int) bool { return x.Cmp(y) == 0 })); diff != "" {
				t.Error(diff)
			}
			if sum, _ := accounted(one); sum.Cmp(one.Combinations) != 0 {
				t.Errorf("%s combinations are accounted for, %s are in the space", sum, one.Combinations)
			}
		})
	}
}

// TestStoppedSearchComesToTheSame: a search that is stopped in the middle and
// continued with what it had learned ends as one that was not stopped.
func TestStoppedSearchComesToTheSame(t *testing.T) {
	p := problem(t, smallTask)
	o := Options{}
	whole := searched(t, p, smallSpace(p), o)
	known := map[string]Outcome{}
	ctx, stop := context.WithCancel(context.Background())
	o.Learned = func(x Outcome) {
		known[x.Key] = x
		if len(known) == 3 {
			stop()
		}
	}
	if _, err := Run(ctx, p, smallSpace(p), o); err == nil {
		t.Fatal("the search was not stopped")
	}
	learned := 0
	o.Known, o.Learned = known, func(Outcome) { learned++ }
	again := searched(t, p, smallSpace(p), o)
	if diff := cmp.Diff(whole.Front, again.Front); diff != "" {
		t.Error(diff)
	}
	if learned == 0 || learned == len(whole.judged) {
		t.Errorf("%d of %d candidates were judged after the stop", learned, len(whole.judged))
	}
}
