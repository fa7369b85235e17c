package judging

import (
	"slices"
	"sync"
)

// mostCached is how many judgements are kept besides the last good one of each
// file: enough to go back and forth between a few variants.
const mostCached = 12

// cache keeps the judgements used last.
type cache struct {
	mu    sync.Mutex
	keys  []cacheKey // the latest last
	known map[cacheKey]*Judgement
}

func (c *cache) get(key cacheKey) *Judgement {
	c.mu.Lock()
	defer c.mu.Unlock()
	found := c.known[key]
	if found != nil {
		c.touch(key)
	}
	return found
}

func (c *cache) put(key cacheKey, j *Judgement) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.known == nil {
		c.known = map[cacheKey]*Judgement{}
	}
	c.known[key] = j
	c.touch(key)
	if len(c.keys) > mostCached {
		delete(c.known, c.keys[0])
		c.keys = slices.Delete(c.keys, 0, 1)
	}
}

func (c *cache) touch(key cacheKey) {
	if i := slices.Index(c.keys, key); i >= 0 {
		c.keys = slices.Delete(c.keys, i, i+1)
	}
	c.keys = append(c.keys, key)
}
