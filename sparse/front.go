package sparse

import (
	"slices"
	"sync"
)

// workshop is the memory of one goroutine. Update matrices of a front lie on the stack of its level's parity:
// when a front takes up those of its children, they are on top of the other stack.
type workshop struct {
	pack  packing
	stack [2][]float64
	used  [2]int
	bad   []suspect
}

func (s *Symbolic) workshop() *workshop {
	if w, ok := s.pool.Get().(*workshop); ok {
		return w
	}
	w := &workshop{}
	for k := range w.stack {
		w.stack[k] = make([]float64, s.stack[k])
	}
	return w
}

// front assembles and factors one front; all goroutines of the crew may help.
func (j *job) front(k int32, w *workshop, crew []*packing) {
	f := &j.s.fronts[k]
	ld, width, below := int(f.ld), int(f.width), f.below()
	p := panel{a: j.l[f.panel : f.panel+ld*width], m: int(f.height), k: width, ld: ld, first: int(f.first)}
	for e := j.entries.start[k]; e < j.entries.start[k+1]; e++ {
		p.a[j.entries.to[e]] = j.m.val[j.entries.from[e]]
	}
	ldu := ceil(below, 4)
	u := j.room(k, w)
	for _, c := range f.children {
		j.takeUp(c, &p, u, ldu, crew)
		j.release(c, w)
	}
	w.bad = p.factor(&j.pivots, crew, w.bad)
	if below > 0 {
		up := update{
			l: p.a[width:], ld: ld, d: j.d[f.first : f.first+f.width],
			rows: below, cols: below, c: u, ldc: ldu, room: ldu,
		}
		up.run(crew)
	}
}

// room returns memory for the update matrix of front k, zero in the lower triangle and where the kernels reach above.
func (j *job) room(k int32, w *workshop) []float64 {
	f := &j.s.fronts[k]
	size := f.updateSize()
	if f.level < 0 {
		j.updates[k] = j.spare.take(size)
	} else {
		side := f.level & 1
		j.updates[k] = w.stack[side][w.used[side]:][:size:size]
		w.used[side] += size
	}
	u := j.updates[k]
	ld := ceil(f.below(), 4)
	if ld <= 4*slab {
		clear(u)
		return u
	}
	for c := range ld {
		clear(u[c*ld+c/slab*slab : (c+1)*ld])
	}
	return u
}

// release gives back the update matrix of front k.
func (j *job) release(k int32, w *workshop) {
	if level := j.s.fronts[k].level; level >= 0 {
		w.used[level&1] -= len(j.updates[k])
	} else {
		j.spare.give(j.updates[k])
	}
	j.updates[k] = nil
}

// spares are the large update matrices that wait to be used again, smallest first.
type spares struct {
	mutex sync.Mutex
	list  [][]float64
}

func (s *spares) take(size int) []float64 {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for i, v := range s.list {
		if cap(v) >= size {
			s.list = slices.Delete(s.list, i, i+1)
			return v[:size]
		}
	}
	return make([]float64, size)
}

func (s *spares) give(v []float64) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	i, _ := slices.BinarySearchFunc(s.list, cap(v), func(w []float64, size int) int { return cap(w) - size })
	s.list = slices.Insert(s.list, i, v)
}

// takeUp adds the update matrix of child c to the front of its parent.
func (j *job) takeUp(c int32, p *panel, u []float64, ldu int, crew []*packing) {
	child := &j.s.fronts[c]
	below := child.below()
	if below < 512 || len(crew) == 1 {
		child.addColumns(j.updates[c], 0, below, p, u, ldu)
		return
	}
	const chunk = 32
	each(len(crew), (below+chunk-1)/chunk, func(_, i int) {
		child.addColumns(j.updates[c], chunk*i, min(below, chunk*i+chunk), p, u, ldu)
	})
}

// addColumns adds columns from..to of the update matrix of f to the panel p and the update matrix u of the parent.
func (f *front) addColumns(update []float64, from, to int, p *panel, u []float64, ldu int) {
	below := f.below()
	ldf := ceil(below, 4)
	for k, piece := range f.into {
		first, last := int(piece.from), int(piece.from+piece.count)
		for c := max(first, from); c < min(last, to); c++ {
			target := int(piece.to) + c - first
			var column []float64 // so that row r of the parent's front is column[r-shift]
			shift := 0
			if target < p.k {
				column = p.a[target*p.ld:][:p.ld]
			} else {
				column, shift = u[(target-p.k)*ldu:][:ldu], p.k
			}
			source := update[c*ldf:][:below]
			addRun(column[target-shift:], source[c:last])
			for _, q := range f.into[k+1:] {
				addRun(column[int(q.to)-shift:], source[q.from:q.from+q.count])
			}
		}
	}
}
