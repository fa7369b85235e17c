package document

import (
	"errors"
	"fmt"
	"io/fs"
	"sync"
	"time"
)

// Disk says how the file on disk stands to what the working copy began from.
type Disk string

// The states.
const (
	Same    Disk = "same"    // as it was when it was last read or written
	Changed Disk = "changed" // somebody else wrote it
	Gone    Disk = "gone"    // somebody took it away
	New     Disk = "new"     // it was never written

	Unreadable Disk = "unreadable" // something stands there that is no text, or that may not be read
)

// State is a working copy at one time.
type State struct {
	File      string `json:"file"` // below the folder, with slashes
	Text      string `json:"text"`
	Version   int    `json:"version"` // 1 when opened; one more with every change
	Saved     bool   `json:"saved"`   // the file on disk holds this text
	Disk      Disk   `json:"disk"`
	Undo      int    `json:"undo"` // steps
	Redo      int    `json:"redo"`
	EditedBy  string `json:"edited_by"` // the window that made the last change, or "disk"
	Recovered bool   `json:"recovered"` // holds unsaved work of an earlier run
}

// ByDisk stands for the window where a change came from the disk.
const ByDisk = "disk"

// ConflictError says that a change was meant for another version.
type ConflictError struct{ State State }

// Error is the message.
func (e *ConflictError) Error() string {
	return fmt.Sprintf("%s was changed meanwhile; it is at version %d", e.State.File, e.State.Version)
}

// DiskError says that the file was changed by somebody else since it was read.
type DiskError struct {
	State State
	Text  string // on disk
}

// Error is the message.
func (e *DiskError) Error() string { return e.State.File + " was changed on disk since it was read" }

// Errors of what cannot be done.
var (
	ErrTooLarge = errors.New("the text is too large")
	ErrNothing  = errors.New("there is nothing to undo or redo")
	ErrGone     = errors.New("the file is not there")
	ErrOutside  = errors.New("a link leads out of the folder or to nowhere")
)

// Document is the working copy of one file. It may be used by several goroutines.
type Document struct {
	folder *Folder
	name   string

	keeping sync.Mutex // held while the copy of unsaved work is written

	mu        sync.Mutex
	text      string
	version   int
	by        string
	history   history
	recovered bool
	form      form
	base      string // the file as it was last read or written
	disk      file   // the file as it was last seen
	fresh     bool   // never on disk
	timer     *time.Timer
	kept      bool                   // a copy of unsaved work is on disk
	beside    map[string]fs.FileInfo // files on which its meaning depends, as they were seen
}

// Name is the name of the file.
func (d *Document) Name() string { return d.name }

// OnDisk is the text of the file as it was last seen, and whether there is one.
func (d *Document) OnDisk() (text string, exists bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.disk.text, d.disk.exists && d.disk.fault == nil
}

// State returns the working copy as it is.
func (d *Document) State() State {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.state()
}

func (d *Document) state() State {
	return State{
		File: d.name, Text: d.text, Version: d.version, Saved: d.saved(), Disk: d.standing(),
		Undo: len(d.history.past), Redo: len(d.history.future), EditedBy: d.by, Recovered: d.recovered,
	}
}

func (d *Document) saved() bool {
	return d.disk.exists && d.disk.fault == nil && d.disk.text == d.text
}

func (d *Document) standing() Disk {
	switch {
	case d.fresh:
		return New
	case !d.disk.exists:
		return Gone
	case d.disk.fault != nil:
		return Unreadable
	case d.disk.text != d.base:
		return Changed
	}
	return Same
}

// Write replaces the whole text, as typing does. base is the version that the
// window saw; the error is a *ConflictError where there is a newer one.
func (d *Document) Write(base int, text, window string) (State, error) {
	return d.change(base, window, true, func(string) (string, error) { return lines(text), nil })
}

// Edit replaces the text by what edit makes of it, as one step.
func (d *Document) Edit(base int, window string, edit func(text string) (string, error)) (State, error) {
	return d.change(base, window, false, edit)
}

func (d *Document) change(base int, window string, typed bool, edit func(string) (string, error)) (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if base != d.version {
		return State{}, &ConflictError{d.state()}
	}
	text, err := edit(d.text)
	switch {
	case err != nil:
		return State{}, err
	case len(text) > d.folder.most:
		return State{}, ErrTooLarge
	case text == d.text:
		return d.state(), nil
	}
	d.put(text, window, typed)
	return d.state(), nil
}

// put makes one step to another text.
func (d *Document) put(text, window string, typed bool) {
	s := between(d.text, text)
	s.by, s.typed, s.began = window, typed, d.folder.now()
	s.last = s.began
	d.history.add(d.text, s)
	d.become(text, window)
}

// become is a new version.
func (d *Document) become(text, window string) {
	d.text, d.by = text, window
	d.version++
	d.agree()
	d.tell(true)
	d.keepSoon()
}

// agree notes that both sides came to the same text by themselves.
func (d *Document) agree() {
	if d.saved() {
		d.base, d.fresh, d.recovered = d.text, false, false
	}
}

func (d *Document) tell(text bool) {
	if d.folder.changed != nil {
		d.folder.changed(d.state(), text)
	}
}

// Undo takes the last step back.
func (d *Document) Undo(base int, window string) (State, error) {
	return d.walk(base, window, (*history).back)
}

// Redo does it again.
func (d *Document) Redo(base int, window string) (State, error) {
	return d.walk(base, window, (*history).forth)
}

func (d *Document) walk(base int, window string, to func(*history, string) (string, bool)) (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if base != d.version {
		return State{}, &ConflictError{d.state()}
	}
	text, ok := to(&d.history, d.text)
	if !ok {
		return State{}, ErrNothing
	}
	d.become(text, window)
	return d.state(), nil
}
