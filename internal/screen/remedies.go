package screen

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/improve"
	"spanwright/ledger"
	"spanwright/wording"
)

// remedyMargin is the column in which the texts of a remedy begin.
const remedyMargin = 16

// mostSides is how many side effects are named; the JSON form has all.
const mostSides = 4

const remedyCaution = "A remedy is a proposal. Read its side effects; brakes, guards, anchors and what else keeps people safe are decided by the risk assessment (ISO 12100), local codes and competent review."

// Remedies prints what is proposed, the worst problem first.
func Remedies(w io.Writer, r *improve.Result, file string, s Style) {
	a := r.Assessment
	heading(w, s, a.Machine.Design.Name, ledger.Count(a.Checks))
	if m := r.Best(); m != nil {
		fmt.Fprintln(w)
		labelled(w, s.strong("best"), remedyMargin, fmt.Sprintf("remedy %d: %s", m.Number, m.Title))
		labelled(w, "  then", remedyMargin, fmt.Sprintf("%s; %s, cost %s", counts(m.Counts), signed(float64(m.Mass), "kg"), signed(float64(m.Cost), "")))
	}
	left := 0
	for _, p := range r.Problems {
		if len(own(r, p)) == 0 && p.Check.Verdict == ledger.Tight {
			left++
			continue
		}
		fmt.Fprintln(w)
		lines(w, s, []ledger.Check{p.Check})
		for _, m := range own(r, p) {
			remedy(w, s, m, p.Check.Unit)
		}
		if also := others(r, p); also != "" {
			labelled(w, "  also mended by", remedyMargin+1, also)
		}
		if p.Why != "" {
			labelled(w, "  no remedy", remedyMargin, p.Why)
		}
	}
	ofPurpose(w, r, s, improve.Save, "costs more than it has to")
	ofPurpose(w, r, s, improve.Together, "all at once")
	fmt.Fprintln(w)
	if left > 0 {
		labelled(w, "left", remedyMargin, count(left, "tight check")+" without a remedy here; --json says why")
	}
	labelled(w, "exact", remedyMargin, fmt.Sprintf("every gain is that of the whole machine judged again (%d times); it stands beside what was expected", r.Judged))
	labelled(w, "caution", remedyMargin, remedyCaution)
	if len(r.Remedies) > 0 {
		best := 1
		if m := r.Best(); m != nil {
			best = m.Number
		}
		fmt.Fprintf(w, "%-*sspanwright improve %s --apply %d -o better.yaml\n", remedyMargin, "next", file, best)
	}
}

// own are the remedies that were made for a problem.
func own(r *improve.Result, p improve.Problem) (out []improve.Remedy) {
	for _, n := range p.Remedies {
		if m := r.Remedies[n-1]; m.Problem == p.Check.ID {
			out = append(out, m)
		}
	}
	return out
}

// others are the numbers of further remedies that mend a problem.
func others(r *improve.Result, p improve.Problem) string {
	var words []string
	for _, n := range p.Remedies {
		if m := r.Remedies[n-1]; m.Problem != p.Check.ID && m.Purpose == improve.Mend {
			words = append(words, fmt.Sprint(n))
		}
	}
	return strings.Join(words, ", ")
}

func ofPurpose(w io.Writer, r *improve.Result, s Style, purpose improve.Purpose, title string) {
	for _, m := range r.Remedies {
		if m.Purpose != purpose {
			continue
		}
		if title != "" {
			fmt.Fprintf(w, "\n%s\n", s.strong(title))
			title = ""
		}
		remedy(w, s, m, "")
	}
}

