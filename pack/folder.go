package pack

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Room tells, before anything is computed, whether a pack may be written to dir.
// The paths of keep, the design file among them, must not lie in a folder that
// is replaced: not even force takes them away.
func Room(dir string, force bool, keep ...string) error {
	parent := filepath.Dir(filepath.Clean(dir))
	if _, err := os.Stat(parent); err != nil {
		return fmt.Errorf("%w: the folder %s is not there", ErrNoRoom, parent)
	}
	if err := replaceable(dir, force); err != nil {
		return err
	}
	for _, path := range keep {
		inside, err := within(dir, path)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrNoRoom, err)
		}
		if inside {
			return fmt.Errorf("%w: %s lies in it and would be lost; give another folder, e.g. one below it", ErrForeign, path)
		}
	}
	return nil
}

// within tells whether path is dir or lies below it, links followed. A folder
// that is not there yet holds nothing.
func within(dir, path string) (bool, error) {
	outer, err := resolved(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	inner, err := resolved(path)
	if err != nil {
		return false, err
	}
	rel, err := filepath.Rel(outer, inner)
	return err == nil && filepath.IsLocal(rel), nil
}

func resolved(path string) (string, error) {
	path, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", err
	}
	return filepath.Abs(path)
}

// replaceable refuses a folder with files that no pack wrote, or that were
// changed since: a form filled in by hand is not a pack's file any more.
func replaceable(dir string, force bool) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%w: %w", ErrNoRoom, err)
	case !info.IsDir():
		return fmt.Errorf("%w: %s is a file", ErrForeign, dir)
	case force:
		return nil
	}
	foreign, err := foreignFiles(dir)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	if len(foreign) > 0 {
		return fmt.Errorf("%w: %s in %s; give another folder, or --force to lose them", ErrForeign, strings.Join(foreign[:min(3, len(foreign))], ", "), dir)
	}
	return nil
}

// foreignFiles lists the files below dir that are not as its manifest says.
func foreignFiles(dir string) ([]string, error) {
	known := writtenBefore(dir)
	var foreign []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		sum, listed := known[name]
		switch {
		case !listed || !d.Type().IsRegular():
			foreign = append(foreign, name)
		case name != manifestName:
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if have := sha256.Sum256(text); hex.EncodeToString(have[:]) != sum {
				foreign = append(foreign, name+" (filled in or changed since)")
			}
		}
		return nil
	})
	slices.Sort(foreign)
	return foreign, err
}

// writtenBefore reads the names and hashes of an earlier pack from its manifest;
// none if there is no manifest, or if it is some other program's.
func writtenBefore(dir string) map[string]string {
	text, err := os.ReadFile(filepath.Join(dir, manifestName))
	if err != nil {
		return nil
	}
	var m Manifest
	if json.Unmarshal(text, &m) != nil || m.Format == 0 || m.Design == "" {
		return nil
	}
	known := map[string]string{manifestName: ""}
	for _, e := range m.Files {
		known[e.Name] = e.SHA256
	}
	return known
}

// swap puts the new pack in the place of the old one.
func swap(aside, dir string) error {
	if err := os.Chmod(aside, 0o755); err != nil {
		return fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	old := ""
	if _, err := os.Stat(dir); err == nil {
		old = aside + "-old"
		if err := os.Rename(dir, old); err != nil {
			return fmt.Errorf("%w: %w", ErrNoRoom, err)
		}
	}
	if err := os.Rename(aside, dir); err != nil {
		if old != "" {
			err = errors.Join(err, os.Rename(old, dir))
		}
		return fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	if old != "" {
		return os.RemoveAll(old)
	}
	return nil
}
