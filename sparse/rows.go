package sparse

// fullRows is a symmetric matrix with both triangles by rows, which several goroutines can multiply with at once.
type fullRows struct {
	start []int
	col   []int32
	val   []float64
}

func newFullRows(m *Matrix) *fullRows {
	f := &fullRows{start: make([]int, m.n+1)}
	for j := range m.n {
		for _, i := range m.row[m.start[j]:m.start[j+1]] {
			f.start[i+1]++
			if int(i) != j {
				f.start[j+1]++
			}
		}
	}
	for i := range m.n {
		f.start[i+1] += f.start[i]
	}
	f.col, f.val = make([]int32, f.start[m.n]), make([]float64, f.start[m.n])
	next := append([]int(nil), f.start[:m.n]...)
	put := func(i, j int, v float64) {
		f.col[next[i]], f.val[next[i]] = int32(j), v
		next[i]++
	}
	for j := range m.n {
		for k := m.start[j]; k < m.start[j+1]; k++ {
			i := int(m.row[k])
			put(i, j, m.val[k])
			if i != j {
				put(j, i, m.val[k])
			}
		}
	}
	return f
}

// multiply sets rows from..to of dst = A x for lanesMany vectors side by side.
func (f *fullRows) multiply(dst, x []float64, from, to int) {
	for i := from; i < to; i++ {
		first, last := f.start[i], f.start[i+1]
		multiplyRow4(f.col[first:last], f.val[first:last], x, dst[lanesMany*i:])
	}
}
