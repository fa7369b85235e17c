package improve

import (
	"fmt"
	"runtime"
	"slices"
	"sync"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/internal/crew"
	"spanwright/ledger"
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
	// collisions judge alone what runs into each other; none for what cannot be built.
	collisions func() []ledger.Check
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
	c.collisions = sync.OnceValue(func() []ledger.Check {
		m, err := c.build()
		if err != nil {
			return nil
		}
		checks, err := assess.Collisions(m)
		if err != nil {
			return nil
		}
		return checks
	})
	if s.changes.known == nil {
		s.changes.known = map[string]*changed{}
	}
	s.changes.known[key] = c
	return c
}

// breaks tells whether one of some checks is over or unknown that is not so now.
func (s *situation) breaks(checks []ledger.Check) bool {
	bad := func(v ledger.Verdict) bool { return v == ledger.Over || v == ledger.Unknown }
	return slices.ContainsFunc(checks, func(c ledger.Check) bool {
		now, known := s.checks[c.ID]
		return bad(c.Verdict) && !(known && bad(now.Verdict))
	})
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
