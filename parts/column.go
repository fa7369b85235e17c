package parts

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spanwright/decode"
	"spanwright/diag"
	"spanwright/quantity"
)

// A table holds one kind of part, one part a row. The header names a key of the
// kind in each column, with the unit of its numbers in square brackets; a key
// within a group is written t_slot.module. Lists stand in one cell, separated
// by spaces. An empty cell is a value that is not given.

// column is one column of a table.
type column struct {
	key   string // id, or the key of a field
	unit  string
	field *decode.Field // nil for the id
}

// cell is one cell with its place.
type cell struct {
	text string
	pos  diag.Pos
}

// header is the first row of a table.
type header struct {
	columns []column // one that was refused has no key
	refused map[string]bool
	list    diag.List
}

// readHeader reads the header of a table of the kind.
func readHeader(kind string, cells []cell) *header {
	h := &header{refused: map[string]bool{}}
	known := columnsOf(kind)
	at := diag.Pos{}
	if len(cells) > 0 {
		at = cells[0].pos
	}
	for _, c := range cells {
		col, d := readColumn(kind, known, c)
		if d == nil && h.has(col.key) {
			d = &diag.Diagnostic{Code: decode.DuplicateKey, Message: "the column " + col.key + " stands here twice", Hint: "remove one of the two"}
		}
		if d != nil {
			d.Pos, d.Value = c.pos, strings.TrimSpace(c.text)
			h.list.Add(*d)
			h.refused[col.key] = true
			col = column{}
		}
		h.columns = append(h.columns, col)
	}
	for _, k := range known {
		needed := k.field == nil || k.field.Required && !strings.Contains(k.key, ".")
		if !needed || h.has(k.key) || h.refused[k.key] {
			continue
		}
		message := "the column " + k.head() + " is missing"
		if k.field != nil {
			message += ": " + k.field.Doc
		}
		h.list.Add(diag.Diagnostic{Pos: at, Code: decode.MissingKey, Path: decode.Join(kind, k.key), Message: message})
	}
	return h
}

// at returns the index of the column that holds the value of a path, -1 for
// none.
func (h *header) at(path string) int {
	path, _, _ = strings.Cut(path, "[")
	return slices.IndexFunc(h.columns, func(c column) bool { return c.key != "" && c.key == path })
}

func (h *header) has(key string) bool { return h.at(key) >= 0 }

// readColumn reads one cell of the header. With a mistake the key tells which
// column was meant, as far as that is known.
func readColumn(kind string, known []column, c cell) (column, *diag.Diagnostic) {
	key, unit, hasUnit := strings.Cut(strings.TrimSpace(c.text), "[")
	key = strings.TrimSpace(key)
	i := slices.IndexFunc(known, func(k column) bool { return k.key == key })
	if i < 0 {
		var keys []string
		for _, k := range known {
			keys = append(keys, k.key)
		}
		d := &diag.Diagnostic{Code: UnknownColumn, Message: strconv.Quote(key) + " is no column of the kind " + kind, Allowed: strings.Join(keys, ", ")}
		near := decode.Nearest(key, keys)
		if near != "" {
			d.Hint = "did you mean " + strconv.Quote(near) + "?"
		}
		return column{key: near}, d
	}
	col := known[i]
	col.unit = ""
	if hasUnit {
		inside, rest, closed := strings.Cut(unit, "]")
		if !closed || strings.TrimSpace(rest) != "" {
			return col, &diag.Diagnostic{Code: BadTable, Message: "the unit does not end with ]", Hint: "e.g. " + known[i].head()}
		}
		col.unit = strings.TrimSpace(inside)
	}
	return col, col.checkUnit()
}

// checkUnit tells whether the unit of the header does for the column.
func (c *column) checkUnit() *diag.Diagnostic {
	kind := c.kind()
	switch {
	case kind == "" && c.unit == "":
		return nil
	case kind == "":
		return &diag.Diagnostic{Code: diag.Code(quantity.UnitSurplus), Message: "the column " + c.key + " has no unit", Hint: "write " + c.key}
	}
	_, err := quantity.Parse("1 "+c.unit, kind)
	if err == nil {
		return nil
	}
	example := column{key: c.key, unit: unitOfTable(kind)}
	d := &diag.Diagnostic{Code: diag.Code(quantity.UnitMissing), Hint: "e.g. " + example.head(),
		Message: "the column " + c.key + " needs the unit of its numbers: " + kind.Article() + " is needed"}
	var q *quantity.Error
	if c.unit != "" && errors.As(err, &q) {
		d.Code = diag.Code(q.Code)
		d.Message = fmt.Sprintf("the column %s has the unit %q; %s is needed", c.key, c.unit, kind.Article())
	}
	return d
}

