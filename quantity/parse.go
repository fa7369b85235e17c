package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Code classifies what is wrong with a number as written.
type Code string

// The mistakes that a number can hold.
const (
	NotANumber   Code = "number"        // it does not read as a number
	DecimalComma Code = "decimal-comma" // 1,8 instead of 1.8
	UnitMissing  Code = "unit-missing"  // a bare number where a unit is needed
	UnitUnknown  Code = "unit-unknown"  // no unit of that name
	UnitKind     Code = "unit-kind"     // a unit of another kind
	UnitSurplus  Code = "unit-surplus"  // a unit where a plain number is needed
)

// Error is a mistake in a number as written.
type Error struct {
	Code    Code
	Message string // what is wrong, with the text as written
	Hint    string // what would mend it; may be empty
}

// Error joins the message and the hint.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Message
	}
	return e.Message + ", " + e.Hint
}

// Parse reads a number with a unit of the given kind and returns it in the
// kind's SI unit. Every mistake comes back as *Error.
func Parse(text string, kind Kind) (float64, error) {
	e := kind.entry()
	if e == nil {
		return 0, &Error{Code: UnitKind, Message: "no kind of quantity is called " + strconv.Quote(string(kind))}
	}
	trimmed := trimSpace(text)
	s := scanNumber(trimmed)
	if err := s.fault(trimmed, e); err != nil {
		return 0, err
	}
	name := plain(trimSpace(s.rest))
	if strings.HasPrefix(name, "1") && trimSpace(s.rest) == s.rest {
		name = s.rest // 1/h must stand apart from its number
	}
	if u, found := find(kind, name); found {
		return u.read(s), nil
	}
	return 0, e.wrongUnit(trimmed, s, name)
}

// read converts the scanned number to SI, rounding as few times as can be.
func (u *unit) read(s scanned) float64 {
	switch {
	case u.decimal:
		return s.value(u.shift) + u.offset
	case u.per != 0:
		return s.value(0)/u.per + u.offset
	}
	return s.value(0)*u.factor + u.offset
}

// wrongUnit says why the unit does not do.
func (e *entry) wrongUnit(text string, s scanned, name string) error {
	if name == "" {
		return &Error{
			Code:    UnitMissing,
			Message: show(text) + " has no unit; " + e.article + " is needed",
			Hint:    eg(s.written() + " " + plain(e.hintUnit())),
		}
	}
	if other, _, found := findAny(name); found {
		return &Error{
			Code:    UnitKind,
			Message: show(text) + " is " + other.Article() + "; " + e.article + " is needed",
			Hint:    eg(s.written() + " " + plain(e.hintUnit())),
		}
	}
	hint := "known are " + strings.Join(e.names(), ", ")
	if near := e.near(name); near != "" {
		hint = "did you mean " + strconv.Quote(s.written()+" "+near) + "?"
	}
	return &Error{
		Code:    UnitUnknown,
		Message: show(text) + " has no unit that is known; " + e.article + " is needed",
		Hint:    hint,
	}
}

// written returns the number as it stood in the text.
func (s scanned) written() string {
	if s.exponent == 0 {
		return s.digits
	}
	return s.digits + "e" + strconv.Itoa(s.exponent)
}

// hintUnit is the unit of the kind's example.
func (e *entry) hintUnit() string {
	return trimSpace(scanNumber(e.example).rest)
}

// names lists the units of the kind in plain letters.
func (e *entry) names() []string {
	var out []string
	for _, u := range e.units {
		if u.text != "" {
			out = append(out, plain(u.text))
		}
	}
	return out
}

// near finds a spelling that differs in capitals, plural or one letter.
func (e *entry) near(name string) string {
	for _, u := range e.units {
		for _, s := range u.spellings() {
			if s != "" && (strings.EqualFold(s, name) || strings.EqualFold(s+"s", name) || strings.EqualFold(s+".", name)) {
				return s
			}
		}
	}
	return words[strings.ToLower(strings.TrimSuffix(name, "s"))].of(e)
}

// words maps units written out to their symbols, for hints only.
var words = map[string]symbol{
	"meter": "m", "metre": "m", "millimeter": "mm", "millimetre": "mm", "micron": "um", "mu": "um",
	"inche": "in", "inch": "in", "foot": "ft", "feet": "ft", `"`: "in", `'`: "ft",
	"kilo": "kg", "kilogram": "kg", "gram": "g", "tonne": "t", "ton": "t", "pound": "lb", "ounce": "oz",
	"sec": "s", "second": "s", "hour": "h", "hr": "h", "minute": "min", "day": "d",
	"newton": "N", "kgf": "N", "kp": "N", "joule": "J", "watt": "W", "volt": "V", "farad": "F",
	"degree": "deg", "degc": "degC", "c": "degC", "celsiu": "degC", "kelvin": "K", "f": "degF",
	"hertz": "Hz", "u/min": "rpm", "1/hour": "/h", "per hour": "/h", "/hour": "/h", "/hr": "/h", "per minute": "/min",
	"percent": "%", "mp": "m/s", "fp": "ft/s", "ip": "in/s", "micrometer": "um", "micrometre": "um",
}

type symbol string

// of returns the symbol where it belongs to the kind, else nothing.
func (s symbol) of(e *entry) string {
	if _, found := find(e.kind, string(s)); found {
		return string(s)
	}
	return ""
}

func eg(example string) string { return "e.g. " + strconv.Quote(example) }

// show returns text as it may stand in a message: short, and quoted where it
// holds anything that does not print.
func show(text string) string {
	if r := []rune(text); len(r) > 60 {
		text = string(r[:57]) + "..."
	}
	for _, r := range text {
		if !strconv.IsPrint(r) {
			return strconv.Quote(text)
		}
	}
	return text
}

// Convert converts a number from one unit of the kind to another.
func Convert(value float64, kind Kind, from, to string) (float64, error) {
	a, err := unitOf(kind, from)
	if err != nil {
		return 0, err
	}
	b, err := unitOf(kind, to)
	if err != nil {
		return 0, err
	}
	return b.of(a.si(value)), nil
}

func unitOf(kind Kind, name string) (*unit, error) {
	if u, found := find(kind, plain(trimSpace(name))); found {
		return u, nil
	}
	return nil, &Error{Code: UnitUnknown, Message: strconv.Quote(name) + " is no unit of " + kind.Article()}
}

// si converts a number in the unit to SI.
func (u *unit) si(value float64) float64 {
	switch {
	case u.decimal && u.shift < 0:
		return value/math.Pow10(-u.shift) + u.offset
	case u.per != 0:
		return value/u.per + u.offset
	}
	return value*u.factor + u.offset
}

// of converts a number in SI to the unit.
func (u *unit) of(si float64) float64 {
	si -= u.offset
	switch {
	case u.decimal && u.shift < 0:
		return si * math.Pow10(-u.shift)
	case u.per != 0:
		return si * u.per
	}
	return si / u.factor
}
