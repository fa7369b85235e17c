package search

import (
	"strconv"

	"spanwright/design"
	"spanwright/quantity"
)

// pen writes a machine into a design. What the user has settled stays as it
// is; everything else is set in the struct and, where the text is wanted, noted
// as an edit, from one and the same call, so that struct and text cannot differ.
type pen struct {
	d     *design.Design
	edits []design.Edit // in order; nil unless notes
	notes bool
}

// open tells whether the user has left the value to the search.
func (p *pen) open(path string) bool { return !p.d.File.Given(path) }

func (p *pen) note(path, value string) {
	if p.notes {
		p.edits = append(p.edits, design.Edit{Path: path, Value: value})
	}
}

func (p *pen) word(path string, to *string, value string) {
	if p.open(path) {
		*to = value
		p.note(path, value)
	}
}

func (p *pen) count(path string, to *int, value int) {
	if p.open(path) {
		*to = value
		p.note(path, strconv.Itoa(value))
	}
}

func (p *pen) number(path string, kind quantity.Kind, to *float64, value float64) {
	if p.open(path) {
		*to = value
		p.noteNumber(path, kind, value)
	}
}

// noteNumber writes the number only where somebody reads it.
func (p *pen) noteNumber(path string, kind quantity.Kind, value float64) {
	if p.notes {
		p.note(path, quantity.Exact(kind, value))
	}
}

// maybe sets a value that may be absent.
func (p *pen) maybe(path string, kind quantity.Kind, to **float64, value float64) {
	if p.open(path) {
		*to = &value
		p.noteNumber(path, kind, value)
	}
}

func (p *pen) direction(path string, to *[3]float64, value [3]float64) {
	if p.open(path) {
		*to = value
		p.note(path, axisWord(value))
	}
}

// axisWord is a direction as it is written: x, -y, or three numbers.
func axisWord(d [3]float64) string {
	for i, name := range []string{"x", "y", "z"} {
		switch {
		case d[i] == 1:
			return name
		case d[i] == -1:
			return "-" + name
		}
	}
	text := "["
	for i, x := range d {
		if i > 0 {
			text += ", "
		}
		text += quantity.Number(x, 0)
	}
	return text + "]"
}
