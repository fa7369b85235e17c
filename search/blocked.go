package search

import (
	"cmp"
	"math"
	"slices"

	"spanwright/assess"
)

// Blocking counts over all outcomes that were judged which checks failed, the
// most frequent among machines judged as a whole first.
func (r *Result) Blocking() []Blocked {
	var out []Blocked
	for _, o := range r.judged {
		seen := map[string]bool{}
		for _, f := range o.Failing {
			if seen[f.Kind] {
				continue
			}
			seen[f.Kind] = true
			i := slices.IndexFunc(out, func(b Blocked) bool { return b.Kind == f.Kind })
			if i < 0 {
				out = append(out, Blocked{Kind: f.Kind, Least: assess.Number(math.Inf(1))})
				i = len(out) - 1
			}
			out[i].Count++
			if o.Stage == ByWhole {
				out[i].Whole++
			}
			if u := f.Utilisation; u < out[i].Least && u < endless {
				out[i].Least = u
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Blocked) int {
		return cmp.Or(cmp.Compare(y.Whole, x.Whole), cmp.Compare(y.Count, x.Count))
	})
	return out
}

// Blocked is a kind of check that fails.
type Blocked struct {
	Kind  string        `json:"kind"`
	Count int           `json:"candidates"`
	Whole int           `json:"as_a_whole"`        // of them judged as a whole: nothing that is known sooner stood in their way
	Least assess.Number `json:"least_utilisation"` // of those that fail it; infinite where that is no number, e.g. of a rule
}
