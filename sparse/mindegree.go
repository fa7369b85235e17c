package sparse

import "slices"

// minimumDegree orders the groups of g by approximate minimum external degree, in freedoms.
//
// The quotient graph holds variables (groups, or several that have become indistinguishable) and elements (eliminated
// pivots, standing for the clique of their neighbours). The degree of a variable is bounded from above by the
// sizes of its elements less what they share with the newest one.
//
// Source: Amestoy, Davis, Duff, SIAM J. Matrix Anal. Appl. 17 (1996) 886; Davis, Direct Methods for Sparse Linear
// Systems, SIAM 2006, ch. 7 (both from memory).
//
// Groups of a lower stage come before those of a higher one; among groups of one stage the degree decides.
// Stages run from 0 without gaps.
func minimumDegree(g *graph, stage []int32) []int32 {
	if g.size() == 0 {
		return nil
	}
	q := newQuotientGraph(g, stage)
	order := make([]int32, 0, g.size())
	for _, members := range split(stage, int(slices.Max(stage))+1) {
		q.open(members)
		for p := q.takeLowest(); p >= 0; p = q.takeLowest() {
			q.eliminate(p)
			order = append(order, p)
		}
	}
	return q.expand(order)
}

const (
	variable = iota
	element
	gone // merged into another variable, eliminated with one, or absorbed by a newer element
)

// quotientGraph is the state of the elimination.
type quotientGraph struct {
	stage  []int32
	now    int32 // stage being eliminated
	kind   []uint8
	vars   [][]int32 // of a variable: adjacent variables not yet covered by an element; of an element: its variables
	elems  [][]int32 // of a variable: adjacent elements
	weight []int32   // freedoms of a variable with all merged into it; 0 when gone
	degree []int32   // bound on the freedoms outside it that it touches
	size   []int32   // freedoms of an element's variables
	left   int32     // freedoms not yet eliminated

	merged []int32 // first of the list of groups merged into this one, -1 ends
	next   []int32 // chain of merged

	head, after, before []int32 // variables by degree, doubly linked
	lowest              int32

	stamp    int32
	outside  []int32 // of an element: freedoms outside the newest element, valid if seen == stamp
	seen     []int32
	inPivot  []int32 // of a variable: stamp while it belongs to the newest element
	hash     []uint32
	bucketOf map[uint32][]int32
}

func newQuotientGraph(g *graph, stage []int32) *quotientGraph {
	n := g.size()
	q := &quotientGraph{
		stage: stage, now: -1, kind: make([]uint8, n), vars: make([][]int32, n), elems: make([][]int32, n),
		weight: append([]int32(nil), g.weight...), degree: make([]int32, n), size: make([]int32, n),
		merged: filled(n, -1), next: filled(n, -1), after: filled(n, -1), before: filled(n, -1),
		outside: make([]int32, n), seen: make([]int32, n), inPivot: make([]int32, n), hash: make([]uint32, n),
		bucketOf: map[uint32][]int32{},
	}
	for _, w := range g.weight {
		q.left += w
	}
	q.head = filled(int(q.left)+1, -1)
	lists := append([]int32(nil), g.adj...)
	for v := range int32(n) {
		q.vars[v] = lists[g.start[v]:g.start[v+1]:g.start[v+1]]
		for _, w := range q.vars[v] {
			q.degree[v] += g.weight[w]
		}
	}
	return q
}

// open begins the next stage, whose groups are given.
func (q *quotientGraph) open(members []int32) {
	q.now++
	q.lowest = 0
	for _, v := range slices.Backward(members) {
		if q.kind[v] == variable {
			q.insert(v)
		}
	}
}

func filled(n int, v int32) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// insert lists v by its degree if its stage has come.
func (q *quotientGraph) insert(v int32) {
	if q.stage[v] != q.now {
		return
	}
	d := q.degree[v]
	q.before[v], q.after[v] = -1, q.head[d]
	if q.head[d] >= 0 {
		q.before[q.head[d]] = v
	}
	q.head[d] = v
	q.lowest = min(q.lowest, d)
}

func (q *quotientGraph) remove(v int32) {
	if q.stage[v] != q.now {
		return
	}
	if q.before[v] >= 0 {
		q.after[q.before[v]] = q.after[v]
	} else {
		q.head[q.degree[v]] = q.after[v]
	}
	if q.after[v] >= 0 {
		q.before[q.after[v]] = q.before[v]
	}
}

// takeLowest returns a variable of least degree, -1 if the stage is empty.
func (q *quotientGraph) takeLowest() int32 {
	for q.head[q.lowest] < 0 {
		q.lowest++
		if int(q.lowest) == len(q.head) {
			return -1
		}
	}
	v := q.head[q.lowest]
	q.remove(v)
	return v
}

