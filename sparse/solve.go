package sparse

// Scratch is the working memory of a solution, one a goroutine; the zero value is ready.
type Scratch struct {
	x []float64 // by place
	t []float64 // rows of one front
}

// Solve sets dst = K⁻¹ b. dst may be b.
func (f *Factor) Solve(dst, b []float64) {
	var s Scratch
	f.SolveWith(&s, dst, b)
}

// SolveWith is Solve with the caller's scratch; it allocates nothing once the scratch has been used.
func (f *Factor) SolveWith(scratch *Scratch, dst, b []float64) {
	n := f.sym.n
	checkLength("Solve", n, dst, b)
	if len(scratch.x) < n {
		scratch.x = make([]float64, n)
	}
	x := scratch.x[:n]
	for p, i := range f.sym.perm {
		x[p] = b[i]
	}
	f.forward(scratch, x)
	for p, r := range f.inverse {
		x[p] *= r
	}
	f.backward(scratch, x)
	for p, i := range f.sym.perm {
		dst[i] = x[p]
	}
}

// SolveMany sets dst[k] = K⁻¹ b[k] for every k; dst[k] may be b[k].
func (f *Factor) SolveMany(dst, b [][]float64) {
	var s Scratch
	f.SolveManyWith(&s, dst, b)
}

// SolveManyWith is SolveMany with the caller's scratch.
func (f *Factor) SolveManyWith(scratch *Scratch, dst, b [][]float64) {
	for k := range b {
		f.SolveWith(scratch, dst[k], b[k])
	}
}

// forward solves L x = b in place.
func (f *Factor) forward(scratch *Scratch, x []float64) {
	for k := range f.sym.fronts {
		fr := &f.sym.fronts[k]
		a := f.l[fr.panel:]
		ld := int(fr.ld)
		for c := range int(fr.width) {
			col := a[c*ld : c*ld+int(fr.height)]
			xc := x[int(fr.first)+c]
			for r := c + 1; r < int(fr.width); r++ {
				x[int(fr.first)+r] -= col[r] * xc
			}
			r := int(fr.width)
			for _, u := range fr.rows {
				for p := u.at; p < u.at+u.count; p++ {
					x[p] -= col[r] * xc
					r++
				}
			}
		}
	}
}

// backward solves Lᵀ x = b in place.
func (f *Factor) backward(scratch *Scratch, x []float64) {
	for k := len(f.sym.fronts) - 1; k >= 0; k-- {
		fr := &f.sym.fronts[k]
		a := f.l[fr.panel:]
		ld := int(fr.ld)
		for c := int(fr.width) - 1; c >= 0; c-- {
			col := a[c*ld : c*ld+int(fr.height)]
			s := x[int(fr.first)+c]
			for r := c + 1; r < int(fr.width); r++ {
				s -= x[int(fr.first)+r] * col[r]
			}
			r := int(fr.width)
			for _, u := range fr.rows {
				for p := u.at; p < u.at+u.count; p++ {
					s -= x[p] * col[r]
					r++
				}
			}
			x[int(fr.first)+c] = s
		}
	}
}
