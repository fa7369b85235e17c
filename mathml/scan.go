package mathml

import (
	"unicode"
	"unicode/utf8"
)

// token is a number, a name or a sign.
type token struct {
	kind kind
	text string
}

type kind uint8

const (
	sign kind = iota
	number
	word
)

// longest is the length beyond which a text is no formula that people read, bytes.
const longest = 2000

// scan splits a formula; false if it holds what no formula has, or two names or
// numbers side by side, as sentences do.
func scan(text string) ([]token, bool) {
	if len(text) > longest {
		return nil, false
	}
	var out []token
	for len(text) > 0 {
		c, size := utf8.DecodeRuneInString(text)
		switch {
		case c == ' ':
			text = text[1:]
			continue
		case c >= '0' && c <= '9':
			size = numberLength(text)
			out = append(out, token{number, text[:size]})
		case unicode.IsLetter(c):
			size = wordLength(text)
			out = append(out, token{word, text[:size]})
		case c == '+', c == '-', c == '*', c == '/', c == '^', c == '(', c == ')', c == ',', c == '=':
			out = append(out, token{sign, text[:1]})
		default:
			return nil, false
		}
		if n := len(out); n > 1 && out[n-1].kind != sign && out[n-2].kind != sign {
			return nil, false
		}
		text = text[size:]
	}
	return out, len(out) > 0
}

// numberLength is the length of the number at the beginning: 12, 0.5, 2.6e5, 5.4e-6.
func numberLength(text string) int {
	digits := func(i int) int {
		for i < len(text) && text[i] >= '0' && text[i] <= '9' {
			i++
		}
		return i
	}
	n := digits(0)
	if n < len(text) && text[n] == '.' {
		n = digits(n + 1)
	}
	if n < len(text) && text[n] == 'e' {
		from := n + 1
		if from < len(text) && (text[from] == '-' || text[from] == '+') {
			from++
		}
		if to := digits(from); to > from {
			n = to
		}
	}
	return n
}

// wordLength is the length of the name at the beginning: letters, digits, low lines.
func wordLength(text string) int {
	for i, c := range text {
		if !unicode.IsLetter(c) && !unicode.IsNumber(c) && c != '_' {
			return i
		}
	}
	return len(text)
}
