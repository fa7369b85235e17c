package sparse

// chunkRows is the number of rows after which sums over rows are taken together: a fixed number, so that results do
// not depend on how many goroutines share the work.
const chunkRows = 2048

// basis is a set of vectors stored one after the other, and the operations on lanesMany vectors side by side that
// orthogonalisation needs.
type basis struct {
	n       int
	v       []float64
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
		v := make([]float64, n*vectors)
		copy(v, b.v[:n*keep])
		b.v = v
	}
	if size := b.chunks() * vectors * lanesMany; len(b.partial) < size {
		b.partial = make([]float64, size)
	}
}

func (b *basis) chunks() int { return (b.n + chunkRows - 1) / chunkRows }

func (b *basis) vector(k int) []float64 { return b.v[k*b.n : (k+1)*b.n] }

// project sets h = Vᵀ y for the first count vectors; row c of h holds the lanes of vector c.
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
		dotColumns4(width, rows, b.v[c*b.n+from:], b.n, s.y[from*lanesMany:], &sum)
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

// set stores lane lane of y as vector k.
func (b *basis) set(k int, y []float64, lane int) {
	v := b.vector(k)
	for i := range v {
		v[i] = y[lanesMany*i+lane]
	}
}

// rotate replaces the first count vectors by V S, of which it keeps keep; column k of S is s[i*stride+k].
func (b *basis) rotate(s []float64, stride, count, keep int, row []float64) {
	for i := range b.n {
		for k := range count {
			row[k] = b.v[k*b.n+i]
		}
		for k := range keep {
			sum := 0.0
			for c, x := range row[:count] {
				sum += x * s[c*stride+k]
			}
			b.v[k*b.n+i] = sum
		}
	}
}

// gram sets g = xᵀ y for lanesMany vectors side by side.
func gram(g *[lanesMany * lanesMany]float64, x, y []float64) {
	const w = lanesMany
	clear(g[:])
	for len(x) > 0 {
		size := min(chunkRows*w, len(x))
		var sum [w * w]float64
		for i := 0; i < size; i += w {
			a, b := x[i:][:w:w], y[i:][:w:w]
			for p, v := range a {
				sum[w*p] += v * b[0]
				sum[w*p+1] += v * b[1]
				sum[w*p+2] += v * b[2]
				sum[w*p+3] += v * b[3]
			}
		}
		for k, v := range sum {
			g[k] += v
		}
		x, y = x[size:], y[size:]
	}
}
