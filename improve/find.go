package improve

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/parts"
)

// Options of a search for remedies. The zero value is the usual one.
type Options struct {
	PerProblem int                                // most remedies judged for one check; 0: usual
	Most       int                                // most machines judged whose structure has to be solved anew; 0: usual
	Singly     bool                               // leave out the combination of several
	OverOnly   bool                               // leave out what is tight and what costs too much
	Progress   func(what string, done, total int) // called now and then, from one goroutine; may be nil
}

// Usual sizes of a search: own choice. A judgement of three axes costs about
// three times that of two, so it gets fewer. One whose structure is solved
// already, since only limits, switches or the like change, costs next to nothing.
const (
	usualPerProblem = 3
	usualTwoAxes    = 12
	usualThreeAxes  = 3
	mostAlike       = 24 // machines judged with a structure that is known
	mostSavings     = 2
)

func (o Options) withDefaults(axes int) Options {
	if o.PerProblem == 0 {
		o.PerProblem = usualPerProblem
	}
	if o.Most == 0 {
		o.Most = usualThreeAxes
		if axes <= 2 {
			o.Most = usualTwoAxes
		}
	}
	return o
}

// Find proposes remedies for a machine that has been judged. The catalogue is
// the one that it was built from. The result does not depend on the number of
// processors. The error is that of the context or of the engine.
func Find(ctx context.Context, found *assess.Assessment, catalogue *parts.Catalogue, opts Options) (*Result, error) {
	opts = opts.withDefaults(len(found.Machine.Axes))
	s := newSituation(found, catalogue)
	problems := s.problems(opts)
	r := rounds{s: s, problems: problems, opts: opts, seen: map[string]bool{}}
	if err := r.judge(ctx); err != nil {
		return nil, err
	}
	out := &Result{Assessment: found, Judged: len(r.chosen)}
	s.collect(out, problems, r.chosen, r.judged)
	if opts.Singly {
		return out, nil
	}
	return out, s.together(ctx, out)
}

// posed is a problem with what the rules propose, the most promising first.
type posed struct {
	check     ledger.Check
	proposals []proposal
	why       string // why nothing is proposed
}

// problems lists what is over, then what is tight, with the proposals.
func (s *situation) problems(opts Options) []posed {
	var out []posed
	for _, c := range s.found.Checks {
		over := c.Verdict == ledger.Over
		if !over && (opts.OverOnly || c.Verdict != ledger.Tight) {
			continue
		}
		p := posed{check: c}
		p.proposals, p.why = s.propose(c)
		out = append(out, p)
	}
	return out
}

// propose asks every rule for the kind and sorts what it says.
func (s *situation) propose(c ledger.Check) (out []proposal, why string) {
	asked := false
	seen := map[string]bool{}
	for _, f := range families {
		if !f.fits(c.Kind) {
			continue
		}
		asked = true
		for _, p := range f.propose(s, c) {
			if key := keyOf(p.Edits); len(p.Edits) > 0 && !seen[key] {
				seen[key] = true
				out = append(out, p)
			}
		}
	}
	out = slices.DeleteFunc(s.foresee(c, out), func(p proposal) bool { return !(p.Estimate < c.Utilisation) && !math.IsNaN(p.Estimate) })
	slices.SortStableFunc(out, func(a, b proposal) int { return cmp.Compare(s.rank(a), s.rank(b)) })
	switch {
	case len(out) > 0:
		return out, ""
	case asked:
		return nil, "no change that the rules know helps with the parts at hand"
	case c.Group == "safety":
		return nil, "a decision of the risk assessment, not proposed here"
	}
	return nil, "no rule proposes a change for this check"
}

// rank puts what is expected to meet the limit with margin first, the cheapest
// before the others, then what meets it, then the rest by their estimate.
func (s *situation) rank(p proposal) float64 {
	const far = 1e12 // above any price
	switch tight := s.design.Assumptions.Tight; {
	case p.spoils:
		return far * (1.5 + math.Min(0.4, math.Abs(p.Estimate)/1e3))
	case p.meets || p.Estimate <= tight:
		return p.cost
	case p.Estimate <= 1:
		return far + p.cost
	case math.IsNaN(p.Estimate):
		return 3 * far
	}
	return far * (2 + math.Min(0.5, p.Estimate/1e3))
}

func keyOf(edits []Edit) string {
	var b strings.Builder
	for _, e := range edits {
		fmt.Fprintf(&b, "%s=%s/%t\n", e.Path, e.Value, e.Remove)
	}
	return b.String()
}