// kind returns the kind of quantity of the column's numbers.
func (c *column) kind() quantity.Kind {
	if c.field == nil {
		return ""
	}
	return c.field.Kind
}

// head returns the column as it is written in a header.
func (c *column) head() string {
	if c.unit == "" {
		return c.key
	}
	return c.key + " [" + c.unit + "]"
}

// unitOfTable is the unit that is proposed for a kind of quantity.
func unitOfTable(kind quantity.Kind) string {
	if units, chosen := tableUnits[kind]; chosen {
		return units
	}
	return kind.SI()
}

// tableUnits are the units in which part data is usually stated.
var tableUnits = map[quantity.Kind]string{
	quantity.Length: "mm", quantity.Angle: "deg", quantity.AngularSpeed: "rpm", quantity.Stress: "MPa",
	quantity.Inertia: "kg cm2", quantity.Stiffness: "N/um", quantity.SecondMoment: "cm4", quantity.Area: "mm2",
	quantity.Time: "ms", quantity.Capacitance: "uF", quantity.Acceleration: "m/s2", quantity.Density: "kg/m3",
}

// columnsOf lists the columns that a table of the kind can have. Lists of
// points cannot stand in a table.
func columnsOf(kind string) []column {
	row := kindNamed(kind)
	if row == nil {
		return nil
	}
	out := []column{{key: "id"}}
	return append(out, groupColumns("", decode.Describe(row.empty()))...)
}

func groupColumns(prefix string, s *decode.Struct) (out []column) {
	for _, f := range s.Fields {
		switch {
		case f.Form == decode.Group:
			out = append(out, groupColumns(prefix+f.Key+".", f.Group)...)
		case f.Form == decode.Series && f.Elem.Form == decode.Series:
		default:
			out = append(out, column{key: prefix + f.Key, unit: unitOfTable(f.Kind), field: f})
		}
	}
	return out
}

// rowNode returns a row of a table as the tree of the same part in a part file,
// each value at the place of its cell, so that one reader serves both.
func rowNode(columns []column, cells []cell, at diag.Pos) *yaml.Node {
	root := &yaml.Node{Kind: yaml.MappingNode, Line: at.Line, Column: at.Column}
	groups := map[string]*yaml.Node{}
	for i, c := range columns {
		if i >= len(cells) || c.field == nil || strings.TrimSpace(cells[i].text) == "" {
			continue
		}
		into, key := root, c.key
		if group, inner, nested := strings.Cut(c.key, "."); nested {
			key = inner
			if groups[group] == nil {
				groups[group] = &yaml.Node{Kind: yaml.MappingNode, Line: at.Line, Column: at.Column}
				root.Content = append(root.Content, cells[i].scalar(group), groups[group])
			}
			into = groups[group]
		}
		into.Content = append(into.Content, cells[i].scalar(key), c.value(cells[i]))
	}
	return root
}

// value returns a cell as a value of a part file.
func (c *column) value(from cell) *yaml.Node {
	if c.field.Form != decode.Series {
		return c.single(from)
	}
	list := from.scalar("")
	list.Kind = yaml.SequenceNode
	for at, item := range from.words() {
		list.Content = append(list.Content, c.single(cell{item, at}))
	}
	return list
}

// single adds the unit of the column to one value.
func (c *column) single(from cell) *yaml.Node {
	text := strings.TrimSpace(from.text)
	if c.unit != "" {
		text += " " + c.unit
	}
	return from.scalar(text)
}

// scalar returns a node with the text at the place of the cell.
func (c cell) scalar(text string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text, Line: c.pos.Line, Column: c.pos.Column}
}

// words yields the words of a cell with their places. In a cell in quotes the
// places of all but the first lie before the true ones by the quotes.
func (c cell) words() iter.Seq2[diag.Pos, string] {
	return func(yield func(diag.Pos, string) bool) {
		at, rest := c.pos, c.text
		for {
			trimmed := strings.TrimLeft(rest, " ")
			at.Column += len(rest) - len(trimmed)
			word, more, _ := strings.Cut(trimmed, " ")
			if word == "" || !yield(at, word) {
				return
			}
			at.Column += utf8.RuneCountInString(word) + 1
			rest = more
		}
	}
}
