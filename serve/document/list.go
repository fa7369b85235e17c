package document

import (
	"bufio"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"
)

// Entry is a file of the folder.
type Entry struct {
	File     string    `json:"file"`
	Machine  string    `json:"machine"`  // as the file names it
	Designs  bool      `json:"designs"`  // it is a design, and not a part file or something else
	Unsaved  bool      `json:"unsaved"`  // there is unsaved work on it
	Modified time.Time `json:"modified"` // zero for what was never saved
}

// Bounds of the list.
const (
	mostEntries = 1000
	deepest     = 4
	headLength  = 64 << 10 // where the name of the machine is looked for, bytes
)

// List lists the YAML files of the folder and the folders below it, designs
// first, each in the order of names. Hidden folders are left out.
func (f *Folder) List() []Entry {
	fsys := f.root.FS()
	found := map[string]*Entry{}
	_ = fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return fs.SkipDir // a folder that cannot be read holds nothing to open
		case len(found) >= mostEntries:
			return fs.SkipAll
		case d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules" || strings.Count(name, "/") >= deepest):
			return fs.SkipDir
		case d.IsDir():
			for _, left := range f.unsavedIn(name) {
				if CheckName(left) == nil {
					found[left] = &Entry{File: left, Designs: true, Unsaved: true}
				}
			}
			return nil
		case CheckName(name) != nil:
			return nil
		}
		e := Entry{File: name, Unsaved: found[name] != nil}
		if e.read(fsys) {
			found[name] = &e
		}
		return nil
	})
	for _, d := range f.documents() {
		s := d.State()
		e := found[s.File]
		if e == nil {
			e = &Entry{File: s.File}
			found[s.File] = e
		}
		e.Unsaved = !s.Saved
		e.Machine, e.Designs = heading(strings.NewReader(s.Text))
	}
	out := make([]Entry, 0, len(found))
	for _, e := range found {
		out = append(out, *e)
	}
	slices.SortFunc(out, func(a, b Entry) int {
		if a.Designs != b.Designs {
			if a.Designs {
				return -1
			}
			return 1
		}
		return strings.Compare(a.File, b.File)
	})
	return out
}

// read looks into the file.
func (e *Entry) read(fsys fs.FS) bool {
	info, err := fs.Stat(fsys, e.File)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	file, err := fsys.Open(e.File)
	if err != nil {
		return false
	}
	defer file.Close()
	e.Modified = info.ModTime().UTC().Truncate(time.Second)
	e.Machine, e.Designs = heading(file)
	return true
}

// heading finds the name of the machine in a design, without reading it whole.
func heading(r io.Reader) (machine string, designs bool) {
	lines := bufio.NewScanner(io.LimitReader(r, headLength))
	for lines.Scan() {
		line := strings.TrimPrefix(lines.Text(), byteOrderMark)
		if strings.HasPrefix(line, "spanwright:") {
			designs = true
		}
		if value, found := strings.CutPrefix(line, "machine:"); found && machine == "" {
			_ = yaml.Unmarshal([]byte(value), &machine) // a name that cannot be read is none
		}
	}
	return machine, designs
}

// Base is the name of a file without folder and ending.
func Base(name string) string { return strings.TrimSuffix(path.Base(name), path.Ext(name)) }
