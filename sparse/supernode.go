package sparse

import "slices"

// assembly is a tree of fronts: sets of consecutive columns of L that share one row structure.
type assembly struct {
	parent []int32
	groups [][]int32 // groups of freedoms eliminated in a front, in order
	width  []int64   // pivots, in freedoms
	height []int64   // rows of the first column, in freedoms
}

// newAssembly finds the fronts of an order: first columns whose structures nest exactly, then fronts that are worth
// joining although zeros are stored. The fronts are numbered children first.
//
// Source: supernodes, Ashcraft, Grimes, ACM Trans. Math. Softw. 15 (1989) 291 (from memory); the rule of what is
// worth joining compares predicted times and is our own.
func newAssembly(g *graph, order []int32) *assembly {
	place := invert(order)
	parent := eliminationTree(g, order, place)
	// Renumber by postorder, so that nested columns stand side by side.
	post := postorder(parent)
	after := invert(post)
	sorted, lifted := make([]int32, len(post)), make([]int32, len(post))
	for k, old := range post {
		sorted[k] = order[old]
		lifted[k] = -1
		if parent[old] >= 0 {
			lifted[k] = after[parent[old]]
		}
	}
	count := columnCounts(g, sorted, invert(sorted), lifted)
	a, front := exactFronts(g, sorted, lifted, count)
	for k, p := range lifted {
		if p >= 0 && front[p] != front[k] {
			a.parent[front[k]] = front[p]
		}
	}
	return a.join()
}

// exactFronts takes columns together as long as each is the parent of the one before and has the same rows less one.
func exactFronts(g *graph, order, parent []int32, count []int64) (a *assembly, front []int32) {
	a = &assembly{}
	front = make([]int32, len(order))
	for k, v := range order {
		w := int64(g.weight[v])
		last := len(a.parent) - 1
		if k > 0 && parent[k-1] == int32(k) && count[k-1]-int64(g.weight[order[k-1]]) == count[k] {
			a.groups[last] = append(a.groups[last], v)
			a.width[last] += w
		} else {
			last++
			a.parent = append(a.parent, -1)
			a.groups = append(a.groups, []int32{v})
			a.width = append(a.width, w)
			a.height = append(a.height, count[k])
		}
		front[k] = int32(last)
	}
	return a, front
}

// frontTime predicts the time of a front in nanoseconds: handling it at all, its columns, its update matrix and the
// multiplications. The numbers were fitted to measurements; only their ratios matter.
func frontTime(width, height int64) float64 {
	k, m := float64(width), float64(height)
	return 500 + 2.5*k*m + 2*(m-k)*(m-k) + 0.035*k*m*m
}

// join merges children into parents where that is predicted to save time, bottom up, and renumbers.
func (a *assembly) join() *assembly {
	n := len(a.parent)
	into := identity(n) // front that a front has become part of
	children := make([][]int32, n)
	for s, p := range a.parent {
		if p >= 0 {
			children[p] = append(children[p], int32(s))
		}
	}
	for s := range int32(n) {
		// A taller child shares more rows with its parent.
		slices.SortStableFunc(children[s], func(x, y int32) int { return int(a.height[y] - a.height[x]) })
		for _, c := range children[s] {
			width, height := a.width[s]+a.width[c], a.height[s]+a.width[c]
			if frontTime(width, height) <= frontTime(a.width[s], a.height[s])+frontTime(a.width[c], a.height[c]) {
				into[c] = s
				a.groups[s] = append(slices.Clip(a.groups[c]), a.groups[s]...)
				a.width[s], a.height[s] = width, height
			}
		}
	}
	root := func(s int32) int32 {
		for into[s] != s {
			s = into[s]
		}
		return s
	}
	lifted := filled(n, -1)
	for s, p := range a.parent {
		if p >= 0 {
			lifted[s] = root(p)
		}
	}
	joined := &assembly{}
	number := filled(n, -1)
	for _, s := range postorder(lifted) {
		if into[s] == s {
			number[s] = int32(len(joined.parent))
			joined.parent = append(joined.parent, lifted[s])
			joined.groups = append(joined.groups, a.groups[s])
			joined.width = append(joined.width, a.width[s])
			joined.height = append(joined.height, a.height[s])
		}
	}
	for s, p := range joined.parent {
		if p >= 0 {
			joined.parent[s] = number[p]
		}
	}
	return joined
}

// partition marks the fronts near the roots that are factored one after the other by all goroutines together. What is
// left are subtrees of little work each, which goroutines take up alone. The division depends on the tree only,
// never on the number of goroutines.
func (a *assembly) partition() (top []bool) {
	n := len(a.parent)
	below := make([]float64, n)
	whole := 0.0
	for s := range n {
		t := frontTime(a.width[s], a.height[s])
		below[s] += t
		whole += t
		if p := a.parent[s]; p >= 0 {
			below[p] += below[s]
		}
	}
	top = make([]bool, n)
	if whole < leastShared {
		return top
	}
	for s := n - 1; s >= 0; s-- {
		p := a.parent[s]
		top[s] = below[s] > whole/subtreeShare && (p < 0 || top[p])
	}
	return top
}

const (
	// leastShared is the predicted time in nanoseconds from which goroutines pay.
	leastShared = 2e6
	// subtreeShare is the part of the whole work that a subtree may hold: small enough to even out between a few
	// goroutines, large enough not to matter in number.
	subtreeShare = 16
)
