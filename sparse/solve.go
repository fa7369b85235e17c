package sparse

// lanesMany is the number of right sides that go through L together.
const lanesMany = 4

// Scratch is the working memory of solutions, one a goroutine; the zero value is ready. It serves factors of any
// matrix, but grows anew when the pattern changes.
type Scratch struct {
	f     *Factor
	sym   *Symbolic
	lanes int         // right sides at once, 1 or lanesMany; vectors hold the lanes of a place side by side
	x     []float64   // by place
	rows  [][]float64 // of each worker: the rows of one front
	carry []float64   // what each subtree adds to the common places; all zero between solutions
	gang  gang
	down  subtreesForward
	up    subtreesBackward
	wide  wideFront
}

// Solve sets dst = K⁻¹ b. dst may be b. It takes scratch from a pool.
func (f *Factor) Solve(dst, b []float64) {
	s := f.borrow()
	f.SolveWith(s, dst, b)
	f.sym.scratch.Put(s)
}

// SolveWith is Solve with the caller's scratch; it allocates nothing once the scratch has been used.
func (f *Factor) SolveWith(scratch *Scratch, dst, b []float64) {
	checkLength("Solve", f.sym.n, dst, b)
	scratch.prepare(f, 1)
	x := scratch.x
	for p, i := range f.sym.perm {
		x[p] = b[i]
	}
	scratch.forward()
	scratch.scale()
	scratch.backward()
	for p, i := range f.sym.perm {
		dst[i] = x[p]
	}
}

// SolveMany sets dst[k] = K⁻¹ b[k] for every k; dst[k] may be b[k]. Right sides are taken in fours, which costs little more
// than one; the last digits may differ from those of Solve.
func (f *Factor) SolveMany(dst, b [][]float64) {
	s := f.borrow()
	f.SolveManyWith(s, dst, b)
	f.sym.scratch.Put(s)
}

// SolveManyWith is SolveMany with the caller's scratch; it allocates nothing once the scratch has been used.
func (f *Factor) SolveManyWith(scratch *Scratch, dst, b [][]float64) {
	checkLength("SolveMany", f.sym.n, dst...)
	checkLength("SolveMany", f.sym.n, b...)
	for len(b) > 1 {
		n := min(lanesMany, len(b))
		f.solveFour(scratch, dst[:n], b[:n])
		dst, b = dst[n:], b[n:]
	}
	if len(b) == 1 {
		f.SolveWith(scratch, dst[0], b[0])
	}
}

// solveFour solves for two to four right sides.
func (f *Factor) solveFour(scratch *Scratch, dst, b [][]float64) {
	const w = lanesMany
	scratch.prepare(f, w)
	x := scratch.x
	for lane := range w {
		if lane >= len(b) {
			for p := range f.sym.perm {
				x[w*p+lane] = 0
			}
			continue
		}
		from := b[lane]
		for p, i := range f.sym.perm {
			x[w*p+lane] = from[i]
		}
	}
	scratch.forward()
	scratch.scale()
	scratch.backward()
	for lane, to := range dst {
		for p, i := range f.sym.perm {
			to[i] = x[w*p+lane]
		}
	}
}

func (f *Factor) borrow() *Scratch {
	if s, ok := f.sym.scratch.Get().(*Scratch); ok {
		return s
	}
	return &Scratch{}
}

// prepare makes room for solutions with f.
func (s *Scratch) prepare(f *Factor, lanes int) {
	s.f, s.lanes = f, lanes
	n := f.sym.n * lanes
	if s.sym != f.sym || cap(s.x) < n || len(s.rows) < f.workers {
		s.sym = f.sym
		s.x = make([]float64, n)
		s.rows = make([][]float64, f.workers)
		for k := range s.rows {
			s.rows[k] = make([]float64, ceil(f.sym.tallest, 4)*lanes)
		}
		s.carry = make([]float64, len(f.sym.trees)*f.sym.commonPlaces()*lanes)
	}
	s.x = s.x[:n]
	s.down.s, s.up.s, s.wide.s = s, s, s
}

