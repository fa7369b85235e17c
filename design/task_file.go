package design

import (
	"io/fs"
	"slices"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
)

// LoadTask is Load for a file that states a task and leaves the machine, or any
// part of it, to be found: axes, stand and equipment need not be there, nor the
// keys in them that a whole design requires. What is there is judged as in a
// whole design. Where axes are named, all of them are, from the stand to the
// tool; one of which nothing is settled yet may stand there empty.
func LoadTask(fsys fs.FS, name string) (*Design, diag.List) {
	d, list := Load(fsys, name)
	return d, d.open(list)
}

// ParseTask is LoadTask for a text.
func ParseTask(name string, text []byte) (*Design, diag.List) {
	d, list := Parse(name, text)
	return d, d.open(list)
}

// open keeps the mistakes that stay mistakes where the machine is still open.
func (d *Design) open(list diag.List) diag.List {
	return slices.DeleteFunc(slices.Clone(list), func(m diag.Diagnostic) bool {
		switch m.Code {
		case decode.MissingKey:
			return slices.ContainsFunc(openSections, func(s string) bool { return m.Path == s || strings.HasPrefix(m.Path, s+".") })
		case StandEmpty:
			return len(d.Stand.Nodes) == 0 && len(d.Stand.Members) == 0
		case Facing:
			return !d.File.Given(m.Path)
		}
		return false
	})
}

// openSections are the sections that a task may leave open.
var openSections = []string{"axes", "stand", "equipment"}
