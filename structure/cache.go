package structure

import (
	"cmp"
	"container/list"
	"sync"

	"spanwright/frame"
	"spanwright/internal/crew"
	"spanwright/machine"
)

// Cache keeps studies, and what was solved in them, for machines that are judged
// again: after a change of limits, targets, duty, prices or motors, or at another
// stiffness that was seen before. What is kept is found by everything that a
// frame model is made of and by the ties of a pose, not by the design's text, so
// that a result is the same with a cache and without.
//
// It may be used by several goroutines. A nil *Cache keeps nothing.
type Cache struct {
	mu     sync.Mutex
	room   int64 // bytes
	used   int64
	byMark map[mark]*list.Element
	empty  map[mark]*shared
	recent *list.List // of *kept, the latest first
}

// kept is one study of a cache.
type kept struct {
	mark  mark
	empty *shared
	once  sync.Once
	study *solved
	err   error
	size  int64 // counted so far, bytes
	gone  bool
}

// shared is what kept studies have in common that differ by their payload alone.
type shared struct {
	mark mark
	once sync.Once
	core *core
	err  error
	used int // by studies that are kept
}

func (s *shared) solve(f *empty, room int64) (*core, error) {
	s.once.Do(func() {
		if s.core, s.err = solve(f); s.err == nil {
			s.core.unloaded.room = room
		}
	})
	return s.core, s.err
}

// NewCache returns a cache that holds about room bytes; those used longest ago go
// first. A study takes 1 to 10 MB.
func NewCache(room int64) *Cache {
	return &Cache{room: room, byMark: map[mark]*list.Element{}, empty: map[mark]*shared{}, recent: list.New()}
}

// Levels are the studies of a machine at all levels, solved side by side.
func (c *Cache) Levels(m *machine.Machine) (out [Levels]*Study, err error) {
	var errs [Levels]error
	var all crew.Crew
	ties := newStages(m) // the same at every level
	for l := range out {
		all.Go(func() { out[l], errs[l] = c.study(m, Level(l), ties) })
	}
	all.Wait()
	return out, cmp.Or(errs[0], errs[1], errs[2])
}

// Study is New, of what is kept if it is there.
func (c *Cache) Study(m *machine.Machine, level Level) (*Study, error) {
	return c.study(m, level, newStages(m))
}

func (c *Cache) study(m *machine.Machine, level Level, ties *stages) (*Study, error) {
	form, err := formOf(m, level)
	if err != nil {
		return nil, err
	}
	if c == nil {
		found, err := solve(&form.empty)
		return &Study{&solved{core: found, carried: form.Payload}, m, level, ties}, err
	}
	k := c.find(form)
	k.once.Do(func() {
		var found *core
		if found, k.err = k.empty.solve(&form.empty, c.room/2); k.err == nil {
			k.study = &solved{core: found, carried: form.Payload}
			k.study.loaded.grown = func() { c.count(k) }
			k.study.loaded.room = c.room / 2
			c.count(k)
		}
	})
	if k.err != nil {
		c.drop(k)
		return nil, k.err
	}
	return &Study{k.study, m, level, ties}, nil
}

// find returns the place of a study, the latest from now on.
func (c *Cache) find(f *form) *kept {
	empty := markOf(&f.empty)
	by := markOf(struct {
		Empty   mark
		Payload []frame.Mass
	}{empty, f.Payload})
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.byMark[by]; ok {
		c.recent.MoveToFront(e)
		return e.Value.(*kept)
	}
	if c.empty[empty] == nil {
		c.empty[empty] = &shared{mark: empty}
	}
	k := &kept{mark: by, empty: c.empty[empty]}
	k.empty.used++
	c.byMark[by] = c.recent.PushFront(k)
	return k
}

// count takes note of how large a study has become and makes room for it.
func (c *Cache) count(k *kept) {
	size := k.study.size()
	c.mu.Lock()
	defer c.mu.Unlock()
	if k.gone {
		return
	}
	c.used += size - k.size
	k.size = size
	for c.used > c.room && c.recent.Len() > 1 {
		c.remove(c.recent.Back().Value.(*kept))
	}
}

func (c *Cache) drop(k *kept) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !k.gone {
		c.remove(k)
	}
}

// remove forgets a study; whoever holds it may go on using it.
func (c *Cache) remove(k *kept) {
	c.recent.Remove(c.byMark[k.mark])
	delete(c.byMark, k.mark)
	c.used -= k.size
	k.gone = true
	if k.empty.used--; k.empty.used == 0 {
		delete(c.empty, k.empty.mark)
	}
}
