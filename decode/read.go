package decode

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spanwright/diag"
)

// Codes of the mistakes that a value can have.
const (
	UnknownKey   diag.Code = "unknown-key"
	MissingKey   diag.Code = "missing-key"
	MissingValue diag.Code = "missing-value"
	WrongShape   diag.Code = "value-shape"
	WrongNumber  diag.Code = "number"
	NotWhole     diag.Code = "whole-number"
	NotYesNo     diag.Code = "yes-no"
	NotAChoice   diag.Code = "choice"
	OutOfRange   diag.Code = "range"
	ListLength   diag.Code = "list-length"
	BadDirection diag.Code = "direction"
	BadSpan      diag.Code = "span"
	BadName      diag.Code = "name"
	BadText      diag.Code = "text"
	TooMany      diag.Code = "too-many"
)

// mostMistakes is where reading stops: a file with so many is not a design.
const mostMistakes = 500

// Read decodes the text into the struct that the pointer points to, which it
// fills with defaults where the text is silent. It reports every mistake; a
// value that was refused is left at its zero.
func Read(file string, text []byte, into any) (*Record, diag.List) {
	root, list := Tree(file, text)
	if root == nil {
		rec := newRecord(file)
		rec.breaks("")
		return rec, list
	}
	rec, more := ReadNode(file, root, "", into)
	list.Add(more...)
	return rec, list.Sorted()
}

// ReadNode is Read for a part of a tree, or for nodes made from another kind of
// file: every node must have its line and column. Paths begin with the given one.
func ReadNode(file string, root *yaml.Node, path string, into any) (*Record, diag.List) {
	r := &reader{rec: newRecord(file)}
	r.rec.places = make(map[string]place, values(root))
	out := reflect.ValueOf(into).Elem()
	r.rec.places[path] = place{value: markOf(root)}
	r.group(describe(out.Type()), root, path, out)
	return r.rec, r.finished()
}

func newRecord(file string) *Record {
	return &Record{File: file, places: map[string]place{}, broken: map[string]bool{}}
}

// values counts what has a place of its own.
func values(n *yaml.Node) int {
	count := 0
	for i, c := range n.Content {
		if n.Kind != yaml.MappingNode || i%2 == 1 {
			count += 1 + values(c)
		}
	}
	return count
}

func markOf(n *yaml.Node) mark { return mark{int32(n.Line), int32(n.Column)} }

// reader is one run of Read.
type reader struct {
	rec    *Record
	list   diag.List
	naming bool // refuse keeps paths
}

func (r *reader) pos(n *yaml.Node) diag.Pos {
	return diag.Pos{File: r.rec.File, Line: n.Line, Column: n.Column}
}

func (r *reader) full() bool { return len(r.list) >= mostMistakes }

// add reports a mistake in a value and marks the value as refused.
func (r *reader) add(d diag.Diagnostic) {
	r.rec.breaks(d.Path)
	if !r.full() {
		r.list.Add(d)
	}
}

// finished returns the mistakes, and says so where reading stopped early.
func (r *reader) finished() diag.List {
	if r.full() {
		r.list.Add(diag.Diagnostic{Pos: diag.Pos{File: r.rec.File}, Code: TooMany, Message: fmt.Sprintf("there are more than %d mistakes; the rest of the file was not read", mostMistakes-1)})
	}
	return r.list.Sorted()
}

// at begins a diagnostic about the node.
func (r *reader) at(n *yaml.Node, path string, code diag.Code, message, hint string) diag.Diagnostic {
	d := diag.Diagnostic{Pos: r.pos(n), Code: code, Path: path, Message: message, Hint: hint}
	if n.Kind == yaml.ScalarNode {
		d.Value = n.Value
	}
	return d
}

// group reads a mapping with known keys.
func (r *reader) group(s *Struct, n *yaml.Node, path string, out reflect.Value) {
	if n.Kind != yaml.MappingNode {
		r.add(r.at(n, path, WrongShape, describeNode(n)+"; a group of keys is needed", exampleOf(s)))
		return
	}
	if s.Axes != nil {
		r.byAxis(s.Axes, n, path, out.FieldByIndex(s.Axes.index))
		return
	}
	seen := make([]bool, len(s.Fields))
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		f := s.byKey[key.Value]
		if f == nil {
			r.unknownKey(s, key, path)
			continue
		}
		at := Join(path, key.Value)
		if seen[f.ordinal] {
			continue // reported with both places before
		}
		seen[f.ordinal] = true
		r.remember(at, key, value)
		if isNull(value) {
			seen[f.ordinal] = r.empty(f, key, at)
			continue
		}
		r.field(f, value, at, out.FieldByIndex(f.index))
	}
	for _, f := range s.Fields {
		if !seen[f.ordinal] && !r.full() {
			r.absent(f, n, path, out.FieldByIndex(f.index))
		}
	}
}

