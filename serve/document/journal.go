package document

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"time"
)

// unsavedMark ends the names of copies of unsaved work.
const unsavedMark = ".unsaved"

// keepAfter is how long after a change unsaved work may be without a copy.
const keepAfter = 400 * time.Millisecond

// unsaved is a copy of unsaved work.
type unsaved struct {
	Format int    `json:"format"`
	Text   string `json:"text"`
	Base   string `json:"base"`  // the file from which the work began
	Fresh  bool   `json:"fresh"` // there was no file yet
}

// keepSoon sees to a copy of the unsaved work, once for many changes.
func (d *Document) keepSoon() {
	if d.timer == nil && !d.folder.closed.Load() {
		d.timer = time.AfterFunc(keepAfter, func() {
			d.mu.Lock()
			due := d.timer != nil
			d.mu.Unlock()
			if due {
				d.keep()
			}
		})
	}
}

// keep writes the copy of unsaved work or, where there is none, takes it away.
func (d *Document) keep() {
	d.keeping.Lock()
	defer d.keeping.Unlock()
	d.mu.Lock()
	if d.timer != nil {
		d.timer.Stop()
		d.timer = nil
	}
	copy := unsaved{Format: 1, Text: d.text, Base: d.base, Fresh: d.fresh}
	saved, kept := d.saved(), d.kept
	d.mu.Unlock()
	var err error
	switch {
	case !saved:
		err = d.folder.keep(d.name, copy)
	case kept:
		err = d.folder.RemoveHidden(path.Dir(d.name), path.Base(d.name)+unsavedMark)
		if errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	default:
		return
	}
	if err != nil {
		d.folder.warn(fmt.Errorf("unsaved work on %s is not kept beside it: %w", d.name, err))
		return
	}
	d.mu.Lock()
	d.kept = !saved
	d.mu.Unlock()
}

func (f *Folder) keep(name string, copy unsaved) error {
	text, err := json.Marshal(copy)
	if err != nil {
		return err
	}
	return f.WriteHidden(path.Dir(name), path.Base(name)+unsavedMark, text)
}

// recall reads the copy of unsaved work on a file, or returns nil. One that
// cannot be read is left where it is.
func (f *Folder) recall(name string) *unsaved {
	raw, err := f.ReadHidden(path.Dir(name), path.Base(name)+unsavedMark)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var copy unsaved
	if err == nil {
		err = json.Unmarshal(raw, &copy)
	}
	if err == nil && (copy.Format != 1 || len(copy.Text) > f.most) {
		err = errors.New("it is no copy that this version wrote")
	}
	if err != nil {
		f.warn(fmt.Errorf("the unsaved work on %s cannot be read: %w", name, err))
		return nil
	}
	return &copy
}

// unsavedIn lists the files of a folder on which there is unsaved work of an
// earlier run.
func (f *Folder) unsavedIn(folder string) (names []string) {
	hidden, err := f.Hidden(folder)
	if err != nil {
		return nil
	}
	for _, h := range hidden {
		if name, found := strings.CutSuffix(h, unsavedMark); found {
			names = append(names, path.Join(folder, name))
		}
	}
	return names
}
