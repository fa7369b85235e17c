package frame

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
)

// Limits on the text of a model.
const maxText = 512 << 20 // bytes

// remarks are keys that may stand in any object and mean nothing to the solver; the form has ids for nodes, sections,
// materials and members only, others may be written down.
var remarks = []string{"$schema", "comment", "description", "id", "name", "note", "source", "title"}

// reader turns a tree into a model and collects what is wrong.
type reader struct {
	text     []byte
	problems Problems
	spoiled  map[string]bool // list and id of entries with a problem, whose follow-on mistakes are dropped
}

// entry is one object of a list while it is read.
type entry struct {
	*reader
	t    *tree
	list string
	id   string
	used []string
}

// ReadJSON reads a model in the neutral JSON form. It returns every mistake of the text, or else of the model; the
// model is usable only if there is none. Keys that the form does not know are mistakes, but for remarks such as
// "comment".
//
// In that form springs, masses and supports have no ids; messages name them by place, as #3. Loads of one "case" add
// up to one Case, in order of first appearance.
func ReadJSON(from io.Reader) (*Model, Problems) {
	text, err := io.ReadAll(io.LimitReader(from, maxText+1))
	if err != nil {
		return nil, Problems{{Value: "the model", Message: "cannot be read: " + err.Error()}}
	}
	if len(text) > maxText {
		return nil, Problems{{Value: "the model", Message: fmt.Sprintf("is longer than %d bytes", maxText)}}
	}
	text = bytes.TrimPrefix(text, []byte("\uFEFF")) // a byte order mark may be ignored (RFC 8259, 8.1)
	t, wrong := parse(text)
	if wrong != nil {
		return nil, Problems{*wrong}
	}
	r := &reader{text: text, spoiled: map[string]bool{}}
	m := r.model(t)
	for _, p := range m.Check() {
		if !r.spoiled[p.List+"\x00"+p.ID] && !(p.ID == "" && len(r.problems) > 0) {
			p.Line, p.Column = lineColumn(text, t.find(p))
			r.problems = append(r.problems, p)
		}
	}
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return m, nil
}

func (r *reader) complain(t *tree, list, id, key, value, message string) {
	p := Problem{List: list, ID: id, Key: key, Value: value, Message: message}
	p.Line, p.Column = lineColumn(r.text, t.offset)
	r.problems = append(r.problems, p)
	r.spoiled[list+"\x00"+id] = true
}

func (r *reader) model(t *tree) *Model {
	m := &Model{}
	top := entry{reader: r, t: t}
	if t.kind != '{' {
		r.complain(t, "", "", "", t.describe(), "is not a model; an object with nodes, members, ... is needed")
		return m
	}
	for _, e := range top.objects("nodes") {
		m.Nodes = append(m.Nodes, Node{e.name(), e.vector3("at", true)})
		e.end()
	}
	for _, e := range top.objects("sections") {
		m.Sections = append(m.Sections, Section{e.name(), e.need("A"), e.need("Iy"), e.need("Iz"), e.need("J"), e.number("Asy"), e.number("Asz")})
		e.end()
	}
	for _, e := range top.objects("materials") {
		m.Materials = append(m.Materials, Material{ID: e.name(), E: e.need("E"), G: e.need("G"), Rho: e.number("rho"), Alpha: e.number("alpha")})
		e.end()
	}
	for _, e := range top.objects("members") {
		m.Members = append(m.Members, e.member())
	}
	for _, e := range top.objects("supports") {
		m.Supports = append(m.Supports, e.support())
	}
	for _, e := range top.objects("springs") {
		m.Springs = append(m.Springs, e.spring())
	}
	for _, e := range top.objects("masses") {
		m.Masses = append(m.Masses, e.mass())
	}
	r.loads(m, top.objects("loads"))
	r.ground(m, t)
	if v := top.get("modes"); v != nil {
		m.Modes = top.whole(v, "modes", 0, maxModes)
	}
	top.end()
	return m
}

// objects returns the entries of a list.
func (e *entry) objects(key string) []*entry {
	t := e.get(key)
	if t == nil {
		return nil
	}
	if t.kind != '[' {
		e.complain(t, "", "", key, t.describe(), "is not allowed; a list is needed")
		return nil
	}
	var out []*entry
	for i := range t.values {
		v := &t.values[i]
		if v.kind != '{' {
			e.complain(v, key, place(i), "", v.describe(), "is not allowed; an object is needed")
			continue
		}
		out = append(out, &entry{reader: e.reader, t: v, list: key, id: place(i)})
	}
	return out
}

