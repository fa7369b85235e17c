package screen

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"spanwright/ledger"
	"spanwright/wording"
)

// beside is the column in which texts beside a label begin in a working.
const beside = 10

// Explain prints the full working of one check; place says where in the file
// its subject stands.
func Explain(w io.Writer, c ledger.Check, place string, s Style) {
	head := s.strong(c.ID) + ": " + s.paint(c.Verdict, c.Verdict.String())
	if u := strings.TrimSpace(wording.Utilisation(c)); u != "" {
		head += ", utilisation " + u
	}
	fmt.Fprintf(w, "%s\n%s\n\n", head, wrap(wording.Sentence(c), 0, 0))
	if c.Working.Formula != c.Working.Source {
		labelled(w, "formula", beside, c.Working.Formula)
	}
	labelled(w, "numbers", beside, c.Working.Substituted(c.Value, c.Unit))
	inputs(w, c.Working.Inputs)
	outcomes(w, c)
	shares(w, c)
	labelled(w, "source", beside, c.Working.Source)
	if c.Note != wording.Outcome(c) {
		labelled(w, "note", beside, c.Note)
	}
	labelled(w, "caution", beside, c.Caution)
	labelled(w, "subject", beside, strings.TrimSpace(c.Subject+" "+place))
}

// widestValue is the width of the column of input values.
const widestValue = 14

func inputs(w io.Writer, list []ledger.Input) {
	wide := 0
	for _, in := range list {
		wide = max(wide, utf8.RuneCountInString(in.Symbol))
	}
	label := "inputs"
	for _, in := range list {
		text := in.Name
		if in.From != "" {
			text += " (" + in.From + ")"
		}
		start := beside + wide + 2 + widestValue + 2
		fmt.Fprintf(w, "%-*s%-*s  %-*s  %s\n", beside, label, wide, in.Symbol, widestValue, wording.Value(in.Value, in.Unit), wrap(text, start, start))
		label = ""
	}
}

func outcomes(w io.Writer, c ledger.Check) {
	if r := c.Range; r != nil {
		v := wording.Values(c.Unit, r.Low, r.Nominal, r.High)
		labelled(w, "range", beside, fmt.Sprintf("%s low, %s nominal, %s high (%s); judged at %s", v[0], v[1], v[2], r.Of, r.Judged))
	}
}

// Widths of the split.
const (
	longestBar  = 20
	widestShare = 34
)

// shares prints contributions as bars, positive ones as # and negative as -.
func shares(w io.Writer, c ledger.Check) {
	if len(c.Parts) == 0 {
		return
	}
	most, wide, sum := 0.0, len("together"), 0.0
	var values []float64
	for _, p := range c.Parts {
		most = math.Max(most, math.Abs(p.Value))
		wide = max(wide, min(widestShare, utf8.RuneCountInString(p.Name)))
		sum += p.Value
		values = append(values, p.Value)
	}
	texts := wording.Values(c.Parts[0].Unit, append(values, sum)...)
	row := func(label, name, value, bar string) {
		lines := strings.Split(fold(name, 0, 0, wide), "\n")
		for _, line := range lines[:len(lines)-1] {
			fmt.Fprintf(w, "%-*s%s\n", beside, label, line)
			label = ""
		}
		fmt.Fprintln(w, strings.TrimRight(fmt.Sprintf("%-*s%-*s  %12s  %s", beside, label, wide, lines[len(lines)-1], value, bar), " "))
	}
	label := "parts"
	if c.Adds {
		label = "split"
	}
	for i, p := range c.Parts {
		bar := ""
		if most > 0 {
			bar = strings.Repeat("#", int(math.Round(longestBar*math.Abs(p.Value)/most)))
		}
		if p.Value < 0 {
			bar = strings.ReplaceAll(bar, "#", "-")
		}
		row(label, p.Name, texts[i], bar)
		label = ""
	}
	if c.Adds {
		row("", "together", texts[len(texts)-1], "")
	}
}
