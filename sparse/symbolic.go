package sparse

// Symbolic is the elimination order of one pattern, reusable for every matrix with that pattern.
type Symbolic struct {
	n    int
	perm []int32 // perm[k] is the original number of the freedom eliminated at k
	inv  []int32
}

// Analyse chooses the elimination order for the pattern of m. block is the number of consecutive freedoms that belong
// to one node and stay together (6 for a frame with all freedoms kept; 1 if there is no such rule).
func Analyse(m *Matrix, block int) *Symbolic {
	s := &Symbolic{n: m.n, perm: cuthillMcKee(m), inv: make([]int32, m.n)}
	for k, i := range s.perm {
		s.inv[i] = int32(k)
	}
	return s
}

func cuthillMcKee(m *Matrix) []int32 {
	adj := make([][]int32, m.n)
	for j := range m.n {
		for k := m.start[j]; k < m.start[j+1]; k++ {
			if i := m.row[k]; int(i) != j {
				adj[i] = append(adj[i], int32(j))
				adj[j] = append(adj[j], i)
			}
		}
	}
	order := make([]int32, 0, m.n)
	seen := make([]bool, m.n)
	for s := range m.n {
		if seen[s] {
			continue
		}
		seen[s] = true
		order = append(order, int32(s))
		for q := len(order) - 1; q < len(order); q++ {
			for _, i := range adj[order[q]] {
				if !seen[i] {
					seen[i] = true
					order = append(order, i)
				}
			}
		}
	}
	for i, j := 0, len(order)-1; i < j; i, j = i+1, j-1 {
		order[i], order[j] = order[j], order[i]
	}
	return order
}
