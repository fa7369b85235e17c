package sparse

import (
	"fmt"
	"slices"
	"sync"
)

// Symbolic is what factorisations of one pattern have in common: the elimination order, the fronts and where each
// entry of the matrix goes. It is immutable and may be used by several goroutines at once.
type Symbolic struct {
	n       int
	perm    []int32 // freedom eliminated at each place
	place   []int32 // its inverse
	fronts  []front
	trees   [][2]int32 // ranges of fronts that form subtrees, independent of each other
	top     int32      // fronts from here on are common
	size    int        // numbers in L
	stack   [2]int     // room for the update matrices of a subtree, even and odd levels
	work    float64    // multiplications
	tallest int        // rows of the tallest front
	entries *scatter
	common  int       // first place of the common fronts
	pool    sync.Pool // of *workshop
	scratch sync.Pool // of *Scratch
}

// front is a set of consecutive columns of L with common rows.
type front struct {
	first, width int32 // places of its pivots
	height, ld   int32 // rows, the pivots included, and the column length in store
	parent       int32
	level        int32   // depth below the root of its subtree less one; -1 for such a root and for common fronts
	panel        int     // where its columns begin in L
	rows         []run   // places of the rows below the pivots
	into         []piece // where these rows stand among the parent's
	children     []int32
}

// run is a row of places.
type run struct {
	at, count int32
}

// piece is a run of rows of a child, counted from the first below its pivots, and where it stands in the parent's front.
type piece struct {
	from, to, count int32
}

// below is the number of rows under the pivots.
func (f *front) below() int { return int(f.height - f.width) }

// commonPlaces is the number of pivots of the common fronts.
func (s *Symbolic) commonPlaces() int { return s.n - s.common }

// updateSize is the room of the update matrix: square, in whole quads.
func (f *front) updateSize() int {
	side := ceil(f.below(), 4)
	return side * side
}

// Analyse chooses the elimination order for the pattern of m and prepares the factorisation. block is the number of
// consecutive freedoms that belong to one node and stay together: 6 for a frame with all freedoms kept. With block 1,
// or if the blocks turn out not to match the pattern, freedoms with the same neighbours are found and kept together.
//
// The order is that of least predicted work among minimum degree and minimum degree within nested dissection.
func Analyse(m *Matrix, block int) *Symbolic {
	gr, g := group(m, block)
	a := newAssembly(g, bestOrder(g))
	s := &Symbolic{n: m.n}
	s.number(a, gr, g)
	s.entries, _ = s.scatter(m) // the pattern holds all of its own entries
	return s
}

// worthDissecting is the work in multiplications below which the search for a better order takes longer than it saves.
const worthDissecting = 2e7

// bestOrder tries orders of the groups and returns the one of least work.
func bestOrder(g *graph) []int32 {
	best := minimumDegree(g, make([]int32, g.size()))
	work := factorWork(g, best)
	if work < worthDissecting {
		return best
	}
	if order := minimumDegree(g, stages(nestedDissection(g))); factorWork(g, order) < work {
		return order
	}
	return best
}

// number settles the final order of fronts (subtrees first, common ones last), groups and freedoms, and their rows.
func (s *Symbolic) number(a *assembly, gr *grouping, g *graph) {
	order, top := a.arrange()
	at := invert(order)
	s.fronts = make([]front, len(order))
	s.perm = make([]int32, 0, s.n)
	start := make([]int32, g.size()) // place of a group's first freedom
	for k, old := range order {
		f := &s.fronts[k]
		f.first, f.width, f.parent = int32(len(s.perm)), int32(a.width[old]), -1
		if p := a.parent[old]; p >= 0 {
			f.parent = at[p]
			s.fronts[f.parent].children = append(s.fronts[f.parent].children, int32(k))
		}
		for _, v := range a.groups[old] {
			start[v] = int32(len(s.perm))
			s.perm = append(s.perm, gr.dof[gr.start[v]:gr.start[v+1]]...)
		}
	}
	s.place = invert(s.perm)
	s.common = s.n
	if int(top) < len(s.fronts) {
		s.common = int(s.fronts[top].first)
	}
	s.divide(top)
	s.structure(a, order, g, start)
	for k := range s.fronts {
		f := &s.fronts[k]
		f.panel = s.size
		f.ld = int32(ceil(int(f.height), 4))
		s.size += int(f.ld) * int(f.width)
		s.tallest = max(s.tallest, int(f.height))
		w, m := float64(f.width), float64(f.height)
		s.work += w*m*m - w*(w-1)*m + (w-1)*w*(2*w-1)/6
	}
	s.measureStacks()
}

// measureStacks plays through the subtrees to find the room their update matrices take. A matrix lies on the stack of
// its level's parity until the parent has taken it up.
func (s *Symbolic) measureStacks() {
	for _, t := range s.trees {
		s.fronts[t[1]-1].level = -1
		for k := t[1] - 2; k >= t[0]; k-- {
			s.fronts[k].level = s.fronts[s.fronts[k].parent].level + 1
		}
		var used [2]int
		for k := t[0]; k < t[1]-1; k++ {
			f := &s.fronts[k]
			side := f.level & 1
			used[side] += f.updateSize()
			s.stack[side] = max(s.stack[side], used[side])
			for _, c := range f.children {
				used[1-side] -= s.fronts[c].updateSize()
			}
		}
	}
	for k := s.top; k < int32(len(s.fronts)); k++ {
		s.fronts[k].level = -1
	}
}

