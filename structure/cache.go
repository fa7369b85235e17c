package structure

import (
	"container/list"
	"sync"

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
	recent *list.List // of *kept, the latest first
}

// kept is one study of a cache.
type kept struct {
	mark  mark
	once  sync.Once
	study *solved
	err   error
	size  int64 // counted so far, bytes
	gone  bool
}

// NewCache returns a cache that holds about room bytes; those used longest ago go
// first. A study takes 1 to 10 MB.
func NewCache(room int64) *Cache {
	return &Cache{room: room, byMark: map[mark]*list.Element{}, recent: list.New()}
}

// Study is New, of what is kept if it is there.
func (c *Cache) Study(m *machine.Machine, level Level) (*Study, error) {
	form, err := formOf(m, level)
	if err != nil {
		return nil, err
	}
	if c == nil {
		found, err := solve(form)
		return newStudy(m, level, found), err
	}
	k := c.find(markOf(form))
	k.once.Do(func() {
		if k.study, k.err = solve(form); k.err == nil {
			k.study.memory.grown = func() { c.count(k) }
			k.study.memory.room = c.room / 2
			c.count(k)
		}
	})
	if k.err != nil {
		c.drop(k)
		return nil, k.err
	}
	return newStudy(m, level, k.study), nil
}

// find returns the place of a study, the latest from now on.
func (c *Cache) find(by mark) *kept {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.byMark[by]; ok {
		c.recent.MoveToFront(e)
		return e.Value.(*kept)
	}
	k := &kept{mark: by}
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
}
