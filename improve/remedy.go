// Package improve proposes remedies for what is over its limit or close to it,
// and for what costs more than it has to: each a change of the design file with
// its gain.
//
// Remedies are found by rules, one function for a family of checks. A rule
// estimates the gain from the check's working, the parts' data and the split of
// the deflection; estimates only choose what is worth the full judgement. The
// gain that is reported is always that of the changed machine, judged as a
// whole, together with what the change does to all other checks. A remedy that
// turns out to gain nothing is not proposed.
//
// It computes no engineering of its own beyond the exponents of the estimates,
// chooses no protective measures, and changes no file: edits are those of package
// design, which keep comments and layout. All numbers are SI; utilisation is
// demand over capacity.
package improve

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
)

// Purpose says what a remedy is for.
type Purpose string

// The purposes.
const (
	Mend     Purpose = "mend"     // a check that is over or tight
	Save     Purpose = "save"     // money, where there is more than enough
	Together Purpose = "together" // the first remedies of all checks that are over, at once
)

// Edit is one change in the design file.
type Edit struct {
	Path   string `json:"path"`
	Value  string `json:"value,omitempty"`
	Remove bool   `json:"remove,omitempty"`
}

func (e Edit) design() design.Edit {
	return design.Edit{Path: e.Path, Value: e.Value, Remove: e.Remove}
}

// Estimate is what was expected before the machine was judged again.
type Estimate struct {
	Utilisation assess.Number `json:"utilisation"`
	By          string        `json:"by"` // the rule
}

// Outcome is a check as it came out.
type Outcome struct {
	Value       assess.Number  `json:"value"`
	Limit       assess.Number  `json:"limit"`
	Unit        string         `json:"unit"`
	Utilisation assess.Number  `json:"utilisation"`
	Verdict     ledger.Verdict `json:"verdict"`
	Gone        bool           `json:"gone,omitempty"` // the check no longer applies
}

func outcome(c ledger.Check) Outcome {
	return Outcome{Value: assess.Number(c.Value), Limit: assess.Number(c.Limit), Unit: c.Unit, Utilisation: assess.Number(c.Utilisation), Verdict: c.Verdict}
}

// Side is what a remedy does to another check.
type Side struct {
	Check  string  `json:"check"`
	Before Outcome `json:"before"`
	After  Outcome `json:"after"`
	New    bool    `json:"new,omitempty"` // the check did not apply before
}

// Remedy is a proposed change with its computed gain.
type Remedy struct {
	Number   int           `json:"number"` // from 1, as given to --apply
	Purpose  Purpose       `json:"purpose"`
	Title    string        `json:"title"`
	Problem  string        `json:"problem,omitempty"` // id of the check that it is for
	Why      string        `json:"why"`
	Edits    []Edit        `json:"edits"`
	Estimate *Estimate     `json:"estimate,omitempty"`
	Before   *Outcome      `json:"before,omitempty"` // of the problem
	After    *Outcome      `json:"after,omitempty"`
	Mass     assess.Number `json:"mass_change_kg"`
	Cost     assess.Number `json:"cost_change"`
	Unpriced bool          `json:"drive_part_unpriced"` // something of a drive changes that has no price in the data: a pulley, an end bearing
	Side     []Side        `json:"side_effects"`        // the largest first
	Resolves []string      `json:"resolves"`            // checks that were over and no longer are
	Creates  []string      `json:"creates"`             // checks that are over or unknown and were not
	Counts   ledger.Counts `json:"counts"`              // of the changed machine

	spoils bool // was expected to put another check over its limit
}

// Problem is a check that is over or tight, with the remedies for it.
type Problem struct {
	Check    ledger.Check
	Remedies []int // numbers, the best first
	Why      string
}

// Result is everything that is proposed for a machine.
type Result struct {
	Assessment *assess.Assessment
	Problems   []Problem // worst first
	Remedies   []Remedy  // by number
	Judged     int       // machines judged
}

