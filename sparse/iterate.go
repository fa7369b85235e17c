package sparse

import (
	"fmt"
	"math"
)

// IterationOptions governs LowestOf. The zero value is right.
type IterationOptions struct {
	// Tolerance bounds |A x - θ x| / θ, where A = (K - σM)⁻¹ M and θ = 1/(λ - σ), in the M norm: the error of a vector,
	// and the square root of the error of an eigenvalue, about. 0 means 1e-10.
	Tolerance float64
	// Start holds vectors close to the wanted ones, of any length: fewer steps are needed then.
	Start [][]float64
	// Workspace is memory to reuse. What is returned lives in it until it is used again.
	Workspace *Workspace
}

// defaultTolerance is small enough for vectors to eight figures even where K amplifies their error.
const defaultTolerance = 1e-10

// LowestOf returns the n lowest eigenpairs of K x = λ M x above the shift of op: values rising, unit of λ; vectors with
// xᵀ M x = 1 whose largest entry is positive. If M has a rank lower than n, there are only so many. Unlike Lowest it
// does not prove that none was missed; an eigenvalue of a multiplicity above 4 may be returned too few times.
//
// Passing a Workspace that was used for the same order and n before, it allocates nothing but what op does.
func LowestOf(op Operator, n int, opt IterationOptions) (values []float64, vectors [][]float64, err error) {
	if n <= 0 || op.N <= 0 {
		return nil, nil, nil
	}
	n = min(n, op.N)
	for _, x := range opt.Start {
		if len(x) != op.N {
			return nil, nil, fmt.Errorf("sparse: start vector of length %d for order %d", len(x), op.N)
		}
	}
	ws := opt.Workspace
	if ws == nil {
		ws = &Workspace{}
	}
	ws.functions.op = op
	defer func() { ws.functions.op = Operator{} }() // the memory may outlive what it worked on
	if len(ws.functions.from) != op.N {
		ws.functions.from, ws.functions.to = make([]float64, op.N), make([]float64, op.N)
	}
	ws.rough = opt.Tolerance >= roughFrom
	if err := ws.begin(&ws.functions, n, 1, opt.Start); err != nil {
		return nil, nil, err
	}
	if err := ws.iterate(&ws.functions, n, 100+20*n, opt.Tolerance); err != nil {
		return nil, nil, err
	}
	n = min(n, ws.positive())
	ws.extract(&ws.functions, n, op.Shift)
	return ws.values[:n], ws.vectors[:n], nil
}

// iterate goes on until the n largest eigenvalues of A have converged, or all there are, but no more than limit steps.
func (ws *Workspace) iterate(op laneOperator, n, limit int, tolerance float64) error {
	if tolerance <= 0 {
		tolerance = defaultTolerance
	}
	// The projected problem is solved now and then only: for small matrices or many vectors it costs as much as some steps.
	interval := 2 * lanesMany
	if ws.n >= 4*chunkRows {
		interval = lanesMany
	}
	checked := 0
	for limit += ws.steps; ws.steps < limit; {
		if ws.block > 0 {
			if err := ws.advance(op); err != nil {
				return err
			}
		}
		full := ws.used+ws.block+lanesMany > ws.limit
		if !ws.exhausted && !full && (ws.used < 3*n+lanesMany || ws.used < checked+max(interval, checked/8)) {
			continue
		}
		checked = ws.used
		if !ws.rayleigh() {
			return errNotFinite
		}
		if ws.exhausted || ws.accurate(tolerance) >= n {
			return nil
		}
		if full {
			ws.restart(min(n+2*lanesMany, ws.used-lanesMany))
			checked = ws.used
		}
	}
	return ErrNoConvergence
}

// rayleigh solves the projected problem and measures the residuals.
func (ws *Workspace) rayleigh() bool {
	if ws.used == 0 {
		ws.ritz.order = 0
		return true
	}
	if !ws.ritz.solve(ws.t, ws.room, ws.used) {
		return false
	}
	for k := range ws.used {
		sum := 0.0
		for i := range ws.block {
			part := ws.beyond(i, k)
			sum += part * part
		}
		ws.residual[k] = math.Sqrt(sum) * math.Abs(ws.ritz.values[k])
	}
	return true
}

// accurate is the number of Ritz pairs from the first on that have converged.
func (ws *Workspace) accurate(tolerance float64) int {
	count := 0
	for count < ws.used && ws.residual[count] <= tolerance*ws.ritz.values[count] {
		count++
	}
	return count
}

