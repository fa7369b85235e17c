package sparse

import "math"

// Sizes of the blocks that stay in the caches while a product is formed: depth columns of A and B at a time, and
// tall rows of A.
const (
	depth = 192
	tall  = 12 * slab
)

// base is the width of the panels that are factored entry by entry.
const base = 8

// parallelWork is the number of multiplications above which one product is shared between goroutines.
const parallelWork = 2 << 20

// packing is the memory of one goroutine in which strips of operands are laid out for the kernels.
type packing struct {
	a, b []float64
}

func (p *packing) roomA(size int) []float64 {
	if len(p.a) < size {
		p.a = make([]float64, size)
	}
	return p.a[:size]
}

func (p *packing) roomB(size int) []float64 {
	if len(p.b) < size {
		p.b = make([]float64, size)
	}
	return p.b[:size]
}

func ceil(n, m int) int { return (n + m - 1) / m * m }

// pivots judges and keeps the pivots of a factorisation, by place in the elimination order.
type pivots struct {
	d        []float64
	diagonal []float64 // of the matrix
	accepted []bool    // pivots that are small and yet right; nil means none
	ratio    float64   // a pivot below this times the diagonal entry is suspect
}

// passes reports whether a pivot is finite and either not small or accepted as it is.
func (p *pivots) passes(place int, d float64) bool {
	d = math.Abs(d)
	if !(d <= math.MaxFloat64) {
		return false
	}
	return d > p.ratio*math.Abs(p.diagonal[place]) || p.accepted != nil && p.accepted[place]
}

// panel is the part of a front that holds columns of L: m rows by k columns, column length ld, a multiple of 4 with
// zeros below row m. The diagonal blocks' upper triangles hold nothing of use.
type panel struct {
	a        []float64
	m, k, ld int
	first    int // place of the first column
}

// factor turns the panel into columns of L: unit lower trapezoid. It returns the suspect pivots' places appended to bad.
//
// The columns are halved recursively, so that nearly all work is in products.
// Source: recursive factorisation as in Gustavson, IBM J. Res. Dev. 41 (1997) 737 (from memory).
func (p *panel) factor(piv *pivots, crew []*packing, bad []suspect) []suspect {
	return p.columns(0, p.k, piv, crew, bad)
}

// suspect is a pivot that was too small and the value that was replaced.
type suspect struct {
	place int
	pivot float64
}

func (p *panel) columns(from, to int, piv *pivots, crew []*packing, bad []suspect) []suspect {
	if to-from <= base {
		return p.small(from, to, piv, bad)
	}
	mid := from + ceil((to-from)/2, base)
	bad = p.columns(from, mid, piv, crew, bad)
	u := update{
		l: p.a[from*p.ld+mid:], ld: p.ld, d: piv.d[p.first+from : p.first+mid],
		rows: p.m - mid, cols: to - mid,
		c: p.a[mid*p.ld+mid:], ldc: p.ld, room: to - mid,
	}
	u.run(crew)
	return p.columns(mid, to, piv, crew, bad)
}

// small factors at most base columns: the diagonal block entry by entry, then the rows below.
func (p *panel) small(from, to int, piv *pivots, bad []suspect) []suspect {
	var l [64]float64
	var inverse [8]float64
	w := to - from
	a := p.a[from*p.ld+from:]
	for c := range w {
		for r := c; r < w; r++ {
			l[8*r+c] = a[c*p.ld+r]
		}
	}
	place := p.first + from
	for c := range w {
		d := l[9*c]
		if !piv.passes(place+c, d) {
			bad = append(bad, suspect{place + c, d})
			if d = math.Abs(piv.diagonal[place+c]); !(d > 0 && d <= math.MaxFloat64) {
				d = 1
			}
		}
		piv.d[place+c] = d
		inverse[c] = 1 / d
		for r := c + 1; r < w; r++ {
			f := l[8*r+c] * inverse[c]
			for q := c + 1; q <= r; q++ {
				l[8*r+q] -= f * l[8*q+c] // column c is not scaled yet
			}
		}
		for r := c + 1; r < w; r++ {
			l[8*r+c] *= inverse[c]
		}
	}
	top := w &^ 3 // the kernel works on whole quads of rows and may spoil the block, which is written afterwards
	eliminateRows(w, (p.ld-from-top)/4, a[top:], p.ld, &l, &inverse)
	for c := range w {
		for r := c; r < w; r++ {
			a[c*p.ld+r] = l[8*r+c]
		}
	}
	return bad
}

