package screen

import (
	"fmt"
	"io"
	"path"
	"strings"
	"unicode/utf8"

	"spanwright/assess"
	"spanwright/ledger"
)

// View says what of a ledger to print.
type View struct {
	File string
	All  bool   // with every check that is ok, and the assumptions
	Only string // glob on the check id; "" is all
	Style
}

// Selected keeps the checks whose id matches the glob. A star also matches dots.
func Selected(checks []ledger.Check, glob string) ([]ledger.Check, error) {
	if glob == "" {
		return checks, nil
	}
	flat := strings.ReplaceAll(glob, ".", "·")
	var out []ledger.Check
	for _, c := range checks {
		ok, err := path.Match(flat, strings.ReplaceAll(c.ID, ".", "·"))
		if err != nil {
			return nil, fmt.Errorf("%q is no pattern: %w", glob, err)
		}
		if ok {
			out = append(out, c)
		}
	}
	return out, nil
}

// Ledger prints summary and ledger, worst first.
func Ledger(w io.Writer, a *assess.Assessment, v View) error {
	checks, err := Selected(a.Checks, v.Only)
	if err != nil {
		return err
	}
	n := ledger.Count(checks)
	verdict := n.Verdict()
	fmt.Fprintf(w, "%s: %s (%s)\n", v.strong(a.Machine.Design.Name), v.paint(verdict, verdict.String()), counts(n))
	if v.Only == "" {
		summary(w, a)
	}
	fmt.Fprintln(w)
	shown := checks
	if !v.All && v.Only == "" {
		shown = notOK(checks)
	}
	idWidth := 0
	for _, c := range shown {
		idWidth = max(idWidth, min(30, utf8.RuneCountInString(c.ID)))
	}
	for _, c := range shown {
		line(w, v.Style, c, idWidth)
	}
	if len(shown) < len(checks) {
		calm(w, a, checks)
	}
	if v.All {
		appendix(w, a)
	}
	next(w, a, v, checks)
	return nil
}

func counts(n ledger.Counts) string {
	return fmt.Sprintf("%d over, %d tight, %d unknown, %d ok", n.Over, n.Tight, n.Unknown, n.OK)
}

func notOK(checks []ledger.Check) []ledger.Check {
	for i, c := range checks {
		if c.Verdict == ledger.OK {
			return checks[:i]
		}
	}
	return checks
}

// summary prints what one wants to know first.
func summary(w io.Writer, a *assess.Assessment) {
	r := a.Results
	row := func(name, text string) { fmt.Fprintf(w, "  %-17s %s\n", name, text) }
	row("cycle", fmt.Sprintf("%s, %.4g cycles an hour; %.4g wanted", Value(float64(r.CycleTime), "s"), float64(r.Rate), a.Machine.Design.Task.Rate*3600))
	row("sag at the tool", fmt.Sprintf("up to %s, varies by %s over the work space", Value(float64(r.Tool.SagMax), "m"), Value(float64(r.Tool.SagVariation), "m")))
	row("first frequency", fmt.Sprintf("%s at its lowest; settles in %s", Value(float64(r.Tool.FirstFreq), "Hz"), Value(float64(r.Tool.SettleTime), "s")))
	row("tipping factor", Value(float64(r.Stand.TippingFactor), "")+" at its lowest")
	row("mass, cost", fmt.Sprintf("%s, %.5g (representative prices)", Value(float64(r.Mass), "kg"), float64(r.Cost)))
	if n := a.RepresentativeParts(); n > 0 {
		row("part data", fmt.Sprintf("%d of %d parts are representative: replace before ordering", n, len(a.Machine.Used)))
	}
}

// calm says how many checks of each group are ok and not listed.
func calm(w io.Writer, a *assess.Assessment, checks []ledger.Check) {
	order := []string{}
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
	var parts []string
	for _, g := range order {
		parts = append(parts, fmt.Sprintf("%s %d", g, count[g]))
	}
	fmt.Fprintln(w, wrap("ok             "+strings.Join(parts, ", ")+" (--all lists them)", 0, 15))
}

// appendix prints assumptions and what was not checked.
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

func next(w io.Writer, a *assess.Assessment, v View, checks []ledger.Check) {
	if v.Only == "" && !v.All && len(a.NotChecked) > 0 {
		fmt.Fprintf(w, "not checked    %d things, listed by --all\n", len(a.NotChecked))
	}
	if len(checks) > 0 && checks[0].Verdict != ledger.OK {
		fmt.Fprintf(w, "next           spanwright explain %s %s\n", v.File, checks[0].ID)
	}
}
