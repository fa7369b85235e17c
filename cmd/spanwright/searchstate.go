package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"spanwright/internal/release"
	"spanwright/search"
)

// searchState keeps what a search has judged, so that it can be continued: a line
// of JSON for each candidate, after one that says which search it is.
type searchState struct {
	path  string
	known map[string]search.Outcome
	file  *os.File
	err   error // of writing; the search goes on without
}

// stateHead is the first line.
type stateHead struct {
	Format int    `json:"format"`
	Tool   string `json:"tool"`
	Search string `json:"search"` // of the task, its parts and the options
}

// statePath is beside the folder: the folder itself appears when all is done.
func statePath(dir string) string { return filepath.Clean(dir) + ".search" }

// openState reads the state of a stopped search, or begins one. Without a folder
// nothing is kept.
func openState(f searchFlags, text []byte, p *search.Problem, opts search.Options) (*searchState, error) {
	s := &searchState{known: map[string]search.Outcome{}}
	if f.out == "" {
		return s, nil
	}
	s.path = statePath(f.out)
	head := stateHead{Format: 1, Tool: release.Name + " " + release.Version, Search: markOf(text, p, opts)}
	if f.resume {
		if err := s.read(head); err != nil {
			return nil, err
		}
	}
	flags := os.O_CREATE | os.O_WRONLY | os.O_TRUNC
	file, err := os.OpenFile(s.path+".new", flags, 0o644)
	if err != nil {
		return nil, inputError{fmt.Errorf("the state of the search cannot be kept: %w", err)}
	}
	s.file = file
	s.line(head)
	for _, o := range s.known {
		s.line(o)
	}
	if err := os.Rename(s.path+".new", s.path); err != nil {
		return nil, inputError{fmt.Errorf("the state of the search cannot be kept: %w", err)}
	}
	return s, nil
}

// markOf tells searches apart that may come to different results.
func markOf(text []byte, p *search.Problem, opts search.Options) string {
	h := sha256.New()
	h.Write(text)
	for _, kind := range []string{"axis", "screw", "motor", "gear", "brake", "profile", "joint", "foot", "plate", "clamp", "bumper", "carrier", "block", "belt", "rack"} {
		for _, part := range p.Catalogue.List(kind) {
			line, _ := json.Marshal(part)
			h.Write(line)
		}
	}
	fmt.Fprint(h, opts.Objectives, opts.Drives, opts.Joins, opts.Most)
	return hex.EncodeToString(h.Sum(nil))
}

func (s *searchState) read(head stateHead) error {
	text, err := os.ReadFile(s.path)
	if errors.Is(err, fs.ErrNotExist) {
		return mistake("there is no stopped search to resume: %s is not there", s.path)
	}
	if err != nil {
		return inInput(err)
	}
	lines := bufio.NewScanner(bytes.NewReader(text))
	lines.Buffer(nil, 1<<20)
	var was stateHead
	if !lines.Scan() || json.Unmarshal(lines.Bytes(), &was) != nil {
		return mistake("%s is damaged: its first line does not say which search it belongs to; begin anew without --resume", s.path)
	}
	if was != head {
		return mistake("%s belongs to another search: the task, its parts, the options or the program have changed; begin anew without --resume", s.path)
	}
	for lines.Scan() {
		var o search.Outcome
		if json.Unmarshal(lines.Bytes(), &o) == nil && o.Key != "" { // the last line may be half written
			s.known[o.Key] = o
		}
	}
	return nil
}

func (s *searchState) line(v any) {
	if s.file == nil || s.err != nil {
		return
	}
	text, err := json.Marshal(v)
	if err == nil {
		_, err = s.file.Write(append(text, '\n'))
	}
	s.err = err
}

// learn keeps one more outcome.
func (s *searchState) learn(o search.Outcome) { s.line(o) }

func (s *searchState) close() {
	if s.file != nil {
		s.file.Close()
	}
}

// remove forgets the state of a search that is done.
func (s *searchState) remove() {
	if s.path != "" {
		os.Remove(s.path)
	}
}

// estimate tells how long a search may still take, for people only: nothing is
// decided by it.
type estimate struct{ began time.Time }

func newEstimate() estimate { return estimate{time.Now()} }

func (e estimate) words(x search.Progress) string {
	text := x.What
	if x.Total > 0 {
		text = fmt.Sprintf("%s, %d of %d", x.What, x.Done, x.Total)
	}
	if x.Judged > 0 {
		text += fmt.Sprintf(", %d judged, %d on the front", x.Judged, x.Front)
	}
	if x.Done > 0 && x.Total > x.Done {
		left := time.Since(e.began) * time.Duration(x.Total-x.Done) / time.Duration(x.Done)
		text += fmt.Sprintf(", about %s left", left.Round(time.Second))
	}
	return text
}