// remedy prints one remedy: what, gain, price, side effects, edits.
func remedy(w io.Writer, s Style, m improve.Remedy, unit string) {
	head := fmt.Sprintf("%4d  ", m.Number)
	fmt.Fprintf(w, "%s%s\n", head, wrap(m.Title, len(head), len(head)))
	row := func(label, text string) { labelled(w, "      "+label, remedyMargin, text) }
	row("why", m.Why)
	if m.Purpose == improve.Mend {
		row("gain", gain(m, unit))
	}
	change := fmt.Sprintf("%s, cost %s", signed(float64(m.Mass), "kg"), signed(float64(m.Cost), ""))
	if m.Unpriced {
		change += "; what changes in the drive has no price of its own"
	}
	row("change", change)
	also := slices.DeleteFunc(slices.Clone(m.Resolves), func(id string) bool { return id == m.Problem })
	row("mends", strings.Join(also, ", "))
	if m.Purpose == improve.Together {
		row("then", counts(m.Counts))
	}
	if len(m.Creates) > 0 {
		row(s.paint(ledger.Over, "breaks"), strings.Join(m.Creates, ", "))
	}
	row("sides", sides(m))
	for i, e := range m.Edits {
		label := "edit"
		if i > 0 {
			label = ""
		}
		row(label, edit(e))
	}
}

func edit(e improve.Edit) string {
	if e.Remove {
		return e.Path + " removed"
	}
	return e.Path + ": " + e.Value
}

// gain says how the check stood, stands, and was expected to stand.
func gain(m improve.Remedy, unit string) string {
	text := state(*m.Before, unit) + " to " + state(*m.After, unit)
	if m.Estimate != nil && !m.After.Gone && float64(m.After.Utilisation) > 0 && !math.IsInf(float64(m.Before.Utilisation), 0) {
		text += fmt.Sprintf("; expected %.2f", float64(m.Estimate.Utilisation))
	}
	return text
}

// state is an outcome in short: utilisation, value and verdict.
func state(o improve.Outcome, unit string) string {
	u, v := float64(o.Utilisation), float64(o.Value)
	switch {
	case o.Gone:
		return "no longer judged"
	case math.IsNaN(u) || math.IsNaN(v):
		return o.Verdict.String()
	case math.IsInf(u, 0) || unit == "" && v == 1 && float64(o.Limit) == 1:
		return map[bool]string{true: "met", false: "not met"}[o.Verdict != ledger.Over]
	}
	return fmt.Sprintf("%.2f (%s, %s)", u, wording.Value(v, unit), o.Verdict)
}

func signed(x float64, unit string) string {
	switch {
	case math.IsNaN(x):
		return "unknown"
	case math.Abs(x) < 0.005:
		return strings.TrimSpace("0 " + unit)
	}
	sign := "+"
	if x < 0 {
		sign = "-"
	}
	if unit == "" {
		return fmt.Sprintf("%s%.0f", sign, math.Abs(x))
	}
	return sign + wording.Value(math.Abs(x), unit)
}

// sides names the largest side effects.
func sides(m improve.Remedy) string {
	var words []string
	for i, x := range m.Side {
		if i == mostSides {
			words = append(words, fmt.Sprintf("%d more", len(m.Side)-i))
			break
		}
		words = append(words, side(x))
	}
	if len(words) == 0 {
		return "none worth naming"
	}
	return strings.Join(words, "; ")
}

func side(x improve.Side) string {
	short := func(o improve.Outcome) string {
		if u := float64(o.Utilisation); !math.IsNaN(u) && !math.IsInf(u, 0) {
			return fmt.Sprintf("%.2f %s", u, o.Verdict)
		}
		return o.Verdict.String()
	}
	switch {
	case x.New:
		return x.Check + " now judged: " + short(x.After)
	case x.After.Gone:
		return x.Check + " no longer judged"
	}
	return fmt.Sprintf("%s %s to %s", x.Check, short(x.Before), short(x.After))
}

// Applied says what a remedy that was written does.
func Applied(w io.Writer, before *assess.Assessment, m improve.Remedy, file string, s Style) {
	heading(w, s, before.Machine.Design.Name, m.Counts)
	fmt.Fprintln(w)
	remedy(w, s, m, unitOf(before, m.Problem))
	fmt.Fprintln(w)
	labelled(w, "caution", remedyMargin, remedyCaution)
	fmt.Fprintf(w, "%-*s%s\n%-*sspanwright check %s\n", remedyMargin, "written", file, remedyMargin, "next", file)
}

func unitOf(a *assess.Assessment, id string) string {
	for _, c := range a.Checks {
		if c.ID == id {
			return c.Unit
		}
	}
	return ""
}