// get returns the value of a key, nil if it is absent, and notes that the key is known.
func (e *entry) get(key string) *tree {
	e.used = append(e.used, key)
	var found *tree
	for i, k := range e.t.keys {
		if k != key {
			continue
		}
		if found != nil {
			e.complain(&e.t.values[i], e.list, e.id, key, "", "is given twice")
			continue
		}
		found = &e.t.values[i]
	}
	return found
}

// end complains about keys that were not asked for.
func (e *entry) end() {
	for i, k := range e.t.keys {
		if slices.Contains(e.used, k) || slices.Contains(remarks, k) {
			continue
		}
		hint := didYouMean(k, e.used)
		if hint == "" {
			hint = "; allowed are " + join(e.used)
		}
		e.complain(&e.t.values[i], e.list, e.id, k, "", "is not a key of this object"+hint)
	}
}

func (e *entry) name() string {
	t := e.get("id")
	if t == nil {
		e.complain(e.t, e.list, e.id, "id", "", "is missing; a text is needed")
		return ""
	}
	if t.kind != '"' || t.text == "" {
		e.complain(t, e.list, e.id, "id", t.describe(), "is not allowed; a text that is not empty is needed")
		return ""
	}
	e.id = t.text
	return t.text
}

// word returns a text; absent is a mistake if needed.
func (e *entry) word(key, what string, needed bool) string {
	t := e.get(key)
	if t == nil {
		if needed {
			e.complain(e.t, e.list, e.id, key, "", "is missing; "+what+" is needed")
		}
		return ""
	}
	if t.kind != '"' || t.text == "" {
		e.complain(t, e.list, e.id, key, t.describe(), "is not allowed; "+what+" is needed")
		return ""
	}
	return t.text
}

// reference returns the id of another entry, which must exist.
func (e *entry) reference(key, target string, ids *index) string {
	t := e.get(key)
	at := len(e.problems)
	e.used = e.used[:len(e.used)-1]
	name := e.word(key, "the id of one of the "+target, true)
	if len(e.problems) > at || t == nil {
		return ""
	}
	if _, ok := ids.find(name); !ok {
		e.complain(t, e.list, e.id, key, strconv.Quote(name), "is not in "+target+didYouMean(name, ids.ids))
	}
	return name
}

// real returns a finite number.
func (e *entry) real(t *tree, key string) float64 {
	if t.kind != '0' {
		e.complain(t, e.list, e.id, key, t.describe(), "is not allowed; a number is needed")
		return 0
	}
	if !(math.Abs(t.number) <= maxNumber) {
		e.complain(t, e.list, e.id, key, shorten(t.text), fmt.Sprintf("is not allowed; a number between %g and %g is needed", -maxNumber, maxNumber))
		return 0
	}
	return t.number
}

func (e *entry) need(key string) float64 {
	if t := e.get(key); t != nil {
		return e.real(t, key)
	}
	e.complain(e.t, e.list, e.id, key, "", "is missing; a number is needed")
	return 0
}

func (e *entry) number(key string) float64 {
	if t := e.get(key); t != nil {
		return e.real(t, key)
	}
	return 0
}

// whole returns an integer within bounds.
func (e *entry) whole(t *tree, key string, lo, hi int) int {
	if t.kind != '0' || t.number != math.Trunc(t.number) || t.number < float64(lo) || t.number > float64(hi) {
		e.complain(t, e.list, e.id, key, t.describe(), "is not allowed; a whole number from "+strconv.Itoa(lo)+" to "+strconv.Itoa(hi)+" is needed")
		return lo
	}
	return int(t.number)
}

// vector returns n numbers; nil if the key is absent or wrong.
func (e *entry) vector(key string, n int, needed bool) []float64 {
	t := e.get(key)
	if t == nil {
		if needed {
			e.complain(e.t, e.list, e.id, key, "", fmt.Sprintf("is missing; a list of %d numbers is needed", n))
		}
		return nil
	}
	if t.kind != '[' || len(t.values) != n {
		e.complain(t, e.list, e.id, key, t.describe(), fmt.Sprintf("is not allowed; a list of %d numbers is needed", n))
		return nil
	}
	v := make([]float64, n)
	for i := range v {
		if c := &t.values[i]; c.kind == '0' && math.Abs(c.number) <= maxNumber {
			v[i] = c.number
		} else {
			e.real(c, fmt.Sprintf("%s[%d]", key, i))
		}
	}
	return v
}

func (e *entry) vector3(key string, needed bool) (v [3]float64) {
	copy(v[:], e.vector(key, 3, needed))
	return v
}

func join(words []string) string {
	s := ""
	for i, w := range words {
		if i > 0 {
			s += ", "
		}
		s += w
	}
	return s
}
