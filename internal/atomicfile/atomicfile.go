// Package atomicfile writes files so that a reader sees the old file or the
// whole new one, never a part, and so that a failure leaves nothing behind.
// It computes nothing.
package atomicfile

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ErrExists is returned, wrapped with the path, for a file that stands already
// and was not to be replaced.
var ErrExists = errors.New("the file exists already")

// Mode says what to do with a file that stands already.
type Mode uint8

// New is the zero value.
const (
	New     Mode = iota // refuse with ErrExists
	Replace             // take its place
)

// Write calls write with a temporary file beside path, brings it to the disk
// and gives it its name. If write fails, its error is returned and nothing is
// left. The directory must exist.
func Write(path string, mode Mode, write func(io.Writer) error) error {
	root, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer root.Close()
	err = WriteIn(root, filepath.Base(path), mode, write)
	if errors.Is(err, ErrExists) {
		return fmt.Errorf("%s: %w", path, ErrExists)
	}
	return err
}

// WriteIn is Write for a file in the directory itself, of which nothing leads
// out: not even a link that comes up while it is written.
func WriteIn(dir *os.Root, name string, mode Mode, write func(io.Writer) error) (err error) {
	if mode == New {
		if _, err := dir.Lstat(name); err == nil {
			return fmt.Errorf("%s: %w", name, ErrExists)
		}
	}
	temp, at, err := create(dir, name)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			temp.Close()
			dir.Remove(at)
		}
	}()
	if err := write(temp); err != nil {
		return err
	}
	if err := temp.Chmod(permissions(dir, name)); err != nil {
		return err
	}
	if err := temp.Sync(); err != nil {
		return err
	}
	if err := temp.Close(); err != nil {
		return err
	}
	return rename(dir, at, name, mode)
}

// attempts is how many names are tried for the temporary file.
const attempts = 100

// create opens a temporary file beside the name.
func create(dir *os.Root, name string) (f *os.File, at string, err error) {
	for range attempts {
		at = "." + name + "." + strings.ToLower(rand.Text()[:10])
		f, err = dir.OpenFile(at, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		if !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return f, at, err
}

// ordinary are the permissions of a new file.
const ordinary fs.FileMode = 0o644

// permissions keeps those of a file that is replaced.
func permissions(dir *os.Root, name string) fs.FileMode {
	if info, err := dir.Stat(name); err == nil {
		return info.Mode().Perm()
	}
	return ordinary
}

// rename gives the temporary file its name.
func rename(dir *os.Root, temp, name string, mode Mode) error {
	if mode == New {
		if err := link(dir, temp, name); err != nil {
			return err
		}
	} else if err := dir.Rename(temp, name); err != nil {
		return err
	}
	return syncDirectory(dir)
}

// link names the file by a link, which the system refuses where the name is
// taken, so that a file which came up meanwhile is kept. A file system without
// links gets the plain rename.
func link(dir *os.Root, temp, name string) error {
	err := dir.Link(temp, name)
	switch {
	case err == nil:
		return dir.Remove(temp)
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", name, ErrExists)
	}
	return dir.Rename(temp, name)
}

// syncDirectory makes the new name last through a loss of power where the
// system can do that.
func syncDirectory(dir *os.Root) error {
	d, err := dir.Open(".")
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return err
	}
	return nil
}
