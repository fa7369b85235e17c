package sparse

// step is the number of columns the kernels take at once.
const step = 4

// wideColumns is the number of columns of a wide front that are solved before the rows below are brought up to date, by
// all goroutines together; wideRows is their share each.
const (
	wideColumns = 128
	wideRows    = 256
	wideSize    = 1 << 17 // numbers in a front from which it is wide
)

// isWide says whether a front is treated in blocks: one of the common fronts, and large.
func (s *Scratch) isWide(f *front) bool {
	return int(f.first) >= s.f.sym.common && int(f.ld)*int(f.width) >= wideSize
}

// columnsForward subtracts from t what the columns of a front make of its pivots, one after the other.
func (s *Scratch) columnsForward(f *front, t []float64) {
	p := s.view(f)
	if !s.isWide(f) {
		p.forward(0, p.k, p.ld, t)
		return
	}
	for from := 0; from < p.k; from += wideColumns {
		to := min(from+wideColumns, p.k)
		end := ceil(to, step)
		p.forward(from, to, end, t)
		s.wide.panelView, s.wide.t, s.wide.from, s.wide.to, s.wide.forward = p, t, from, to, true
		s.gang.each(s.f.workers, (p.ld-end+wideRows-1)/wideRows, &s.wide)
	}
}

// columnsBackward solves for the pivots of a front, last first, given the rows below.
func (s *Scratch) columnsBackward(f *front, t []float64) {
	p := s.view(f)
	if !s.isWide(f) {
		p.backward(0, p.k, p.ld, t, nil)
		return
	}
	for from := (p.k - 1) / wideColumns * wideColumns; from >= 0; from -= wideColumns {
		to := min(from+wideColumns, p.k)
		end := ceil(to, step)
		s.wide.panelView, s.wide.t, s.wide.from, s.wide.to, s.wide.forward = p, t, from, to, false
		s.gang.each(s.f.workers, (to-from+step-1)/step, &s.wide)
		p.backward(from, to, end, t, &s.wide.sums)
	}
}

// wideFront is the part of a wide front below a block of columns: pieces are runs of rows on the way forward, steps of
// columns on the way backward.
type wideFront struct {
	panelView
	s        *Scratch
	t        []float64
	from, to int
	forward  bool
	sums     [wideColumns * lanesMany]float64
}

func (w *wideFront) do(_, piece int) {
	end := ceil(w.to, step)
	if !w.forward {
		c := w.from + step*piece
		w.dot(c, min(step, w.to-c), end, w.ld, w.t, w.sums[(c-w.from)*w.lanes:])
		return
	}
	first := end + piece*wideRows
	for c := w.from; c < w.to; c += step {
		w.subtract(c, min(step, w.to-c), first, min(first+wideRows, w.ld), w.t)
	}
}

// panelView is the panel of a front as solutions see it.
type panelView struct {
	a        []float64
	m, k, ld int
	lanes    int
}

func (s *Scratch) view(f *front) panelView {
	size := int(f.ld) * int(f.width)
	return panelView{s.f.l[f.panel : f.panel+size], int(f.height), int(f.width), int(f.ld), s.lanes}
}

// forward solves for the pivots from..to and updates the rows up to end, a multiple of step.
func (p *panelView) forward(from, to, end int, t []float64) {
	for c := from; c < to; c += step {
		width := min(step, to-c)
		p.corner(c, width, t)
		p.subtract(c, width, c+step, end, t)
	}
}

// corner does it for the rows that a step of columns itself occupies.
func (p *panelView) corner(c, width int, t []float64) {
	rows := min(step, p.m-c)
	for i := range width {
		col := p.a[(c+i)*p.ld+c:][:rows]
		if p.lanes == 1 {
			x := t[c+i]
			for r := i + 1; r < rows; r++ {
				t[c+r] -= col[r] * x
			}
			continue
		}
		x := t[(c+i)*lanesMany:][:lanesMany:lanesMany]
		for r := i + 1; r < rows; r++ {
			y := t[(c+r)*lanesMany:][:lanesMany:lanesMany]
			for lane, v := range x {
				y[lane] -= col[r] * v
			}
		}
	}
}

// subtract updates the rows first..last, both multiples of step, for a step of columns.
func (p *panelView) subtract(c, width, first, last int, t []float64) {
	if last <= first {
		return
	}
	a := p.a[c*p.ld+first:]
	if p.lanes == 1 {
		subtractColumns(width, (last-first)/4, a, p.ld, t[c:], t[first:])
		return
	}
	subtractColumns4(width, last-first, a, p.ld, t[c*lanesMany:], t[first*lanesMany:])
}

// dot multiplies a step of columns with the rows first..last of t.
func (p *panelView) dot(c, width, first, last int, t, sum []float64) {
	if last <= first {
		clear(sum[:width*p.lanes])
		return
	}
	a := p.a[c*p.ld+first:]
	if p.lanes == 1 {
		var s [4]float64
		dotColumns(width, (last-first)/4, a, p.ld, t[first:], &s)
		copy(sum[:width], s[:])
		return
	}
	var s [16]float64
	dotColumns4(width, last-first, a, p.ld, t[first*lanesMany:], &s)
	copy(sum[:width*lanesMany], s[:])
}

// backward solves for the pivots from..to, last first, given the rows up to end and the sums over the rows beyond.
func (p *panelView) backward(from, to, end int, t []float64, beyond *[wideColumns * lanesMany]float64) {
	var sum [step * lanesMany]float64
	for c := from + (to-from-1)/step*step; c >= from; c -= step {
		width := min(step, to-c)
		p.dot(c, width, c+step, end, t, sum[:])
		if beyond != nil {
			addRun(sum[:], beyond[(c-from)*p.lanes:][:width*p.lanes])
		}
		rows := min(step, p.m-c)
		for i := width - 1; i >= 0; i-- {
			col := p.a[(c+i)*p.ld+c:][:rows]
			if p.lanes == 1 {
				x := t[c+i] - sum[i]
				for r := i + 1; r < rows; r++ {
					x -= col[r] * t[c+r]
				}
				t[c+i] = x
				continue
			}
			x := t[(c+i)*lanesMany:][:lanesMany:lanesMany]
			for lane := range x {
				x[lane] -= sum[i*lanesMany+lane]
			}
			for r := i + 1; r < rows; r++ {
				y := t[(c+r)*lanesMany:][:lanesMany:lanesMany]
				for lane, v := range y {
					x[lane] -= col[r] * v
				}
			}
		}
	}
}