// positive is the number of Ritz values that stand for eigenvalues above the shift.
func (ws *Workspace) positive() int {
	count := 0
	for count < ws.used && ws.ritz.values[count] > 0 {
		count++
	}
	return count
}

// restart replaces the used vectors by the keep best Ritz vectors.
func (ws *Workspace) restart(keep int) {
	ws.rotate(ws.ritz.vectors, ws.used, ws.used, keep, ws.row)
	for k := range ws.block {
		ws.move(keep+k, ws.used+k)
	}
	ws.keepRitz(keep)
}

// keepRitz makes the first Ritz vectors, to which the basis has been rotated, the used ones.
func (ws *Workspace) keepRitz(keep int) {
	for i := range keep {
		clear(ws.t[i*ws.room : i*ws.room+keep])
		ws.t[i*ws.room+i] = ws.ritz.values[i]
	}
	ws.used, ws.tail = keep, 0
}

// beyond is the part of Ritz vector k along vector i of the newest block: the vector is an eigenvector's image under A,
// divided by θ.
func (ws *Workspace) beyond(i, k int) float64 {
	sum := 0.0
	for j := range ws.tail {
		sum += ws.r[i*lanesMany+j] * ws.ritz.vectors[(ws.used-ws.tail+j)*ws.used+k]
	}
	return sum / ws.ritz.values[k]
}

// widen prepares for n eigenpairs after some were missed: it keeps the converged ones and goes on from a new random
// block.
func (ws *Workspace) widen(op laneOperator, n, converged int) error {
	// What is known of the residuals goes into the vectors, as the block that holds it is given up.
	ws.rotate(ws.ritz.vectors, ws.used, ws.used, converged, ws.row)
	for k := range converged {
		for i := range ws.block {
			ws.add(k, ws.beyond(i, k), ws.used+i)
		}
	}
	ws.keepRitz(converged)
	ws.block = 0
	ws.makeRoom(ws.n, n, ws.used)
	ws.fill()
	return ws.seedBlock(op)
}

// keep returns the first n Ritz vectors in memory of their own.
func (ws *Workspace) keep(op laneOperator, n int, shift float64) [][]float64 {
	ws.extract(op, n, shift)
	found := ws.vectors
	ws.vectors, ws.values, ws.store = nil, nil, nil
	return found
}

// extract forms the first n Ritz pairs. The part of the residual that is known is added to the vectors, which frees
// them from what M does not see.
func (ws *Workspace) extract(op laneOperator, n int, shift float64) {
	if n == 0 {
		ws.values, ws.vectors = nil, nil
		return
	}
	if len(ws.store) < n*ws.n || len(ws.vectors) < n || len(ws.vectors[0]) != ws.n {
		ws.store = make([]float64, n*ws.n)
		ws.values, ws.vectors = make([]float64, n), make([][]float64, n)
		for k := range ws.vectors {
			ws.vectors[k] = ws.store[k*ws.n : (k+1)*ws.n]
		}
	}
	s, order := ws.ritz.vectors, ws.used
	for first := 0; first < n; first += lanesMany {
		lanes := min(lanesMany, n-first)
		h := ws.h[:(order+ws.block)*lanesMany]
		clear(h)
		for lane := range lanes {
			k := first + lane
			for c := range order {
				h[c*lanesMany+lane] = -s[c*order+k]
			}
			for i := range ws.block {
				h[(order+i)*lanesMany+lane] = -ws.beyond(i, k)
			}
		}
		clear(ws.w)
		ws.subtract(ws.w, h, order+ws.block)
		op.multiply(ws.mw, ws.w, lanes)
		for lane := range lanes {
			x := ws.vectors[first+lane]
			scale := 1 / math.Sqrt(laneDot(ws.w, lane, ws.mw, lane))
			for i := range x {
				x[i] = scale * ws.w[lanesMany*i+lane]
			}
			fixSign(x)
			ws.values[first+lane] = shift + 1/ws.ritz.values[first+lane]
		}
	}
}

// fixSign makes the entry of largest magnitude positive; of several that differ by rounding only, the first.
func fixSign(x []float64) {
	big := maxAbs(x)
	for _, v := range x {
		if math.Abs(v) >= (1-1e-6)*big {
			if v < 0 {
				for i := range x {
					x[i] = -x[i]
				}
			}
			return
		}
	}
}
