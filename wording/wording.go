// Package wording puts results into words: a value in the unit an engineer would
// choose, a bound, a check in one sentence. The screen, the report and the sheets
// speak with it, so that a number reads the same everywhere. It computes nothing.
package wording

import (
	"fmt"
	"math"
	"strings"

	"spanwright/ledger"
	"spanwright/quantity"
)

// kindOf says what the SI units of the ledger measure.
func kindOf(unit string) (quantity.Kind, bool) {
	switch unit {
	case "m":
		return quantity.Length, true
	case "kg":
		return quantity.Mass, true
	case "s":
		return quantity.Time, true
	case "m/s":
		return quantity.Speed, true
	case "m/s2":
		return quantity.Acceleration, true
	case "m/s3":
		return quantity.Jerk, true
	case "N":
		return quantity.Force, true
	case "N m":
		return quantity.Torque, true
	case "rad":
		return quantity.Angle, true
	case "rad/s":
		return quantity.AngularSpeed, true
	case "Hz":
		return quantity.Frequency, true
	case "N/m":
		return quantity.Stiffness, true
	case "N m/rad":
		return quantity.RotationalStiffness, true
	case "Pa":
		return quantity.Stress, true
	case "J":
		return quantity.Energy, true
	case "W":
		return quantity.Power, true
	case "kg m2":
		return quantity.Inertia, true
	case "kg/m":
		return quantity.MassPerLength, true
	case "m2":
		return quantity.Area, true
	case "m4":
		return quantity.SecondMoment, true
	case "kg/m3":
		return quantity.Density, true
	case "F":
		return quantity.Capacitance, true
	case "V":
		return quantity.Voltage, true
	case "K":
		return quantity.TemperatureSpan, true
	}
	return "", false
}

// figures is how many significant digits people get to see.
const figures = 4

// Value prints an SI value of the ledger in a fitting unit.
func Value(v float64, unit string) string {
	if kind, ok := kindOf(unit); ok {
		return quantity.Format(kind, v, figures)
	}
	return strings.TrimSpace(quantity.Number(v, figures) + " " + unit)
}

// Values prints SI values in one unit, that which fits the largest. What is
// less than a millionth of it is printed as 0.
func Values(unit string, values ...float64) []string {
	most := 0.0
	for _, v := range values {
		most = math.Max(most, math.Abs(v)) // NaN leaves NaN, which then fits no unit
	}
	out := make([]string, len(values))
	kind, ok := kindOf(unit)
	_, chosen, _ := strings.Cut(Value(most, unit), " ")
	for i, v := range values {
		if math.Abs(v) < 1e-6*most {
			v = 0
		}
		out[i] = Value(v, unit)
		if !ok {
			continue
		}
		if text, err := quantity.FormatIn(kind, v, chosen, figures); err == nil {
			out[i] = text
		}
	}
	return out
}

// Bound prints "at most 0.25 mm", or "" without a limit.
func Bound(c ledger.Check) string {
	switch {
	case math.IsNaN(c.Limit):
		return ""
	case c.Sense == ledger.AtLeast:
		return "at least " + Value(c.Limit, c.Unit)
	}
	return "at most " + Value(c.Limit, c.Unit)
}

// isRule tells whether the check is a rule that is met or not.
func isRule(c ledger.Check) bool {
	return c.Working.Counted && c.Working.Solver && c.Limit == 1 && (c.Value == 0 || c.Value == 1)
}

// Outcome is what came out: value and limit, yes or no, or what is missing.
func Outcome(c ledger.Check) string {
	switch {
	case c.Missing != "":
		return c.Missing
	case isRule(c) && c.Value == 1 && c.Verdict != ledger.OK:
		return "" // met, and yet no more than a reminder; the title says of what
	case isRule(c) && c.Value == 1:
		return "yes"
	case isRule(c):
		return "no"
	case math.IsNaN(c.Value):
		return c.Note
	}
	if b := Bound(c); b != "" {
		return Value(c.Value, c.Unit) + ", " + b
	}
	return Value(c.Value, c.Unit)
}

// Sentence is a check in one line: what is compared, and what came out.
func Sentence(c ledger.Check) string {
	if out := Outcome(c); out != "" {
		return c.Title + ": " + out
	}
	return c.Title
}

// Utilisation prints a utilisation with two decimals; blanks where there is
// none, and for rules, which have no margin.
func Utilisation(c ledger.Check) string {
	switch u := c.Utilisation; {
	case math.IsNaN(u) || isRule(c):
		return "    "
	case u > 99.99:
		return ">100"
	default:
		return Used(u)
	}
}

// Used prints a utilisation with two decimals. What is over by less than these
// can tell is rounded up: it must not read as if the limit were kept.
func Used(u float64) string {
	const least = 1.01
	if u > 1 && u < least {
		u = least
	}
	return fmt.Sprintf("%4.2f", u)
}
