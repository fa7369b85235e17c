package design

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"spanwright/decode"
	"spanwright/diag"
)

// File is the text of a design with the place of every value in it.
type File struct {
	Name string
	Text []byte
	*decode.Record
}

// Defaults lists every default that the design uses, with its reason.
func (d *Design) Defaults() []decode.Default { return d.File.Record.Defaults() }

// Load reads a design file and checks it; part files are looked for beside it,
// but not read. The name is a path of the file system. The design is returned even with
// mistakes, as far as it could be read, but must then not be computed with.
func Load(fsys fs.FS, name string) (*Design, diag.List) {
	text, err := readFile(fsys, name)
	if err != nil {
		var path *fs.PathError
		if errors.As(err, &path) {
			err = path.Err
		}
		list := diag.List{{Pos: diag.Pos{File: name}, Code: FileRead, Message: fmt.Sprintf("the file cannot be read: %v", err)}}
		d, _ := Parse(name, nil)
		return d, list
	}
	d, list := Parse(name, text)
	c := checker{Design: d}
	c.onDisk(fsys)
	list.Add(c.list...)
	return d, list.Sorted()
}

// readFile reads no more than it takes to see that a file is too large.
func readFile(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, decode.MaxSize+1))
}

// Parse reads a design from its text; the name is used in messages.
func Parse(name string, text []byte) (*Design, diag.List) {
	d := &Design{}
	record, list := decode.Read(name, text, d)
	d.File = &File{Name: name, Text: text, Record: record}
	if !slices.ContainsFunc(list, func(m diag.Diagnostic) bool { return m.Code == decode.TooMany }) {
		list.Add(d.check()...)
	}
	return d, list.Sorted()
}
