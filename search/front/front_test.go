package front

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestKeep(t *testing.T) {
	exact := []Axis{{}, {}}
	coarse := []Axis{{Step: 0.05}, {Step: 0.05}}
	nan := math.NaN()
	tests := map[string]struct {
		axes   []Axis
		values [][]float64
		want   []int
	}{
		"nothing":                            {exact, nil, nil},
		"one beats the other":                {exact, [][]float64{{2, 2}, {1, 1}}, []int{1}},
		"each is better in something":        {exact, [][]float64{{2, 1}, {1, 2}}, []int{0, 1}},
		"of equals the first":                {exact, [][]float64{{1, 1}, {1, 1}}, []int{0}},
		"what is not a number beats nothing": {exact, [][]float64{{1, nan}, {2, 1}}, []int{0, 1}},
		"nor does it stay":                   {exact, [][]float64{{2, nan}, {2, 1}}, []int{1}},
		"within a class they are equal":      {coarse, [][]float64{{100.1, 1}, {100, 1}}, []int{1}},
		"zero is better than anything":       {coarse, [][]float64{{1, 0}, {1, 1e-9}}, []int{0}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, Keep(c.axes, c.values)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestKeepIsAFront: nothing kept is beaten, and everything else is beaten by or
// equal to something kept.
func TestKeepIsAFront(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{0, 0.01, 0.3}).Draw(t, "step")
		axes := []Axis{{step}, {step}, {step}}
		values := rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(0, 4), 3, 3), 0, 20).Draw(t, "values")
		kept := Keep(axes, values)
		for i := range values {
			mine := Classes(axes, values[i])
			beaten := slices.ContainsFunc(values, func(o []float64) bool { return Beats(Classes(axes, o), mine) })
			stands := slices.ContainsFunc(kept, func(k int) bool {
				other := Classes(axes, values[k])
				return Beats(other, mine) || slices.Equal(other, mine)
			})
			if slices.Contains(kept, i) && beaten || !stands {
				t.Fatalf("%v: kept %v, beaten %v, something kept stands for it %v", values[i], slices.Contains(kept, i), beaten, stands)
			}
		}
	})
}

// TestKeepDoesNotDependOnOrder: the same results in another order give the same front.
func TestKeepDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axes := []Axis{{0.1}, {0.1}}
		values := rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(0.1, 4), 2, 2), 1, 12).Draw(t, "values")
		turned := slices.Clone(values)
		slices.Reverse(turned)
		pick := func(list [][]float64) (out [][]float64) {
			for _, k := range Keep(axes, list) {
				out = append(out, list[k])
			}
			slices.SortFunc(out, slices.Compare)
			return out
		}
		if diff := cmp.Diff(pick(values), pick(turned)); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestSpread(t *testing.T) {
	line := [][]float64{{0, 10}, {1, 9}, {5, 5}, {9, 1}, {10, 0}, {5.1, 4.9}}
	if diff := cmp.Diff([]int{0, 2, 4}, Spread(line, 3)); diff != "" {
		t.Errorf("both ends and the middle: %s", diff)
	}
	if got := Spread(line, 0); len(got) != len(line) {
		t.Errorf("no limit keeps %d of %d", len(got), len(line))
	}
	if got := Spread(nil, 3); len(got) != 0 {
		t.Errorf("of nothing %v", got)
	}
}
