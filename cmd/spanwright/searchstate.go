package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
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
// nothing is kept. Until it is closed, no other search can have the same state.
func openState(f searchFlags, text []byte, p *search.Problem, opts search.Options) (*searchState, error) {
	s := &searchState{known: map[string]search.Outcome{}}
	if f.out == "" {
		return s, nil
	}
	s.path = statePath(f.out)
	if err := s.hold(f); err != nil {
		return nil, err
	}
	head := stateHead{Format: 1, Tool: release.Name + " " + release.Version, Search: markOf(text, p, opts)}
	if !f.resume {
		if err := s.file.Truncate(0); err != nil {
			s.close()
			return nil, unwritable(s.path, err)
		}
		s.line(head)
	} else if err := s.read(head); err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

// errLocked tells that another process has a file.
var errLocked = errors.New("another process has it")

// hold opens the state and takes it for this search alone. The system gives it
// free when the process ends, so that none that was killed stands in the way.
func (s *searchState) hold(f searchFlags) error {
	flags := os.O_RDWR
	if !f.resume {
		flags |= os.O_CREATE
	}
	for began := time.Now(); ; {
		file, err := os.OpenFile(s.path, flags, 0o644)
		switch {
		case f.resume && errors.Is(err, fs.ErrNotExist):
			return mistake("there is no stopped search to resume: %s is not there", s.path)
		case err != nil:
			return unwritable(s.path, err)
		}
		err = lock(file)
		if err == nil && isStill(file, s.path) {
			s.file = file
			return nil
		}
		file.Close()
		switch {
		case errors.Is(err, errLocked) && time.Since(began) < ending:
			time.Sleep(ending / 10)
		case errors.Is(err, errLocked):
			return mistake("another search is writing into %s, which %s shows; wait until it ends, stop it, or give another folder with -o", f.out, s.path)
		case err != nil:
			return unwritable(s.path, err)
		}
	}
}

// ending is how long the system may take to end a process that was killed.
const ending = 500 * time.Millisecond

// isStill tells whether a file has not lost its name, to a search that ended,
// between being opened and being locked.
func isStill(file *os.File, path string) bool {
	own, err := file.Stat()
	if err != nil {
		return false
	}
	now, err := os.Stat(path)
	return err == nil && os.SameFile(own, now)
}

// unwritable says why a file that a search keeps beside its folder cannot be
// written.
func unwritable(path string, err error) error {
	return mistake("%s cannot be written: %w; a search keeps files beside the folder of -o: give one in a folder that you may write to", path, cause(err))
}

// cause is what the system says of a file, without the call and the path.
func cause(err error) error {
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		return at.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
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

// read reads what was judged, and leaves the file at its end.
func (s *searchState) read(head stateHead) error {
	text, err := io.ReadAll(s.file)
	if err != nil {
		return inInput(err)
	}
	text = text[:bytes.LastIndexByte(text, '\n')+1] // the last line may be half written
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
		if json.Unmarshal(lines.Bytes(), &o) == nil && o.Key != "" {
			s.known[o.Key] = o
		}
	}
	if err := s.file.Truncate(int64(len(text))); err != nil {
		return unwritable(s.path, err)
	}
	_, err = s.file.Seek(int64(len(text)), io.SeekStart)
	return err
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
		s.file = nil
	}
}

// afterStop says how a search that was stopped goes on.
func (s *searchState) afterStop(file, out string) string {
	if s.err != nil {
		return fmt.Sprintf("stopped; not all that was judged is kept, for %s cannot be written: %v", s.path, cause(s.err))
	}
	return fmt.Sprintf("stopped; continue with: spanwright search %s -o %s --resume", file, out)
}

// remove forgets the state of a search that is done.
func (s *searchState) remove() {
	if s.path == "" {
		return
	}
	if err := os.Remove(s.path); err != nil { // some systems keep what is open
		s.close()
		os.Remove(s.path)
	}
}
