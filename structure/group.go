package structure

import (
	"cmp"
	"math"
	"slices"
)

// Grouped sums shares by group, the largest magnitude first. ID is empty.
func Grouped(shares []Share) []Share {
	var out []Share
	at := map[string]int{}
	for _, s := range shares {
		i, known := at[s.Group]
		if !known {
			i = len(out)
			at[s.Group] = i
			out = append(out, Share{Group: s.Group})
		}
		out[i].Value += s.Value
	}
	slices.SortStableFunc(out, func(a, b Share) int { return cmp.Compare(math.Abs(b.Value), math.Abs(a.Value)) })
	return out
}
