// Package examples holds complete, commented designs of gantries in invented
// scenarios. Each is also a starter from which a design of one's own can begin.
// It computes nothing; the designs use representative parts only.
package examples

import "embed"

//go:embed */gantry.yaml
var files embed.FS

// Starter is one design to begin with.
type Starter struct {
	Kind string // of gantry, as a command names it
	File string // within this folder
	Doc  string // what it is, in a few words
}

// Starters lists the designs, the simplest first.
var Starters = []Starter{
	{"portal-xz", "crate-portal/gantry.yaml", "a free-standing portal with two axes: a belt-driven X along the top, a mast for Z"},
	{"gantry-xyz", "seedling-gantry/gantry.yaml", "three axes on six legs: X a pair of runways with two motors, Y the bridge, Z a mast"},
	{"gantry-xyz-heavy", "slab-gantry/gantry.yaml", "three rack-driven axes on an anchored steel stand, for some 75 kg"},
	{"gantry-xyz-small", "sample-gantry/gantry.yaml", "three ball screws on a table-top stand, light and precise"},
}

// Text is the design as it stands in the folder.
func (s Starter) Text() ([]byte, error) { return files.ReadFile(s.File) }
