package frame

import "spanwright/sparse"

// columnMemory is what solving for columns needs.
type columnMemory struct {
	scratch sparse.Scratch
	x       []float64
}

// column returns F e_i over the freedoms of the body of i, computed once.
func (b *Base) column(i int32) []float64 {
	if c := b.columns[i].Load(); c != nil {
		return *c
	}
	b.solveColumns([]int32{i})
	return *b.columns[i].Load()
}

// solveColumns computes those of some columns of one body that are not known, four at a time.
func (b *Base) solveColumns(list []int32) {
	var four [lanes]int32
	n := 0
	for _, i := range list {
		if b.columns[i].Load() != nil {
			continue
		}
		if four[n], n = i, n+1; n == lanes {
			b.solveFourColumns(four[:n])
			n = 0
		}
	}
	if n > 0 {
		b.solveFourColumns(four[:n])
	}
}

// solveFourColumns computes up to four columns of one body, of which each comes out the same in whatever company.
func (b *Base) solveFourColumns(list []int32) {
	m, ok := b.idle.Get().(*columnMemory)
	if !ok {
		m = &columnMemory{}
	}
	defer b.idle.Put(m)
	begin, end := b.span(int(list[0]))
	f, origin, n := b.own[b.bodyOf[list[0]]], begin, end-begin
	if f == nil {
		f, origin, n = b.factor, 0, b.size()
	}
	m.x = sized(m.x, lanes*n)
	clear(m.x)
	for lane, i := range list {
		m.x[lanes*(int(i)-origin)+lane] = 1
	}
	f.SolveFour(&m.scratch, m.x, m.x)
	for lane, i := range list {
		c := make([]float64, end-begin)
		for k := range c {
			c[k] = m.x[lanes*(begin-origin+k)+lane]
		}
		if b.columns[i].CompareAndSwap(nil, &c) { // the same numbers whoever stores them
			b.kept.Add(int64(len(c)))
		}
	}
}
