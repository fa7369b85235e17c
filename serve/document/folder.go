package document

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// Errors of names.
var (
	ErrName   = errors.New("it is no name of a design in this folder")
	ErrExists = errors.New("there is such a file already")
	ErrMany   = errors.New("too many designs are open")
)

// mostOpen is how many designs may be open at once.
const mostOpen = 256

// Settings of a folder. Only Most is needed.
type Settings struct {
	Most    int                          // largest text, bytes
	Changed func(state State, text bool) // called under the document's lock after each change, in order: must return at once; text tells whether there is a new version
	Warn    func(error)                  // what went wrong in the background
	Now     func() time.Time             // clock that parts steps of typing
	Poll    time.Duration                // between looks at the files; 0: usual
	Polling bool                         // do not ask the system for news
}

// Folder is a folder with designs, and the working copies of those that are
// open. Nothing outside it is touched.
type Folder struct {
	path    string
	root    *os.Root
	most    int
	changed func(State, bool)
	warn    func(error)
	now     func() time.Time

	mu     sync.Mutex
	open   map[string]*Document
	closed atomic.Bool
	watch  *watch
}

// Open opens a folder and follows the files of its open designs.
func Open(folder string, s Settings) (*Folder, error) {
	full, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(full)
	if err != nil {
		return nil, err
	}
	f := &Folder{path: full, root: root, most: s.Most, changed: s.Changed, warn: s.Warn, now: s.Now, open: map[string]*Document{}}
	if f.warn == nil {
		f.warn = func(error) {}
	}
	if f.now == nil {
		f.now = time.Now
	}
	f.watch = follow(f, s)
	return f, nil
}

// Path is the folder's full name.
func (f *Folder) Path() string { return f.path }

// FS is the folder for reading; no link leads out of it.
func (f *Folder) FS() fs.FS { return f.root.FS() }

// Close ends the watching, keeps copies of all unsaved work and names the files
// that have it.
func (f *Folder) Close() (unsaved []string, err error) {
	if f.closed.Swap(true) {
		return nil, nil
	}
	f.watch.end()
	for _, d := range f.documents() {
		d.keep()
		if s := d.State(); !s.Saved {
			unsaved = append(unsaved, s.File)
		}
	}
	return unsaved, f.root.Close()
}

// documents lists the open ones by name.
func (f *Folder) documents() []*Document {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := make([]*Document, 0, len(f.open))
	for _, d := range f.open {
		out = append(out, d)
	}
	slices.SortFunc(out, func(a, b *Document) int { return strings.Compare(a.name, b.name) })
	return out
}

// longestName of a file, below the folder, in bytes.
const longestName = 400

// CheckName refuses everything that is no plain name of a design below the
// folder: other endings, hidden files and folders, names of other systems.
func CheckName(name string) error {
	ok := fs.ValidPath(name) && name != "." && len(name) <= longestName && filepath.IsLocal(filepath.FromSlash(name)) &&
		!strings.ContainsAny(name, "\\:*?\"<>|") && !strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == 0x7f })
	for part := range strings.SplitSeq(name, "/") {
		ok = ok && !strings.HasPrefix(part, ".") && strings.TrimSpace(part) == part && !strings.HasSuffix(part, ".")
	}
	switch {
	case !ok:
		return fmt.Errorf("%q: %w", name, ErrName)
	case !isDesignName(name):
		return fmt.Errorf("%q: %w: .yaml is missing at its end", name, ErrName)
	}
	return nil
}

func isDesignName(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".yaml", ".yml":
		return true
	}
	return false
}

// Document opens the working copy of a file, or returns the one that is open.
// Where an earlier run left unsaved work, it is a change that can be undone.
// The error is ErrGone where there is neither.
func (f *Folder) Document(name string) (*Document, error) {
	if err := CheckName(name); err != nil {
		return nil, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if d := f.open[name]; d != nil {
		return d, nil
	}
	seen, err := f.read(name)
	if errors.Is(err, ErrOutside) || errors.Is(err, ErrGone) { // nothing can be kept beside it either
		return nil, err
	}
	left := f.recall(name)
	if err != nil && left != nil {
		seen, err = f.see(name)
	}
	if err != nil {
		return nil, err
	}
	if !seen.exists && left == nil {
		return nil, fmt.Errorf("%s: %w", name, ErrGone)
	}
	d := &Document{folder: f, name: name, version: 1, text: seen.text, base: seen.text, disk: seen, form: seen.form, kept: left != nil}
	if left != nil && (seen.fault != nil || left.Text != seen.text) {
		d.base, d.fresh, d.recovered = left.Base, left.Fresh && !seen.exists, true
		if seen.fault == nil { // else there is nothing to go back to
			d.history.add(seen.text, between(seen.text, left.Text))
		}
		d.text = left.Text
	}
	return d, f.enter(d)
}

// enter makes a working copy known; the folder's lock is held.
func (f *Folder) enter(d *Document) error {
	if len(f.open) >= mostOpen {
		return ErrMany
	}
	f.open[d.name] = d
	f.watch.add(path.Dir(d.name))
	d.mu.Lock()
	defer d.mu.Unlock()
	d.tell(true)
	d.keepSoon()
	return nil
}

// Create begins a working copy with a text; the file is written when it is
// saved. The error is ErrExists where there is such a file, or work on one.
func (f *Folder) Create(name, text, window string) (*Document, error) {
	if err := CheckName(name); err != nil {
		return nil, err
	}
	if len(text) > f.most {
		return nil, ErrTooLarge
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if info, err := f.stat(path.Dir(name)); errors.Is(err, ErrOutside) {
		return nil, err
	} else if err != nil || !info.IsDir() {
		return nil, fmt.Errorf("%s: %w", path.Dir(name), ErrGone)
	}
	if _, err := f.stat(name); errors.Is(err, ErrOutside) {
		return nil, err
	}
	if f.open[name] != nil || f.recall(name) != nil {
		return nil, fmt.Errorf("%s: %w", name, ErrExists)
	}
	if _, err := f.root.Lstat(name); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return nil, err
		}
		return nil, fmt.Errorf("%s: %w", name, ErrExists)
	}
	d := &Document{folder: f, name: name, version: 1, text: lines(text), by: window, fresh: true}
	return d, f.enter(d)
}
