package screen

import (
	"fmt"
	"io"
	"math"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/wording"
)

// View says what of a ledger to print.
type View struct {
	File string // as the user named it
	All  bool   // with every check that is ok, the defaults, and what was not checked
	Only string // glob on the check id; "" is all
	Style
}

// Selected keeps the checks whose id matches the glob. A star also matches dots.
func Selected(checks []ledger.Check, glob string) ([]ledger.Check, error) {
	if glob == "" {
		return checks, nil
	}
	var out []ledger.Check
	for _, c := range checks {
		ok, err := path.Match(glob, c.ID) // ids hold no slash, so a star matches anything
		if err != nil {
			return nil, fmt.Errorf("%q is no pattern: %w", glob, err)
		}
		if ok {
			out = append(out, c)
		}
	}
	return out, nil
}

// margin is the column in which texts beside a label begin.
const margin = 15

// Ledger prints summary and ledger, worst first.
func Ledger(w io.Writer, a *assess.Assessment, v View) error {
	checks, err := Selected(a.Checks, v.Only)
	if err != nil {
		return err
	}
	n := ledger.Count(checks)
	heading(w, v.Style, a.Machine.Design.Name, n)
	if v.Only == "" {
		summary(w, a)
	}
	shown := checks
	if !v.All && v.Only == "" {
		shown = notOK(checks)
	}
	if len(shown) > 0 {
		fmt.Fprintln(w)
	}
	lines(w, v.Style, shown)
	if v.All {
		appendix(w, a)
	}
	fmt.Fprintln(w)
	cautions(w, shown)
	if len(shown) < len(checks) {
		labelled(w, "ok", margin, calm(checks))
	}
	if v.Only == "" && !v.All && len(a.NotChecked) > 0 {
		labelled(w, "not checked", margin, count(len(a.NotChecked), "thing")+"; --all lists them")
	}
	if len(checks) > 0 && checks[0].Verdict != ledger.OK {
		fmt.Fprintf(w, "%-*sspanwright explain %s %s\n", margin, "next", v.File, checks[0].ID) // one line, to be copied
	}
	return nil
}

