package sparse

import "math"

// The sides of a separator and the separator itself.
const (
	left      = 0
	right     = 1
	separator = 2
)

// largestSide is the greatest share of the freedoms one side may hold, and imbalance the price of uneven sides: how much
// dearer a separator counts that leaves all on one side. Both were chosen by the work of factorisations of lattices, which
// changes by some ten per cent over the sensible range.
const (
	largestSide = 2.0 / 3
	imbalance   = 0.35
)

// separation is a division of a graph into two sides that touch only through the separator.
type separation struct {
	g    *graph
	part []int32
	size [3]int32 // freedoms of the sides and the separator
}

func newSeparation(g *graph, part []int32) *separation {
	s := &separation{g: g, part: part}
	for v, p := range part {
		s.size[p] += g.weight[v]
	}
	return s
}

// limit is the most freedoms a side may hold.
func (s *separation) limit() int32 {
	return int32(largestSide * float64(s.size[left]+s.size[right]+s.size[separator]))
}

// cost ranks separations: the separator, made dearer by imbalance, and beyond the limit very dear.
func (s *separation) cost() float64 {
	big := max(s.size[left], s.size[right])
	small := min(s.size[left], s.size[right])
	whole := float64(big + small + s.size[separator])
	c := float64(s.size[separator]) * (1 + imbalance*float64(big-small)/whole)
	if over := big - s.limit(); over > 0 {
		c += 4 * float64(over)
	}
	return c
}

// separate returns a division of a connected graph: the best of a level set of a breadth-first search, good for long
// and for regular structures, and of the multilevel scheme, good for the rest.
func separate(g *graph) []int32 {
	best := levelSeparation(g)
	best.refine()
	if other := multilevel(g); other.cost() < best.cost() {
		best = other
	}
	return best.part
}

// levelSeparation takes the level of a breadth-first search from an outlying group that costs least.
func levelSeparation(g *graph) *separation {
	level, depth := levels(g, outlying(g))
	weight := make([]int32, depth)
	for v, l := range level {
		weight[l] += g.weight[v]
	}
	trial := &separation{g: g}
	whole := total(g.weight)
	best, bestCost, before := int32(0), math.Inf(1), int32(0)
	for l := range depth {
		trial.size = [3]int32{before, whole - before - weight[l], weight[l]}
		if c := trial.cost(); c < bestCost {
			best, bestCost = l, c
		}
		before += weight[l]
	}
	part := make([]int32, g.size())
	for v, l := range level {
		switch {
		case l < best:
			part[v] = left
		case l > best:
			part[v] = right
		default:
			part[v] = separator
		}
	}
	return newSeparation(g, part)
}

// levels returns the distance of every group from one, and the number of levels.
func levels(g *graph, from int32) (level []int32, depth int32) {
	level = filled(g.size(), -1)
	level[from] = 0
	queue := make([]int32, 1, g.size())
	queue[0] = from
	for k := 0; k < len(queue); k++ {
		v := queue[k]
		for _, w := range g.neighbours(v) {
			if level[w] < 0 {
				level[w] = level[v] + 1
				queue = append(queue, w)
			}
		}
	}
	return level, level[queue[len(queue)-1]] + 1
}

// outlying finds a group at the end of a longest shortest path, nearly.
//
// Source: pseudo-peripheral nodes, George, Liu, ACM Trans. Math. Softw. 5 (1979) 284 (from memory).
func outlying(g *graph) int32 {
	at, reached := int32(0), int32(0)
	for {
		level, depth := levels(g, at)
		if depth <= reached {
			return at
		}
		reached = depth
		far := int32(-1)
		for v, l := range level {
			if l == depth-1 && (far < 0 || len(g.neighbours(int32(v))) < len(g.neighbours(far))) {
				far = int32(v)
			}
		}
		at = far
	}
}

// refine moves groups out of the separator as long as that pays, climbing over small hills.
//
// Source: Fiduccia, Mattheyses, DAC 1982, for vertex separators as in Hendrickson, Rothberg, SIAM J. Sci. Comput. 20
// (1998) 468 (both from memory).
func (s *separation) refine() {
	r := refinement{separation: s, locked: make([]bool, len(s.part))}
	for k := range r.pull {
		r.pull[k] = make([]int32, len(s.part))
	}
	for range 8 {
		if !r.pass() {
			return
		}
	}
}

// refinement is the state of one pass after the other. pull[k][v] is the weight of the neighbours on side k of
// a group v of the separator: what must join the separator if v leaves for the other side.
type refinement struct {
	*separation
	locked []bool
	pull   [2][]int32
	queue  [2]gainQueue
	log    []change
}

