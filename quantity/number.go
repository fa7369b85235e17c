package quantity

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// scanned is a number split from the text that holds it.
type scanned struct {
	digits   string // sign, digits and point
	exponent int
	rest     string // what follows
	flaw     string // what is wrong with it, empty when nothing is
	hint     string
}

// scanNumber reads a number at the beginning of the text. Its grammar is that of
// numberPattern: with at most 20 digits before the point and two in the
// exponent no number can overflow.
func scanNumber(text string) scanned {
	if rest, typeset := strings.CutPrefix(text, "−"); typeset {
		text = "-" + rest
	}
	body := text
	if strings.HasPrefix(body, "+") || strings.HasPrefix(body, "-") {
		body = body[1:]
	}
	signed := len(text) - len(body)
	whole := countDigits(body)
	end, part := whole, 0
	point := strings.HasPrefix(body[end:], ".")
	if point {
		part = countDigits(body[end+1:])
		end += 1 + part
	}
	if whole+part == 0 {
		return scanned{rest: text, flaw: "does not begin with a number"}
	}
	s := scanned{digits: text[:signed+end], rest: body[end:]}
	switch {
	case point && part == 0:
		s.flaw, s.hint = "has a point without a digit after it", "leave the point out"
	case whole > 1 && body[0] == '0':
		s.flaw, s.hint = "begins with a needless zero", "leave the zero out"
	case whole > 20:
		s.flaw, s.hint = "has too many digits", "use an exponent, e.g. 1e7"
	}
	return s.scanExponent()
}

// scanExponent takes an exponent off the rest, if there is one.
func (s scanned) scanExponent() scanned {
	if s.rest == "" || s.rest[0] != 'e' && s.rest[0] != 'E' {
		return s
	}
	body, negative := s.rest[1:], false
	switch {
	case strings.HasPrefix(body, "+"):
		body = body[1:]
	case strings.HasPrefix(body, "-"):
		body, negative = body[1:], true
	case strings.HasPrefix(body, "−"):
		body, negative = body[len("−"):], true
	}
	n := countDigits(body)
	if n == 0 {
		return s
	}
	if n > 2 {
		s.rest = body[n:]
		s.flaw, s.hint = "is beyond what can be computed", "exponents have at most two digits"
		return s
	}
	s.exponent, _ = strconv.Atoi(body[:n])
	if negative {
		s.exponent = -s.exponent
	}
	s.rest = body[n:]
	return s
}

// value returns the number times ten to the shift, rounded once.
func (s scanned) value(shift int) float64 {
	e := s.exponent + shift
	if v, exact := s.short(e); exact {
		return v
	}
	text := s.digits
	if e != 0 {
		text += "e" + strconv.Itoa(e)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0 // cannot happen: the grammar admits nothing that overflows
	}
	return v
}

// short computes the number where 15 digits and a power of ten that is exact
// in floating point suffice, so that the one division or product is rounded
// once. Nearly every number in a file is of this kind.
func (s scanned) short(e int) (float64, bool) {
	const digits, power = 15, 22 // 10^15 < 2^53; 10^22 is the largest exact power of ten
	whole, seen, negative, after := 0, 0, false, 0
	for i := 0; i < len(s.digits); i++ {
		switch c := s.digits[i]; c {
		case '-':
			negative = true
		case '+':
		case '.':
			after = 1
		default:
			if seen == digits {
				return 0, false
			}
			seen++
			whole = 10*whole + int(c-'0')
			e -= after
		}
	}
	v := float64(whole)
	switch {
	case e < -power || e > power:
		return 0, false
	case e < 0:
		v /= math.Pow10(-e)
	default:
		v *= math.Pow10(e)
	}
	if negative {
		v = -v
	}
	return v, true
}

func countDigits(s string) int {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return i
		}
	}
	return len(s)
}

// ParseNumber reads a plain number without unit.
func ParseNumber(text string) (float64, error) {
	trimmed := trimSpace(text)
	s := scanNumber(trimmed)
	if err := s.fault(trimmed, nil); err != nil {
		return 0, err
	}
	if s.rest != "" {
		return 0, s.surplus(trimmed)
	}
	return s.value(0), nil
}

// surplus says what follows a plain number and should not.
func (s scanned) surplus(text string) error {
	if name := plain(trimSpace(s.rest)); name != "" {
		if k, _, found := findAny(name); found {
			return &Error{
				Code:    UnitSurplus,
				Message: show(text) + " is " + k.Article() + "; a plain number without unit is needed",
				Hint:    "e.g. " + s.digits,
			}
		}
	}
	return &Error{Code: NotANumber, Message: show(text) + " is not a plain number", Hint: "e.g. " + s.digits}
}

// needs says what is needed; without an entry it is a plain number.
func (e *entry) needs() string {
	if e == nil {
		return "a plain number is needed"
	}
	return e.article + ", " + eg(e.example) + ", is needed"
}

// fault returns the mistake in the number itself, if there is one. The entry is
// that of the kind asked for, nil for a plain number.
func (s scanned) fault(text string, e *entry) error {
	if text == "" {
		return &Error{Code: NotANumber, Message: "is empty; " + e.needs()}
	}
	if at := comma(text); at >= 0 {
		hint := "leave it out"
		if !strings.ContainsAny(text[at+1:], ".,") {
			hint = "write " + strconv.Quote(text[:at]+"."+text[at+1:])
		}
		return &Error{Code: DecimalComma, Message: show(text) + " has a comma in its number", Hint: hint}
	}
	if s.flaw != "" {
		return &Error{Code: NotANumber, Message: show(text) + " " + s.flaw + "; " + e.needs(), Hint: s.hint}
	}
	switch {
	case strings.HasPrefix(s.rest, "_"):
		return &Error{Code: NotANumber, Message: show(text) + " has an underscore in its number", Hint: "leave it out"}
	case s.digits == "0" && otherBase.MatchString(s.rest):
		return &Error{Code: NotANumber, Message: show(text) + " is not a decimal number", Hint: "write it in decimal digits"}
	}
	return nil
}

// otherBase finds the rest of 0x1f, 0o17 and 0b101.
var otherBase = regexp.MustCompile(`^(?:x[0-9a-fA-F]|[ob][0-9])`)

// comma returns the index of a comma between digits at the beginning, or -1.
func comma(text string) int {
	body := strings.TrimLeft(text, "+-−")
	n := countDigits(body)
	if n == 0 || !strings.HasPrefix(body[n:], ",") || countDigits(body[n+1:]) == 0 {
		return -1
	}
	return len(text) - len(body) + n
}