// heading is the verdict on the whole; a long name gets a line of its own.
func heading(w io.Writer, s Style, name string, n ledger.Counts) {
	word, gap := n.Verdict().String(), " "
	if utf8.RuneCountInString(name+": "+word+" ("+counts(n)+")") > Width {
		gap = "\n  "
	}
	fmt.Fprintf(w, "%s:%s%s (%s)\n", s.strong(name), gap, s.paint(n.Verdict(), word), counts(n))
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func counts(n ledger.Counts) string {
	return fmt.Sprintf("%d over, %d tight, %d unknown, %d ok", n.Over, n.Tight, n.Unknown, n.OK)
}

// notOK is the beginning of the ledger up to the first check that is ok.
func notOK(checks []ledger.Check) []ledger.Check {
	i := slices.IndexFunc(checks, func(c ledger.Check) bool { return c.Verdict == ledger.OK })
	if i < 0 {
		return checks
	}
	return checks[:i]
}

// summary prints what one wants to know first.
func summary(w io.Writer, a *assess.Assessment) {
	r := a.Results
	row := func(name, text string) { labelled(w, "  "+name, 19, text) }
	row("cycle", fmt.Sprintf("%s, %.4g an hour; %.4g wanted", wording.Value(float64(r.CycleTime), "s"), float64(r.Rate), a.Machine.Design.Task.Rate*3600))
	sag := span(a, "m", func(l assess.LevelResult) assess.Number { return l.SagMax })
	varies := span(a, "m", func(l assess.LevelResult) assess.Number { return l.SagVariation })
	row("sag at the tool", "at most "+sag+"; varies by "+varies)
	hz := span(a, "Hz", func(l assess.LevelResult) assess.Number { return l.FirstFreq })
	row("first frequency", "at least "+hz+"; "+settles(float64(r.Tool.SettleTime)))
	row("tipping factor", tipping(float64(r.Stand.TippingFactor)))
	row("mass, cost", fmt.Sprintf("%s, %.0f in the currency of the part data", wording.Value(float64(r.Mass), "kg"), float64(r.Cost)))
	if n := a.RepresentativeParts(); n > 0 {
		row("part data", fmt.Sprintf("%d of %d parts are representative: replace before ordering", n, len(a.Machine.Used)))
	}
	if len(r.Structural) > 1 {
		row("ranges", "stiffest to softest joints and floor; judged at the worse end")
	}
}

// settles says how long the tool swings on after a move.
func settles(seconds float64) string {
	if seconds == 0 {
		return "in its settle band when a move ends"
	}
	return "settles in " + wording.Value(seconds, "s")
}

func tipping(factor float64) string {
	if math.IsInf(factor, 1) {
		return "does not apply: the stand is anchored"
	}
	return "at least " + wording.Value(factor, "")
}

// span prints a result over the uncertain stiffnesses.
func span(a *assess.Assessment, unit string, of func(assess.LevelResult) assess.Number) string {
	var ends []float64
	for _, l := range a.Results.Structural {
		ends = append(ends, float64(of(l)))
	}
	if len(ends) == 0 {
		return "unknown"
	}
	texts := wording.Values(unit, slices.Min(ends), slices.Max(ends))
	if texts[0] == texts[1] {
		return texts[0]
	}
	low, _, _ := strings.Cut(texts[0], " ")
	return low + " to " + texts[1]
}

// lines prints one line a check, or more where its sentence needs them; the
// sentences stand below each other.
func lines(w io.Writer, s Style, checks []ledger.Check) {
	wide := 0
	for _, c := range checks {
		if n := utf8.RuneCountInString(c.ID); n <= widestID {
			wide = max(wide, n)
		}
	}
	for _, c := range checks {
		start := margin + wide + 2
		gap := strings.Repeat(" ", 2+wide-min(wide, utf8.RuneCountInString(c.ID)))
		if utf8.RuneCountInString(c.ID) > wide {
			gap = "\n" + strings.Repeat(" ", start)
		}
		word := c.Verdict.String()
		fmt.Fprintf(w, "%s%s  %s  %s%s%s\n", s.paint(c.Verdict, word), strings.Repeat(" ", 7-len(word)), wording.Utilisation(c), c.ID, gap, wrap(wording.Sentence(c), start, start))
	}
}

// widestID is the longest id beside which a sentence still has room.
const widestID = 30

// cautions prints the safety words of the checks shown, each once.
func cautions(w io.Writer, checks []ledger.Check) {
	var said []string
	for _, c := range checks {
		if c.Caution != "" && !slices.Contains(said, c.Caution) {
			said = append(said, c.Caution)
			labelled(w, "caution", margin, c.Caution)
		}
	}
}

// calm says how many checks of each group are ok.
func calm(checks []ledger.Check) string {
	var order []string
	count := map[string]int{}
	for _, c := range checks {
		if c.Verdict != ledger.OK {
			continue
		}
		if count[c.Group] == 0 {
			order = append(order, c.Group)
		}
		count[c.Group]++
	}
	slices.Sort(order)
	var words []string
	for _, g := range order {
		words = append(words, fmt.Sprintf("%s %d", g, count[g]))
	}
	return strings.Join(words, ", ") + "; --all lists them"
}

// appendix prints the defaults that were used and what was not checked.
func appendix(w io.Writer, a *assess.Assessment) {
	fmt.Fprintln(w, "\nDefaults and assumptions that were used")
	for _, s := range a.Assumptions {
		fmt.Fprintln(w, "  "+wrap(fmt.Sprintf("%s: %s (%s)", s.Path, s.Value, s.Source), 2, 6))
	}
	fmt.Fprintln(w, "\nNot checked")
	for _, n := range a.NotChecked {
		fmt.Fprintln(w, "  "+wrap(n.What+": "+n.Why, 2, 6))
	}
}
