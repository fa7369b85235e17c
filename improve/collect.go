package improve

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
)

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
		Purpose: c.purpose, Title: c.Title, Problem: problem.ID, Why: c.Why, Edits: c.Edits, Counts: after.Counts, spoils: c.spoils,
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