// change is a group that changed its part, and the part it came from.
type change struct {
	group, from int32
}

// patience is the number of moves without a new best after which a pass gives up.
const patience = 60

func (r *refinement) pass() bool {
	clear(r.locked)
	r.log = r.log[:0]
	r.queue[0], r.queue[1] = r.queue[0][:0], r.queue[1][:0]
	for v := range int32(len(r.part)) {
		if r.part[v] == separator {
			r.measure(v)
		}
	}
	start := r.cost()
	best, bestAt, idle := start, 0, 0
	for idle < patience {
		v, side := r.choose()
		if v < 0 {
			break
		}
		r.move(v, side)
		if c := r.cost(); c < best-1e-9 {
			best, bestAt, idle = c, len(r.log), 0
		} else {
			idle++
		}
	}
	for k := len(r.log) - 1; k >= bestAt; k-- {
		c := r.log[k]
		w := r.g.weight[c.group]
		r.size[r.part[c.group]] -= w
		r.size[c.from] += w
		r.part[c.group] = c.from
	}
	return best < start-1e-9
}

// measure finds the pull on a group of the separator and offers its moves.
func (r *refinement) measure(v int32) {
	r.pull[left][v], r.pull[right][v] = 0, 0
	for _, w := range r.g.neighbours(v) {
		if p := r.part[w]; p != separator {
			r.pull[p][v] += r.g.weight[w]
		}
	}
	r.offer(v, left)
	r.offer(v, right)
}

// gain is what the separator loses if v leaves for a side.
func (r *refinement) gain(v int32, side int32) int32 {
	return r.g.weight[v] - r.pull[1-side][v]
}

func (r *refinement) offer(v, side int32) {
	if !r.locked[v] {
		r.queue[side].push(offer{r.gain(v, side), v})
	}
}

// choose takes the best move that keeps the balance; of equal ones that to the smaller side.
func (r *refinement) choose() (v, side int32) {
	limit := r.limit()
	var top [2]offer
	for k := range int32(2) {
		top[k] = offer{group: -1}
		for len(r.queue[k]) > 0 {
			o := r.queue[k][0]
			if r.part[o.group] != separator || r.locked[o.group] || r.gain(o.group, k) != o.gain ||
				r.size[k]+r.g.weight[o.group] > max(limit, r.size[1-k]) {
				r.queue[k].pop()
				continue
			}
			top[k] = o
			break
		}
	}
	side = left
	switch {
	case top[left].group < 0 || top[right].group < 0:
		if top[left].group < 0 {
			side = right
		}
	case top[right].gain > top[left].gain || top[right].gain == top[left].gain && r.size[right] < r.size[left]:
		side = right
	}
	return top[side].group, side
}

// move takes v out of the separator to a side, and its neighbours on the other side into the separator.
func (r *refinement) move(v, side int32) {
	r.locked[v] = true
	r.set(v, side)
	for _, w := range r.g.neighbours(v) {
		switch r.part[w] {
		case separator:
			r.pull[side][w] += r.g.weight[v]
			r.offer(w, 1-side)
		case 1 - side:
			r.set(w, separator)
			r.measure(w)
			for _, x := range r.g.neighbours(w) {
				if r.part[x] == separator && x != w {
					r.pull[1-side][x] -= r.g.weight[w]
					r.offer(x, side)
				}
			}
		}
	}
}

func (r *refinement) set(v, part int32) {
	r.log = append(r.log, change{v, r.part[v]})
	r.size[r.part[v]] -= r.g.weight[v]
	r.size[part] += r.g.weight[v]
	r.part[v] = part
}

// offer is a move on the queue of a side; it is stale if the gain has changed since.
type offer struct {
	gain, group int32
}

func (o offer) before(p offer) bool {
	return o.gain > p.gain || o.gain == p.gain && o.group < p.group
}

// gainQueue is a binary heap, best offer on top.
type gainQueue []offer

func (q *gainQueue) push(o offer) {
	*q = append(*q, o)
	h := *q
	k := len(h) - 1
	for k > 0 && h[k].before(h[(k-1)/2]) {
		h[k], h[(k-1)/2] = h[(k-1)/2], h[k]
		k = (k - 1) / 2
	}
}

func (q *gainQueue) pop() {
	h := *q
	last := len(h) - 1
	h[0] = h[last]
	h = h[:last]
	*q = h
	for k := 0; ; {
		c := 2*k + 1
		if c >= last {
			return
		}
		if c+1 < last && h[c+1].before(h[c]) {
			c++
		}
		if !h[c].before(h[k]) {
			return
		}
		h[k], h[c] = h[c], h[k]
		k = c
	}
}
