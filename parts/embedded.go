package parts

import (
	"embed"
	"strings"
	"sync"

	"spanwright/decode"
	"spanwright/diag"
)

//go:embed data
var data embed.FS

// Embedded returns the catalogue of the embedded parts: the materials and the
// representative parts. Its parts are found by a look at the beginnings of
// lines and read one by one when they are asked for, since a design needs a
// few dozen of some hundred. It is made once and shared.
func Embedded() *Catalogue { return embedded() }

var embedded = sync.OnceValue(newEmbedded)

func newEmbedded() *Catalogue {
	c := &Catalogue{entries: map[Ref]*entry{}, order: map[string][]string{}, sections: newSections()}
	c.addMetals()
	files, err := data.ReadDir("data")
	if err != nil {
		panic("parts: the embedded files cannot be read: " + err.Error())
	}
	for _, f := range files {
		name := "data/" + f.Name()
		text, err := data.ReadFile(name)
		if err != nil {
			panic("parts: the embedded files cannot be read: " + err.Error())
		}
		kind, ending, _ := strings.Cut(f.Name(), ".")
		if ending == "csv" {
			c.indexTable(kind, name, string(text))
		} else {
			c.indexGroups(kind, name, string(text))
		}
	}
	return c
}

// add enters a part that read returns on demand.
func (c *Catalogue) add(kind, id, file string, line int, read func(Part)) {
	e := &entry{representative: kind != "material", embedded: true}
	e.read = func() Part {
		p := kindNamed(kind).empty()
		read(p)
		b := p.Base()
		b.ID, b.File, b.Line, b.Representative = id, file, line, e.representative
		complete(p)
		return p
	}
	c.entries[Ref{kind, id}] = e
	c.order[kind] = append(c.order[kind], id)
}

// indexGroups finds the parts of a YAML file: every key that stands two spaces
// in begins one.
func (c *Catalogue) indexGroups(kind, file, text string) {
	var id string
	var body strings.Builder
	begun := 0
	finish := func() {
		if id == "" {
			return
		}
		text := body.String()
		c.add(kind, id, file, begun, func(p Part) {
			_, list := decode.Read(file, []byte(text), p)
			mustBeSound(list)
		})
		body.Reset()
	}
	for i, line := range strings.Split(text, "\n") {
		key, isPart := strings.CutSuffix(line, ":")
		if isPart && strings.HasPrefix(key, "  ") && len(key) > 2 && key[2] != ' ' && key[2] != '#' {
			finish()
			id, begun = key[2:], i+1
			continue
		}
		if id != "" {
			body.WriteString(strings.TrimPrefix(line, "    "))
			body.WriteByte('\n')
		}
	}
	finish()
}

// indexTable finds the parts of a CSV file: every line behind the header is one.
func (c *Catalogue) indexTable(kind, file, text string) {
	var header string
	columns := sync.OnceValue(func() []column {
		head := readHeader(kind, splitRow(header))
		if len(head.list) > 0 {
			panic("parts: " + file + ": " + head.list.Error())
		}
		return head.columns
	})
	for i, line := range strings.Split(text, "\n") {
		switch {
		case line == "" || line[0] == '#':
			continue
		case header == "":
			header = line
			continue
		}
		id, _, _ := strings.Cut(line, ",")
		c.add(kind, id, file, i+1, func(p Part) {
			_, list := decode.ReadNode(file, rowNode(columns(), splitRow(line), diag.Pos{}), id, p)
			mustBeSound(list)
		})
	}
}

// mustBeSound panics on a mistake in the embedded data, which a test has read.
func mustBeSound(list diag.List) {
	if len(list) > 0 {
		panic("parts: embedded data: " + list.Error())
	}
}