// arrange returns the fronts in final order, subtrees before common fronts, and the number of the first common one.
func (a *assembly) arrange() (order []int32, top int32) {
	common := a.partition()
	var last []int32
	for s, c := range common {
		if c {
			last = append(last, int32(s))
		} else {
			order = append(order, int32(s))
		}
	}
	return append(order, last...), int32(len(order))
}

// divide lists the subtrees below the common fronts.
func (s *Symbolic) divide(top int32) {
	s.top = top
	begin := int32(0)
	for k := range top {
		if p := s.fronts[k].parent; p < 0 || p >= top {
			s.trees = append(s.trees, [2]int32{begin, k + 1})
			begin = k + 1
		}
	}
}

// structure finds the rows of every front: the neighbours of its groups and the rows of its children, less its own.
func (s *Symbolic) structure(a *assembly, order []int32, g *graph, start []int32) {
	groups := make([][]int32, len(order)) // groups below the pivots, by place
	mark := filled(g.size(), -1)
	byPlace := func(v, w int32) int { return int(start[v] - start[w]) }
	offset := make([]int32, g.size()) // row of a group in the front at hand
	for k, old := range order {
		f := &s.fronts[k]
		stamp := int32(k)
		var list []int32
		for _, v := range a.groups[old] {
			mark[v] = stamp
		}
		take := func(v int32) {
			if mark[v] != stamp && start[v] > f.first {
				mark[v] = stamp
				list = append(list, v)
			}
		}
		for _, v := range a.groups[old] {
			for _, w := range g.neighbours(v) {
				take(w)
			}
		}
		for _, c := range f.children {
			for _, v := range groups[c] {
				take(v)
			}
		}
		slices.SortFunc(list, byPlace)
		groups[k] = list
		row := int32(0)
		for _, v := range a.groups[old] {
			offset[v] = row
			row += g.weight[v]
		}
		for _, v := range list {
			offset[v] = row
			row += g.weight[v]
			f.rows = s.appendRun(f.rows, start[v], g.weight[v])
		}
		f.height = row
		for _, c := range f.children {
			from := int32(0)
			into := []piece{}
			for _, v := range groups[c] {
				into = appendPiece(into, from, offset[v], g.weight[v])
				from += g.weight[v]
			}
			s.fronts[c].into = into
			groups[c] = nil
		}
	}
}

// appendRun lengthens the last run or begins a new one; none goes on from a subtree into the common places.
func (s *Symbolic) appendRun(runs []run, at, count int32) []run {
	if last := len(runs) - 1; last >= 0 && runs[last].at+runs[last].count == at && int(at) != s.common {
		runs[last].count += count
		return runs
	}
	return append(runs, run{at, count})
}

func appendPiece(pieces []piece, from, to, count int32) []piece {
	if last := len(pieces) - 1; last >= 0 && pieces[last].to+pieces[last].count == to {
		pieces[last].count += count
		return pieces
	}
	return append(pieces, piece{from, to, count})
}

// scatter says where the entries of one pattern go: entry from[e] of the matrix to to[e] of the panel of its front.
type scatter struct {
	pattern  *Matrix
	start    []int32 // of each front's entries
	from, to []int32
	diagonal []int32 // entry of each place, -1 if none is stored
}

// scatter finds the places of the entries of m.
func (s *Symbolic) scatter(m *Matrix) (*scatter, error) {
	if m.n != s.n {
		return nil, fmt.Errorf("sparse: matrix of order %d, analysed was order %d", m.n, s.n)
	}
	count := len(m.row)
	sc := &scatter{pattern: m, from: make([]int32, count), to: make([]int32, count), diagonal: filled(s.n, -1)}
	home := make([]int32, s.n)
	for k := range s.fronts {
		f := &s.fronts[k]
		for p := f.first; p < f.first+f.width; p++ {
			home[p] = int32(k)
		}
	}
	// Sort the entries by front, each seen from its earlier freedom.
	key := make([]int32, count)
	low, high := make([]int32, count), make([]int32, count)
	for j := range m.n {
		for e := m.start[j]; e < m.start[j+1]; e++ {
			a, b := s.place[m.row[e]], s.place[j]
			if a == b {
				sc.diagonal[a] = int32(e)
			}
			low[e], high[e] = min(a, b), max(a, b)
			key[e] = home[low[e]]
		}
	}
	sc.from = bucket(key, len(s.fronts))
	row := make([]int32, s.n)
	seen := filled(s.n, -1)
	next := 0
	sc.start = make([]int32, len(s.fronts)+1)
	for k := range s.fronts {
		f := &s.fronts[k]
		for r := range f.width {
			row[f.first+r], seen[f.first+r] = r, int32(k)
		}
		r := f.width
		for _, u := range f.rows {
			for p := u.at; p < u.at+u.count; p++ {
				row[p], seen[p] = r, int32(k)
				r++
			}
		}
		for ; next < count && key[sc.from[next]] == int32(k); next++ {
			e := sc.from[next]
			if seen[high[e]] != int32(k) {
				return nil, fmt.Errorf("sparse: entry (%d, %d) is not in the analysed pattern", s.perm[high[e]], s.perm[low[e]])
			}
			sc.to[next] = (low[e]-f.first)*f.ld + row[high[e]]
		}
		sc.start[k+1] = int32(next)
	}
	return sc, nil
}