// update subtracts L D Lᵀ from the lower triangle of C: rows rows and the first cols columns of it. C may be written
// in whole quads of rows, in columns up to room, and above its diagonal.
type update struct {
	l          []float64
	ld         int
	d          []float64
	rows, cols int
	c          []float64
	ldc, room  int
}

func (u *update) run(crew []*packing) {
	if u.rows == 0 || u.cols == 0 {
		return
	}
	work := float64(len(u.d)) * float64(u.cols) * (float64(u.rows) - float64(u.cols)/2)
	if work < parallelWork {
		crew = crew[:1]
	}
	strips := (u.cols + strip - 1) / strip
	for p := 0; p < len(u.d); p += depth {
		k := min(depth, len(u.d)-p)
		b := crew[0].roomB(strips * strip * k)
		blocks := (u.rows + tall - 1) / tall
		if len(crew) == 1 {
			u.strips(b, 0, strips, p, k)
			for block := range blocks {
				u.block(crew[0], b, tall*block, p, k)
			}
			continue
		}
		u.share(crew, b, strips, blocks, p, k)
	}
}

// share does the same with several goroutines, the longest rows first.
func (u *update) share(crew []*packing, b []float64, strips, blocks, p, k int) {
	const chunk = 32
	each(len(crew), (strips+chunk-1)/chunk, func(_, i int) {
		u.strips(b, chunk*i, min(strips, chunk*i+chunk), p, k)
	})
	each(len(crew), blocks, func(worker, i int) {
		u.block(crew[worker], b, tall*(blocks-1-i), p, k)
	})
}

// strips lays out the strips from one to another.
func (u *update) strips(b []float64, from, to, p, k int) {
	for s := from; s < to; s++ {
		u.packB(b[s*strip*k:][:strip*k], s*strip, p, k)
	}
}

// packB lays out -d L of 4 rows from row, columns p to p+k, by columns.
func (u *update) packB(dst []float64, row, p, k int) {
	d := u.d[p : p+k]
	if n := u.cols - row; n < strip {
		clear(dst)
		for c, f := range d {
			for r := range n {
				dst[c*strip+r] = -f * u.l[(p+c)*u.ld+row+r]
			}
		}
		return
	}
	for c, f := range d {
		src := u.l[(p+c)*u.ld+row:][:4:4]
		out := dst[c*strip:][:4:4]
		out[0], out[1], out[2], out[3] = -f*src[0], -f*src[1], -f*src[2], -f*src[3]
	}
}

// packA lays out 12 rows of L from row by columns, zeros beyond the last row.
func (u *update) packA(dst []float64, row, p, k int) {
	if n := u.rows - row; n < slab {
		for c := range k {
			out := dst[c*slab:][:slab:slab]
			clear(out[copy(out, u.l[(p+c)*u.ld+row:][:n]):])
		}
		return
	}
	for c := range k {
		*(*[slab]float64)(dst[c*slab:]) = *(*[slab]float64)(u.l[(p+c)*u.ld+row:])
	}
}

// block forms the product for up to tall rows from row against all packed strips left of the diagonal.
func (u *update) block(pack *packing, b []float64, row, p, k int) {
	rows := min(tall, u.rows-row)
	slabs := (rows + slab - 1) / slab
	a := pack.roomA(slabs * slab * k)
	for s := range slabs {
		u.packA(a[s*slab*k:][:slab*k], row+s*slab, p, k)
	}
	for col := 0; col < min(u.cols, row+rows); col += strip {
		bs := b[col*k : (col+strip)*k]
		for s := max(0, (col-row)/slab); s < slabs; s++ {
			at := row + s*slab
			height := min(slab, ceil(u.rows-at, 4))
			if col+strip <= u.room {
				addTile(height, k, a[s*slab*k:], bs, u.c[col*u.ldc+at:], u.ldc)
				continue
			}
			var t [slab * strip]float64
			addTile(height, k, a[s*slab*k:], bs, t[:], slab)
			for c := range u.cols - col {
				out := u.c[(col+c)*u.ldc+at:][:height]
				for r := range out {
					out[r] += t[c*slab+r]
				}
			}
		}
	}
}
