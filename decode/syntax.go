package decode

import (
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"spanwright/diag"
)

// syntaxError turns the message of the YAML reader into a diagnostic.
//
// The reader names the line where the group around the mistake begins, which
// may be far off. The mistake itself is on the first line with which the text up
// to there fails in the same way. It is looked for in texts of a usual size only.
func syntaxError(file string, text []byte, err error) diag.Diagnostic {
	line, reason := split(err)
	lines := bytes.SplitAfter(text, []byte("\n"))
	if len(text) <= largestSearched {
		line = firstFailing(lines)
	}
	line = min(max(line, 1), len(lines))
	written := lines[line-1]
	column := 1 + len(written) - len(bytes.TrimLeft(written, " "))
	message, hint := plainSyntax(reason)
	return diag.Diagnostic{Pos: diag.Pos{File: file, Line: line, Column: column}, Code: Syntax, Message: message, Hint: hint}
}

// largestSearched bounds the work of firstFailing, in bytes.
const largestSearched = 1 << 16

// firstFailing returns the number of the first line with which the text fails
// as it does as a whole.
func firstFailing(lines [][]byte) int {
	whole := failure(lines)
	low, high := 1, len(lines) // the text up to low-1 does not fail so, up to high it does
	for low < high {
		mid := (low + high) / 2
		if failure(lines[:mid]) == whole {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return high
}

// failure returns the message with which the text fails. A comment before it
// keeps the first line from being line 0, for which the reader names no place.
func failure(lines [][]byte) string {
	dec := yaml.NewDecoder(io.MultiReader(strings.NewReader("#\n"), bytes.NewReader(bytes.Join(lines, nil))))
	for {
		var n yaml.Node
		switch err := dec.Decode(&n); {
		case errors.Is(err, io.EOF):
			return ""
		case err != nil:
			return err.Error()
		}
	}
}

// split takes the message of the YAML reader apart.
func split(err error) (line int, reason string) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	if rest, found := strings.CutPrefix(message, "line "); found {
		if number, after, cut := strings.Cut(rest, ": "); cut {
			if n, err := strconv.Atoi(number); err == nil {
				return n, after
			}
		}
	}
	return 1, message
}

// plainSyntax says in plain words what the YAML reader found.
func plainSyntax(reason string) (message, hint string) {
	for _, s := range []struct{ found, message, hint string }{
		{"mapping values are not allowed", "a second colon on this line makes no sense here", `put a text that holds ": " in quotes, and begin each key on its own line`},
		{"did not find expected key", "this line does not fit what stands around it", "align it with its neighbours, and close every quote and bracket"},
		{"could not find expected ':'", "this line is no key with a value", `write it as "key: value"`},
		{"did not find expected '-' indicator", "an entry of the list above is expected here", `begin it with "- ", or align the line with the key that the list belongs to`},
		{"did not find expected ',' or ']'", "the list in [ ] is not closed, or a comma is missing", ""},
		{"did not find expected ',' or '}'", "the group in { } is not closed, or a comma is missing", ""},
		{"unexpected end of stream", "the quote that begins here is not closed", ""},
		{"unexpected document indicator", "the quote that begins here is not closed", ""},
		{"block sequence entries are not allowed", "a list entry cannot begin here", "put it on its own line below the key"},
		{"cannot start any token", "a value cannot begin with this character", "put the value in quotes"},
		{"unknown escape character", `the text in " " holds a \ that means nothing`, "use single quotes around it"},
		{"exceeded max depth", "too many levels are inside each other", ""},
	} {
		if strings.Contains(reason, s.found) {
			return s.message, s.hint
		}
	}
	return "the text cannot be read as YAML: " + clip(reason), ""
}
