package improve

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/parts"
)

// Options of a search for remedies. The zero value is the usual one.
type Options struct {
	PerProblem int                                // most remedies judged for one check; 0: usual
	Most       int                                // most machines judged; 0: usual
	Singly     bool                               // leave out the combination of several
	OverOnly   bool                               // leave out what is tight and what costs too much
	Progress   func(what string, done, total int) // called now and then, from one goroutine; may be nil
}

// Usual sizes of a search: own choice. A judgement of three axes costs about
// three times that of two, so it gets fewer.
const (
	usualPerProblem = 3
	usualTwoAxes    = 20
	usualThreeAxes  = 8
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
	chosen := s.choose(problems, opts)
	judged, err := s.judgeAll(ctx, chosen, opts)
	if err != nil {
		return nil, err
	}
	out := &Result{Assessment: found, Judged: len(chosen)}
	s.collect(out, problems, chosen, judged)
	if opts.Singly {
		return out, nil
	}
	return out, s.together(ctx, out)
}

// candidate is a proposal for a problem.
type candidate struct {
	proposal
	purpose Purpose
	problem int // index into the problems; -1 for savings
	key     string
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
	case p.Estimate <= tight:
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

// choose takes the first proposal of every problem, then the second, and so
// on: first for what is over, then for what is tight, then savings.
func (s *situation) choose(problems []posed, opts Options) (out []candidate) {
	seen := map[string]bool{}
	take := func(c candidate, most int) {
		c.key = keyOf(c.Edits)
		if len(out) < most && !seen[c.key] {
			seen[c.key] = true
			out = append(out, c)
		}
	}
	savings := s.savings(opts)
	room := opts.Most - len(savings)
	some := room
	if slices.ContainsFunc(problems, func(p posed) bool { return p.check.Verdict == ledger.Tight && len(p.proposals) > 0 }) {
		some = (5*room + 5) / 6 // the rest is for what is tight
	}
	turns := func(v ledger.Verdict, each, most int) {
		for k := range each {
			for i, p := range problems {
				if p.check.Verdict == v && k < len(p.proposals) {
					take(candidate{proposal: p.proposals[k], purpose: Mend, problem: i}, most)
				}
			}
		}
	}
	turns(ledger.Over, opts.PerProblem, some)
	turns(ledger.Tight, 1, room)
	turns(ledger.Over, opts.PerProblem, room)
	for _, p := range savings {
		take(candidate{proposal: p, purpose: Save, problem: -1}, opts.Most)
	}
	return out
}

// collect turns what was judged into numbered remedies.
func (s *situation) collect(out *Result, problems []posed, chosen []candidate, judged []*assess.Assessment) {
	var all []Remedy
	home := map[int][]int{} // problem to indices into all
	for i, c := range chosen {
		if judged[i] == nil {
			continue
		}
		check := ledger.Check{}
		if c.problem >= 0 {
			check = problems[c.problem].check
		}
		r, gains := s.remedy(c, check, judged[i])
		if gains {
			home[c.problem] = append(home[c.problem], len(all))
			all = append(all, r)
		}
	}
	number := func(at []int) (numbers []int) {
		slices.SortStableFunc(at, func(a, b int) int { return compare(&all[a], &all[b]) })
		for _, k := range at {
			all[k].Number = len(out.Remedies) + 1
			out.Remedies = append(out.Remedies, all[k])
			numbers = append(numbers, all[k].Number)
		}
		return numbers
	}
	for i, p := range problems {
		q := Problem{Check: p.check, Why: p.why}
		q.Remedies = number(home[i])
		out.Problems = append(out.Problems, q)
	}
	number(home[-1])
	for i := range out.Problems {
		out.shared(&out.Problems[i], chosen)
	}
}

// shared finds remedies of other problems that mend this one too, and says why
// there is none.
func (out *Result) shared(p *Problem, chosen []candidate) {
	for _, r := range out.Remedies {
		if r.Problem != p.Check.ID && slices.Contains(r.Resolves, p.Check.ID) {
			p.Remedies = append(p.Remedies, r.Number)
		}
	}
	if len(p.Remedies) > 0 || p.Why != "" {
		return
	}
	p.Why = "not among the changes judged this time: what is worse comes first"
	for _, c := range chosen {
		if c.problem >= 0 && out.Problems[c.problem].Check.ID == p.Check.ID {
			p.Why = "what was tried gained nothing once the whole machine was judged"
		}
	}
}

// remedy compares the changed machine with the one at hand. It gains if the
// problem is less used or gone; a saving gains if it costs less and breaks nothing.
func (s *situation) remedy(c candidate, problem ledger.Check, after *assess.Assessment) (Remedy, bool) {
	r := Remedy{
		Purpose: c.purpose, Title: c.Title, Problem: problem.ID, Why: c.Why, Edits: c.Edits, Counts: after.Counts,
		Mass: after.Results.Mass - s.found.Results.Mass, Cost: after.Results.Cost - s.found.Results.Cost,
	}
	r.changes(s.found, after)
	if c.purpose == Save {
		return r, r.Cost < 0 && len(r.Creates) == 0
	}
	if !math.IsNaN(c.Estimate) {
		r.Estimate = &Estimate{assess.Number(c.Estimate), c.By}
	}
	before := outcome(problem)
	now, still := byID(after)[problem.ID]
	end := outcome(now)
	if !still {
		end = Outcome{Gone: true, Utilisation: assess.Number(math.NaN()), Value: assess.Number(math.NaN()), Limit: assess.Number(math.NaN())}
	}
	r.Before, r.After = &before, &end
	const least = 1e-6 // a smaller change of the utilisation is no gain
	better := !still || now.Verdict > problem.Verdict && now.Verdict != ledger.Unknown || now.Utilisation < problem.Utilisation-least && now.Verdict != ledger.Unknown
	return r, better
}

// met tells whether the problem is no longer over, which stands above all else.
func (r *Remedy) met() bool {
	return r.After != nil && (r.After.Gone || r.After.Verdict >= ledger.Tight)
}

// compare orders the remedies of one problem: what mends it and breaks nothing,
// then what mends it, then the rest; inside, what mends more, then the cheaper,
// then the lighter.
func compare(a, b *Remedy) int {
	class := func(r *Remedy) int {
		switch {
		case r.met() && len(r.Creates) == 0 || r.Purpose == Save:
			return 0
		case len(r.Creates) == 0:
			return 1
		case r.met():
			return 2
		}
		return 3
	}
	return cmp.Or(
		cmp.Compare(class(a), class(b)),
		cmp.Compare(len(b.Resolves), len(a.Resolves)),
		cmp.Compare(a.Cost, b.Cost), cmp.Compare(a.Mass, b.Mass), cmp.Compare(keyOf(a.Edits), keyOf(b.Edits)),
	)
}

func sortSides(list []Side) {
	size := func(x Side) float64 {
		switch {
		case x.New || x.After.Gone || x.Before.Verdict != x.After.Verdict:
			return math.Inf(1)
		}
		return math.Abs(float64(x.After.Utilisation - x.Before.Utilisation))
	}
	slices.SortStableFunc(list, func(a, b Side) int {
		return cmp.Or(cmp.Compare(size(b), size(a)), cmp.Compare(a.Check, b.Check))
	})
}

// Apply returns the design's text with the edits of remedy n.
func (r *Result) Apply(n int) ([]byte, error) {
	if n < 1 || n > len(r.Remedies) {
		return nil, fmt.Errorf("there is no remedy %d: there are %d", n, len(r.Remedies))
	}
	return r.Assessment.Machine.Design.File.Apply(edits(r.Remedies[n-1].Edits)...)
}

func edits(list []Edit) []design.Edit {
	out := make([]design.Edit, len(list))
	for i, e := range list {
		out[i] = e.design()
	}
	return out
}

var errRefused = errors.New("the changed design is refused")
