package document

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"

	"spanwright/internal/atomicfile"
)

// hiddenFolder is the folder beside a design in which the program keeps what
// belongs to the design but not into it.
const hiddenFolder = ".spanwright"

// WriteHidden writes a file into the hidden folder of a folder.
func (f *Folder) WriteHidden(folder, name string, text []byte) error {
	at := path.Join(folder, hiddenFolder)
	if err := f.root.MkdirAll(at, 0o755); err != nil {
		return err
	}
	hidden, err := f.root.OpenRoot(at)
	if err != nil {
		return err
	}
	defer hidden.Close()
	if _, err := hidden.Lstat(".gitignore"); errors.Is(err, fs.ErrNotExist) {
		if err := hidden.WriteFile(".gitignore", []byte("*\n"), 0o644); err != nil {
			return err
		}
	}
	return atomicfile.WriteIn(hidden, name, atomicfile.Replace, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// mostHidden is the largest file that is read from a hidden folder: two texts in
// JSON, in which a letter may take six, and a little.
func (f *Folder) mostHidden() int64 { return 12*int64(f.most) + 4096 }

// ReadHidden reads a file of the hidden folder of a folder.
func (f *Folder) ReadHidden(folder, name string) ([]byte, error) {
	at := path.Join(folder, hiddenFolder, name)
	info, err := f.root.Lstat(at)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: %w", at, ErrNoFile)
	case info.Size() > f.mostHidden():
		return nil, fmt.Errorf("%s: %w", at, ErrTooLarge)
	}
	return f.root.ReadFile(at)
}

// RemoveHidden takes it away.
func (f *Folder) RemoveHidden(folder, name string) error {
	return f.root.Remove(path.Join(folder, hiddenFolder, name))
}

// Hidden lists the ordinary files of the hidden folder of a folder, by name;
// none where it is not there.
func (f *Folder) Hidden(folder string) (names []string, err error) {
	entries, err := fs.ReadDir(f.root.FS(), path.Join(folder, hiddenFolder))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	for _, e := range entries {
		if e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	return names, err
}