// Best is the remedy that leaves least over or unknown, nil if none leaves less
// than there is; never one that brings a load nearer to falling or the machine
// nearer to tipping where that is over already; of equal ones that which breaks least, then that which makes least
// of the rest worse.
func (r *Result) Best() *Remedy {
	left := func(c ledger.Counts) int { return c.Over + c.Unknown }
	var best *Remedy
	for i := range r.Remedies {
		m := &r.Remedies[i]
		if left(m.Counts) >= left(r.Assessment.Counts) || m.endangers() {
			continue
		}
		if best == nil || cmp.Or(cmp.Compare(left(m.Counts), left(best.Counts)), cmp.Compare(len(m.Creates), len(best.Creates)), cmp.Compare(m.spoilt(), best.spoilt())) < 0 {
			best = m
		}
	}
	return best
}

// endangers tells whether a check of what keeps people safe is over and gets clearly
// worse: what holds a load up, stops it, or keeps the machine standing.
func (r *Remedy) endangers() bool {
	return slices.ContainsFunc(r.Side, func(x Side) bool {
		words := strings.Split(x.Check, ".")
		safe := words[0] == "safety" || strings.HasPrefix(x.Check, "stand.tipping") || len(words) > 2 && (words[2] == "brake" || words[2] == "motor" && words[len(words)-1] == "hold")
		return safe && x.Before.Verdict == ledger.Over && !x.New && !x.After.Gone && x.After.Utilisation > clearly*x.Before.Utilisation
	})
}

// clearly is the ratio of utilisations from which a check counts as worse: own choice.
const clearly = 1.05

// spoilt is by how much a remedy makes other checks worse, together.
func (r *Remedy) spoilt() (sum float64) {
	for _, s := range r.Side {
		sum += max(0, float64(s.After.Utilisation)-float64(s.Before.Utilisation))
	}
	return sum
}

// changes compares two ledgers: side effects other than on the problem, what
// is resolved and what is created.
func (r *Remedy) changes(before, after *assess.Assessment) {
	old := byID(before)
	now := byID(after)
	r.Unpriced = slices.ContainsFunc(r.Edits, func(e Edit) bool {
		_, part, ofDrive := strings.Cut(e.Path, ".drive.")
		return ofDrive && part != "belt" && part != "screw" && part != "rack"
	})
	r.Side, r.Resolves, r.Creates = []Side{}, []string{}, []string{}
	for _, c := range before.Checks {
		n, still := now[c.ID]
		if c.Verdict == ledger.Over && (!still || n.Verdict != ledger.Over && n.Verdict != ledger.Unknown) {
			r.Resolves = append(r.Resolves, c.ID)
		}
		if c.ID == r.Problem || !still && c.Verdict == ledger.OK {
			continue
		}
		if !still {
			r.Side = append(r.Side, Side{Check: c.ID, Before: outcome(c), After: Outcome{Gone: true}})
		} else if notable(c, n) {
			r.Side = append(r.Side, Side{Check: c.ID, Before: outcome(c), After: outcome(n)})
		}
	}
	for _, n := range after.Checks {
		c, was := old[n.ID]
		bad := n.Verdict == ledger.Over || n.Verdict == ledger.Unknown
		if bad && (!was || c.Verdict != n.Verdict) {
			r.Creates = append(r.Creates, n.ID)
		}
		if !was && n.Verdict != ledger.OK {
			r.Side = append(r.Side, Side{Check: n.ID, After: outcome(n), New: true})
		}
	}
	sortSides(r.Side)
}

// Side effects below these are not worth a line: own choice.
const (
	notableChange = 0.03 // of the utilisation
	notableLevel  = 0.4  // utilisation that matters before or after
)

func notable(before, after ledger.Check) bool {
	if before.Verdict != after.Verdict {
		return true
	}
	change := math.Abs(after.Utilisation - before.Utilisation)
	return change >= notableChange && math.Max(before.Utilisation, after.Utilisation) >= notableLevel
}

func byID(a *assess.Assessment) map[string]ledger.Check {
	out := make(map[string]ledger.Check, len(a.Checks))
	for _, c := range a.Checks {
		out[c.ID] = c
	}
	return out
}

// State is the check as it stands.
func (p Problem) State() Outcome { return outcome(p.Check) }
