package parts

import (
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"spanwright/decode"
)

// Listed is one line of a list of parts.
type Listed struct {
	Kind           string  `json:"kind"`
	ID             string  `json:"id"`
	Title          string  `json:"title"`
	Representative bool    `json:"representative"`
	File           string  `json:"file,omitempty"` // empty for embedded parts
	Values         []Value `json:"values"`         // what tells the parts of a kind apart
}

// Listing is a list of parts.
type Listing struct {
	Format int      `json:"format"`
	Parts  []Listed `json:"parts"`
}

// Listing lists the parts of a kind, or all parts where the kind is empty. The
// error is that there is no such kind.
func (c *Catalogue) Listing(kind string) (*Listing, error) {
	kinds := Kinds()
	if kind != "" {
		if kindNamed(kind) == nil {
			return nil, unknownKind(kind)
		}
		kinds = []string{kind}
	}
	out := &Listing{Format: 1, Parts: []Listed{}}
	for _, k := range kinds {
		for _, p := range c.List(k) {
			out.Parts = append(out.Parts, c.listed(k, p))
		}
	}
	return out, nil
}

func unknownKind(kind string) error {
	text := fmt.Sprintf("%q is no kind of part", kind)
	if near := decode.Nearest(kind, Kinds()); near != "" {
		return fmt.Errorf("%s, did you mean %q?", text, near)
	}
	return fmt.Errorf("%s; known are %s", text, strings.Join(Kinds(), ", "))
}

func (c *Catalogue) listed(kind string, p Part) Listed {
	b := p.Base()
	l := Listed{Kind: kind, ID: b.ID, Title: b.Title, Representative: b.Representative, Values: []Value{}}
	if !c.entries[Ref{kind, b.ID}].embedded {
		l.File = b.File
	}
	all := valuesOf("", reflect.ValueOf(p).Elem())
	for _, key := range kindNamed(kind).listed {
		for _, v := range all {
			if v.Key == key {
				l.Values = append(l.Values, v)
			}
		}
	}
	return l
}

// Print writes the list for people, a table for each kind.
func (l *Listing) Print(w io.Writer) error {
	var b strings.Builder
	for i := 0; i < len(l.Parts); {
		kind := l.Parts[i].Kind
		if i > 0 {
			b.WriteByte('\n')
		}
		rows := [][]string{append([]string{kind}, kindNamed(kind).listed...)}
		for ; i < len(l.Parts) && l.Parts[i].Kind == kind; i++ {
			rows = append(rows, l.Parts[i].cells())
		}
		b.WriteString(aligned(rows))
	}
	if slices.ContainsFunc(l.Parts, func(p Listed) bool { return p.Representative }) {
		b.WriteString("\n* " + Caution + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// aligned returns the rows as lines with their cells below each other.
func aligned(rows [][]string) string {
	var width []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			if len(row) > 1 { // a row of one cell is a heading
				width[i] = max(width[i], utf8.RuneCountInString(cell))
			}
		}
	}
	var b strings.Builder
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			line += cell + strings.Repeat(" ", max(0, width[i]-utf8.RuneCountInString(cell))+2)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// cells returns the line of a table: the id, marked where the data is
// representative, and the values in the order of the kind's columns.
func (p *Listed) cells() []string {
	id := p.ID
	if p.Representative {
		id += " *"
	}
	cells := []string{id}
	for _, key := range kindNamed(p.Kind).listed {
		text := "-"
		for _, v := range p.Values {
			if v.Key == key {
				text = v.text
			}
		}
		cells = append(cells, text)
	}
	return cells
}

// JSON returns the list as one object. Numbers are SI, each with its unit.
func (l *Listing) JSON() ([]byte, error) { return json.MarshalIndent(l, "", "  ") }
