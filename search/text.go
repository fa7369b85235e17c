package search

import (
	"fmt"
	"strings"

	"spanwright/design"
)

// Text is the complete design of a choice: the user's text with everything that
// was left open written in, after a comment that says how it came about. What
// the user wrote keeps its place and its comments.
func (p *Problem) Text(c Choice, f fitted, about string) ([]byte, error) {
	w := p.draft(c, f, true)
	file := *p.Task.File
	var missing []section
	var edits []design.Edit
	for _, e := range w.edits {
		name, _, _ := strings.Cut(e.Path, ".")
		if file.Given(name) {
			edits = append(edits, e)
			continue
		}
		if n := len(missing); n == 0 || missing[n-1].name != name {
			missing = append(missing, section{name: name})
		}
		missing[len(missing)-1].edits = append(missing[len(missing)-1].edits, e)
	}
	text, err := file.Apply(edits...)
	if err != nil {
		return nil, fmt.Errorf("the settled part of the design: %w", err)
	}
	var b strings.Builder
	b.WriteString(comment(about))
	b.Write(text)
	if len(text) > 0 && text[len(text)-1] != '\n' {
		b.WriteByte('\n')
	}
	for _, s := range missing {
		b.WriteString("\n" + s.text())
	}
	return []byte(b.String()), nil
}

func comment(about string) string {
	var b strings.Builder
	for line := range strings.SplitSeq(strings.TrimSpace(about), "\n") {
		b.WriteString("# " + line + "\n")
	}
	return b.String() + "#\n"
}

// section is a part of the file that is not there yet.
type section struct {
	name  string
	edits []design.Edit
}

// entry is a key with a value or with entries of its own, in order.
type entry struct {
	key     string
	value   string
	list    []string
	entries []*entry
}

func (e *entry) at(key string) *entry {
	for _, x := range e.entries {
		if x.key == key {
			return x
		}
	}
	x := &entry{key: key}
	e.entries = append(e.entries, x)
	return x
}

func (s section) text() string {
	root := &entry{}
	for _, e := range s.edits {
		at := root
		for key := range strings.SplitSeq(e.Path, ".") {
			name, item, isItem := strings.Cut(key, "[")
			at = at.at(name)
			if isItem && item != "" {
				at.list = append(at.list, e.Value)
			}
		}
		if at.list == nil {
			at.value = e.Value
		}
	}
	var b strings.Builder
	for _, e := range root.entries {
		e.write(&b, 0)
	}
	return b.String()
}

// reasons are comments at what a search derives and does not choose.
var reasons = map[string]string{
	"travel":   "to the farthest point, and as far beyond as the task keeps at the other end",
	"span":     "the beam reaches over its last support by what the check allows",
	"height":   "the payload hangs at working height with every axis at 0",
	"ends":     "from the stopping distances",
	"carriers": "the lightest that hold the cables",
	"cables":   "representative: replace by those of the motors and the tool",
	"guards":   "a proposal: what keeps people away is decided by the risk assessment",
}

// deep is the depth from which a group stands on one line.
const deep = 3

func (e *entry) write(b *strings.Builder, depth int) {
	indent := strings.Repeat("  ", depth)
	note := ""
	if r := reasons[e.key]; r != "" {
		note = "  # " + r
	}
	switch {
	case e.list != nil:
		fmt.Fprintf(b, "%s%s:%s\n", indent, e.key, note)
		for _, item := range e.list {
			fmt.Fprintf(b, "%s  - %s\n", indent, item)
		}
	case e.entries == nil:
		fmt.Fprintf(b, "%s%s: %s%s\n", indent, e.key, e.value, note)
	case depth+1 >= deep && e.plain() || e.key == "guards" || e.key == "control":
		fmt.Fprintf(b, "%s%s: %s%s\n", indent, e.key, e.flow(), note)
	default:
		fmt.Fprintf(b, "%s%s:%s\n", indent, e.key, note)
		for _, x := range e.entries {
			x.write(b, depth+1)
		}
	}
}

// plain tells whether no list stands in it.
func (e *entry) plain() bool {
	for _, x := range e.entries {
		if x.list != nil || !x.plain() {
			return false
		}
	}
	return true
}

func (e *entry) flow() string {
	if e.entries == nil {
		return e.value
	}
	var out []string
	for _, x := range e.entries {
		out = append(out, x.key+": "+x.flow())
	}
	return "{" + strings.Join(out, ", ") + "}"
}
