package document

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// How often the files are looked at, where the system tells of changes and
// where it does not; and how long a file is left alone after the first news of
// it, because editors write, move and delete in several steps.
const (
	pollBeside = 2 * time.Second
	pollAlone  = 500 * time.Millisecond
	calm       = 40 * time.Millisecond
)

// watch follows the files of the open documents.
type watch struct {
	folder *Folder
	system *fsnotify.Watcher // nil where there is none
	stop   chan struct{}
	done   chan struct{}
}

func follow(f *Folder, s Settings) *watch {
	w := &watch{folder: f, stop: make(chan struct{}), done: make(chan struct{})}
	poll := pollAlone
	if !s.Polling {
		if system, err := fsnotify.NewWatcher(); err == nil {
			w.system, poll = system, pollBeside
		}
	}
	if s.Poll > 0 {
		poll = s.Poll
	}
	go w.run(poll)
	return w
}

// add follows a folder below the one that is open.
func (w *watch) add(folder string) {
	if w.system == nil {
		return
	}
	if err := w.system.Add(filepath.Join(w.folder.path, filepath.FromSlash(folder))); err != nil && !errors.Is(err, fsnotify.ErrClosed) {
		w.folder.warn(fmt.Errorf("the system does not tell of changes in %s, so the files are looked at now and then: %w", folder, err))
	}
}

// end stops and waits until nothing is going on.
func (w *watch) end() {
	close(w.stop)
	<-w.done
}

func (w *watch) run(poll time.Duration) {
	defer close(w.done)
	var news <-chan fsnotify.Event
	var faults <-chan error
	if w.system != nil {
		defer w.system.Close()
		news, faults = w.system.Events, w.system.Errors
	}
	tick := time.NewTicker(poll)
	defer tick.Stop()
	var quiet <-chan time.Time
	for {
		select {
		case <-w.stop:
			return
		case <-news:
			if quiet == nil {
				quiet = time.After(calm)
			}
		case <-faults: // e.g. too many news at once: look at everything
			if quiet == nil {
				quiet = time.After(calm)
			}
		case <-quiet:
			quiet = nil
			w.look(true)
		case <-tick.C:
			w.look(false)
		}
	}
}

// look compares all working copies with their files; unless thorough, only
// those whose files look different.
func (w *watch) look(thorough bool) {
	for _, d := range w.folder.documents() {
		if err := d.check(thorough); err != nil {
			w.folder.warn(err)
		}
	}
}

func (d *Document) check(thorough bool) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.lookBeside()
	if !thorough {
		info, err := d.folder.root.Stat(d.name)
		if errors.Is(err, fs.ErrNotExist) && !d.disk.exists || err == nil && d.disk.looks(info) {
			return nil
		}
	}
	return d.look()
}

// Follow names files beside the document, by names below its own folder, on
// which its meaning depends: when one of them changes on disk, the working copy
// has a new version.
func (d *Document) Follow(names []string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	seen := map[string]fs.FileInfo{}
	for _, name := range names {
		full := path.Join(path.Dir(d.name), name)
		if !fs.ValidPath(full) {
			continue
		}
		if info, known := d.beside[full]; known {
			seen[full] = info
			continue
		}
		seen[full] = d.stat(full)
		d.folder.watch.add(path.Dir(full))
	}
	d.beside = seen
}

func (d *Document) stat(name string) fs.FileInfo {
	info, err := d.folder.root.Stat(name)
	if err != nil {
		return nil
	}
	return info
}

// lookBeside makes a new version where a file beside it changed.
func (d *Document) lookBeside() {
	changed := false
	for name, before := range d.beside {
		now := d.stat(name)
		if before == nil && now == nil || (file{exists: true, info: before}).looks(now) {
			continue
		}
		d.beside[name], changed = now, true
	}
	if changed {
		d.version++
		d.by = ByDisk
		d.tell(true)
	}
}
