// Package project opens a design file together with the part files that stand
// beside it, and puts the machine together. It computes no engineering.
package project

import (
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/diag"
	"spanwright/machine"
	"spanwright/parts"
)

// Project is a design with everything that belongs to it.
type Project struct {
	Design    *design.Design
	Catalogue *parts.Catalogue
	Machine   *machine.Machine // nil after a mistake

	folder  string            // as the user named it; "" is the file system's root
	sources map[string][]byte // texts by the name they have in diagnostics
}

// Open reads the design and its part files and builds the machine. All mistakes
// are reported in one run; their file names begin with the folder, so that
// they are those the user gave. The project is returned even with mistakes,
// for the sake of Source, but must then not be computed with.
func Open(fsys fs.FS, folder, name string) (*Project, diag.List) {
	p, list := assemble(fsys, folder, name, design.Load)
	if len(list) == 0 {
		p.Machine, list = machine.Build(p.Design, p.Catalogue)
	}
	return p, p.Named(list)
}

// OpenTask is Open for a file whose machine is still to be found: design and part
// files are read, no machine is built.
func OpenTask(fsys fs.FS, folder, name string) (*Project, diag.List) {
	p, list := assemble(fsys, folder, name, design.LoadTask)
	return p, p.Named(list)
}

// assemble brings a design and its part files together.
func assemble(fsys fs.FS, folder, name string, load func(fs.FS, string) (*design.Design, diag.List)) (*Project, diag.List) {
	p := &Project{folder: folder, sources: map[string][]byte{}}
	d, list := load(fsys, name)
	p.Design = d
	p.sources[p.named(name)] = d.File.Text
	files, unread := p.partFiles(fsys, path.Dir(name), list)
	list.Add(unread...)
	catalogue, wrong := parts.Embedded().With(files...)
	p.Catalogue = catalogue
	list.Add(wrong...)
	return p, list
}

// Named gives diagnostics the names of the files as the user would write them,
// and sorts them.
func (p *Project) Named(list diag.List) diag.List {
	out := slices.Clone(list)
	for i := range out {
		out[i].File = p.named(out[i].File)
	}
	return out.Sorted()
}

// partFiles reads the files with supplier data. What the design refused by its
// name, or because it is not there, is not touched.
func (p *Project) partFiles(fsys fs.FS, folder string, refused diag.List) (files []parts.Source, list diag.List) {
	for i, name := range p.Design.Parts {
		at := decode.Item("parts", i)
		if slices.ContainsFunc(refused, func(d diag.Diagnostic) bool { return d.Path == at || d.Path == "parts" }) {
			continue
		}
		full := path.Join(folder, name)
		text, err := read(fsys, full)
		if err != nil {
			list.Add(diag.Diagnostic{
				Pos: p.Design.File.Where(at), Code: design.FileRead, Path: at, Value: name,
				Message: fmt.Sprintf("the part file cannot be read: %v", err),
			})
			continue
		}
		files = append(files, parts.Source{Name: full, Text: text})
		p.sources[p.named(full)] = text
	}
	return files, list
}

// read reads no more than it takes to see that a file is too large.
func read(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, decode.MaxSize+1))
}

// named is a file's name as the user would write it.
func (p *Project) named(name string) string {
	if p.folder == "" {
		return name
	}
	return filepath.Join(p.folder, filepath.FromSlash(name))
}

// Source returns the text of a file by the name it has in diagnostics.
func (p *Project) Source(file string) []byte { return p.sources[file] }

// File is the design file's name as the user gave it.
func (p *Project) File() string { return p.named(p.Design.File.Name) }

// Digest tells projects apart: it is the same where all texts and their names are.
func (p *Project) Digest() [sha256.Size]byte {
	h := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(p.sources)) {
		fmt.Fprintf(h, "%q %d\n", name, len(p.sources[name]))
		h.Write(p.sources[name])
	}
	return [sha256.Size]byte(h.Sum(nil))
}
