package document

import (
	"errors"
	"strings"
	"unicode/utf8"
)

// ErrNotText is returned, wrapped with the name, for a file that is not UTF-8.
var ErrNotText = errors.New("the file is not UTF-8 text")

// form is what a file has besides the lines of its text.
type form struct {
	mark    bool // it begins with a byte order mark
	returns bool // its lines end with a carriage return and a line feed
}

const byteOrderMark = "\uFEFF"

// parse takes the text out of a file.
func parse(raw []byte) (string, form, error) {
	if !utf8.Valid(raw) {
		return "", form{}, ErrNotText
	}
	text, marked := strings.CutPrefix(string(raw), byteOrderMark)
	pairs := strings.Count(text, "\r\n")
	f := form{mark: marked, returns: 2*pairs > strings.Count(text, "\n")}
	if pairs > 0 {
		text = lines(text)
	}
	return text, f, nil
}

// lines ends all lines with a line feed alone.
func lines(text string) string { return strings.ReplaceAll(text, "\r\n", "\n") }

// print is the file that holds a text.
func (f form) print(text string) []byte {
	if f.returns {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	if f.mark {
		text = byteOrderMark + text
	}
	return []byte(text)
}
