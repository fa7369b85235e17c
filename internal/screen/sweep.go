package screen

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"spanwright/ledger"
	"spanwright/search"
	"spanwright/wording"
)

// Sweep prints a table over named choices. Where it was stopped, it says how many
// rows are missing.
func Sweep(w io.Writer, sweeps []search.Sweep, variants []search.Variant, s Style) {
	for i, x := range sweeps {
		now := x.Now
		if now == "" {
			now = "its default"
		}
		labelled(w, fmt.Sprintf("choice %d", i+1), remedyMargin, fmt.Sprintf("%s, now %s", x.Path, now))
	}
	wide := make([]int, len(sweeps))
	for i := range sweeps {
		wide[i] = len("choice 1")
		for _, v := range variants {
			wide[i] = max(wide[i], utf8.RuneCountInString(v.Values[i]))
		}
	}
	fmt.Fprintln(w)
	for i := range sweeps {
		fmt.Fprintf(w, "%-*s  ", wide[i], fmt.Sprintf("choice %d", i+1))
	}
	fmt.Fprintf(w, "%-8s%7s%10s%9s%12s%10s  %s\n", "verdict", "cost", "mass", "cycle", "sag varies", "first f", "most used")
	for _, v := range variants {
		column := 0
		for i, value := range v.Values {
			fmt.Fprintf(w, "%-*s  ", wide[i], value)
			column += wide[i] + 2
		}
		if v.Refused != "" {
			fmt.Fprintln(w, wrap("refused: "+v.Refused, column, column))
			continue
		}
		x := v.Numbers
		fmt.Fprintf(w, "%s%7.0f%10s%9s%12s%10s  %s\n", s.paint(v.Verdict, fmt.Sprintf("%-8s", v.Verdict)), float64(x.Cost),
			wording.Value(float64(x.Mass), "kg"), wording.Value(float64(x.Cycle), "s"), wording.Value(float64(x.Sag), "m"), wording.Value(float64(x.Frequency), "Hz"), mostUsed(v.Most))
	}
	if missing := search.Rows(sweeps) - len(variants); missing > 0 {
		fmt.Fprintf(w, "\nstopped: %d of %d rows are missing\n", missing, search.Rows(sweeps))
	}
}

// mostUsed names the most used check with its utilisation; a rule has none.
func mostUsed(c ledger.Check) string {
	used := strings.TrimSpace(wording.Utilisation(c))
	switch {
	case used != "":
		return c.ID + " " + used
	case c.Verdict == ledger.Over:
		return c.ID + " is not met"
	case c.Verdict == ledger.Unknown:
		return c.ID + " is unknown"
	}
	return c.ID
}
