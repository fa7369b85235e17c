package sparse

import "runtime"

// leafFreedoms is the size below which a part is ordered by minimum degree rather than cut again.
const leafFreedoms = 300

// nestedDissection cuts a graph in two along a small separator, and both parts again until they are small. It
// returns the depth of the cut whose separator holds a group; uncut groups get a depth beyond all others.
//
// Source: George, SIAM J. Numer. Anal. 10 (1973) 345 (from memory).
func nestedDissection(g *graph) []int32 {
	d := dissection{depth: filled(g.size(), uncut)}
	d.cut(g, identity(g.size()), 0)
	return d.depth
}

const uncut = 1 << 30

// dissection collects the depths.
type dissection struct {
	depth []int32
}

// cut divides g, whose groups are called name in the whole graph.
func (d *dissection) cut(g *graph, name []int32, depth int32) {
	if total(g.weight) <= leafFreedoms || g.size() < 8 {
		return
	}
	part, count := components(g)
	sides := split(part, count)
	if count == 1 {
		sides = split(separate(g), 3)
		if len(sides[left]) == 0 || len(sides[right]) == 0 {
			return
		}
		for _, v := range sides[separator] {
			d.depth[name[v]] = depth
		}
		sides = sides[:separator]
		depth++
	}
	// Sides share nothing, so that it does not matter who cuts them.
	workers := 1
	if g.size() >= worthSharing {
		workers = runtime.GOMAXPROCS(0)
	}
	each(workers, len(sides), func(_, i int) {
		sub, subName := g.part(name, sides[i])
		d.cut(sub, subName, depth)
	})
}

// worthSharing is the number of groups from which the sides of a cut are handed to goroutines.
const worthSharing = 600

// part returns the graph of the members of g and their names in the whole.
func (g *graph) part(name, members []int32) (*graph, []int32) {
	local := filled(g.size(), -1)
	sub := &graph{start: make([]int32, 1, len(members)+1), weight: make([]int32, len(members))}
	subName := make([]int32, len(members))
	for k, v := range members {
		local[v] = int32(k)
		subName[k] = name[v]
		sub.weight[k] = g.weight[v]
	}
	for _, v := range members {
		for _, w := range g.neighbours(v) {
			if k := local[w]; k >= 0 {
				sub.adj = append(sub.adj, k)
			}
		}
		sub.start = append(sub.start, int32(len(sub.adj)))
	}
	return sub, subName
}

// components labels the connected parts of g from 0.
func components(g *graph) (part []int32, count int) {
	part = filled(g.size(), -1)
	var queue []int32
	for s := range part {
		if part[s] >= 0 {
			continue
		}
		part[s] = int32(count)
		queue = append(queue[:0], int32(s))
		for len(queue) > 0 {
			v := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, w := range g.neighbours(v) {
				if part[w] < 0 {
					part[w] = int32(count)
					queue = append(queue, w)
				}
			}
		}
		count++
	}
	return part, count
}

// split lists the members of every part, rising.
func split(part []int32, count int) [][]int32 {
	lists := make([][]int32, count)
	for v, p := range part {
		lists[p] = append(lists[p], int32(v))
	}
	return lists
}

func identity(n int) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func total(weight []int32) int32 {
	sum := int32(0)
	for _, w := range weight {
		sum += w
	}
	return sum
}

// stages turns depths into stages of elimination, deepest first; uncut groups are stage 0.
func stages(depth []int32) []int32 {
	deepest := int32(-1)
	for _, d := range depth {
		if d != uncut {
			deepest = max(deepest, d)
		}
	}
	stage := make([]int32, len(depth))
	for v, d := range depth {
		if d != uncut {
			stage[v] = deepest + 1 - d
		}
	}
	return stage
}
