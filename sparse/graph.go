package sparse

import "slices"

// graph is the adjacency of groups of freedoms that are eliminated together. Both directions of an edge are stored,
// loops are not, neighbours rise.
type graph struct {
	start  []int32
	adj    []int32
	weight []int32 // freedoms in each group
}

func (g *graph) size() int { return len(g.weight) }

func (g *graph) neighbours(v int32) []int32 { return g.adj[g.start[v]:g.start[v+1]] }

// grouping sorts the freedoms of a matrix into groups: members of group g are dof[start[g]:start[g+1]], rising.
type grouping struct {
	of    []int32 // group of a freedom
	start []int32
	dof   []int32
}

// newGrouping lists the members of each group; of numbers the groups from 0 without gaps.
func newGrouping(of []int32) *grouping {
	count := int32(0)
	for _, g := range of {
		count = max(count, g+1)
	}
	gr := &grouping{of: of, start: make([]int32, count+1), dof: bucket(of, int(count))}
	for _, g := range of {
		gr.start[g+1]++
	}
	for g := range count {
		gr.start[g+1] += gr.start[g]
	}
	return gr
}

// bucket returns the indices of keys sorted by key; those of equal keys rise.
func bucket(keys []int32, n int) []int32 {
	at := make([]int32, n+1)
	for _, k := range keys {
		at[k+1]++
	}
	for k := range n {
		at[k+1] += at[k]
	}
	sorted := make([]int32, len(keys))
	for i, k := range keys {
		sorted[at[k]] = int32(i)
		at[k]++
	}
	return sorted
}

// group sorts freedoms into groups that share one pattern. Consecutive blocks are taken as they come if that adds few
// zeros to the pattern; otherwise (no block, or freedoms of supports were left out so that blocks straddle nodes)
// freedoms with the same neighbours, themselves included, form a group.
//
// Source: compressed graphs, Ashcraft, SIAM J. Sci. Comput. 16 (1995) 1404 (reference from memory).
func group(m *Matrix, block int) (*grouping, *graph) {
	if block > 1 && m.n%block == 0 {
		of := make([]int32, m.n)
		for i := range of {
			of[i] = int32(i / block)
		}
		gr := newGrouping(of)
		g := quotient(m, gr)
		stored := (len(g.adj)/2)*block*block + g.size()*block*(block+1)/2
		if stored <= 2*len(m.row) {
			return gr, g
		}
	}
	gr := newGrouping(indistinguishable(m))
	return gr, quotient(m, gr)
}

// indistinguishable numbers the classes of freedoms with the same closed neighbourhood, in order of appearance.
func indistinguishable(m *Matrix) []int32 {
	single := make([]int32, m.n)
	for i := range single {
		single[i] = int32(i)
	}
	g := quotient(m, newGrouping(single))
	sum := make([]uint64, m.n)
	for v := range int32(m.n) {
		sum[v] = scatterBits(uint64(v))
		for _, w := range g.neighbours(v) {
			sum[v] += scatterBits(uint64(w))
		}
	}
	of := make([]int32, m.n)
	mark := make([]int32, m.n)
	for v := range of {
		of[v], mark[v] = -1, -1
	}
	next := int32(0)
	for v := range int32(m.n) {
		if of[v] >= 0 {
			continue
		}
		of[v] = next
		near := g.neighbours(v)
		mark[v] = v
		for _, w := range near {
			mark[w] = v
		}
		for _, w := range near {
			if w > v && of[w] < 0 && sum[w] == sum[v] && len(g.neighbours(w)) == len(near) && allMarked(mark, v, g.neighbours(w)) {
				of[w] = next
			}
		}
		next++
	}
	return of
}

func allMarked(mark []int32, stamp int32, list []int32) bool {
	for _, w := range list {
		if mark[w] != stamp {
			return false
		}
	}
	return true
}

// scatterBits is the finaliser of splitmix64 (Steele, Lea, Flood, OOPSLA 2014; from memory).
func scatterBits(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// quotient returns the graph of groups of m.
func quotient(m *Matrix, gr *grouping) *graph {
	size := len(gr.start) - 1
	g := &graph{start: make([]int32, size+1), weight: make([]int32, size)}
	for v := range size {
		g.weight[v] = gr.start[v+1] - gr.start[v]
	}
	// The upper half (from lower to higher group number by column of m) first, each edge once.
	mark := make([]int32, size)
	for v := range mark {
		mark[v] = -1
	}
	var from, to []int32
	for v := range int32(size) {
		mark[v] = v
		for _, j := range gr.dof[gr.start[v]:gr.start[v+1]] {
			for k := m.start[j]; k < m.start[j+1]; k++ {
				if w := gr.of[m.row[k]]; mark[w] != v {
					mark[w] = v
					from, to = append(from, v), append(to, w)
				}
			}
		}
	}
	// A group need not be a run of freedoms, so that an edge may have come from both of its ends.
	for e := range from {
		g.start[from[e]+1]++
		g.start[to[e]+1]++
	}
	for v := range size {
		g.start[v+1] += g.start[v]
	}
	g.adj = make([]int32, 2*len(from))
	at := slices.Clone(g.start[:size])
	for e := range from {
		v, w := from[e], to[e]
		g.adj[at[v]], g.adj[at[w]] = w, v
		at[v]++
		at[w]++
	}
	keep := int32(0)
	for v := range int32(size) {
		list := g.adj[g.start[v]:g.start[v+1]]
		slices.Sort(list)
		g.start[v] = keep
		for i, w := range list {
			if i == 0 || w != list[i-1] {
				g.adj[keep] = w
				keep++
			}
		}
	}
	g.start[size] = keep
	g.adj = g.adj[:keep]
	return g
}
