package answer

import (
	"spanwright/assess"
	"spanwright/improve"
	"spanwright/ledger"
)

// Improve is what is proposed for a design.
type Improve struct {
	Head
	Design   Design           `json:"design"`
	Summary  Summary          `json:"summary"`
	Problems []Problem        `json:"problems"` // worst first
	Remedies []improve.Remedy `json:"remedies"` // by number
	Best     int              `json:"best,omitempty"`
	Judged   int              `json:"machines_judged"`
}

// Problem is a check that is over or tight, with the numbers of its remedies.
type Problem struct {
	Check    string          `json:"check"`
	Title    string          `json:"title"`
	State    improve.Outcome `json:"state"`
	Remedies []int           `json:"remedies"`
	Why      string          `json:"why_none,omitempty"`
}

// OfImprove is the answer with all remedies.
func OfImprove(r *improve.Result, file string) Improve {
	a := r.Assessment
	counts := ledger.Count(a.Checks)
	out := Improve{
		Head: NewHead(), Design: OfDesign(a, file), Judged: r.Judged, Problems: []Problem{}, Remedies: list(r.Remedies),
		Summary: Summary{Verdict: counts.Verdict(), Counts: counts, Governing: governing(a, a.Checks)},
	}
	for _, p := range r.Problems {
		out.Problems = append(out.Problems, Problem{Check: p.Check.ID, Title: p.Check.Title, State: p.State(), Remedies: list(p.Remedies), Why: p.Why})
	}
	if m := r.Best(); m != nil {
		out.Best = m.Number
	}
	return out
}

// Apply is a remedy that was written to a file.
type Apply struct {
	Head
	Design  Design         `json:"design"` // the one that was changed
	Written string         `json:"written"`
	Remedy  improve.Remedy `json:"remedy"`
}

// OfApply is the answer for a remedy that was written.
func OfApply(a *assess.Assessment, m improve.Remedy, written, file string) Apply {
	return Apply{Head: NewHead(), Design: OfDesign(a, file), Written: written, Remedy: m}
}
