package design

import (
	"encoding/json"
	"errors"
	"regexp"
	"strings"

	"go.yaml.in/yaml/v3"

	"spanwright/decode"
)

// errNoBlock is returned for lines that are to go between brackets.
var errNoBlock = errors.New("a value on several lines cannot stand within brackets")

// indentStep is how far a new group is indented.
const indentStep = 2

// harmless texts can stand without quotes wherever a value can.
var harmless = regexp.MustCompile(`^[\p{L}\p{Nd}][\p{L}\p{Nd}_./%+-]*(?: [\p{L}\p{Nd}_./%+-]+)*$`)

// TextValue returns a text as the value of an Edit, in quotes where it needs them.
func TextValue(text string) string {
	if harmless.MatchString(text) && decode.PlainValue(&yaml.Node{Kind: yaml.ScalarNode, Value: text}) == any(text) {
		return text
	}
	quoted, _ := json.Marshal(text) // never fails for a string, and the quoted texts of JSON are among those of YAML
	return string(quoted)
}

// splice returns the text with a piece replaced.
func (l *layout) splice(from, to int, piece string) []byte {
	out := make([]byte, 0, len(l.text)+len(piece))
	out = append(out, l.text[:from]...)
	out = append(out, piece...)
	return append(out, l.text[to:]...)
}

// block indents lines and joins them.
func (l *layout) block(lines []string, indent int) string {
	var b strings.Builder
	for i, line := range lines {
		if i > 0 {
			b.WriteString(l.eol)
		}
		if line != "" {
			b.WriteString(strings.Repeat(" ", indent) + line)
		}
	}
	return b.String()
}

// linesOf cuts a value into lines without the indentation they share.
func linesOf(value string) []string {
	lines := strings.Split(strings.Trim(strings.ReplaceAll(value, "\r\n", "\n"), "\n"), "\n")
	shared := -1
	for _, line := range lines {
		if n := indentOf(line); strings.TrimSpace(line) != "" && (shared < 0 || n < shared) {
			shared = n
		}
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(line[min(max(shared, 0), len(line)):], " ")
	}
	return lines
}

// replace writes another value in the place of the one there is.
func (l *layout) replace(t target, value string) ([]byte, error) {
	lines := linesOf(value)
	switch {
	case t.parent == nil:
		return nil, errors.New("the whole file cannot be replaced")
	case len(lines) > 1 && isFlow(t.parent):
		return nil, errNoBlock
	case t.key == nil:
		from := l.begin(t.node)
		return l.splice(from, l.end(t.node, nil), strings.TrimLeft(l.block(lines, t.node.Column-1), " ")), nil
	}
	colon := l.afterColon(t.key)
	keyEnd := l.lineEnd(colon)
	if isBlock(t.node) {
		rest := string(l.text[colon:keyEnd]) // a comment
		end := l.lineEnd(l.end(t.node, t.key))
		if len(lines) == 1 {
			return l.splice(colon, end, " "+lines[0]+rest), nil
		}
		return l.splice(colon, end, rest+l.eol+l.block(lines, t.key.Column-1+indentStep)), nil
	}
	from, to := colon, colon
	if !isUnwritten(t.node) {
		from, to = l.begin(t.node), l.end(t.node, t.key)
	}
	if len(lines) == 1 {
		gap := ""
		if from == colon {
			gap = " "
		}
		return l.splice(from, to, gap+lines[0]), nil
	}
	lineEnd := l.lineEnd(to)
	rest := strings.TrimRight(string(l.text[to:lineEnd]), " ")
	return l.splice(colon, lineEnd, rest+l.eol+l.block(lines, t.key.Column-1+indentStep)), nil
}

// compose writes the missing steps of a path and the value as lines.
func compose(rest []string, value string) []string {
	lines := linesOf(value)
	for i := len(rest) - 1; i >= 0; i-- {
		switch step := rest[i]; {
		case step[0] == '[':
			lines[0] = "- " + lines[0]
			for j := range lines[1:] {
				lines[j+1] = "  " + lines[j+1]
			}
		case len(lines) == 1 && i == len(rest)-1:
			lines[0] = step + ": " + lines[0]
		default:
			for j, line := range lines {
				lines[j] = strings.Repeat(" ", indentStep) + line
			}
			lines = append([]string{step + ":"}, lines...)
		}
	}
	return lines
}

// composeFlow writes the missing steps of a path and the value within brackets.
func composeFlow(rest []string, value string) (string, error) {
	lines := linesOf(value)
	if len(lines) > 1 {
		return "", errNoBlock
	}
	text := lines[0]
	for i := len(rest) - 1; i >= 0; i-- {
		switch step := rest[i]; {
		case step[0] == '[' && i > 0:
			text = "[" + text + "]"
		case step[0] == '[':
		case i > 0:
			text = "{" + step + ": " + text + "}"
		default:
			text = step + ": " + text
		}
	}
	return text, nil
}

