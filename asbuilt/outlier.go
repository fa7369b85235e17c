package asbuilt

import (
	"math"
	"slices"
)

// reading is a value with the row it comes from.
type reading struct {
	row   Row
	value float64
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

// outliers finds readings that stand apart from the median of their group by
// more than 3.5 times the usual scatter, 1.4826 times the median absolute
// deviation over all groups, and by more than the instrument could be wrong.
// It needs no normal distribution and bears up to half the readings being
// wrong. The factor 1.4826 makes it equal the standard deviation of a normal
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
		for _, r := range g {
			all = append(all, apart{reading: r, by: r.value - middle})
			deviations = append(deviations, math.Abs(r.value-middle))
		}
	}
	if len(all) == 0 {
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
