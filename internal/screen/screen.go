// Package screen lays out an assessment for a terminal of 80 columns: summary
// and ledger, and the working of one check. It computes nothing.
package screen

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"spanwright/ledger"
	"spanwright/quantity"
)

// width is the number of columns of a terminal that everybody has.
const width = 80

// Style says how to draw attention. The zero value is plain text.
type Style struct{ Colour bool }

// paint wraps text in the style of a verdict; the word itself always stands there too.
func (s Style) paint(v ledger.Verdict, text string) string {
	if !s.Colour {
		return text
	}
	code := map[ledger.Verdict]string{ledger.Over: "1;31", ledger.Tight: "33", ledger.Unknown: "35", ledger.OK: "32"}[v]
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

func (s Style) strong(text string) string {
	if !s.Colour {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

// kinds says what the SI units of the ledger measure.
var kinds = map[string]quantity.Kind{
	"m": quantity.Length, "kg": quantity.Mass, "s": quantity.Time, "m/s": quantity.Speed, "m/s2": quantity.Acceleration,
	"m/s3": quantity.Jerk, "N": quantity.Force, "N m": quantity.Torque, "rad": quantity.Angle, "rad/s": quantity.AngularSpeed,
	"Hz": quantity.Frequency, "N/m": quantity.Stiffness, "N m/rad": quantity.RotationalStiffness, "Pa": quantity.Stress,
	"J": quantity.Energy, "W": quantity.Power, "kg m2": quantity.Inertia, "kg/m": quantity.MassPerLength, "m2": quantity.Area,
	"m4": quantity.SecondMoment, "kg/m3": quantity.Density, "F": quantity.Capacitance, "V": quantity.Voltage, "K": quantity.TemperatureSpan,
}

// Value prints an SI value of the ledger in a fitting unit.
func Value(v float64, unit string) string {
	if kind, ok := kinds[unit]; ok {
		return quantity.Format(kind, v, 4)
	}
	return strings.TrimSpace(quantity.Number(v, 4) + " " + unit)
}

// Bound prints "at most 0.25 mm", or "" without a limit.
func Bound(c ledger.Check) string {
	word := "at most "
	if c.Sense == ledger.AtLeast {
		word = "at least "
	}
	if c.Limit != c.Limit {
		return ""
	}
	return word + Value(c.Limit, c.Unit)
}

// Sentence is a check in one line: what, value, limit; or what is missing.
func Sentence(c ledger.Check) string {
	if c.Missing != "" {
		return c.Title + ": " + c.Missing
	}
	if c.Working.Counted && c.Limit == 1 && (c.Value == 0 || c.Value == 1) {
		return c.Title + ": " + [...]string{"no", "yes"}[int(c.Value)]
	}
	text := c.Title + " " + Value(c.Value, c.Unit)
	if b := Bound(c); b != "" {
		text += ", " + b
	}
	return text
}

// Utilisation prints a utilisation with two decimals, or blanks.
func Utilisation(u float64) string {
	switch {
	case u != u:
		return "    "
	case u > 99.99:
		return ">100"
	}
	return fmt.Sprintf("%4.2f", u)
}

// wrap breaks text at blanks; every line after the first is indented.
func wrap(text string, first, indent int) string {
	var b strings.Builder
	column := first
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}

// line prints one ledger line.
func line(w io.Writer, s Style, c ledger.Check, idWidth int) {
	head := fmt.Sprintf("%-7s  %s  ", c.Verdict, Utilisation(c.Utilisation))
	text := fmt.Sprintf("%-*s  ", idWidth, c.ID)
	start := utf8.RuneCountInString(head) + utf8.RuneCountInString(text)
	body := wrap(Sentence(c), start, 15)
	if start > 48 {
		body = "\n" + strings.Repeat(" ", 15) + wrap(Sentence(c), 15, 15)
		text = strings.TrimRight(text, " ")
	}
	fmt.Fprintln(w, s.paint(c.Verdict, head[:7])+head[7:]+text+body)
}
