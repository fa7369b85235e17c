package structure

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// question is what can be asked about a pose of a solved form.
type question struct {
	what   string
	number int    // of modes
	loaded bool   // with the payload
	pose   string // mark of the ties
}

// memory holds what has been answered. Answers are shared: nobody may change them.
type memory struct {
	mu    sync.Mutex
	known map[question]any
	bytes int64
	room  int64  // bytes; 0 is no limit
	grown func() // told when something was added; may be nil
}

func (m *memory) get(q question) (any, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	a, ok := m.known[q]
	return a, ok
}

// put keeps an answer of about some bytes. If there is too little room, all that
// was known goes.
func (m *memory) put(q question, answer any, bytes int64) {
	const overhead = 200 // bytes of an entry besides its answer
	m.mu.Lock()
	bytes += overhead
	if m.known == nil || m.room > 0 && m.bytes+bytes > m.room {
		m.known, m.bytes = map[question]any{}, 0
	}
	if _, ok := m.known[q]; !ok {
		m.bytes += bytes
	}
	m.known[q] = answer
	m.mu.Unlock()
	if m.grown != nil {
		m.grown()
	}
}

func (m *memory) size() int64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.bytes
}

// recall answers a question about each of some poses, in their order: from memory
// or, on all processors, by find. Equal poses are looked at once. bytes is about
// what an answer takes.
func recall[A any](s *Study, about question, poses [][]float64, bytes func(A) int64, find func(w *worker, i int) (A, error)) ([]A, error) {
	known, out := s.answers(about.loaded), make([]A, len(poses))
	first, same := make(map[string]int, len(poses)), make([]int, len(poses))
	var open []int
	marks := make([]string, len(poses))
	for i, q := range poses {
		at, err := s.at(q)
		if err != nil {
			return nil, fmt.Errorf("pose %v: %w", q, err)
		}
		k, seen := first[at.mark]
		if same[i] = k; seen {
			continue
		}
		first[at.mark], same[i], marks[i] = i, i, at.mark
		about.pose = at.mark
		if a, ok := known.get(about); ok {
			out[i] = a.(A)
			continue
		}
		open = append(open, i)
	}
	// Poses that share the ties of leading axes follow one another, see frame.Pose.Set.
	slices.SortStableFunc(open, func(a, b int) int { return strings.Compare(marks[a], marks[b]) })
	errs := make([]error, len(open))
	s.spread(len(open), len(poses), func(w *worker, k int) { out[open[k]], errs[k] = find(w, open[k]) })
	for k, i := range open {
		if errs[k] != nil {
			return nil, fmt.Errorf("pose %v: %w", poses[i], errs[k])
		}
		about.pose = marks[i]
		known.put(about, out[i], bytes(out[i]))
	}
	for i, k := range same {
		out[i] = out[k]
	}
	return out, nil
}
