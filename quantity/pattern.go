package quantity

import "strings"

// Pieces of the patterns, which mean the same to Go's regexp and to ECMAScript.
const (
	spacePattern  = "[ \u00a0\u2009\u202f]*"
	gapClass      = "[ \u00a0\u2009\u202f·⋅*]"
	numberPattern = `[-+−]?(?:(?:0|[1-9][0-9]{0,19})(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+−]?[0-9]{1,2})?`
)

// Pattern returns a regular expression that accepts exactly the texts that
// Parse accepts for the kind. It has no anchors and no capturing groups.
func Pattern(kind Kind) string {
	e := kind.entry()
	if e == nil {
		return NumberPattern()
	}
	var names []string
	for _, r := range e.units {
		for _, s := range r.spellings() {
			names = append(names, spellingPattern(s))
		}
	}
	return spacePattern + numberPattern + spacePattern + "(?:" + strings.Join(names, "|") + ")" + spacePattern
}

// NumberPattern is Pattern for plain numbers, as read by ParseNumber.
func NumberPattern() string { return spacePattern + numberPattern + spacePattern }

// spellingPattern accepts whatever plain turns into the spelling.
func spellingPattern(name string) string {
	var b strings.Builder
	for i := 0; i < len(name); i++ {
		switch c := name[i]; {
		case strings.HasPrefix(name[i:], "deg"):
			b.WriteString("(?:deg|°)")
			i += len("deg") - 1
		case c == ' ':
			b.WriteString(gapClass + "+")
		case c == '/':
			b.WriteString(gapClass + "*/" + gapClass + "*")
		case c == 'u':
			b.WriteString("[uµμ]")
		case c == '-':
			b.WriteString(`\^?[-−⁻]`)
		case c == '1':
			if i == 0 { // 1/h must stand apart from its number
				b.WriteString(spacePattern[:len(spacePattern)-1] + "+")
			}
			b.WriteString("[1¹]")
		case c == '2':
			b.WriteString(`\^?[2²]`)
		case c == '3':
			b.WriteString(`\^?[3³]`)
		case c == '4':
			b.WriteString(`\^?[4⁴]`)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}
