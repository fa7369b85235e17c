// Package front keeps of many results those that no other one beats, and thins
// them out to a few that show the spread. It knows nothing of what the numbers
// mean: in every one less is better.
package front

import (
	"cmp"
	"math"
	"slices"
)

// Axis is one number by which results are compared.
type Axis struct {
	// Step is the relative difference below which two values count as equal: values
	// are put into classes whose ends stand in that ratio. 0 compares exactly.
	Step float64
}

// class is the class of a value; values of one class are equal.
func (a Axis) class(x float64) float64 {
	switch {
	case a.Step <= 0 || math.IsNaN(x) || math.IsInf(x, 1):
		return x
	case x <= 0: // below any class
		return math.Inf(-1)
	}
	return math.Floor(math.Log(x) / math.Log1p(a.Step))
}

// Classes are the classes of a result's values. A value that is not a number
// is worse than any other.
func Classes(axes []Axis, values []float64) []float64 {
	out := make([]float64, len(axes))
	for i, a := range axes {
		if out[i] = a.class(values[i]); math.IsNaN(out[i]) {
			out[i] = math.Inf(1)
		}
	}
	return out
}

// Beats tells whether a is nowhere worse than b and somewhere better.
func Beats(a, b []float64) bool {
	better := false
	for i := range a {
		switch {
		case a[i] > b[i]:
			return false
		case a[i] < b[i]:
			better = true
		}
	}
	return better
}

// Keep returns the indices of the results that no other one beats, in their
// order. Of results whose classes are all equal the one with the least exact
// values, compared from the first number on, stands for all, then the first.
func Keep(axes []Axis, values [][]float64) []int {
	classes := make([][]float64, len(values))
	for i, v := range values {
		classes[i] = Classes(axes, v)
	}
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Or(slices.Compare(classes[x], classes[y]), slices.Compare(values[x], values[y]))
	})
	var kept []int
	for _, i := range order { // whatever beats a result stands before it
		if !slices.ContainsFunc(kept, func(k int) bool {
			return Beats(classes[k], classes[i]) || slices.Equal(classes[k], classes[i])
		}) {
			kept = append(kept, i)
		}
	}
	slices.Sort(kept)
	return kept
}

// Spread chooses at most n results: the best of every number, then, one by one,
// the one farthest from those already chosen, distances taken over the range of
// each number. The indices come in their order.
func Spread(values [][]float64, n int) []int {
	if n <= 0 || len(values) <= n {
		return all(len(values))
	}
	scaled := scale(values)
	var chosen []int
	for k := range values[0] {
		best := 0
		for i := range values {
			if cmp.Or(cmp.Compare(values[i][k], values[best][k]), slices.Compare(values[i], values[best])) < 0 {
				best = i
			}
		}
		if !slices.Contains(chosen, best) && len(chosen) < n {
			chosen = append(chosen, best)
		}
	}
	for len(chosen) < n {
		far, most := -1, -1.0
		for i := range scaled {
			if slices.Contains(chosen, i) {
				continue
			}
			least := math.Inf(1)
			for _, c := range chosen {
				least = math.Min(least, apart(scaled[i], scaled[c]))
			}
			if least > most {
				far, most = i, least
			}
		}
		chosen = append(chosen, far)
	}
	slices.Sort(chosen)
	return chosen
}

func all(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// scale puts every number into 0 to 1 over its range.
func scale(values [][]float64) [][]float64 {
	out := make([][]float64, len(values))
	for i := range out {
		out[i] = make([]float64, len(values[i]))
	}
	for k := range values[0] {
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range values {
			low, high = math.Min(low, v[k]), math.Max(high, v[k])
		}
		for i, v := range values {
			if high > low {
				out[i][k] = (v[k] - low) / (high - low)
			}
		}
	}
	return out
}

func apart(a, b []float64) float64 {
	sum := 0.0
	for k := range a {
		sum += (a[k] - b[k]) * (a[k] - b[k])
	}
	return sum
}