// empty deals with a key that has nothing after it, and tells whether that was
// a mistake. A group or a list may be empty like that, as it is when all in it
// is commented out; it is then absent.
func (r *reader) empty(f *Field, key *yaml.Node, path string) bool {
	if !f.Required && f.mayBeEmpty() {
		delete(r.rec.places, path)
		return false
	}
	r.add(diag.Diagnostic{Pos: r.pos(key), Code: MissingValue, Path: path, Message: "has no value; " + f.needs() + " is needed", Allowed: f.allowed(), Hint: f.hint()})
	return true
}

// mayBeEmpty tells whether the field is a group or a list of any length.
func (f *Field) mayBeEmpty() bool {
	switch f.Form {
	case Group, Keyed, ByAxis:
		return true
	case Series:
		return f.Length == 0
	}
	return false
}

// absent deals with a key that is not there.
func (r *reader) absent(f *Field, n *yaml.Node, path string, out reflect.Value) {
	at := Join(path, f.Key)
	switch {
	case f.Required:
		r.rec.breaks(at)
		where := r.rec.Where(at)
		r.add(diag.Diagnostic{Pos: where, Code: MissingKey, Path: at, Message: "is missing: " + f.Doc, Allowed: f.allowed(), Hint: f.hint()})
	case f.Optional:
	case f.hasDefault:
		r.rec.defaults = append(r.rec.defaults, Default{Path: at, Value: f.Default, From: f.From, Doc: f.Doc})
		out.Set(f.value)
	case f.Form == Group && f.Group.Axes == nil:
		r.group(f.Group, &yaml.Node{Kind: yaml.MappingNode, Line: n.Line, Column: n.Column}, at, out)
	}
}

// remember records the place of a value and of its key.
func (r *reader) remember(path string, key, value *yaml.Node) {
	p := place{value: markOf(value)}
	if key != nil {
		p.key = markOf(key)
	}
	if value.Kind == yaml.ScalarNode {
		p.text = value.Value
		if value.Value == "" && key != nil {
			p.value = p.key
		}
	}
	r.rec.places[path] = p
}

// field reads one value into its field.
func (r *reader) field(f *Field, n *yaml.Node, path string, out reflect.Value) {
	if f.Optional {
		target := reflect.New(out.Type().Elem())
		r.form(f, n, path, target.Elem())
		if f.Form == Group || !r.rec.broken[path] {
			out.Set(target)
		}
		return
	}
	r.form(f, n, path, out)
}

func (r *reader) form(f *Field, n *yaml.Node, path string, out reflect.Value) {
	switch f.Form {
	case Text:
		r.text(f, n, path, out)
	case Truth:
		r.truth(n, path, out)
	case Whole:
		r.whole(f, n, path, out)
	case Number:
		if v, ok := r.number(f, n, path); ok {
			out.SetFloat(v)
		}
	case Direction:
		r.direction(n, path, out)
	case Triple:
		r.triple(f, n, path, out)
	case Group:
		r.group(f.Group, n, path, out)
	case Series:
		r.series(f, n, path, out)
	case Keyed:
		r.keyed(f, n, path, out)
	case ByAxis:
		r.byAxis(f, n, path, out)
	}
}

// series reads a list.
func (r *reader) series(f *Field, n *yaml.Node, path string, out reflect.Value) {
	if n.Kind != yaml.SequenceNode {
		r.add(r.at(n, path, WrongShape, describeNode(n)+"; "+f.needs()+" is needed", f.hint()))
		return
	}
	count := len(n.Content)
	if f.Length > 0 && count != f.Length {
		hint := f.hint()
		if n.Style&yaml.FlowStyle != 0 && splitByComma(n) {
			hint = commaHint
		}
		r.add(r.at(n, path, ListLength, fmt.Sprintf("has %d values; %d are needed", count, f.Length), hint))
		return
	}
	if f.Required && count == 0 {
		r.add(r.at(n, path, ListLength, "is empty; at least one is needed", f.hint()))
		return
	}
	if f.Length == 0 {
		out.Set(reflect.MakeSlice(out.Type(), count, count))
	}
	for i, item := range n.Content {
		if r.full() {
			return
		}
		at := Item(path, i)
		r.remember(at, nil, item)
		if isNull(item) {
			r.add(r.at(item, at, MissingValue, "has no value; "+f.Elem.needs()+" is needed", f.Elem.hint()))
			continue
		}
		r.field(f.Elem, item, at, out.Index(i))
	}
}

