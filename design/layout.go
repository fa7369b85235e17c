package design

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// layout finds where values begin and end in a text. The YAML reader tells only
// where they begin.
type layout struct {
	text   []byte
	starts []int  // of each line
	eol    string // how lines end
}

func newLayout(text []byte) *layout {
	l := &layout{text: text, starts: []int{0}, eol: "\n"}
	for i, c := range text {
		if c == '\n' {
			l.starts = append(l.starts, i+1)
		}
	}
	if bytes.Contains(text, []byte("\r\n")) {
		l.eol = "\r\n"
	}
	return l
}

// begin returns the offset at which the node begins.
func (l *layout) begin(n *yaml.Node) int {
	at := l.starts[min(n.Line, len(l.starts))-1]
	for range n.Column - 1 {
		_, size := utf8.DecodeRune(l.text[at:])
		at += size
	}
	return at
}

// lineEnd returns the offset of the end of the line, before its line break.
func (l *layout) lineEnd(at int) int {
	end := bytes.IndexByte(l.text[at:], '\n')
	if end < 0 {
		return len(l.text)
	}
	end += at
	if end > at && l.text[end-1] == '\r' {
		end--
	}
	return end
}

func (l *layout) lineStart(at int) int { return bytes.LastIndexByte(l.text[:at], '\n') + 1 }

// nextLine returns the offset of the line after the one that holds the offset.
func (l *layout) nextLine(at int) int {
	end := bytes.IndexByte(l.text[at:], '\n')
	if end < 0 {
		return len(l.text)
	}
	return at + end + 1
}

// afterColon returns the offset behind the colon of a key.
func (l *layout) afterColon(key *yaml.Node) int {
	at := l.scalarEnd(key)
	if colon := bytes.IndexByte(l.text[at:], ':'); colon >= 0 {
		return at + colon + 1
	}
	return at
}

// isFlow tells whether the node is written in brackets.
func isFlow(n *yaml.Node) bool {
	return n.Kind != yaml.ScalarNode && (n.Style&yaml.FlowStyle != 0 || len(n.Content) == 0)
}

// isBlock tells whether the node is a group or list on lines of its own.
func isBlock(n *yaml.Node) bool { return n.Kind != yaml.ScalarNode && !isFlow(n) }

// isUnwritten tells whether nothing at all is written.
func isUnwritten(n *yaml.Node) bool { return isNothing(n) && n.Value == "" }

// end returns the offset behind the value; the key is nil for a list's entry.
func (l *layout) end(n, key *yaml.Node) int {
	switch {
	case isUnwritten(n):
		if key != nil {
			return l.afterColon(key)
		}
		return l.begin(n)
	case n.Kind == yaml.ScalarNode:
		return l.scalarEnd(n)
	case isFlow(n):
		return l.flowEnd(n)
	}
	return l.lastEnd(n)
}

// lastEnd returns the offset behind the last entry of a group or list.
func (l *layout) lastEnd(n *yaml.Node) int {
	last := len(n.Content) - 1
	if n.Kind == yaml.MappingNode {
		return l.end(n.Content[last], n.Content[last-1])
	}
	return l.end(n.Content[last], nil)
}

// flowEnd returns the offset behind the closing bracket.
func (l *layout) flowEnd(n *yaml.Node) int {
	at := l.begin(n) + 1
	if len(n.Content) > 0 {
		at = l.lastEnd(n)
	}
	for at < len(l.text) {
		switch c := l.text[at]; {
		case c == ']' || c == '}':
			return at + 1
		case c == '#':
			at = l.nextLine(at)
		default:
			at++
		}
	}
	return at
}

// scalarEnd returns the offset behind a single value.
func (l *layout) scalarEnd(n *yaml.Node) int {
	at := l.begin(n)
	switch {
	case n.Style&yaml.SingleQuotedStyle != 0:
		return l.quoteEnd(at, '\'')
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return l.quoteEnd(at, '"')
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return l.blockScalarEnd(at)
	}
	return l.plainEnd(at, n.Value)
}

// quoteEnd skips a quoted text: ” is a quote within ', and \" within ".
func (l *layout) quoteEnd(at int, quote byte) int {
	for i := at + 1; i < len(l.text); i++ {
		switch {
		case l.text[i] == '\\' && quote == '"':
			i++
		case l.text[i] != quote:
		case quote == '\'' && i+1 < len(l.text) && l.text[i+1] == quote:
			i++
		default:
			return i + 1
		}
	}
	return len(l.text)
}

// plainEnd follows the value through the text, where a run of spaces and line
// breaks stands for one of the value.
func (l *layout) plainEnd(at int, value string) int {
	for i := 0; i < len(value) && at < len(l.text); {
		if !isBlank(value[i]) {
			i, at = i+1, at+1
			continue
		}
		for i < len(value) && isBlank(value[i]) {
			i++
		}
		for at < len(l.text) && isBlank(l.text[at]) {
			at++
		}
	}
	return at
}

func isBlank(c byte) bool { return c == ' ' || c == '\n' || c == '\r' }

// blockScalarEnd skips a text that begins with | or >: its lines are indented at
// least as far as the first of them.
func (l *layout) blockScalarEnd(at int) int {
	end, indent := l.lineEnd(at), -1
	for line := l.nextLine(at); line < len(l.text); line = l.nextLine(line) {
		content := string(l.text[line:l.lineEnd(line)])
		n := indentOf(content)
		if n == len(content) {
			continue
		}
		if indent < 0 {
			indent = n
		}
		if n < indent || indent == 0 {
			break
		}
		end = l.lineEnd(line)
	}
	return end
}

// indentOf counts the spaces at the beginning of a line.
func indentOf(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }
