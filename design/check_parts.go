package design

import (
	"io/fs"
	"path"
	"strings"

	"spanwright/decode"
)

// partFiles checks by name that part files lie beside the design.
func (c *checker) partFiles() {
	for i, name := range c.Parts {
		at := decode.Item("parts", i)
		switch {
		case !c.sound(at):
		case !insideByName(name):
			c.add(PartFilePlace, at, "part files lie in the folder of the design or below", "write the name from there, with / between folders and without ..")
		case !isPartFile(name):
			c.add(PartFileKind, at, "is neither a .csv nor a .yaml file", "")
		}
	}
	c.twice("parts", c.Parts)
}

// insideByName tells whether the name leads nowhere but down.
func insideByName(name string) bool {
	return fs.ValidPath(name) && !strings.ContainsAny(name, `\:`)
}

func isPartFile(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".csv", ".yaml", ".yml":
		return true
	}
	return false
}

// onDisk checks that part files are there and that no link leads out of the
// folder.
func (c *checker) onDisk(fsys fs.FS) {
	folder := path.Dir(c.File.Name)
	for i, name := range c.Parts {
		at := decode.Item("parts", i)
		if !c.sound(at) || !insideByName(name) {
			continue
		}
		full := path.Join(folder, name)
		if !insideByLinks(fsys, folder, full) {
			c.add(PartFilePlace, at, "a link leads out of the folder of the design", "copy the file into the folder")
			continue
		}
		if info, err := fs.Stat(fsys, full); err != nil || !info.Mode().IsRegular() {
			c.add(PartFileMissing, at, "there is no such file beside the design", "")
		}
	}
}

// mostLinks is how many links a name may go through.
const mostLinks = 16

// insideByLinks follows the links on the way to the file and tells whether all
// of them stay within the folder.
func insideByLinks(fsys fs.FS, folder, full string) bool {
	for range mostLinks {
		next, linked := resolveOnce(fsys, full)
		if !linked {
			return within(folder, full)
		}
		if next == "" {
			return false
		}
		full = next
	}
	return false
}

// resolveOnce replaces the first link in the name by its target. The target is
// empty where it leads out of the file system.
func resolveOnce(fsys fs.FS, full string) (string, bool) {
	parts := strings.Split(full, "/")
	for i := range parts {
		here := strings.Join(parts[:i+1], "/")
		info, err := fs.Lstat(fsys, here)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			continue
		}
		target, err := fs.ReadLink(fsys, here)
		if err != nil || path.IsAbs(target) || strings.ContainsAny(target, `\:`) {
			return "", true
		}
		next := path.Join(path.Dir(here), target, strings.Join(parts[i+1:], "/"))
		if !fs.ValidPath(next) {
			return "", true
		}
		return next, true
	}
	return full, false
}

func within(folder, full string) bool {
	return folder == "." || full == folder || strings.HasPrefix(full, folder+"/")
}
