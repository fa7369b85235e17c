package diag

import (
	"fmt"
	"strings"
)

// Code classifies a mistake. A code never changes its meaning.
type Code string

// Pos is a place in a file. A line of 0 means the file as a whole.
type Pos struct {
	File   string `json:"file"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"` // in code points
}

// String returns file:line:column as far as known.
func (p Pos) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Diagnostic is one mistake in a file.
type Diagnostic struct {
	Pos
	Code    Code   `json:"code"`
	Path    string `json:"path,omitempty"`    // where in the file's data, e.g. axes.z.travel
	Value   string `json:"value,omitempty"`   // as written in the file
	Message string `json:"message"`           // what is wrong; stands alone, without place or path
	Allowed string `json:"allowed,omitempty"` // what may stand there
	Hint    string `json:"hint,omitempty"`    // one step that would mend it
}

// String returns the diagnostic in one line, without the source line.
func (d Diagnostic) String() string {
	var b strings.Builder
	b.WriteString(d.Pos.String())
	b.WriteString(": error: ")
	if d.Path != "" {
		b.WriteString(d.Path + ": ")
	}
	b.WriteString(d.Message)
	if d.Hint != "" {
		b.WriteString(", " + d.Hint)
	}
	if d.Code != "" {
		b.WriteString(" [" + string(d.Code) + "]")
	}
	return printable(b.String())
}

// printable replaces everything that could steer a terminal.
func printable(s string) string {
	clean := true
	for _, r := range s {
		if !shows(r) {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	return strings.Map(func(r rune) rune {
		if shows(r) {
			return r
		}
		return '\uFFFD'
	}, s)
}
