package document

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"

	"spanwright/internal/atomicfile"
)

// file is a file as it was seen on disk.
type file struct {
	exists bool
	text   string
	form   form
	info   fs.FileInfo // nil where there is none
}

// looks tells whether the file on disk looks like the one that was seen, without reading it.
func (f file) looks(info fs.FileInfo) bool {
	return f.exists && info != nil && f.info != nil && os.SameFile(f.info, info) && f.info.ModTime().Equal(info.ModTime()) && f.info.Size() == info.Size()
}

// errNoFile stands for a name under which something else than a file stands.
var errNoFile = errors.New("it is no ordinary file")

// read reads a file of the folder; one that is not there is no error.
func (f *Folder) read(name string) (file, error) {
	info, err := f.root.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return file{}, nil
	case err != nil:
		return file{}, err
	case !info.Mode().IsRegular():
		return file{}, fmt.Errorf("%s: %w", name, errNoFile)
	case info.Size() > int64(f.most):
		return file{}, fmt.Errorf("%s: %w", name, ErrTooLarge)
	}
	open, err := f.root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return file{}, nil
	}
	if err != nil {
		return file{}, err
	}
	defer open.Close()
	raw, err := io.ReadAll(io.LimitReader(open, int64(f.most)+1))
	if err != nil {
		return file{}, err
	}
	if len(raw) > f.most {
		return file{}, fmt.Errorf("%s: %w", name, ErrTooLarge)
	}
	text, form, err := parse(raw)
	if err != nil {
		return file{}, fmt.Errorf("%s: %w", name, err)
	}
	return file{exists: true, text: text, form: form, info: info}, nil
}

// look compares the working copy with the file on disk. Without changes of its
// own it follows the file; that can be undone.
func (d *Document) look() error {
	seen, err := d.folder.read(d.name)
	if err != nil {
		return err
	}
	if seen.exists == d.disk.exists && seen.text == d.disk.text {
		d.disk = seen
		return nil
	}
	untouched := d.text == d.base && !d.fresh
	d.disk = seen
	if seen.exists {
		d.fresh = false
		d.form = seen.form
	}
	if seen.exists && untouched && seen.text != d.text {
		d.base = seen.text
		d.put(seen.text, ByDisk, false)
		return nil
	}
	d.agree()
	d.tell(false)
	d.keepSoon()
	return nil
}

// Look compares the working copy with the file on disk, now.
func (d *Document) Look() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.look()
}

// Save writes the working copy to its file. The error is a *ConflictError for
// another version than base, and a *DiskError where the file holds what the
// working copy never saw, unless mine says that it may be lost. The file is
// then the old or the new one, never a part of it; its permissions and the ends
// of its lines stay.
func (d *Document) Save(base int, mine bool) (State, error) {
	state, err := d.save(base, mine)
	if err == nil {
		d.keep()
	}
	return state, err
}

func (d *Document) save(base int, mine bool) (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if base != d.version {
		return State{}, &ConflictError{d.state()}
	}
	seen, err := d.folder.read(d.name)
	if err != nil {
		return State{}, err
	}
	d.disk = seen
	if seen.exists {
		d.fresh = false
	}
	if !d.saved() {
		if seen.exists && seen.text != d.base && !mine {
			d.tell(false)
			return State{}, &DiskError{d.state(), seen.text}
		}
		if err := d.store(); err != nil {
			return State{}, err
		}
	}
	d.history.seal()
	d.agree()
	d.tell(false)
	return d.state(), nil
}

// store writes the file and sees what it became.
func (d *Document) store() error {
	mode := atomicfile.New
	if d.disk.exists {
		mode, d.form = atomicfile.Replace, d.disk.form
	}
	raw := d.form.print(d.text)
	err := d.folder.write(d.name, mode, func(w io.Writer) error {
		_, err := w.Write(raw)
		return err
	})
	if errors.Is(err, atomicfile.ErrExists) { // it came up since it was looked for
		if seen, err := d.folder.read(d.name); err == nil {
			d.disk = seen
			return &DiskError{d.state(), seen.text}
		}
	}
	if err != nil {
		return err
	}
	seen, err := d.folder.read(d.name)
	if err != nil {
		return err
	}
	d.disk = seen
	if !seen.exists || seen.text != d.text {
		return &DiskError{d.state(), seen.text}
	}
	return nil
}

// write writes a file of the folder; a link within the folder is followed, so
// that it stays one.
func (f *Folder) write(name string, mode atomicfile.Mode, write func(io.Writer) error) error {
	for range mostLinks {
		info, err := f.root.Lstat(name)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			break
		}
		to, err := f.root.Readlink(name)
		if err != nil {
			return err
		}
		if path.IsAbs(to) {
			return fmt.Errorf("%s: a link that leads by an absolute path is not written through", name)
		}
		name = path.Join(path.Dir(name), to)
	}
	dir, err := f.root.OpenRoot(path.Dir(name))
	if err != nil {
		return err
	}
	defer dir.Close()
	return atomicfile.WriteIn(dir, path.Base(name), mode, write)
}

// mostLinks is how many links are followed one after the other.
const mostLinks = 8

// Reload takes the text on disk as a new change, which can be undone.
func (d *Document) Reload(window string) (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.look(); err != nil {
		return State{}, err
	}
	if !d.disk.exists {
		return State{}, ErrGone
	}
	d.base = d.disk.text
	if d.text == d.disk.text {
		d.agree()
		d.tell(false)
		return d.state(), nil
	}
	d.put(d.disk.text, window, false)
	return d.state(), nil
}
