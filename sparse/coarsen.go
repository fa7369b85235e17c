package sparse

import (
	"math/rand/v2"
	"slices"
)

// coarsest is the number of groups at which coarsening stops.
const coarsest = 60

// multilevel separates g by joining neighbours until few groups are left, separating those, and refining the
// separator while going back. Chance decides between equals, the same way every time.
//
// Source: Karypis, Kumar, SIAM J. Sci. Comput. 20 (1998) 359 (from memory).
func multilevel(g *graph) *separation {
	random := rand.New(rand.NewPCG(1, uint64(g.size())))
	chain := []*coarse{{graph: g, strength: filled(len(g.adj), 1)}}
	for {
		last := chain[len(chain)-1]
		if last.size() <= coarsest {
			break
		}
		next := last.contract(random)
		if next.size() > last.size()*19/20 {
			break
		}
		chain = append(chain, next)
	}
	s := bestGrowth(chain[len(chain)-1].graph, random)
	for k := len(chain) - 2; k >= 0; k-- {
		part := make([]int32, chain[k].size())
		for v := range part {
			part[v] = s.part[chain[k].joined[v]]
		}
		s = newSeparation(chain[k].graph, part)
		s.refine()
	}
	return s
}

// coarse is one level: a graph whose edges remember how many edges of the finest graph they stand for.
type coarse struct {
	*graph
	strength []int32 // beside adj
	joined   []int32 // group of the next coarser level
}

// contract joins every group with the unmatched neighbour it is tied to most strongly.
func (c *coarse) contract(random *rand.Rand) *coarse {
	n := c.size()
	mate := filled(n, -1)
	for _, v := range random.Perm(n) {
		if mate[v] >= 0 {
			continue
		}
		best, bestStrength, bestWeight := int32(v), int32(-1), int32(0)
		for e := c.start[v]; e < c.start[v+1]; e++ {
			w := c.adj[e]
			if mate[w] >= 0 {
				continue
			}
			if s := c.strength[e]; s > bestStrength || s == bestStrength && c.weight[w] < bestWeight {
				best, bestStrength, bestWeight = w, s, c.weight[w]
			}
		}
		mate[v], mate[best] = best, int32(v)
	}
	c.joined = filled(n, -1)
	next := &coarse{graph: &graph{start: []int32{0}}}
	var members [][2]int32
	for v := range int32(n) {
		if c.joined[v] >= 0 {
			continue
		}
		w := mate[v]
		c.joined[v], c.joined[w] = int32(len(members)), int32(len(members))
		weight := c.weight[v]
		if w != v {
			weight += c.weight[w]
		}
		next.weight = append(next.weight, weight)
		members = append(members, [2]int32{v, w})
	}
	at := filled(len(members), -1) // where the edge to a coarse group stands, if within this group's list
	for k, pair := range members {
		begin := int32(len(next.adj))
		for i, v := range pair {
			if i == 1 && v == pair[0] {
				break
			}
			for e := c.start[v]; e < c.start[v+1]; e++ {
				w := c.joined[c.adj[e]]
				switch {
				case int(w) == k:
				case at[w] >= begin:
					next.strength[at[w]] += c.strength[e]
				default:
					at[w] = int32(len(next.adj))
					next.adj, next.strength = append(next.adj, w), append(next.strength, c.strength[e])
				}
			}
		}
		next.start = append(next.start, int32(len(next.adj)))
	}
	return next
}

// bestGrowth grows one side from several groups until it holds half of the freedoms and keeps the cheapest.
func bestGrowth(g *graph, random *rand.Rand) *separation {
	var best *separation
	tried := []int32{outlying(g)}
	for range 5 {
		tried = append(tried, int32(random.IntN(g.size())))
	}
	slices.Sort(tried)
	for _, from := range slices.Compact(tried) {
		s := grow(g, from)
		s.refine()
		if best == nil || s.cost() < best.cost() {
			best = s
		}
	}
	return best
}

// grow takes groups in order of breadth-first search to the left until half is reached; the right neighbours of the
// left side form the separator.
func grow(g *graph, from int32) *separation {
	part := filled(g.size(), right)
	half := total(g.weight) / 2
	queue, held := []int32{from}, int32(0)
	seen := make([]bool, g.size())
	seen[from] = true
	for k := 0; k < len(queue) && held < half; k++ {
		v := queue[k]
		part[v] = left
		held += g.weight[v]
		for _, w := range g.neighbours(v) {
			if !seen[w] {
				seen[w] = true
				queue = append(queue, w)
			}
		}
	}
	for v := range part {
		if part[v] != left {
			continue
		}
		for _, w := range g.neighbours(int32(v)) {
			if part[w] == right {
				part[w] = separator
			}
		}
	}
	return newSeparation(g, part)
}
