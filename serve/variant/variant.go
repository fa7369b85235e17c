// Package variant keeps named states of a design beside it, in the hidden
// folder: texts with what was found out about them when they were kept. It knows
// nothing of what a design means.
package variant

import (
	"cmp"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
	"time"

	"spanwright/serve/document"
)

// Variant is one kept state.
type Variant struct {
	ID       string          `json:"id"`
	Name     string          `json:"name"`
	Made     time.Time       `json:"made"`
	Version  int             `json:"version"`          // of the working copy from which it was made
	Headline json.RawMessage `json:"headline"`         // what was found; null where nothing was
	Reason   string          `json:"reason,omitempty"` // why there is no headline
}

// Errors of variants.
var (
	ErrNone = errors.New("there is no such variant")
	ErrMany = errors.New("too many variants of one design; remove some")
	ErrName = errors.New("a variant needs a name of up to 80 letters")
)

// Bounds.
const (
	most        = 200
	longestName = 80 // letters
	mark        = ".variant"
)

// kept is how a variant is written.
type kept struct {
	Format int `json:"format"`
	Variant
	Text string `json:"text"`
}

// Store keeps the variants of the designs of a folder. It may be used by
// several goroutines.
type Store struct {
	folder *document.Folder
	now    func() time.Time
	mu     sync.Mutex
}

// NewStore keeps variants in the folder.
func NewStore(folder *document.Folder, now func() time.Time) *Store {
	return &Store{folder: folder, now: now}
}

// Add keeps a text under a name.
func (s *Store) Add(file, name, text string, version int, headline json.RawMessage) (Variant, error) {
	name = strings.TrimSpace(name)
	if name == "" || len([]rune(name)) > longestName {
		return Variant{}, ErrName
	}
	if err := document.CheckName(file); err != nil {
		return Variant{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ids, err := s.ids(file)
	if err != nil {
		return Variant{}, err
	}
	if len(ids) >= most {
		return Variant{}, ErrMany
	}
	v := Variant{ID: strings.ToLower(rand.Text()[:10]), Name: name, Made: s.now().UTC().Truncate(time.Second), Version: version, Headline: headline}
	v.explain()
	raw, err := json.Marshal(kept{Format: 1, Variant: v, Text: text})
	if err != nil {
		return Variant{}, err
	}
	return v, s.folder.WriteHidden(path.Dir(file), fileName(file, v.ID), raw)
}

// List lists the variants of a design, the oldest first. Files that cannot be
// read are left out.
func (s *Store) List(file string) ([]Variant, error) {
	if err := document.CheckName(file); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ids, err := s.ids(file)
	if err != nil {
		return nil, err
	}
	out := []Variant{}
	for _, id := range ids {
		if k, err := s.read(file, id); err == nil {
			out = append(out, k.Variant)
		}
	}
	slices.SortFunc(out, func(a, b Variant) int { return cmp.Or(a.Made.Compare(b.Made), strings.Compare(a.ID, b.ID)) })
	return out, nil
}

// Text is a variant with its text.
func (s *Store) Text(file, id string) (Variant, string, error) {
	if err := document.CheckName(file); err != nil {
		return Variant{}, "", err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	k, err := s.read(file, id)
	if err != nil {
		return Variant{}, "", err
	}
	return k.Variant, k.Text, nil
}

// Remove takes a variant away.
func (s *Store) Remove(file, id string) error {
	if err := document.CheckName(file); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if !isID(id) {
		return fmt.Errorf("%q: %w", id, ErrNone)
	}
	err := s.folder.RemoveHidden(path.Dir(file), fileName(file, id))
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%q: %w", id, ErrNone)
	}
	return err
}

func fileName(file, id string) string { return path.Base(file) + "." + id + mark }

// isID tells whether a text can be an id, and not a way to another file.
func isID(id string) bool {
	return len(id) == 10 && !strings.ContainsFunc(id, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '2' || r > '7') })
}

// ids lists what is there, by name.
func (s *Store) ids(file string) ([]string, error) {
	names, err := s.folder.Hidden(path.Dir(file))
	if err != nil {
		return nil, err
	}
	var out []string
	for _, name := range names {
		id, found := strings.CutPrefix(name, path.Base(file)+".")
		id, marked := strings.CutSuffix(id, mark)
		if found && marked && isID(id) {
			out = append(out, id)
		}
	}
	return out, nil
}

func (s *Store) read(file, id string) (*kept, error) {
	if !isID(id) {
		return nil, fmt.Errorf("%q: %w", id, ErrNone)
	}
	raw, err := s.folder.ReadHidden(path.Dir(file), fileName(file, id))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%q: %w", id, ErrNone)
	}
	if err != nil {
		return nil, err
	}
	k := &kept{}
	if err := json.Unmarshal(raw, k); err != nil {
		return nil, fmt.Errorf("variant %s cannot be read: %w", id, err)
	}
	if k.Format != 1 || k.ID != id {
		return nil, fmt.Errorf("variant %s was not written by this version", id)
	}
	k.explain()
	return k, nil
}

// explain says why there is no headline, where there is none.
func (v *Variant) explain() {
	if v.Reason = ""; len(v.Headline) == 0 || string(v.Headline) == "null" {
		v.Headline, v.Reason = nil, "it could not be judged when it was kept"
	}
}
