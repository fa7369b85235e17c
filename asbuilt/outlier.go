package asbuilt

import (
	"math"
	"slices"
)

// reading is a value with the row it comes from.
type reading struct {
	row   Row
	value float64
	of    string // what was read, for messages
}

// apart is how far a reading lies from the others of its kind.
type apart struct {
	reading
	by    float64 // from the middle of its group
	times float64 // over the usual scatter
}

// outlierFrom is the modified z-score from which a reading is named.
// Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993 (from memory).
const outlierFrom = 3.5

// fewest is how many deviations it takes to know the usual scatter. Our choice.
const fewest = 8

// outliers finds readings that stand apart from the median of their group by
// more than 3.5 times the usual scatter, 1.4826 times the median absolute
// deviation over all groups, and by more than the instrument could be wrong.
// It needs no normal distribution and bears up to half the readings being
// wrong; with a handful of readings it says nothing. The factor 1.4826 makes it equal the standard deviation of a normal
// distribution.
func outliers(groups [][]reading, instrument float64) []apart {
	var all []apart
	var deviations []float64
	for _, g := range groups {
		if len(g) < 3 {
			continue
		}
		var values []float64
		for _, r := range g {
			values = append(values, r.value)
		}
		middle := median(values)
		own := len(g)%2 == 1 // the median is then one of the readings and tells nothing of the scatter
		for _, r := range g {
			all = append(all, apart{reading: r, by: r.value - middle})
			if d := math.Abs(r.value - middle); d > 0 || !own {
				deviations = append(deviations, d)
			} else {
				own = false
			}
		}
	}
	if len(deviations) < fewest {
		return nil
	}
	usual := math.Max(1.4826*median(deviations), instrument/outlierFrom)
	var out []apart
	for _, a := range all {
		if a.times = math.Abs(a.by) / usual; a.times > outlierFrom {
			out = append(out, a)
		}
	}
	return out
}

func median(values []float64) float64 {
	s := slices.Sorted(slices.Values(values))
	n := len(s)
	if n == 0 {
		return math.NaN()
	}
	return (s[(n-1)/2] + s[n/2]) / 2
}
