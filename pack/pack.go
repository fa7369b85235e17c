// Package pack writes the hand-over pack: parts and cut lists, drawings, 3D
// models, calculation report, commissioning sheet, acceptance test and forms,
// all drawn from one assessment, so that they cannot disagree.
//
// It computes no engineering. The same design gives the same bytes: the only
// date in a file is the one the design states.
package pack

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"spanwright/assess"
)

// File is one file of the pack.
type File struct {
	Name  string // with forward slashes, below the pack's folder
	About string // one line: what it is for
	Write func(io.Writer) error
}

// Source is what every file of a pack is drawn from.
type Source struct {
	Assessment *assess.Assessment
	Tool       string // name and version of the program
	Hash       string // SHA-256 of the design's text, hexadecimal
}

// NewSource takes the hash of the design's text.
func NewSource(a *assess.Assessment, tool string) Source {
	sum := sha256.Sum256([]byte(a.Machine.Design.File.Text))
	return Source{Assessment: a, Tool: tool, Hash: hex.EncodeToString(sum[:])}
}

// Released tells whether no check is over: a pack with checks over carries NOT
// RELEASED on every sheet.
func (s Source) Released() bool { return s.Assessment.Counts.Over == 0 }

// NotReleased are the words on the sheets of a design with checks over.
const NotReleased = "NOT RELEASED"

// manifestName is the file by which a folder is known to be a pack.
const manifestName = "manifest.json"

// Manifest lists what is in a pack.
type Manifest struct {
	Format   int     `json:"format"`
	Tool     string  `json:"tool"`
	Machine  string  `json:"machine"`
	Number   string  `json:"number"`
	Revision string  `json:"revision"`
	Date     string  `json:"date"`
	Design   string  `json:"design_sha256"`
	Verdict  string  `json:"verdict"`
	Released bool    `json:"released"`
	Parts    int     `json:"representative_parts"`
	Files    []Entry `json:"files"`
}

// Entry is one file of a manifest.
type Entry struct {
	Name   string `json:"name"`
	About  string `json:"about"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Errors of Write.
var (
	ErrForeign = errors.New("the folder holds files that no pack wrote")
	ErrNoRoom  = errors.New("the pack could not be written")
)

// Write writes the files and a manifest into dir: first aside, then by renaming,
// so that a failure leaves no half pack. A folder that is there is replaced if
// every file in it belongs to an earlier pack, or if force is set.
func Write(dir string, s Source, files []File, force bool) (*Manifest, error) {
	if err := replaceable(dir, force); err != nil {
		return nil, err
	}
	parent := filepath.Dir(filepath.Clean(dir))
	aside, err := os.MkdirTemp(parent, ".pack-*")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	defer os.RemoveAll(aside)
	m := s.manifest()
	for _, f := range files {
		e, err := writeFile(aside, f)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		m.Files = append(m.Files, e)
	}
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(filepath.Join(aside, manifestName), append(text, '\n'), 0o644); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	return m, swap(aside, dir)
}

func (s Source) manifest() *Manifest {
	a, meta := s.Assessment, s.Assessment.Machine.Design.Meta
	return &Manifest{
		Format: 1, Tool: s.Tool, Machine: a.Machine.Design.Name, Number: meta.Number, Revision: meta.Revision, Date: meta.Date,
		Design: s.Hash, Verdict: a.Counts.Verdict().String(), Released: s.Released(), Parts: a.RepresentativeParts(),
	}
}

func writeFile(dir string, f File) (Entry, error) {
	path := filepath.Join(dir, filepath.FromSlash(f.Name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return Entry{}, fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	out, err := os.Create(path)
	if err != nil {
		return Entry{}, fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	count := counter{hash: sha256.New()}
	err = f.Write(io.MultiWriter(out, &count))
	if err == nil {
		err = out.Sync()
	}
	if e := out.Close(); err == nil {
		err = e
	}
	return Entry{Name: f.Name, About: f.About, Bytes: count.bytes, SHA256: hex.EncodeToString(count.hash.Sum(nil))}, err
}

// counter counts and hashes what passes.
type counter struct {
	bytes int
	hash  interface {
		io.Writer
		Sum([]byte) []byte
	}
}

func (c *counter) Write(p []byte) (int, error) {
	c.bytes += len(p)
	return c.hash.Write(p)
}

// replaceable refuses a folder with files that no pack wrote.
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
	known := map[string]bool{manifestName: true}
	if text, err := os.ReadFile(filepath.Join(dir, manifestName)); err == nil {
		var m Manifest
		if json.Unmarshal(text, &m) == nil {
			for _, e := range m.Files {
				known[e.Name] = true
			}
		}
	}
	var foreign []string
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err == nil && !known[filepath.ToSlash(name)] {
			foreign = append(foreign, filepath.ToSlash(name))
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	if len(foreign) > 0 {
		slices.Sort(foreign)
		return fmt.Errorf("%w: %s in %s; give another folder, or --force", ErrForeign, strings.Join(foreign[:min(3, len(foreign))], ", "), dir)
	}
	return nil
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