// insert writes a value that is not there yet.
func (l *layout) insert(t target, value string) ([]byte, error) {
	switch {
	case isNothing(t.node):
		return l.fill(t, value)
	case isFlow(t.node):
		entry, err := composeFlow(t.rest, value)
		if err != nil {
			return nil, err
		}
		return l.insertFlow(t, entry), nil
	case t.node.Kind == yaml.SequenceNode:
		entry := l.block(compose(t.rest, value), t.node.Column-1)
		end := l.lineEnd(l.lastEnd(t.node))
		return l.splice(end, end, l.eol+entry), nil
	}
	lines := compose(t.rest, value)
	indent := t.node.Column - 1
	before := t.precedes()
	if before < 0 {
		at := l.begin(t.node.Content[0])
		return l.splice(at, at, strings.TrimLeft(l.block(lines, indent), " ")+l.eol+strings.Repeat(" ", indent)), nil
	}
	end := l.lineEnd(l.end(t.node.Content[before+1], t.node.Content[before]))
	return l.splice(end, end, l.eol+l.block(lines, indent)), nil
}

// fill writes into a group or list after whose key nothing stands.
func (l *layout) fill(t target, value string) ([]byte, error) {
	if isFlow(t.parent) {
		entry, err := composeFlow(t.rest, value)
		if err != nil {
			return nil, err
		}
		if t.rest[0][0] == '[' {
			return l.replace(t, "["+entry+"]")
		}
		return l.replace(t, "{"+entry+"}")
	}
	colon := l.afterColon(t.key)
	end := l.lineEnd(colon)
	comment := string(l.text[l.end(t.node, t.key):end]) // behind null or ~, where that is written
	return l.splice(colon, end, strings.TrimRight(comment, " ")+l.eol+l.block(compose(t.rest, value), t.key.Column-1+indentStep)), nil
}

// insertFlow writes an entry between the brackets of a group or list.
func (l *layout) insertFlow(t target, entry string) []byte {
	if len(t.node.Content) == 0 {
		at := l.begin(t.node) + 1
		return l.splice(at, at, entry)
	}
	before := len(t.node.Content) - 1
	if t.node.Kind == yaml.MappingNode {
		if before = t.precedes(); before < 0 {
			at := l.begin(t.node.Content[0])
			return l.splice(at, at, entry+", ")
		}
		at := l.end(t.node.Content[before+1], t.node.Content[before])
		return l.splice(at, at, ", "+entry)
	}
	at := l.end(t.node.Content[before], nil)
	return l.splice(at, at, ", "+entry)
}

// precedes returns the index of the key after which the new one belongs: the
// last one that the description has before it, or -1 for none. In a group with
// free names it is the last.
func (t *target) precedes() int {
	last := len(t.node.Content) - 2
	if t.group == nil || t.group.Field(t.rest[0]) == nil {
		return last
	}
	rank := map[string]int{}
	for i, f := range t.group.Fields {
		rank[f.Key] = i
	}
	best := -1
	for i := 0; i <= last; i += 2 {
		if r, known := rank[t.node.Content[i].Value]; known && r < rank[t.rest[0]] {
			best = i
		}
	}
	return best
}

// remove takes a value and its key out.
func (l *layout) remove(t target) ([]byte, error) {
	first, width := t.node, 1
	if t.key != nil {
		first, width = t.key, 2
	}
	from, to := l.begin(first), l.end(t.node, t.key)
	next, previous := t.index+1, t.index-width // next is the key or entry after, previous the value or entry before
	switch {
	case isFlow(t.parent) && next < len(t.parent.Content):
		return l.splice(from, l.begin(t.parent.Content[next]), ""), nil
	case isFlow(t.parent) && previous >= 0:
		var key *yaml.Node
		if width == 2 {
			key = t.parent.Content[previous-1]
		}
		return l.splice(l.end(t.parent.Content[previous], key), to, ""), nil
	case isFlow(t.parent):
		return l.splice(from, to, ""), nil
	}
	start := l.lineStart(from)
	dash := strings.Trim(string(l.text[start:from]), " ")
	switch {
	case dash == "" && t.key != nil, dash == "-" && t.key == nil:
		return l.splice(start, l.nextLine(l.lineEnd(to)), ""), nil
	case t.key == nil:
		return nil, errors.New("lists within lists must be edited by hand")
	case next < len(t.parent.Content): // the key beside the dash of a list's entry
		return l.splice(from, l.begin(t.parent.Content[next]), ""), nil
	}
	return l.splice(from, to, "{}"), nil
}
