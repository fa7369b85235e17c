package sparse

import (
	"errors"
	"math"
)

// Workspace is memory that LowestOf reuses from call to call, one a goroutine. The zero value is ready.
//
// It holds a Krylov basis V of A = (K - σM)⁻¹ M, orthonormal in the M product, of which the first used vectors have been
// multiplied by A and the last block vectors not yet: A V = V T + V_block R, where R belongs to the last tail
// of the used vectors. Every new block is made orthogonal to all of V twice, so that no copies of found vectors appear; once
// where the result need not be accurate.
//
// Source: Grimes, Lewis, Simon, SIAM J. Matrix Anal. Appl. 15 (1994) 228; thick restart: Wu, Simon, SIAM J. Matrix
// Anal. Appl. 22 (2000) 602; M semi-definite and the correction of vectors: Nour-Omid, Parlett, Ericsson, Jensen,
// Math. Comp. 48 (1987) 663 (all from memory).
type Workspace struct {
	basis
	functions functionLanes
	room      int // vectors there is room for
	limit     int // vectors that may be used, whatever the room: the memory of a larger problem changes no result
	used      int
	block     int
	tail      int
	t         []float64                      // T, upper triangle, by rows of length room
	r         [lanesMany * lanesMany]float64 // R by rows of lanesMany
	w, mw     []float64                      // the newest block side by side, and M times it
	h, h2     []float64
	row       []float64
	ritz      ritz
	residual  []float64 // of each Ritz pair: |A x - θ x| in the M norm
	seed      uint64
	steps     int
	rough     bool // see roughFrom
	exhausted bool // V spans all that A can reach

	values  []float64
	vectors [][]float64
	store   []float64
}

// ErrNoConvergence says that the iteration was given up before the eigenpairs were accurate enough.
var ErrNoConvergence = errors.New("sparse: eigenvalues have not converged")

var errNotFinite = errors.New("sparse: an operator of the eigenvalue problem returned NaN or infinity")

// dependent is the part of its length that a vector must keep when it is made orthogonal, to count as a new direction.
const dependent = 1e-10

// begin starts an iteration for n eigenpairs from the vectors given, or from nothing.
func (ws *Workspace) begin(op laneOperator, n, workers int, from [][]float64) error {
	ws.workers = workers
	ws.makeRoom(op.order(), n, 0)
	ws.used, ws.block, ws.tail, ws.steps, ws.seed, ws.exhausted = 0, 0, 0, 0, 1, false
	ws.fill()
	for k, x := range from {
		// Every lane begins with a sum of the vectors that fall to it; what is random keeps it general.
		if k == 0 {
			for i := range ws.w {
				ws.w[i] *= 1e-6
			}
		}
		f, lane := 1/max(maxAbs(x), math.SmallestNonzeroFloat64), k%lanesMany
		for i, v := range x {
			ws.w[lanesMany*i+lane] += f * v
		}
	}
	return ws.seedBlock(op)
}

// makeRoom fits the memory to n eigenpairs, keeping the first vectors.
func (ws *Workspace) makeRoom(order, n, keep int) {
	room := ceil(min(2*n+80, order)+2*lanesMany, lanesMany)
	ws.limit = room
	if room > ws.room {
		t := make([]float64, room*room)
		for i := range keep {
			copy(t[i*room:], ws.t[i*ws.room:i*ws.room+keep])
		}
		ws.t, ws.room = t, room
		ws.h, ws.h2 = make([]float64, room*lanesMany), make([]float64, room*lanesMany)
		ws.row, ws.residual = make([]float64, room), make([]float64, room)
	}
	ws.resize(order, ws.room, keep)
	if len(ws.w) != order*lanesMany {
		ws.w, ws.mw = make([]float64, order*lanesMany), make([]float64, order*lanesMany)
	}
}

// fill sets w to numbers between -0.5 and 0.5 that look random and are the same every time.
func (ws *Workspace) fill() {
	for i := range ws.w {
		ws.seed++
		ws.w[i] = float64(scatterBits(ws.seed)>>11)/(1<<53) - 0.5
	}
}

