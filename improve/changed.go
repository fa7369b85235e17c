package improve

import (
	"fmt"
	"runtime"
	"sync"

	"spanwright/design"
	"spanwright/internal/crew"
	"spanwright/machine"
	"spanwright/structure"
)

// changes keeps the machines that edits make, each built once.
type changes struct {
	mu    sync.Mutex
	known map[string]*changed
}

// changed is the machine after some edits.
type changed struct {
	build func() (*machine.Machine, error)
	// alike tells whether the structure is left as it is, so that what was solved for
	// it serves again; what cannot be built costs nothing either.
	alike func() bool
}

// changed is the machine after edits.
func (s *situation) changed(list []Edit) *changed {
	key := keyOf(list)
	s.changes.mu.Lock()
	defer s.changes.mu.Unlock()
	if c, ok := s.changes.known[key]; ok {
		return c
	}
	c := &changed{}
	c.build = sync.OnceValues(func() (*machine.Machine, error) { return s.build(list) })
	c.alike = sync.OnceValue(func() bool {
		m, err := c.build()
		return err != nil || structure.Alike(s.m, m)
	})
	if s.changes.known == nil {
		s.changes.known = map[string]*changed{}
	}
	s.changes.known[key] = c
	return c
}

// build makes the edits and puts the changed machine together.
func (s *situation) build(list []Edit) (*machine.Machine, error) {
	text, err := s.design.File.Apply(edits(list)...)
	if err != nil {
		return nil, err
	}
	d, wrong := design.Parse(s.design.File.Name, text)
	if len(wrong) > 0 {
		return nil, fmt.Errorf("%w: %w", errRefused, wrong.Err())
	}
	m, wrong := machine.Build(d, s.parts)
	if len(wrong) > 0 {
		return nil, fmt.Errorf("%w: %w", errRefused, wrong.Err())
	}
	return m, nil
}

// compareAll finds on all processors which proposals leave the structure as it is.
func (s *situation) compareAll(problems []posed) {
	gate := make(chan struct{}, runtime.GOMAXPROCS(0))
	var all crew.Crew
	for _, p := range problems {
		for _, q := range p.proposals {
			gate <- struct{}{}
			all.Go(func() {
				defer func() { <-gate }()
				s.changed(q.Edits).alike()
			})
		}
	}
	all.Wait()
}
