package sparse

// chunkRows is the number of rows after which sums over rows are taken together: a fixed number, so that results do
// not depend on how many goroutines share the work.
const chunkRows = 2048

// basis is a set of vectors V with M V beside it, each stored one vector after the other, and the operations on lanesMany
// vectors side by side that orthogonalisation needs.
type basis struct {
	n       int
	v, mv   []float64
	workers int
	gang    gang
	partial []float64
	sums    basisSums
	less    basisLess
}

// resize makes room for vectors of length n, keeping the first ones.
func (b *basis) resize(n, vectors, keep int) {
	b.n = n
	if len(b.v) < n*vectors {
		v, mv := make([]float64, n*vectors), make([]float64, n*vectors)
		copy(v, b.v[:n*keep])
		copy(mv, b.mv[:n*keep])
		b.v, b.mv = v, mv
	}
	if size := b.chunks() * vectors * lanesMany; len(b.partial) < size {
		b.partial = make([]float64, size)
	}
}

func (b *basis) chunks() int { return (b.n + chunkRows - 1) / chunkRows }

// vector returns vector k of V or of M V.
func (b *basis) vector(set []float64, k int) []float64 { return set[k*b.n : (k+1)*b.n] }

// project sets h = Vᵀ M y for the first count vectors; row c of h holds the lanes of vector c.
func (b *basis) project(h, y []float64, count int) {
	b.sums = basisSums{b, y, count}
	b.gang.each(b.workers, b.chunks(), &b.sums)
	h = h[:count*lanesMany]
	clear(h)
	for c := range b.chunks() {
		addRun(h, b.partial[c*len(h):(c+1)*len(h)])
	}
}

type basisSums struct {
	b     *basis
	y     []float64
	count int
}

func (s *basisSums) do(_, piece int) {
	b := s.b
	from := piece * chunkRows
	rows := min(chunkRows, b.n-from)
	var sum [step * lanesMany]float64
	for c := 0; c < s.count; c += step {
		width := min(step, s.count-c)
		dotColumns4(width, rows, b.mv[c*b.n+from:], b.n, s.y[from*lanesMany:], &sum)
		copy(b.partial[(piece*s.count+c)*lanesMany:], sum[:width*lanesMany])
	}
}

// subtract sets y -= V h.
func (b *basis) subtract(y, h []float64, count int) {
	b.less = basisLess{b, y, h, count}
	b.gang.each(b.workers, b.chunks(), &b.less)
}

type basisLess struct {
	b     *basis
	y, h  []float64
	count int
}

func (s *basisLess) do(_, piece int) {
	b := s.b
	from := piece * chunkRows
	rows := min(chunkRows, b.n-from)
	for c := 0; c < s.count; c += step {
		subtractColumns4(min(step, s.count-c), rows, b.v[c*b.n+from:], b.n, s.h[c*lanesMany:], s.y[from*lanesMany:])
	}
}

// set stores lane lane of y as vector k of V and of my as that of M V.
func (b *basis) set(k int, y, my []float64, lane int) {
	v, mv := b.vector(b.v, k), b.vector(b.mv, k)
	for i := range v {
		v[i], mv[i] = y[lanesMany*i+lane], my[lanesMany*i+lane]
	}
}

// setFour is set for all lanes, the first as vector k.
func (b *basis) setFour(k int, y, my []float64) {
	for set, from := range [2][]float64{y, my} {
		all := [2][]float64{b.v, b.mv}[set]
		v0, v1, v2, v3 := b.vector(all, k), b.vector(all, k+1), b.vector(all, k+2), b.vector(all, k+3)
		for i := range v0 {
			u := (*[lanesMany]float64)(from[lanesMany*i:])
			v0[i], v1[i], v2[i], v3[i] = u[0], u[1], u[2], u[3]
		}
	}
}

// move copies vector from to vector to.
func (b *basis) move(to, from int) {
	copy(b.vector(b.v, to), b.vector(b.v, from))
	copy(b.vector(b.mv, to), b.vector(b.mv, from))
}

// add adds f times vector from to vector to.
func (b *basis) add(to int, f float64, from int) {
	for _, set := range [][]float64{b.v, b.mv} {
		x, y := b.vector(set, from), b.vector(set, to)
		for i, v := range x {
			y[i] += f * v
		}
	}
}

// rotate replaces the first count vectors by V S, of which it keeps keep; column k of S is s[i*stride+k].
func (b *basis) rotate(s []float64, stride, count, keep int, row []float64) {
	for _, set := range [][]float64{b.v, b.mv} {
		for i := range b.n {
			for k := range count {
				row[k] = set[k*b.n+i]
			}
			for k := range keep {
				sum := 0.0
				for c, x := range row[:count] {
					sum += x * s[c*stride+k]
				}
				set[k*b.n+i] = sum
			}
		}
	}
}
