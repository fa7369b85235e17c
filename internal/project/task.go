package project

import (
	"io/fs"
	"path"

	"spanwright/design"
	"spanwright/diag"
	"spanwright/parts"
)

// OpenTask is Open for a file whose machine is still to be found: design and part
// files are read, no machine is built.
func OpenTask(fsys fs.FS, folder, name string) (*Project, diag.List) {
	p := &Project{folder: folder, sources: map[string][]byte{}}
	d, list := design.LoadTask(fsys, name)
	p.Design = d
	p.sources[p.named(name)] = d.File.Text
	files, unread := p.partFiles(fsys, path.Dir(name), list)
	list.Add(unread...)
	catalogue, wrong := parts.Embedded().With(files...)
	p.Catalogue = catalogue
	list.Add(wrong...)
	return p, p.Named(list)
}
