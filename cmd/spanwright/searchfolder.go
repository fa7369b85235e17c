package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/internal/screen"
	"spanwright/search"
	"spanwright/search/page"
)

// Names of the files beside the designs.
const (
	frontJSON = "front.json"
	frontPage = "front.html"
)

// frontFolder is where the front goes.
type frontFolder struct {
	dir string
}

// newFrontFolder tells, before anything is computed, whether the front may be
// written: to a new folder, or in place of that of an earlier search.
func newFrontFolder(f searchFlags) (frontFolder, error) {
	if f.out == "" {
		return frontFolder{}, nil
	}
	dir := filepath.Clean(f.out)
	if base := filepath.Base(dir); base == "." || base == ".." || base == string(filepath.Separator) {
		return frontFolder{}, mistake("-o %s: a search writes a folder of its own; give it a name, e.g. -o found", f.out)
	}
	if info, err := os.Stat(filepath.Dir(dir)); err != nil || !info.IsDir() {
		return frontFolder{}, mistake("the folder %s is not there; make it first, or give -o another place", filepath.Dir(dir))
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return frontFolder{}, mistake("%s is a file; -o takes a folder that is new, empty, or was written by a search", dir)
	}
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0:
		return frontFolder{dir}, nil
	case err != nil:
		return frontFolder{}, mistake("the folder %s cannot be read: %w; give -o one that is new or that you may read", dir, cause(err))
	case f.force:
		return frontFolder{dir}, nil
	}
	ours := writtenBySearch(dir)
	for _, e := range entries {
		if !slices.Contains(ours.Files, e.Name()) {
			return frontFolder{}, mistake("%s holds %s, which no search wrote; give another folder, or --force to lose it", dir, e.Name())
		}
	}
	for _, name := range slices.Sorted(maps.Keys(ours.Sums)) {
		text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err == nil && sumOf(text) != ours.Sums[name] {
			return frontFolder{}, mistake("%s in %s was changed after the search had written it; give another folder, or --force to lose it", name, dir)
		}
	}
	return frontFolder{dir}, nil
}

// frontFiles are the files of a folder, as its answer lists them.
type frontFiles struct {
	Files []string          `json:"files"`
	Sums  map[string]string `json:"sha256"` // of designs and parts
}

// writtenBySearch is what an earlier search wrote.
func writtenBySearch(dir string) (was frontFiles) {
	text, err := os.ReadFile(filepath.Join(dir, frontJSON))
	if err != nil || json.Unmarshal(text, &was) != nil {
		return frontFiles{}
	}
	return was
}

func sumOf(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text)) }

// write makes all files aside and puts the folder in its place at once.
func (w frontFolder) write(p *project.Project, r *search.Result, found []search.Found, names []string, reply answer.Search) error {
	files := map[string][]byte{}
	for i, f := range found {
		files[names[i]] = f.Text
	}
	for _, name := range p.Design.Parts { // a design names its part files in its own folder
		files[name] = p.Source(filepath.Join(filepath.Dir(p.File()), filepath.FromSlash(name)))
	}
	sums := map[string]string{}
	for name, text := range files {
		sums[name] = sumOf(text)
	}
	var html bytes.Buffer
	if err := page.Of(r.Problem.Task.Name, found, names, aboutFront(r)).Write(&html); err != nil {
		return err
	}
	files[frontPage] = html.Bytes()
	all := []string{frontJSON}
	for name := range files {
		top, _, _ := strings.Cut(name, "/")
		all = append(all, top)
	}
	slices.Sort(all)
	var text bytes.Buffer
	if err := answer.Write(&text, struct {
		answer.Search
		frontFiles
	}{reply, frontFiles{slices.Compact(all), sums}}); err != nil {
		return err
	}
	files[frontJSON] = text.Bytes()
	return replaceFolder(w.dir, files)
}

// replaceFolder writes the files into a new folder and gives it the name.
func replaceFolder(dir string, files map[string][]byte) (err error) {
	aside, err := os.MkdirTemp(filepath.Dir(dir), "."+filepath.Base(dir)+".*")
	if err != nil {
		return unwritten(dir, err)
	}
	defer os.RemoveAll(aside)
	if err := os.Chmod(aside, 0o755); err != nil {
		return unwritten(dir, err)
	}
	for name, text := range files {
		path := filepath.Join(aside, filepath.FromSlash(name))
		err := os.MkdirAll(filepath.Dir(path), 0o755)
		if err == nil {
			err = os.WriteFile(path, text, 0o644)
		}
		if err != nil {
			return unwritten(dir, err)
		}
	}
	old := aside + ".old"
	if err := os.Rename(dir, old); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return unwritten(dir, err)
	}
	if err := os.Rename(aside, dir); err != nil {
		return unwritten(dir, errors.Join(cause(err), os.Rename(old, dir)))
	}
	return os.RemoveAll(old)
}

// unwritten says why the folder of a search that is done is not there, and that
// the work is not lost.
func unwritten(dir string, err error) error {
	return mistake("the folder %s was not written: %w; what was judged is kept in %s: mend that and continue with --resume", dir, cause(err), statePath(dir))
}

// aboutFront says on the page how the front came about.
func aboutFront(r *search.Result) []string {
	lines := []string{
		fmt.Sprintf("%s combinations were in the space; %d machines were judged as a whole and %d of them pass every check; %d are on the front.", screen.Big(r.Combinations), r.Judged, r.Passed, len(r.Front)),
		"Two machines count as equal in a number in which they differ by less than 1 % (cost, mass, cycle time) or 5 % (sag, frequency).",
	}
	if !r.Complete() {
		lines = append(lines, screen.Big(r.Open)+" combinations were not judged, for the limit on judgements; what is best among them may be better than what is shown.")
	}
	return lines
}
