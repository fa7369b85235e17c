package document

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"syscall"

	"spanwright/internal/atomicfile"
)

// file is a file as it was seen on disk.
type file struct {
	exists bool
	text   string
	form   form
	info   fs.FileInfo // nil where there is none
	fault  error       // why it is there and has no text
}

// looks tells whether the file on disk looks like the one that was seen, without reading it.
func (f file) looks(info fs.FileInfo) bool {
	return f.exists && info != nil && f.info != nil && os.SameFile(f.info, info) && f.info.ModTime().Equal(info.ModTime()) && f.info.Size() == info.Size()
}

// ErrNoFile stands for a name under which something else than a file stands.
var ErrNoFile = errors.New("it is no ordinary file")

// stat looks at a name in the folder. The error is ErrOutside where a link on
// the way leads out of the folder or around in a circle.
func (f *Folder) stat(name string) (fs.FileInfo, error) {
	info, err := f.root.Stat(name)
	var system syscall.Errno
	switch {
	case err == nil || errors.Is(err, fs.ErrNotExist):
		return info, err
	case errors.Is(err, syscall.ELOOP), !errors.As(err, &system): // what is not the system's refusal is that of os.Root
		return nil, fmt.Errorf("%s: %w", name, ErrOutside)
	case errors.Is(err, syscall.ENOTDIR):
		return nil, fmt.Errorf("%s: %w", name, ErrGone)
	}
	return nil, err
}

// see reads a file of the folder where it can. What is no file of it is not
// there; a file without a text that can be read has a fault.
func (f *Folder) see(name string) (file, error) {
	seen, err := f.read(name)
	switch {
	case errors.Is(err, ErrNoFile), errors.Is(err, ErrOutside), errors.Is(err, ErrGone):
		return file{}, nil
	case errors.Is(err, ErrNotText), errors.Is(err, ErrTooLarge), errors.Is(err, fs.ErrPermission):
		info, statErr := f.stat(name)
		if statErr != nil {
			return file{}, nil // it went meanwhile
		}
		return file{exists: true, info: info, fault: err}, nil
	}
	return seen, err
}

// read reads a file of the folder; one that is not there is no error.
func (f *Folder) read(name string) (file, error) {
	info, err := f.stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return file{}, nil
	case err != nil:
		return file{}, err
	case !info.Mode().IsRegular():
		return file{}, fmt.Errorf("%s: %w", name, ErrNoFile)
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
	seen, err := d.folder.see(d.name)
	if err != nil {
		return err
	}
	if seen.exists == d.disk.exists && seen.text == d.disk.text && (seen.fault == nil) == (d.disk.fault == nil) {
		d.disk = seen
		return nil
	}
	untouched := d.text == d.base && !d.fresh
	d.disk = seen
	if seen.exists {
		d.fresh = false
	}
	readable := seen.exists && seen.fault == nil
	if readable {
		d.form = seen.form
	}
	if readable && untouched && seen.text != d.text {
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
// working copy never saw or cannot read, unless mine says that it may be lost. The file is
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
	seen, err := d.folder.see(d.name)
	if err != nil {
		return State{}, err
	}
	d.disk = seen
	if seen.exists {
		d.fresh = false
	}
	if !d.saved() {
		if seen.exists && (seen.fault != nil || seen.text != d.base) && !mine {
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
		mode = atomicfile.Replace
		if d.disk.fault == nil {
			d.form = d.disk.form
		}
	}
	raw := d.form.print(d.text)
	err := d.folder.write(d.name, mode, func(w io.Writer) error {
		_, err := w.Write(raw)
		return err
	})
	if errors.Is(err, atomicfile.ErrExists) { // it came up since it was looked for
		if seen, err := d.folder.see(d.name); err == nil {
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
	if d.disk.fault != nil {
		return State{}, d.disk.fault
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
