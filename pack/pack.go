// Package pack writes the hand-over pack: parts and cut lists, drawings, 3D
// models, calculation report, commissioning sheet, acceptance test and forms,
// all drawn from one assessment, so that they cannot disagree.
//
// It computes no engineering. The same design gives the same bytes: the only
// date in a file is the one the design states.
package pack

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

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

// Write writes the files and a manifest into dir: first in memory, then aside,
// then by renaming, so that neither a failure nor an end of ctx leaves a half
// pack. A folder that is there is replaced if every file in it is as an earlier
// pack wrote it, or if force is set.
func Write(ctx context.Context, dir string, s Source, files []File, force bool) (*Manifest, error) {
	if err := replaceable(dir, force); err != nil {
		return nil, err
	}
	m, all, err := render(ctx, s, files, nil)
	if err != nil {
		return nil, err
	}
	aside, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".pack-*")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoRoom, err)
	}
	defer os.RemoveAll(aside)
	for _, f := range all {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := writeFile(aside, f.name, f.text); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrNoRoom, err)
		}
	}
	return m, swap(aside, dir)
}

// rendered is a file of the pack with its content.
type rendered struct {
	name string
	text []byte
}

// render makes all files in memory, the manifest the last of them. progress is
// called before each; it may be nil.
func render(ctx context.Context, s Source, files []File, progress func(name string, done, total int)) (*Manifest, []rendered, error) {
	m := s.manifest()
	var out []rendered
	for i, f := range files {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if progress != nil {
			progress(f.Name, i, len(files))
		}
		var text bytes.Buffer
		if err := f.Write(&text); err != nil {
			return nil, nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		sum := sha256.Sum256(text.Bytes())
		m.Files = append(m.Files, Entry{Name: f.Name, About: f.About, Bytes: text.Len(), SHA256: hex.EncodeToString(sum[:])})
		out = append(out, rendered{f.Name, text.Bytes()})
	}
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return nil, nil, err
	}
	return m, append(out, rendered{manifestName, append(text, '\n')}), nil
}

func (s Source) manifest() *Manifest {
	a, meta := s.Assessment, s.Assessment.Machine.Design.Meta
	return &Manifest{
		Format: 1, Tool: s.Tool, Machine: a.Machine.Design.Name, Number: meta.Number, Revision: meta.Revision, Date: meta.Date,
		Design: s.Hash, Verdict: a.Counts.Verdict().String(), Released: s.Released(), Parts: a.RepresentativeParts(),
	}
}

func writeFile(dir, name string, text []byte) error {
	path := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	out, err := os.Create(path)
	if err != nil {
		return err
	}
	_, err = out.Write(text)
	return errors.Join(err, out.Sync(), out.Close())
}
