package improve

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/ledger"
)

// repairs is how often what a combination leaves over, or brings about, is
// mended in turn: own choice.
const repairs = 2

// How many changes are judged in one such turn: those with a structure to be
// solved, with two axes and with three, and those without.
const (
	repairsTwoAxes   = 3
	repairsThreeAxes = 1
	repairsAlike     = 6
)

// combination is a set of edits that are made together.
type combination struct {
	edits    []Edit
	numbers  []int    // of the remedies in it
	further  []string // titles of what was added afterwards
	repaired []Edit   // those that came with them
	after    *assess.Assessment
}

// mended tells whether a repair has already changed one of the places: changing
// it again would go round in circles.
func (k combination) mended(list []Edit) bool {
	for _, e := range list {
		if slices.ContainsFunc(k.repaired, func(x Edit) bool { return x.Path == e.Path }) {
			return true
		}
	}
	return false
}

// with adds edits; one of a path that is there already takes its place.
func (k combination) with(more []Edit) []Edit {
	out := slices.Clone(k.edits)
	for _, e := range more {
		if i := slices.IndexFunc(out, func(x Edit) bool { return x.Path == e.Path }); i >= 0 {
			out[i] = e
		} else {
			out = append(out, e)
		}
	}
	return out
}

// together adds one remedy that makes as many as it can at once, and mends in
// turn what that leaves over, if more than one change is needed.
func (s *situation) together(ctx context.Context, out *Result) error {
	k := cover(out)
	if len(k.numbers) == 0 || len(k.numbers) == 1 && out.Remedies[k.numbers[0]-1].Counts.Over == 0 {
		return nil
	}
	var err error
	if k.after, err = s.judge(ctx, k.edits); err != nil {
		return ctx.Err() // together they do not fit, each by itself does
	}
	out.Judged++
	for range repairs {
		better, err := s.repair(ctx, k, out)
		if err != nil {
			return err
		}
		if !better.ok {
			break
		}
		k = better.combination
	}
	if len(k.numbers)+len(k.further) < 2 {
		return nil
	}
	r := Remedy{
		Purpose: Together, Title: k.title(), Why: "the cheapest that mend most, and what they need beside them", Edits: k.edits, Counts: k.after.Counts,
		Number: len(out.Remedies) + 1, Mass: k.after.Results.Mass - s.found.Results.Mass, Cost: k.after.Results.Cost - s.found.Results.Cost,
	}
	r.changes(s.found, k.after)
	if len(r.Resolves) > len(r.Creates) {
		out.Remedies = append(out.Remedies, r)
	}
	return nil
}

func (k combination) title() string {
	var words []string
	for _, n := range k.numbers {
		words = append(words, fmt.Sprint(n))
	}
	text := "remedy " + words[0]
	if n := len(words) - 1; n > 0 {
		text = "remedies " + strings.Join(words[:n], ", ") + " and " + words[n] + " together"
	}
	if len(k.further) > 0 {
		text += ", with " + strings.Join(k.further, ", ")
	}
	return text
}

// cover chooses remedies until no further one mends more checks than it breaks:
// first what mends most, then the cheapest.
func cover(out *Result) (k combination) {
	open := map[string]bool{}
	for _, p := range out.Problems {
		if p.Check.Verdict == ledger.Over {
			open[p.Check.ID] = true
		}
	}
	worth := func(r *Remedy) int {
		n := -len(r.Creates) - r.worsens() // count half: another remedy, or the repair, may mend it
		for _, id := range r.Resolves {
			if open[id] {
				n += 2
			}
		}
		for _, e := range r.Edits {
			if slices.ContainsFunc(k.edits, func(x Edit) bool { return x.Path == e.Path }) {
				return 0
			}
		}
		return n
	}
	for {
		var best *Remedy
		for i := range out.Remedies {
			r := &out.Remedies[i]
			if r.Purpose != Mend || worth(r) <= 0 {
				continue
			}
			if best == nil || cmp.Or(cmp.Compare(worth(best), worth(r)), cmp.Compare(r.Cost, best.Cost)) < 0 {
				best = r
			}
		}
		if best == nil {
			slices.Sort(k.numbers)
			return k
		}
		for _, id := range best.Resolves {
			delete(open, id)
		}
		k.edits, k.numbers = append(k.edits, best.Edits...), append(k.numbers, best.Number)
	}
}

// worsens is how many checks that are over a remedy uses clearly more.
func (r *Remedy) worsens() (n int) {
	for _, x := range r.Side {
		if x.Before.Verdict == ledger.Over && !x.New && !x.After.Gone && x.After.Utilisation > clearly*x.Before.Utilisation {
			n++
		}
	}
	if r.spoils { // on its own another fault hides what it spoils
		n++
	}
	return n
}

// repaired is a combination after one more change, if that leaves less over.
type repaired struct {
	combination
	ok bool
}

// repair judges one more change for each of the worst checks that the
// combination leaves over, and keeps the best.
func (s *situation) repair(ctx context.Context, k combination, out *Result) (repaired, error) {
	if k.after.Counts.Over == 0 {
		return repaired{}, nil
	}
	now := newSituation(k.after, s.parts)
	now.studies = s.studies
	var list []candidate
	var added [][]Edit
	problems := now.problems(Options{OverOnly: true})
	room := map[bool]int{true: repairsAlike, false: repairsTwoAxes}
	if len(s.m.Axes) > 2 {
		room[false] = repairsThreeAxes
	}
	for turn := range 2 {
		for _, p := range problems {
			if turn >= len(p.proposals) || k.mended(p.proposals[turn].Edits) {
				continue
			}
			alike := now.changed(p.proposals[turn].Edits).alike()
			if room[alike]--; room[alike] < 0 {
				continue
			}
			c := candidate{proposal: p.proposals[turn]}
			added = append(added, c.Edits)
			c.Edits = k.with(c.Edits)
			list = append(list, c)
		}
	}
	judged, err := s.judgeAll(ctx, list, Options{})
	if err != nil {
		return repaired{}, err
	}
	out.Judged += len(list)
	best := -1
	for i, a := range judged {
		if a == nil || badness(a) >= badness(k.after) {
			continue
		}
		if best < 0 || cmp.Or(cmp.Compare(badness(a), badness(judged[best])), cmp.Compare(a.Results.Cost, judged[best].Results.Cost)) < 0 {
			best = i
		}
	}
	if best < 0 {
		return repaired{}, nil
	}
	k.repaired = append(slices.Clone(k.repaired), added[best]...)
	k.edits, k.after = list[best].Edits, judged[best]
	k.further = append(slices.Clone(k.further), list[best].Title)
	return repaired{k, true}, nil
}

// badness counts what is over or unknown; of two that are alike, the one whose
// worst check is less used is better.
func badness(a *assess.Assessment) float64 {
	worst := 0.0
	for _, c := range a.Checks {
		if c.Verdict == ledger.Over && c.Utilisation > worst {
			worst = c.Utilisation
		}
	}
	return float64(a.Counts.Over+a.Counts.Unknown) + worst/(1+worst)
}