// seedBlock makes a block of w that has nothing to do with the ones before.
func (ws *Workspace) seedBlock(op laneOperator) error {
	op.multiply(ws.mw, ws.w, lanesMany)
	op.solve(ws.w, ws.mw, lanesMany) // leaves only directions that A can reach
	err := ws.orthogonalise(op, ws.used, lanesMany)
	clear(ws.r[:])
	return err
}

// advance multiplies the newest block by A and makes the next.
func (ws *Workspace) advance(op laneOperator) error {
	ws.steps++
	count, lanes := ws.used+ws.block, ws.block
	op.solve(ws.w, ws.mw, lanes)
	if err := ws.orthogonalise(op, count, lanes); err != nil {
		return err
	}
	for lane := range lanes {
		c := ws.used + lane
		for i := range c + 1 {
			h := ws.h[i*lanesMany+lane]
			if i >= ws.used && i < c { // within the block both halves are known
				h = (h + ws.h[c*lanesMany+i-ws.used]) / 2
			}
			ws.t[i*ws.room+c] = h
		}
	}
	ws.used, ws.tail = count, lanes
	if ws.block == 0 {
		ws.fill()
		return ws.seedBlock(op)
	}
	return nil
}

// orthogonalise makes the lanes of w orthogonal to the first count basis vectors and to each other and appends them to
// the basis as the newest block, whose length may be less than lanes. h and r take the parts removed.
func (ws *Workspace) orthogonalise(op laneOperator, count, lanes int) error {
	ws.project(ws.h, ws.w, count)
	ws.subtract(ws.w, ws.h, count)
	op.multiply(ws.mw, ws.w, lanes)
	products := laneProducts(ws.w, ws.mw)
	if !ws.rough || !ws.clearOf(&products, count, lanes) {
		ws.project(ws.h2, ws.w, count)
		ws.subtract(ws.w, ws.h2, count)
		addRun(ws.h, ws.h2[:count*lanesMany])
		op.multiply(ws.mw, ws.w, lanes)
		products = laneProducts(ws.w, ws.mw)
	}
	clear(ws.r[:])
	if lanes == lanesMany && ws.apart(&products, count) {
		ws.block, ws.exhausted = lanes, false
		return nil
	}
	return ws.oneByOne(count, lanes)
}

// before is the square of the length of a lane before it was made orthogonal, from its square since then.
func (ws *Workspace) before(square float64, count, lane int) float64 {
	for c := range count {
		square += ws.h[c*lanesMany+lane] * ws.h[c*lanesMany+lane]
	}
	return square
}

// cancelled is the part of its length, squared, that a vector must keep to be clear of others after what it has in common
// with them was taken off once.
const cancelled = 1e-3

// roughFrom is the tolerance from which one subtraction will do where it leaves enough: the iteration magnifies what
// rounding leaves of the found vectors by the ratio of their eigenvalues, up to 1e6 or so, at every step.
const roughFrom = 1e-6

// clearOf tells whether the lanes are orthogonal to the basis after one subtraction.
func (ws *Workspace) clearOf(products *[lanesMany][lanesMany]float64, count, lanes int) bool {
	for lane := range lanes {
		if square := products[lane][lane]; !(square > cancelled*ws.before(square, count, lane)) {
			return false
		}
	}
	return true
}

// apart makes the lanes orthogonal to each other and appends them, all at once by the Cholesky factor of their products.
// It does nothing and reports false if they are too nearly dependent for that.
func (ws *Workspace) apart(products *[lanesMany][lanesMany]float64, count int) bool {
	var l, d [lanesMany][lanesMany]float64 // W = Q Lᵀ; d is L over its diagonal, which holds the inverses
	for i := range lanesMany {
		for j := range i + 1 {
			v := products[i][j]
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			if j < i {
				l[i][j] = v / l[j][j]
				continue
			}
			if !(v > cancelled*ws.before(products[i][i], count, i)) || math.IsInf(v, 0) {
				return false
			}
			l[i][i] = math.Sqrt(v)
		}
		d[i][i] = 1 / l[i][i]
		for j := range i {
			d[i][j] = l[i][j] * d[i][i]
		}
	}
	for lane := range lanesMany {
		for k := range lane + 1 {
			ws.r[k*lanesMany+lane] = l[lane][k]
		}
	}
	laneSolve(ws.w, &d)
	laneSolve(ws.mw, &d)
	ws.setFour(count, ws.w, ws.mw)
	return true
}

