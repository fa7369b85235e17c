package diag

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Limit is how many diagnostics are printed.
const Limit = 50

// List is a set of diagnostics. The zero value is empty and ready.
type List []Diagnostic

// Add appends diagnostics.
func (l *List) Add(d ...Diagnostic) { *l = append(*l, d...) }

// Sorted returns the list in the order of file, line, column, path, code and
// message, every diagnostic once.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Diagnostic) int {
		return cmp.Or(
			strings.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			strings.Compare(a.Path, b.Path),
			strings.Compare(string(a.Code), string(b.Code)),
			strings.Compare(a.Message, b.Message),
			strings.Compare(a.Hint, b.Hint),
		)
	})
	return slices.CompactFunc(out, func(a, b Diagnostic) bool {
		return a.Pos == b.Pos && a.Path == b.Path && a.Code == b.Code && a.Message == b.Message
	})
}

// Err returns nil for an empty list and otherwise the list as an error.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}

// Error returns one line a diagnostic, in order, at most Limit of them.
func (l List) Error() string {
	var b strings.Builder
	_ = l.Print(&b, nil) // a strings.Builder does not fail
	return strings.TrimSuffix(b.String(), "\n")
}

// Source returns the text of a file by the name it has in diagnostics, or nil
// where it is not at hand.
type Source func(file string) []byte

// Print writes the diagnostics in order, each with its source line and carets
// under the value where the source is at hand, at most Limit of them, and then
// how many there are.
func (l List) Print(w io.Writer, source Source) error {
	sorted := l.Sorted()
	if len(sorted) == 0 {
		return nil
	}
	var b strings.Builder
	lines := map[string][]string{}
	for i, d := range sorted {
		if i == Limit {
			break
		}
		b.WriteString(d.String() + "\n")
		if source == nil {
			continue
		}
		if _, read := lines[d.File]; !read {
			lines[d.File] = split(source(d.File))
		}
		b.WriteString(d.excerpt(lines[d.File]))
	}
	if more := len(sorted) - Limit; more > 0 {
		fmt.Fprintf(&b, "and %d more\n", more)
	}
	if source != nil {
		b.WriteString(count(len(sorted)) + ", nothing was computed\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func count(n int) string {
	if n == 1 {
		return "1 mistake"
	}
	return strconv.Itoa(n) + " mistakes"
}

// MarshalJSON gives the sorted list as an array; it is never null.
func (l List) MarshalJSON() ([]byte, error) {
	sorted := l.Sorted()
	if sorted == nil {
		sorted = List{}
	}
	return json.Marshal([]Diagnostic(sorted))
}

func split(text []byte) []string {
	if text == nil {
		return nil
	}
	return strings.Split(strings.TrimPrefix(string(text), "\uFEFF"), "\n")
}

// Widths of the excerpt, in code points.
const (
	excerptWidth = 100
	leadWidth    = 30 // shown before the column where a line is cut
)

// excerpt returns the source line with carets, or nothing.
func (d Diagnostic) excerpt(lines []string) string {
	if d.Line < 1 || d.Line > len(lines) || d.Column < 1 {
		return ""
	}
	line := []rune(strings.TrimSuffix(lines[d.Line-1], "\r"))
	at := d.Column - 1
	if at > len(line) {
		return ""
	}
	length := d.span(line[at:])
	start := 0
	if at+length > excerptWidth {
		start = max(0, at-leadWidth)
	}
	end := min(len(line), start+excerptWidth)
	length = max(1, min(length, end-at))
	number := fmt.Sprintf("%5d", d.Line)
	return number + " | " + printable(string(line[start:end])) + "\n" +
		strings.Repeat(" ", len(number)) + " | " + strings.Repeat(" ", at-start) + strings.Repeat("^", length) + "\n"
}

// End is the place behind what the diagnostic speaks of, given the text of its
// file, or the zero place where that is not known.
func (d Diagnostic) End(text []byte) Pos {
	lines := split(text)
	if d.Line < 1 || d.Line > len(lines) || d.Column < 1 {
		return Pos{}
	}
	line := []rune(strings.TrimSuffix(lines[d.Line-1], "\r"))
	at := d.Column - 1
	if at > len(line) {
		return Pos{}
	}
	return Pos{File: d.File, Line: d.Line, Column: min(at+d.span(line[at:]), len(line)) + 1}
}

// span tells how many code points of the line's rest the value covers.
func (d Diagnostic) span(rest []rune) int {
	value := []rune(d.Value)
	n := len(value)
	switch {
	case n > 0 && n <= len(rest) && slices.Equal(rest[:n], value):
		return n
	case n > 0 && n+2 <= len(rest) && (rest[0] == '"' || rest[0] == '\'') && slices.Equal(rest[1:n+1], value):
		return n + 2
	}
	n = 0
	for n < len(rest) && rest[n] != ':' && rest[n] != ' ' {
		n++
	}
	return max(1, n)
}

// shows tells whether the rune prints without steering the terminal. Bidirectional
// controls are among those that do not.
func shows(r rune) bool { return unicode.IsPrint(r) }
