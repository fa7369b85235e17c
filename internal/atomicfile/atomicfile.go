// Package atomicfile writes files so that a reader sees the old file or the
// whole new one, never a part, and so that a failure leaves nothing behind.
// It computes nothing.
package atomicfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
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
func Write(path string, mode Mode, write func(io.Writer) error) (err error) {
	if mode == New {
		if _, err := os.Lstat(path); err == nil {
			return fmt.Errorf("%s: %w", path, ErrExists)
		}
	}
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
		}
	}()
	if err := write(temp); err != nil {
		return err
	}
	if err := temp.Chmod(permissions(path)); err != nil {
		return err
	}
	if err := temp.Sync(); err != nil {
		return err
	}
	if err := temp.Close(); err != nil {
		return err
	}
	return name(temp.Name(), path, mode)
}

// ordinary are the permissions of a new file.
const ordinary fs.FileMode = 0o644

// permissions keeps those of a file that is replaced.
func permissions(path string) fs.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return ordinary
}

// name gives the temporary file its name.
func name(temp, path string, mode Mode) error {
	if mode == New {
		if err := link(temp, path); err != nil {
			return err
		}
	} else if err := os.Rename(temp, path); err != nil {
		return err
	}
	return syncDirectory(filepath.Dir(path))
}

// link names the file by a link, which the system refuses where the name is
// taken, so that a file which came up meanwhile is kept. A file system without
// links gets the plain rename.
func link(temp, path string) error {
	err := os.Link(temp, path)
	switch {
	case err == nil:
		return os.Remove(temp)
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", path, ErrExists)
	}
	return os.Rename(temp, path)
}

// syncDirectory makes the new name last through a loss of power where the
// system can do that.
func syncDirectory(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return err
	}
	return nil
}
