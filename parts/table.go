package parts

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"spanwright/decode"
	"spanwright/diag"
	"spanwright/quantity"
)

// readTable reads a table of parts.
func readTable(src Source) ([]placed, diag.List) {
	t := &table{src: src, text: bytes.TrimPrefix(src.Text, []byte("\uFEFF"))}
	t.lines = strings.Split(string(t.text), "\n")
	if !t.readable() {
		return nil, t.list.Sorted()
	}
	t.kind = t.kindOf()
	if t.kind == "" {
		return nil, t.list.Sorted()
	}
	t.read()
	return t.parts, t.list.Sorted()
}

// table is one run of readTable.
type table struct {
	src   Source
	text  []byte
	lines []string
	kind  string
	head  *header
	first map[string]diag.Pos // where each id stands first
	parts []placed
	list  diag.List
}

func (t *table) readable() bool {
	file := diag.Pos{File: t.src.Name}
	switch {
	case len(t.text) > decode.MaxSize:
		t.list.Add(diag.Diagnostic{Pos: file, Code: decode.FileSize, Message: fmt.Sprintf("the file is longer than %d bytes, the most that are read", decode.MaxSize)})
	case !utf8.Valid(t.text):
		t.list.Add(diag.Diagnostic{Pos: file, Code: decode.FileEncoding, Message: "the text is not UTF-8", Hint: "save the file as UTF-8"})
	case t.headerLine() < 0:
		t.list.Add(diag.Diagnostic{Pos: file, Code: decode.FileEmpty, Message: "the file is empty"})
	}
	return len(t.list) == 0
}

// headerLine returns the index of the first line that is neither empty nor a
// comment, or -1.
func (t *table) headerLine() int {
	return slices.IndexFunc(t.lines, func(l string) bool {
		l = strings.TrimSpace(l)
		return l != "" && l[0] != '#'
	})
}

