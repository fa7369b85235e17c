package screen

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"spanwright/ledger"
)

// Explain prints the full working of one check.
func Explain(w io.Writer, c ledger.Check, s Style) {
	word := strings.ToUpper(c.Verdict.String())
	fmt.Fprintf(w, "%s  %s", s.strong(c.ID), s.paint(c.Verdict, word))
	if c.Utilisation == c.Utilisation {
		fmt.Fprintf(w, "  utilisation %s", strings.TrimSpace(Utilisation(c.Utilisation)))
	}
	fmt.Fprintf(w, "\n%s\n\n", wrap(Sentence(c), 0, 0))
	field(w, "formula", c.Working.Formula)
	field(w, "numbers", c.Working.Substituted(c.Value, c.Unit))
	field(w, "result", result(c))
	inputs(w, c.Working.Inputs)
	outcome(w, c)
	shares(w, c)
	field(w, "source", c.Working.Source)
	field(w, "note", c.Note)
	field(w, "caution", c.Caution)
	field(w, "judges", c.Subject)
}

func field(w io.Writer, name, text string) {
	if text != "" {
		fmt.Fprintf(w, "%-9s %s\n", name, wrap(text, 10, 10))
	}
}

func result(c ledger.Check) string {
	if c.Missing != "" {
		return "unknown: " + c.Missing
	}
	if b := Bound(c); b != "" {
		return Value(c.Value, c.Unit) + ", " + b
	}
	return Value(c.Value, c.Unit)
}

func inputs(w io.Writer, list []ledger.Input) {
	name := "inputs"
	wide := 0
	for _, in := range list {
		wide = max(wide, utf8.RuneCountInString(in.Symbol))
	}
	for _, in := range list {
		value := Value(in.Value, in.Unit)
		text := fmt.Sprintf("%s (%s)", in.Name, in.From)
		if in.From == "" {
			text = in.Name
		}
		start := 10 + wide + 2 + 16
		fmt.Fprintf(w, "%-9s %-*s  %-14s  %s\n", name, wide, in.Symbol, value, wrap(text, start, start))
		name = ""
	}
}

func outcome(w io.Writer, c ledger.Check) {
	if r := c.Range; r != nil {
		field(w, "range", fmt.Sprintf("%s low, %s nominal, %s high (%s); judged at %s",
			Value(r.Low, c.Unit), Value(r.Nominal, c.Unit), Value(r.High, c.Unit), r.Of, r.Judged))
	}
}

// shares prints contributions as bars; the longest bar is 20 columns.
func shares(w io.Writer, c ledger.Check) {
	if len(c.Parts) == 0 {
		return
	}
	most, wide, sum := 0.0, 0, 0.0
	for _, p := range c.Parts {
		most = math.Max(most, math.Abs(p.Value))
		wide = max(wide, utf8.RuneCountInString(p.Name))
		sum += p.Value
	}
	wide = min(wide, 34)
	fmt.Fprintln(w, "split")
	for _, p := range c.Parts {
		n := 0
		if most > 0 {
			n = int(math.Round(20 * math.Abs(p.Value) / most))
		}
		bar := strings.Repeat("#", n)
		if p.Value < 0 {
			bar = strings.Repeat("-", n)
		}
		fmt.Fprintf(w, "          %-*s  %12s  %s\n", wide, p.Name, Value(p.Value, p.Unit), bar)
	}
	fmt.Fprintf(w, "          %-*s  %12s\n", wide, "together", Value(sum, c.Parts[0].Unit))
}
