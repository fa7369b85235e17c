package sparse

// eliminationTree returns the parent of every column of L, -1 for a root, given the graph and its order
// (order[k] is eliminated at k, place is its inverse). parent speaks of places.
//
// Source: Liu, ACM Trans. Math. Softw. 12 (1986) 127, with path compression; Davis, Direct Methods for Sparse Linear
// Systems, SIAM 2006, sec. 4.1 (both from memory).
func eliminationTree(g *graph, order, place []int32) []int32 {
	n := len(order)
	parent, ancestor := filled(n, -1), filled(n, -1)
	for k := range int32(n) {
		for _, w := range g.neighbours(order[k]) {
			for i := place[w]; i >= 0 && i < k; {
				next := ancestor[i]
				ancestor[i] = k
				if next < 0 {
					parent[i] = k
				}
				i = next
			}
		}
	}
	return parent
}

// columnCounts returns the rows of every column of L in freedoms, its own group included, by walking each row's
// subtree of the elimination tree. It takes time proportional to the blocks of L.
func columnCounts(g *graph, order, place, parent []int32) []int64 {
	n := len(order)
	count := make([]int64, n)
	mark := filled(n, -1)
	for k := range int32(n) {
		v := order[k]
		count[k] += int64(g.weight[v])
		mark[k] = k
		for _, w := range g.neighbours(v) {
			for i := place[w]; i < k && mark[i] != k; i = parent[i] {
				mark[i] = k
				count[i] += int64(g.weight[v])
			}
		}
	}
	return count
}

// postorder returns the nodes of a forest, children before parents and every subtree in one run. Children keep
// the order of rank if it is given (lower first), else of their numbers.
func postorder(parent []int32) []int32 {
	n := len(parent)
	child, sibling := filled(n, -1), filled(n, -1)
	roots := int32(-1)
	for v := int32(n) - 1; v >= 0; v-- {
		if p := parent[v]; p >= 0 {
			sibling[v], child[p] = child[p], v
		} else {
			sibling[v], roots = roots, v
		}
	}
	order := make([]int32, 0, n)
	var stack []int32
	for r := roots; r >= 0; r = sibling[r] {
		stack = append(stack, r)
		for len(stack) > 0 {
			v := stack[len(stack)-1]
			if c := child[v]; c >= 0 {
				child[v] = sibling[c]
				stack = append(stack, c)
				continue
			}
			stack = stack[:len(stack)-1]
			order = append(order, v)
		}
	}
	return order
}

// invert returns the place of every element of a permutation.
func invert(order []int32) []int32 {
	place := make([]int32, len(order))
	for k, v := range order {
		place[v] = int32(k)
	}
	return place
}

// factorWork predicts multiplications of a factorisation in the given order: for a group of w columns with c rows,
// w columns of falling length squared.
func factorWork(g *graph, order []int32) float64 {
	place := invert(order)
	parent := eliminationTree(g, order, place)
	work := 0.0
	for k, c := range columnCounts(g, order, place, parent) {
		w, m := float64(g.weight[order[k]]), float64(c)
		work += w*m*m - w*(w-1)*m + (w-1)*w*(2*w-1)/6
	}
	return work
}
