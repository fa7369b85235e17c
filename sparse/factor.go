package sparse

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
)

// FactorOptions governs one factorisation. The zero value is right for stiffness matrices.
type FactorOptions struct {
	// PivotTolerance is the ratio of a pivot to its diagonal entry below which the pivot is suspect; 0 means 1e-9.
	// A suspect pivot counts as vanished if the movement that belongs to it costs no more energy than rounding
	// makes of nothing; what is merely very soft is factored.
	PivotTolerance float64
	// Workers limits the goroutines; 0 means GOMAXPROCS. The result does not depend on it.
	Workers int
}

// defaultPivotTolerance is common practice; every pivot below is looked at closely, so that it need not be sharp.
const defaultPivotTolerance = 1e-9

// Factor is the factorisation K = L D Lᵀ of one matrix in the elimination order. It is immutable and may be used by
// several goroutines at once.
type Factor struct {
	sym      *Symbolic
	l        []float64 // the panels of all fronts, each stored by columns
	d        []float64
	inverse  []float64 // 1/d
	negative int
	workers  int
}

// Negative returns the number of negative pivots, which is the number of negative eigenvalues of the matrix
// (Sylvester's law of inertia).
func (f *Factor) Negative() int { return f.negative }

// Factor computes L D Lᵀ of m, whose entries must lie within the analysed pattern. There is no pivoting: m must be
// definite, or indefinite without small leading minors, as K - σM is unless σ is very close to an eigenvalue.
//
// If m is singular the error is a *SingularError.
//
// Source: multifrontal method, Duff, Reid, ACM Trans. Math. Softw. 9 (1983) 302; Liu, SIAM Rev. 34 (1992) 82 (from memory).
func (s *Symbolic) Factor(m *Matrix, opt FactorOptions) (*Factor, error) {
	return s.factor(m, opt, nil)
}

// factor is Factor in the memory of a factor that is no longer needed, if one of the same analysis is given.
func (s *Symbolic) factor(m *Matrix, opt FactorOptions, old *Factor) (*Factor, error) {
	j, err := s.newJob(m, opt)
	if err != nil {
		return nil, err
	}
	f := &Factor{sym: s, d: j.d, workers: j.workers}
	if old != nil && old.sym == s {
		f.l, old.l = old.l, nil
		clear(f.l)
	} else {
		f.l = make([]float64, s.size)
	}
	j.l = f.l
	for {
		bad := j.run()
		if len(bad) == 0 {
			break
		}
		f.finish()
		if e := j.judge(f, bad); e != nil {
			return nil, e
		}
		clear(f.l)
	}
	f.finish()
	return f, nil
}

// finish derives what follows from the pivots.
func (f *Factor) finish() {
	f.inverse = make([]float64, len(f.d))
	f.negative = 0
	for k, d := range f.d {
		f.inverse[k] = 1 / d
		if d < 0 {
			f.negative++
		}
	}
}

// job is one factorisation under way.
type job struct {
	s       *Symbolic
	m       *Matrix
	entries *scatter
	pivots
	l       []float64
	updates [][]float64 // of fronts whose parent has not taken them up yet
	spare   spares
	workers int
}

func (s *Symbolic) newJob(m *Matrix, opt FactorOptions) (*job, error) {
	j := &job{s: s, m: m, entries: s.entries, workers: opt.Workers, updates: make([][]float64, len(s.fronts))}
	if !m.samePattern(s.entries.pattern) {
		var err error
		if j.entries, err = s.scatter(m); err != nil {
			return nil, err
		}
	}
	if j.workers <= 0 {
		j.workers = runtime.GOMAXPROCS(0)
	}
	j.suspect = opt.PivotTolerance
	if j.suspect == 0 {
		j.suspect = defaultPivotTolerance
	}
	j.d = make([]float64, s.n)
	j.diagonal = make([]float64, s.n)
	for p, e := range j.entries.diagonal {
		if e >= 0 {
			j.diagonal[p] = m.val[e]
		}
	}
	return j, nil
}

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

// run factors all fronts and returns the suspect pivots in order of elimination.
func (j *job) run() []suspect {
	s := j.s
	workers := max(1, min(j.workers, len(s.trees)))
	shops := make([]*workshop, workers)
	crew := make([]*packing, workers)
	for k := range shops {
		shops[k] = s.workshop()
		crew[k] = &shops[k].pack
		shops[k].bad = shops[k].bad[:0]
	}
	each(workers, len(s.trees), func(worker, i int) {
		w := shops[worker]
		for k := s.trees[i][0]; k < s.trees[i][1]; k++ {
			j.front(k, w, crew[worker:worker+1])
		}
	})
	for k := s.top; k < int32(len(s.fronts)); k++ {
		j.front(k, shops[0], crew)
	}
	var bad []suspect
	for _, w := range shops {
		bad = append(bad, w.bad...)
		s.pool.Put(w)
	}
	slices.SortFunc(bad, func(a, b suspect) int { return a.place - b.place })
	return bad
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

// judge looks at the first suspect pivot: it returns a *SingularError if the movement found costs nothing, and otherwise
// lets the pivot pass the next time.
func (j *job) judge(f *Factor, bad []suspect) error {
	first := bad[0]
	if math.IsNaN(first.pivot) || math.IsInf(first.pivot, 0) {
		return fmt.Errorf("sparse: pivot at freedom %d is %g: the matrix holds NaN, infinity or numbers too large", j.s.perm[first.place], first.pivot)
	}
	v := f.movement(first.place)
	// Σ v² k is what rounding errors of K's entries, relative to the diagonals, are multiplied with in vᵀ K v, which
	// is the pivot.
	sum := 0.0
	for p, x := range v {
		sum += x * x * math.Abs(j.diagonal[p])
	}
	if math.Abs(first.pivot) > vanished*sum {
		if j.accepted == nil {
			j.accepted = make([]bool, j.s.n)
		}
		j.accepted[first.place] = true
		return nil
	}
	e := &SingularError{
		Index: int(j.s.perm[first.place]), Pivot: first.pivot, Diagonal: j.diagonal[first.place],
		Null: make([]float64, j.s.n), Count: len(bad),
	}
	scale := 1 / maxAbs(v)
	for p, x := range v {
		e.Null[j.s.perm[p]] = scale * x
	}
	fixSign(e.Null)
	return e
}

// vanished is the energy of a movement, relative to the sum of its diagonal terms, below which it is nothing. Measured:
// free lattices and bars in all directions leave up to 4e-16, while a cantilever of a thousand members, which is as soft as
// makes sense in this arithmetic, has 7e-15.
const vanished = 4e-15

// movement returns the vector v by place with v = 1 at one place, 0 after it, and no force at any place before.
func (f *Factor) movement(place int) []float64 {
	v := make([]float64, f.sym.n)
	v[place] = 1
	var s Scratch
	s.prepare(f, 1)
	copy(s.x, v)
	s.backward()
	return s.x
}
