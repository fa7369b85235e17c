package quantity

import (
	"math"
	"strings"
	"unicode"
)

// plain brings the name of a unit into the form of the table: ASCII letters,
// a single space for a product, nothing around a slash, no ^ between a letter and
// its power.
func plain(name string) string {
	if isPlain(name) {
		return name
	}
	var b strings.Builder
	b.Grow(len(name) + 4)
	gap := false
	runes := []rune(name)
	for i, r := range runes {
		if isGap(r) {
			gap = true
			continue
		}
		if r == '^' && i > 0 && unicode.IsLetter(runes[i-1]) && i+1 < len(runes) && isPower(runes[i+1]) {
			continue
		}
		if gap && r != '/' && !strings.HasSuffix(b.String(), "/") {
			b.WriteByte(' ')
		}
		gap = false
		b.WriteString(plainRune(r))
	}
	if gap {
		b.WriteByte(' ') // a product with nothing after it matches no unit
	}
	return b.String()
}

// isPlain is the fast answer for names such as "mm" or "kg/m".
func isPlain(name string) bool {
	for i := 0; i < len(name); i++ {
		if c := name[i]; c >= 0x80 || c == ' ' || c == '*' || c == '^' {
			return false
		}
	}
	return true
}

// isGap tells whether the rune separates the factors of a product.
func isGap(r rune) bool { return isSpace(r) || r == '·' || r == '⋅' || r == '*' }

// isSpace: besides the plain space those that typesetting puts between a
// number and its unit.
func isSpace(r rune) bool { return r == ' ' || r == '\u00a0' || r == '\u2009' || r == '\u202f' }

func trimSpace(s string) string { return strings.TrimFunc(s, isSpace) }

func isPower(r rune) bool {
	return r >= '0' && r <= '9' || strings.ContainsRune("-−⁻²³⁴", r)
}

func plainRune(r rune) string {
	switch r {
	case 'µ', 'μ':
		return "u"
	case '°':
		return "deg"
	case '¹':
		return "1"
	case '²':
		return "2"
	case '³':
		return "3"
	case '⁴':
		return "4"
	case '⁻', '−':
		return "-"
	}
	return string(r)
}

// unit is a row of the table made ready for converting. Where the factor is a
// power of ten or one over a whole number, a conversion is rounded once only.
type unit struct {
	row
	decimal bool // factor is ten to the shift
	shift   int
	per     float64 // factor is one over this whole number; 0 if it is not
}

// index finds units by kind and plain spelling.
var index = buildIndex()

type spelled struct {
	kind Kind
	name string
}

func buildIndex() map[spelled]*unit {
	out := map[spelled]*unit{}
	for _, e := range table {
		for _, r := range e.units {
			u := r.ready()
			for _, s := range r.spellings() {
				out[spelled{e.kind, s}] = u
			}
		}
	}
	return out
}

func (r row) ready() *unit {
	u := &unit{row: r, shift: int(math.Round(math.Log10(r.factor)))}
	u.decimal = r.factor == math.Pow10(u.shift)
	if per := math.Round(1 / r.factor); !u.decimal && per > 1 && r.factor == 1/per {
		u.per = per
	}
	return u
}

// spellings lists the plain forms under which the unit is read.
func (r row) spellings() []string { return append([]string{plain(r.text)}, r.also...) }

func find(kind Kind, name string) (*unit, bool) {
	u, found := index[spelled{kind, name}]
	return u, found
}

// findAny finds the first kind that has a unit of the plain spelling.
func findAny(name string) (Kind, *unit, bool) {
	for i := range table {
		if u, found := find(table[i].kind, name); found {
			return table[i].kind, u, true
		}
	}
	return "", nil, false
}