// forward solves L x = b in place: subtrees first, each on its own, then the common fronts.
func (s *Scratch) forward() {
	sym := s.f.sym
	s.gang.each(s.f.workers, len(sym.trees), &s.down)
	if common := sym.commonPlaces(); common > 0 {
		for i, t := range sym.trees {
			carry := s.carry[i*common*s.lanes:]
			for _, u := range sym.fronts[t[1]-1].rows {
				at, count := int(u.at)*s.lanes, int(u.count)*s.lanes
				sum := carry[at-sym.common*s.lanes:][:count]
				addRun(s.x[at:], sum)
				clear(sum)
			}
		}
	}
	for k := sym.top; k < int32(len(sym.fronts)); k++ {
		s.frontForward(k, 0, nil)
	}
}

// backward solves Lᵀ x = b in place.
func (s *Scratch) backward() {
	sym := s.f.sym
	for k := int32(len(sym.fronts)) - 1; k >= sym.top; k-- {
		s.frontBackward(k, 0)
	}
	s.gang.each(s.f.workers, len(sym.trees), &s.up)
}

// subtreesForward is the forward solution of subtrees, a piece each.
type subtreesForward struct{ s *Scratch }

func (d *subtreesForward) do(worker, i int) {
	sym := d.s.f.sym
	size := sym.commonPlaces() * d.s.lanes
	carry := d.s.carry[i*size : (i+1)*size]
	for k := sym.trees[i][0]; k < sym.trees[i][1]; k++ {
		d.s.frontForward(k, worker, carry)
	}
}

// subtreesBackward is the backward solution of subtrees, a piece each.
type subtreesBackward struct{ s *Scratch }

func (d *subtreesBackward) do(worker, i int) {
	trees := d.s.f.sym.trees
	for k := trees[i][1] - 1; k >= trees[i][0]; k-- {
		d.s.frontBackward(k, worker)
	}
}

// frontForward solves for the pivots of a front and passes on what they add to the rows below: to x, or to carry for
// common places if it is given.
func (s *Scratch) frontForward(k int32, worker int, carry []float64) {
	sym, lanes := s.f.sym, s.lanes
	f := &sym.fronts[k]
	own := s.x[int(f.first)*lanes : int(f.first+f.width)*lanes]
	t := s.rows[worker][:int(f.ld)*lanes]
	clear(t[copy(t, own):])
	s.columnsForward(f, t)
	copy(own, t)
	row := int(f.width) * lanes
	for _, u := range f.rows {
		at, count := int(u.at)*lanes, int(u.count)*lanes
		to := s.x
		if carry != nil && int(u.at) >= sym.common {
			to, at = carry, at-sym.common*lanes
		}
		addRun(to[at:], t[row:row+count])
		row += count
	}
}

// frontBackward collects the rows below the pivots of a front and solves for the pivots.
func (s *Scratch) frontBackward(k int32, worker int) {
	lanes := s.lanes
	f := &s.f.sym.fronts[k]
	own := s.x[int(f.first)*lanes : int(f.first+f.width)*lanes]
	t := s.rows[worker][:int(f.ld)*lanes]
	row := copy(t, own)
	for _, u := range f.rows {
		row += copy(t[row:], s.x[int(u.at)*lanes:int(u.at+u.count)*lanes])
	}
	clear(t[row:])
	s.columnsBackward(f, t)
	copy(own, t)
}

// scale multiplies by D⁻¹.
func (s *Scratch) scale() {
	if s.lanes == 1 {
		for p, r := range s.f.inverse {
			s.x[p] *= r
		}
		return
	}
	for p, r := range s.f.inverse {
		row := s.x[lanesMany*p:][:lanesMany:lanesMany]
		row[0] *= r
		row[1] *= r
		row[2] *= r
		row[3] *= r
	}
}