// oneByOne makes the lanes orthogonal to each other one after the other and appends those that point somewhere new.
func (ws *Workspace) oneByOne(count, lanes int) error {
	kept := 0
	for lane := range lanes {
		before := ws.before(laneDot(ws.w, lane, ws.mw, lane), count, lane)
		if math.IsNaN(before) || math.IsInf(before, 0) {
			return errNotFinite
		}
		for k := range kept {
			for range 2 {
				c := laneDot(ws.mw, k, ws.w, lane)
				laneSubtract(ws.w, k, lane, c)
				laneSubtract(ws.mw, k, lane, c)
				ws.r[k*lanesMany+lane] += c
			}
		}
		length := math.Sqrt(max(0, laneDot(ws.w, lane, ws.mw, lane)))
		if !(length > dependent*math.Sqrt(max(0, before))) {
			continue
		}
		ws.r[kept*lanesMany+lane] = length
		laneMove(ws.w, kept, lane, 1/length)
		laneMove(ws.mw, kept, lane, 1/length)
		ws.set(count+kept, ws.w, ws.mw, kept)
		kept++
	}
	for lane := kept; lane < lanesMany; lane++ {
		laneMove(ws.w, lane, lane, 0)
		laneMove(ws.mw, lane, lane, 0)
	}
	ws.block = kept
	ws.exhausted = kept == 0
	return nil
}

// laneProducts are the products of lanes of x, by rows, with lanes of y, in the lower triangle.
func laneProducts(x, y []float64) (sum [lanesMany][lanesMany]float64) {
	var a, b0, b1, c0, c1, c2, d0, d1, d2, d3 float64
	for i := 0; i+lanesMany <= len(x); i += lanesMany {
		u, v := (*[lanesMany]float64)(x[i:]), (*[lanesMany]float64)(y[i:])
		a += u[0] * v[0]
		b0 += u[1] * v[0]
		b1 += u[1] * v[1]
		c0 += u[2] * v[0]
		c1 += u[2] * v[1]
		c2 += u[2] * v[2]
		d0 += u[3] * v[0]
		d1 += u[3] * v[1]
		d2 += u[3] * v[2]
		d3 += u[3] * v[3]
	}
	return [lanesMany][lanesMany]float64{{a}, {b0, b1}, {c0, c1, c2}, {d0, d1, d2, d3}}
}

// laneSolve replaces the lanes of x by x L⁻ᵀ; d is L divided by its diagonal, by rows, and on the diagonal its inverse.
func laneSolve(x []float64, d *[lanesMany][lanesMany]float64) {
	for i := 0; i+lanesMany <= len(x); i += lanesMany {
		u := (*[lanesMany]float64)(x[i:])
		u[0] *= d[0][0]
		u[1] = u[1]*d[1][1] - u[0]*d[1][0]
		u[2] = u[2]*d[2][2] - u[0]*d[2][0] - u[1]*d[2][1]
		u[3] = u[3]*d[3][3] - u[0]*d[3][0] - u[1]*d[3][1] - u[2]*d[3][2]
	}
}

func laneDot(x []float64, p int, y []float64, q int) float64 {
	sum := 0.0
	for i := 0; i+lanesMany <= len(x); i += lanesMany {
		sum += x[i+p] * y[i+q]
	}
	return sum
}

// laneSubtract subtracts c times lane p from lane q.
func laneSubtract(x []float64, p, q int, c float64) {
	for i := 0; i+lanesMany <= len(x); i += lanesMany {
		x[i+q] -= c * x[i+p]
	}
}

// laneMove sets lane p to c times lane q.
func laneMove(x []float64, p, q int, c float64) {
	for i := 0; i+lanesMany <= len(x); i += lanesMany {
		x[i+p] = c * x[i+q]
	}
}

func maxAbs(x []float64) float64 {
	big := 0.0
	for _, v := range x {
		big = max(big, math.Abs(v))
	}
	return big
}
