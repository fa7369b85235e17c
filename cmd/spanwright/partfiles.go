package main

import (
	"io/fs"
	"path/filepath"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/internal/project"
)

// carryParts lets the text of a changed design name its part files from where it
// will be written. A design names them in its own folder or below, so the new
// file lies in the folder of the old one, above it, or where files of these
// names are already.
func carryParts(p *project.Project, text []byte, out string) ([]byte, error) {
	if out == stdinArgument || len(p.Design.Parts) == 0 {
		return text, nil
	}
	from, err := filepath.Abs(filepath.Dir(p.File()))
	if err != nil {
		return nil, err
	}
	to, err := filepath.Abs(filepath.Dir(out))
	if err != nil {
		return nil, err
	}
	if from == to {
		return text, nil
	}
	var edits []design.Edit
	for i, name := range p.Design.Parts {
		way, err := filepath.Rel(to, filepath.Join(from, filepath.FromSlash(name)))
		if err != nil || !fs.ValidPath(filepath.ToSlash(way)) {
			if isFile(filepath.Join(to, filepath.FromSlash(name))) {
				continue
			}
			return nil, mistake("%s names the part file %s in its own folder; write the design to %s or above, or copy the part file to %s first", p.File(), name, filepath.Dir(p.File()), filepath.Dir(out))
		}
		edits = append(edits, design.Edit{Path: decode.Item("parts", i), Value: filepath.ToSlash(way)})
	}
	changed, list := design.Parse(p.Design.File.Name, text)
	if len(list) > 0 {
		return nil, list.Err()
	}
	return changed.File.Apply(edits...)
}