// eliminate turns variable p into an element and updates its surroundings.
func (q *quotientGraph) eliminate(p int32) {
	q.stamp++
	members := q.formElement(p)
	q.left -= q.weight[p]
	q.weight[p] = 0
	q.kind[p] = element
	q.measureElements(members)
	kept := members[:0]
	for _, v := range members {
		if q.update(v, p) {
			kept = append(kept, v)
		}
	}
	kept = q.mergeEqual(kept)
	q.vars[p] = kept
	q.size[p] = 0
	for _, v := range kept {
		q.size[p] += q.weight[v]
	}
	for _, v := range kept {
		q.degree[v] = min(q.degree[v], q.left-q.weight[v])
		q.insert(v)
	}
	if len(kept) == 0 {
		q.kind[p] = gone
	}
}

// formElement collects the variables adjacent to p, directly or through its elements, which p absorbs.
func (q *quotientGraph) formElement(p int32) []int32 {
	var members []int32
	total := int32(0)
	take := func(list []int32) {
		for _, v := range list {
			if v != p && q.kind[v] == variable && q.inPivot[v] != q.stamp {
				q.inPivot[v] = q.stamp
				members = append(members, v)
				total += q.weight[v]
				q.remove(v)
			}
		}
	}
	take(q.vars[p])
	for _, e := range q.elems[p] {
		if q.kind[e] == element {
			take(q.vars[e])
			q.kind[e], q.vars[e] = gone, nil
		}
	}
	q.elems[p] = nil
	q.size[p] = total
	return members
}

// measureElements finds, for every element next to the newest, how many of its freedoms lie outside.
func (q *quotientGraph) measureElements(members []int32) {
	for _, v := range members {
		for _, e := range q.elems[v] {
			if q.kind[e] != element {
				continue
			}
			if q.seen[e] != q.stamp {
				q.seen[e], q.outside[e] = q.stamp, q.size[e]
			}
			q.outside[e] -= q.weight[v]
		}
	}
}

// update prunes the lists of v, a member of the newest element p, and bounds its degree. It returns false if v has no
// neighbour beyond p and so was eliminated with it.
func (q *quotientGraph) update(v, p int32) bool {
	inside := q.size[p] - q.weight[v]
	beyond, hash := int32(0), uint32(p)
	elems := q.elems[v][:0]
	for _, e := range q.elems[v] {
		if q.kind[e] != element {
			continue
		}
		if q.outside[e] == 0 { // lies within p wholly
			q.kind[e], q.vars[e] = gone, nil
			continue
		}
		elems = append(elems, e)
		beyond += q.outside[e]
		hash += uint32(e)
	}
	vars := q.vars[v][:0]
	for _, w := range q.vars[v] {
		if q.kind[w] == variable && q.weight[w] > 0 && w != p && q.inPivot[w] != q.stamp {
			vars = append(vars, w)
			beyond += q.weight[w]
			hash += uint32(w)
		}
	}
	if len(elems) == 0 && len(vars) == 0 && q.stage[v] == q.now {
		q.size[p] -= q.weight[v]
		q.left -= q.weight[v]
		q.merge(v, p)
		return false
	}
	q.elems[v], q.vars[v] = append(elems, p), vars
	q.degree[v] = min(q.degree[v]+inside, beyond+inside)
	q.hash[v] = hash
	return true
}

// merge hangs v (and what was merged into it) onto w; the weight of w is the caller's business.
func (q *quotientGraph) merge(v, w int32) {
	q.kind[v], q.weight[v], q.vars[v], q.elems[v] = gone, 0, nil, nil
	q.next[v] = q.merged[w]
	q.merged[w] = v
}

// mergeEqual joins members of the newest element that have the same neighbours and returns those that remain.
func (q *quotientGraph) mergeEqual(members []int32) []int32 {
	clear(q.bucketOf)
	kept := members[:0]
	for _, v := range members {
		h := q.hash[v]
		if w := q.findEqual(q.bucketOf[h], v); w >= 0 {
			q.weight[w] += q.weight[v]
			q.degree[w] -= q.weight[v]
			q.merge(v, w)
			continue
		}
		q.bucketOf[h] = append(q.bucketOf[h], v)
		kept = append(kept, v)
	}
	return kept
}

func (q *quotientGraph) findEqual(candidates []int32, v int32) int32 {
	if len(candidates) == 0 {
		return -1
	}
	q.stamp++ // seen holds for elements and variables alike: their numbers are disjoint at any time
	for _, e := range q.elems[v] {
		q.seen[e] = q.stamp
	}
	for _, w := range q.vars[v] {
		q.seen[w] = q.stamp
	}
	for _, w := range candidates {
		if q.stage[w] == q.stage[v] && len(q.elems[w]) == len(q.elems[v]) && len(q.vars[w]) == len(q.vars[v]) &&
			allMarked(q.seen, q.stamp, q.elems[w]) && allMarked(q.seen, q.stamp, q.vars[w]) {
			return w
		}
	}
	return -1
}

// expand lists every pivot with the groups merged into it.
func (q *quotientGraph) expand(pivots []int32) []int32 {
	order := make([]int32, 0, len(q.kind))
	var walk func(v int32)
	walk = func(v int32) {
		order = append(order, v)
		for w := q.merged[v]; w >= 0; w = q.next[w] {
			walk(w)
		}
	}
	for _, p := range pivots {
		walk(p)
	}
	return order
}
