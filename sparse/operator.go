package sparse

// laneOperator is a shifted pencil acting on lanesMany vectors side by side, of which only the first lanes count.
type laneOperator interface {
	order() int
	solve(dst, rhs []float64, lanes int)  // dst = (K - σM)⁻¹ rhs
	multiply(dst, x []float64, lanes int) // dst = M x
}

// Operator is a shifted pencil K - σM given by what it does to a vector.
type Operator struct {
	N     int                      // order
	Shift float64                  // σ, unit of λ; not above the lowest eigenvalue wanted
	Solve func(dst, rhs []float64) // dst = (K - σM)⁻¹ rhs; the vectors do not overlap
	MulM  func(dst, x []float64)   // dst = M x; the vectors do not overlap

	// The same for four vectors side by side, see Lanes. They are used instead if they are given, both.
	SolveFour func(dst, rhs []float64)
	MulFour   func(dst, x []float64)
}

// functionLanes takes the vectors of an Operator one by one.
type functionLanes struct {
	op       Operator
	from, to []float64
}

func (f *functionLanes) order() int { return f.op.N }

func (f *functionLanes) solve(dst, rhs []float64, lanes int) {
	f.apply(f.op.Solve, f.op.SolveFour, dst, rhs, lanes)
}

func (f *functionLanes) multiply(dst, x []float64, lanes int) {
	f.apply(f.op.MulM, f.op.MulFour, dst, x, lanes)
}

func (f *functionLanes) apply(what, four func(dst, x []float64), dst, x []float64, lanes int) {
	if four != nil {
		four(dst, x)
		return
	}
	for lane := range lanesMany {
		if lane >= lanes {
			for i := range f.to {
				dst[lanesMany*i+lane] = 0
			}
			continue
		}
		for i := range f.from {
			f.from[i] = x[lanesMany*i+lane]
		}
		what(f.to, f.from)
		for i, v := range f.to {
			dst[lanesMany*i+lane] = v
		}
	}
}

// factorLanes is a pencil with a factor of K - σM.
type factorLanes struct {
	f       *Factor
	m       *fullRows
	scratch Scratch
	gang    gang
	product lanesProduct
}

func (p *factorLanes) order() int { return p.f.sym.n }

func (p *factorLanes) solve(dst, rhs []float64, _ int) { p.f.SolveFour(&p.scratch, dst, rhs) }

func (p *factorLanes) multiply(dst, x []float64, _ int) {
	n := p.order()
	p.product = lanesProduct{p.m, dst, x, n}
	p.gang.each(p.f.workers, (n+chunkRows-1)/chunkRows, &p.product)
}

// lanesProduct is a product with a matrix; pieces are chunks of rows.
type lanesProduct struct {
	m      *fullRows
	dst, x []float64
	n      int
}

func (l *lanesProduct) do(_, piece int) {
	l.m.multiply(l.dst, l.x, chunkRows*piece, min(chunkRows*(piece+1), l.n))
}
