package improve

import (
	"context"

	"spanwright/assess"
	"spanwright/ledger"
)

// candidate is a proposal for a problem.
type candidate struct {
	proposal
	purpose Purpose
	problem int // index into the problems; -1 for savings
}

// rounds choose what is judged and judge it: first all that leaves the structure
// as it is, with the best of the rest for each check that is over; then more for
// the checks that nothing has mended yet. What is chosen depends on the results
// alone, never on the time they take.
type rounds struct {
	s        *situation
	problems []posed
	opts     Options

	chosen []candidate
	judged []*assess.Assessment // nil for what cannot be solved
	seen   map[string]bool
	solved int // machines whose structure is solved anew
	alike  int // machines with a structure that is known
}

func (r *rounds) judge(ctx context.Context) error {
	r.s.compareAll(r.problems)
	var list []candidate
	savings := r.s.savings(r.opts)
	room := r.opts.Most
	mending := r.s.found.Counts.Over > 0
	if !mending {
		room = max(1, room-len(savings))
	}
	for _, v := range []ledger.Verdict{ledger.Over, ledger.Tight} {
		each := 1
		if v == ledger.Over {
			each = r.opts.PerProblem
		}
		list = r.take(list, v, each, true, room, nil)
	}
	list = r.take(list, ledger.Over, 1, false, room, nil)
	if !mending {
		list = r.save(list, savings)
	}
	if err := r.run(ctx, list); err != nil {
		return err
	}
	list = r.take(nil, ledger.Over, r.opts.PerProblem, false, r.opts.Most, r.unmended)
	list = r.take(list, ledger.Tight, 1, false, r.opts.Most, nil)
	list = r.take(list, ledger.Over, r.opts.PerProblem, false, r.opts.Most-1, nil)
	return r.run(ctx, r.save(list, savings))
}

func (r *rounds) save(list []candidate, savings []proposal) []candidate {
	for _, p := range savings {
		list = r.add(list, candidate{proposal: p, purpose: Save, problem: -1}, false, r.opts.Most)
	}
	return list
}

// take adds the first proposals of every problem with a verdict, then the second,
// and so on; alike tells whether those that leave the structure as it is are meant.
func (r *rounds) take(list []candidate, v ledger.Verdict, each int, alike bool, room int, wanted func(problem int) bool) []candidate {
	for k := range each {
		for i, p := range r.problems {
			if p.check.Verdict != v || wanted != nil && !wanted(i) {
				continue
			}
			if q, ok := r.nth(p.proposals, k, alike); ok {
				list = r.add(list, candidate{proposal: q, purpose: Mend, problem: i}, alike, room)
			}
		}
	}
	return list
}

// nth is the proposal that stands at k, from 0, of those that leave the structure
// as it is, or of those that do not; those by which parts run into each other come
// behind all others.
func (r *rounds) nth(proposals []proposal, k int, alike bool) (proposal, bool) {
	for _, collides := range []bool{false, true} {
		for _, p := range proposals {
			c := r.s.changed(p.Edits)
			if c.alike() != alike || r.s.breaks(c.collisions()) != collides {
				continue
			}
			if k == 0 {
				return p, true
			}
			k--
		}
	}
	return proposal{}, false
}

// add takes a candidate up while there is room and it is new.
func (r *rounds) add(list []candidate, c candidate, alike bool, room int) []candidate {
	key := keyOf(c.Edits)
	if r.seen[key] {
		return list
	}
	count, most := &r.solved, room
	if alike {
		count, most = &r.alike, mostAlike
	}
	if *count >= most {
		return list
	}
	*count++
	r.seen[key] = true
	return append(list, c)
}

func (r *rounds) run(ctx context.Context, list []candidate) error {
	judged, err := r.s.judgeAll(ctx, list, r.opts)
	r.chosen, r.judged = append(r.chosen, list...), append(r.judged, judged...)
	return err
}

// unmended tells whether a problem is over with all that was judged so far and
// spoils nothing else.
func (r *rounds) unmended(problem int) bool {
	id := r.problems[problem].check.ID
	for i, a := range r.judged {
		if a == nil || r.chosen[i].spoils || r.s.breaks(a.Checks) {
			continue
		}
		if c, still := byID(a)[id]; !still || c.Verdict == ledger.Tight || c.Verdict == ledger.OK {
			return false
		}
	}
	return true
}
