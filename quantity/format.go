package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Format prints an SI number in a unit an engineer would choose, with the
// given number of significant digits and without trailing zeros:
// Format(Length, 0.000228, 3) is "0.228 mm". NaN prints as "unknown", an
// infinity as "unlimited".
func Format(kind Kind, si float64, digits int) string {
	if word, ok := notFinite(si); ok {
		return word
	}
	e := kind.entry()
	if e == nil {
		return Number(si, digits)
	}
	u := e.choose(si, digits)
	return withUnit(u.digits(si, digits), u.text)
}

// FormatIn is Format in the given unit. The only error is a unit that the kind
// does not have.
func FormatIn(kind Kind, si float64, unit string, digits int) (string, error) {
	u, err := unitOf(kind, unit)
	if err != nil {
		return "", err
	}
	if word, ok := notFinite(si); ok {
		return word, nil
	}
	return withUnit(u.digits(si, digits), u.text), nil
}

// Exact prints an SI number so that Parse gives back the very same number, in
// the unit of Format where that can be had and in SI where not. It holds for 0
// and for magnitudes from 1e-80 to 1e80; beyond, the exponent would have more
// digits than Parse reads.
func Exact(kind Kind, si float64) string {
	if word, ok := notFinite(si); ok {
		return word
	}
	e := kind.entry()
	if e == nil {
		return Number(si, 0)
	}
	u := e.choose(si, 0)
	text := withUnit(u.digits(si, 0), u.text)
	if back, err := Parse(text, kind); err == nil && back == si {
		return text
	}
	return withUnit(Number(si, 0), e.si)
}

// Number prints a plain number with the given number of significant digits and
// without trailing zeros; with 0 digits it prints as many as tell it from its
// neighbours. An exponent appears only from 1e7 on and below 1e-5.
func Number(x float64, digits int) string {
	if word, ok := notFinite(x); ok {
		return word
	}
	return decimal(x, digits, 0)
}

func notFinite(x float64) (string, bool) {
	switch {
	case math.IsNaN(x):
		return "unknown", true
	case math.IsInf(x, 0):
		return "unlimited", true
	}
	return "", false
}

func withUnit(number, unit string) string {
	switch unit {
	case "":
		return number
	case "°": // the only unit that follows without a space
		return number + unit
	}
	return number + " " + unit
}

// choose returns the unit in which the number, rounded to the digits shown, is
// printed.
func (e *entry) choose(si float64, digits int) *unit {
	name := e.home
	size := math.Abs(si)
	if digits > 0 {
		size, _ = strconv.ParseFloat(strconv.FormatFloat(size, 'e', digits-1, 64), 64)
	}
	for _, r := range e.units {
		if size >= r.from && size > 0 {
			name = r.text
		}
	}
	u, _ := find(e.kind, plain(name))
	return u
}

// digits prints the number in the unit, without the unit's name.
func (u *unit) digits(si float64, digits int) string {
	if u.decimal && u.offset == 0 {
		return decimal(si, digits, -u.shift)
	}
	return decimal(u.of(si), digits, 0)
}

// decimal prints x times ten to the shift without computing the product.
func decimal(x float64, digits, shift int) string {
	text := strconv.FormatFloat(math.Abs(x), 'e', digits-1, 64) // -1 digit asks for the shortest
	mantissa, exponent, _ := strings.Cut(text, "e")
	e, _ := strconv.Atoi(exponent)
	figures := strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0")
	if figures == "" {
		return "0"
	}
	return sign(x) + place(figures, e+shift)
}

func sign(x float64) string {
	if x < 0 {
		return "-"
	}
	return ""
}

// place puts the decimal point: figures "228" with exponent -1 give "0.228".
func place(figures string, e int) string {
	n := len(figures)
	switch {
	case e >= 7 || e < -5:
		if n > 1 {
			figures = figures[:1] + "." + figures[1:]
		}
		return figures + "e" + strconv.Itoa(e)
	case e < 0:
		return "0." + strings.Repeat("0", -e-1) + figures
	case e >= n-1:
		return figures + strings.Repeat("0", e-n+1)
	}
	return figures[:e+1] + "." + figures[e+1:]
}