// keyed reads a list that is written as a mapping; the order of the file is kept.
func (r *reader) keyed(f *Field, n *yaml.Node, path string, out reflect.Value) {
	if n.Kind != yaml.MappingNode {
		r.add(r.at(n, path, WrongShape, describeNode(n)+"; a group with a name for each entry is needed", f.hint()))
		return
	}
	if f.Required && len(n.Content) == 0 {
		r.add(r.at(n, path, ListLength, "is empty; at least one is needed", f.hint()))
		return
	}
	out.Set(reflect.MakeSlice(out.Type(), 0, len(n.Content)/2))
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := Join(path, key.Value)
		if seen[key.Value] {
			continue
		}
		seen[key.Value] = true
		r.name(key, at) // a refused name still names its entry, so that steps to it are not refused too
		r.remember(at, key, value)
		item := reflect.New(out.Type().Elem()).Elem()
		item.FieldByIndex(f.keyIndex).SetString(key.Value)
		if isNull(value) {
			value = &yaml.Node{Kind: yaml.MappingNode, Line: key.Line, Column: key.Column}
		}
		r.form(f.Elem, value, at, item)
		out.Set(reflect.Append(out, item))
	}
}

// byAxis reads a mapping from free names to numbers.
func (r *reader) byAxis(f *Field, n *yaml.Node, path string, out reflect.Value) {
	if n.Kind != yaml.MappingNode {
		r.add(r.at(n, path, WrongShape, describeNode(n)+"; "+f.Elem.needs()+" for each axis is needed", "e.g. {x: "+f.Elem.example()+"}"))
		return
	}
	out.Set(reflect.MakeMapWithSize(out.Type(), len(n.Content)/2))
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := Join(path, key.Value)
		if r.rec.Given(at) || !r.name(key, at) {
			continue
		}
		r.remember(at, key, value)
		if isNull(value) {
			r.empty(f.Elem, key, at)
			continue
		}
		if v, ok := r.number(f.Elem, value, at); ok {
			out.SetMapIndex(reflect.ValueOf(key.Value), reflect.ValueOf(v))
		}
	}
}

// commaHint answers a decimal comma within brackets, where it begins the next value.
const commaHint = "a comma begins the next value here; write decimals with a point"

// splitByComma tells whether a bare whole number stands among the values of a
// list, as it does after 1,5 m was taken for two.
func splitByComma(n *yaml.Node) bool {
	for i, c := range n.Content {
		if i+1 < len(n.Content) && len(c.Value) < 6 && strings.Trim(c.Value, "-0123456789") == "" && strings.ContainsRune(n.Content[i+1].Value, ' ') {
			return true
		}
	}
	return false
}

// longestName is the largest number of letters in a name that a user chooses.
const longestName = 60

// name checks a name that the user chose.
func (r *reader) name(key *yaml.Node, path string) bool {
	if IsName(key.Value) {
		return true
	}
	d := diag.Diagnostic{Pos: r.pos(key), Code: BadName, Path: path, Value: key.Value,
		Message: strconv.Quote(clip(key.Value)) + " cannot be a name",
		Hint:    "use letters, digits, - _ and . between them, at most " + strconv.Itoa(longestName)}
	if strings.ContainsRune(key.Value, ' ') && key.Value[0] >= '0' && key.Value[0] <= '9' {
		d.Hint = commaHint
	}
	r.add(d)
	return false
}

// IsName tells whether the word can name an axis, a point, a node: letters and
// digits, with - _ . inside, at most 60 of them.
func IsName(word string) bool {
	if word == "" || utf8.RuneCountInString(word) > longestName {
		return false
	}
	last := rune('.')
	for _, c := range word {
		inner := c == '-' || c == '_' || c == '.'
		if !inner && !unicode.IsLetter(c) && !unicode.IsDigit(c) || inner && (last == '.' || c == '.' && strings.ContainsRune("-_.", last)) {
			return false
		}
		last = c
	}
	return !strings.ContainsRune("-_.", last)
}
