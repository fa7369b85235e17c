package decode

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"spanwright/diag"
)

// Record remembers where every value of a file stands, and which defaults were
// used.
type Record struct {
	File     string
	places   map[string]place
	broken   map[string]bool // paths of values that were refused
	defaults []Default
}

// place is where a value stands and how it is written.
type place struct {
	key, value mark
	text       string // of a single value, as written
}

// mark is a line and a column; line 0 stands for none.
type mark struct{ line, column int32 }

func (r *Record) pos(m mark) diag.Pos {
	return diag.Pos{File: r.File, Line: int(m.line), Column: int(m.column)}
}

// Default is a default that was used.
type Default struct {
	Path  string `json:"path"`
	Value string `json:"value"` // as it would be written in the file
	From  string `json:"from"`  // why it is what it is
	Doc   string `json:"doc"`   // what it means
}

// Where returns the place of a value. For a value that is not in the file it
// is the place of the nearest group that is and would hold it.
func (r *Record) Where(path string) diag.Pos {
	for p := path; ; p = parent(p) {
		if at, found := r.places[p]; found {
			if p != path && at.key.line != 0 {
				return r.pos(at.key)
			}
			return r.pos(at.value)
		}
		if p == "" {
			return diag.Pos{File: r.File, Line: 1, Column: 1}
		}
	}
}

// WhereKey returns the place of the key of a value, or what Where returns.
func (r *Record) WhereKey(path string) diag.Pos {
	if at, found := r.places[path]; found && at.key.line != 0 {
		return r.pos(at.key)
	}
	return r.Where(path)
}

// Given tells whether the value is written in the file.
func (r *Record) Given(path string) bool {
	_, found := r.places[path]
	return found
}

// Paths lists everything that is written in the file, in alphabetical order.
func (r *Record) Paths() []string { return slices.Sorted(maps.Keys(r.places)) }

// Sound tells whether the value is written in the file and was accepted with
// everything in it.
func (r *Record) Sound(path string) bool { return r.Given(path) && !r.broken[path] }

// Written returns a single value as it is written in the file, without quotes.
func (r *Record) Written(path string) string { return r.places[path].text }

// Defaults lists the defaults that were used, in the order of the description.
func (r *Record) Defaults() []Default { return r.defaults }

// breaks marks the path and everything that holds it as refused.
func (r *Record) breaks(path string) {
	for p := path; !r.broken[p]; p = parent(p) {
		r.broken[p] = true
	}
}

// Join returns the path of a key within a group.
func Join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// Item returns the path of an element of a list by its index from 0; people
// count from 1, and so does the path.
func Item(path string, index int) string { return path + "[" + strconv.Itoa(index+1) + "]" }

// parent returns the path of what holds the value, "" for the whole file.
func parent(path string) string {
	return path[:max(0, strings.LastIndexAny(path, ".["))]
}