// kindOf finds the kind that the table lists: from the source, from a comment
// "# kind: belt" above the header, or from the name of the file.
func (t *table) kindOf() string {
	kind, at := t.src.Kind, diag.Pos{File: t.src.Name, Line: 1, Column: 1}
	for i := 0; kind == "" && i < t.headerLine(); i++ {
		comment, isComment := strings.CutPrefix(strings.TrimSpace(t.lines[i]), "#")
		word, isKind := strings.CutPrefix(strings.TrimSpace(comment), "kind:")
		if isComment && isKind {
			kind, at.Line = strings.Trim(word, " ,;\t"), i+1
		}
	}
	if kind == "" {
		name := t.src.Name[strings.LastIndexAny(t.src.Name, `/\`)+1:]
		name, _, _ = strings.Cut(name, ".")
		if kindNamed(name) == nil {
			t.list.Add(diag.Diagnostic{Pos: at, Code: UnknownKind, Message: "the table does not say which kind of part it lists",
				Allowed: strings.Join(Kinds(), ", "), Hint: `begin it with a line such as "# kind: belt"`})
			return ""
		}
		return name
	}
	if kindNamed(kind) == nil {
		d := diag.Diagnostic{Pos: at, Code: UnknownKind, Value: kind, Message: fmt.Sprintf("%q is no kind of part", kind),
			Allowed: strings.Join(Kinds(), ", "), Hint: "known are " + strings.Join(Kinds(), ", ")}
		if near := decode.Nearest(kind, Kinds()); near != "" {
			d.Hint = fmt.Sprintf("did you mean %q?", near)
		}
		t.list.Add(d)
		return ""
	}
	return kind
}

// delimiter is the one of comma, semicolon and tab that separates the header.
func (t *table) delimiter() rune {
	line := t.lines[t.headerLine()]
	best, most := ',', 0
	for _, d := range []rune{',', ';', '\t'} {
		if n := strings.Count(line, string(d)); n > most {
			best, most = d, n
		}
	}
	return best
}

func (t *table) read() {
	r := csv.NewReader(bytes.NewReader(t.text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = t.delimiter(), '#', -1, false
	t.first = map[string]diag.Pos{}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.list.Add(t.fault(err))
			return
		}
		cells := make([]cell, len(record))
		for i, text := range record {
			line, col := r.FieldPos(i)
			cells[i] = cell{text, t.pos(line, col)}
		}
		if t.head == nil {
			t.head = readHeader(t.kind, cells)
			t.list.Add(t.head.list...)
			continue
		}
		if slices.ContainsFunc(cells, func(c cell) bool { return strings.TrimSpace(c.text) != "" }) {
			t.row(cells)
		}
	}
}

// pos counts the column in code points instead of bytes.
func (t *table) pos(line, col int) diag.Pos {
	p := diag.Pos{File: t.src.Name, Line: line, Column: col}
	if text := t.lines[min(line, len(t.lines))-1]; col-1 <= len(text) {
		p.Column = utf8.RuneCountInString(text[:col-1]) + 1
	}
	return p
}

func (t *table) fault(err error) diag.Diagnostic {
	d := diag.Diagnostic{Pos: diag.Pos{File: t.src.Name}, Code: BadTable, Message: "the table cannot be read: " + err.Error()}
	var at *csv.ParseError
	if errors.As(err, &at) {
		d.Pos = t.pos(at.Line, at.Column)
		d.Message = "the table cannot be read: " + at.Err.Error()
		d.Hint = `a cell with a quote is written "in ""quotes"""`
	}
	return d
}

// row reads one part.
func (t *table) row(cells []cell) {
	if len(cells) > len(t.head.columns) {
		extra := cells[len(t.head.columns)]
		t.list.Add(diag.Diagnostic{Pos: extra.pos, Code: BadTable, Value: extra.text,
			Message: fmt.Sprintf("the row has %d cells, the header %d", len(cells), len(t.head.columns)), Hint: "a cell that holds the separator must be in quotes"})
		return
	}
	idAt := t.head.at("id")
	if idAt < 0 {
		return // reported with the header
	}
	id, ok := t.id(cells[idAt])
	if !ok {
		return
	}
	p := kindNamed(t.kind).empty()
	at := Ref{t.kind, id}.String()
	rec, list := decode.ReadNode(t.src.Name, rowNode(t.head.columns, cells, cells[idAt].pos), at, p)
	b := p.Base()
	b.ID, b.File, b.Line = id, t.src.Name, cells[idAt].pos.Line
	where := func(key string) cell {
		if i := t.head.at(key); i >= 0 && i < len(cells) {
			return cells[i]
		}
		return cell{pos: cells[idAt].pos}
	}
	for _, d := range list {
		key := strings.TrimPrefix(d.Path, at+".")
		if d.Code == decode.MissingKey {
			if !t.head.has(key) && !strings.Contains(key, ".") {
				continue // reported once with the header
			}
			d.Pos = where(key).pos
		}
		t.inWordsOfTheTable(&d, key)
		t.list.Add(d)
	}
	complete(p)
	place := func(key string) diag.Pos { return where(key).pos }
	kindNamed(t.kind).inspect(p, &review{
		list: &t.list, path: at, where: place,
		broken: func(key string) bool { return t.head.refused[key] || unsound(rec, p, decode.Join(at, key), key) },
	})
	t.parts = append(t.parts, placed{p, place})
}

// inWordsOfTheTable takes the unit of the header out of the value as written,
// and says what a unit within a cell does to the column.
func (t *table) inWordsOfTheTable(d *diag.Diagnostic, key string) {
	i := t.head.at(key)
	if i < 0 {
		return
	}
	c := t.head.columns[i]
	d.Value = strings.TrimSuffix(d.Value, " "+c.unit)
	if d.Code == diag.Code(quantity.UnitUnknown) || d.Code == diag.Code(quantity.UnitKind) {
		d.Message, d.Hint = "is not a plain number; the unit of the column stands in its header: "+c.head(), "write the number alone"
	}
}

// id reads the id of a row and remembers where it stands.
func (t *table) id(c cell) (string, bool) {
	id := strings.TrimSpace(c.text)
	d := diag.Diagnostic{Pos: c.pos, Path: decode.Join(t.kind, id), Value: id}
	if !decode.IsName(id) {
		d.Code, d.Path = decode.BadName, t.kind
		d.Message, d.Hint = strconv.Quote(id)+" cannot be an id", "use letters, digits, - _ and . between them"
		t.list.Add(d)
		return "", false
	}
	if was, taken := t.first[id]; taken {
		d.Code = DuplicatePart
		d.Message, d.Hint = fmt.Sprintf("is listed twice; the first is on line %d", was.Line), "remove one of the two"
		t.list.Add(d)
		return "", false
	}
	t.first[id] = c.pos
	return id, true
}

// splitRow splits one line of an embedded table.
func splitRow(line string) []cell {
	record, err := csv.NewReader(strings.NewReader(line)).Read()
	if err != nil {
		panic(fmt.Sprintf("parts: embedded table: %q: %v", line, err))
	}
	out := make([]cell, len(record))
	for i, text := range record {
		out[i].text = text
	}
	return out
}
