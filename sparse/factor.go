package sparse

import (
	"runtime"
	"slices"
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
	if err := j.complete(f); err != nil {
		return nil, err
	}
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
	j.ratio = opt.PivotTolerance
	if j.ratio == 0 {
		j.ratio = defaultPivotTolerance
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
