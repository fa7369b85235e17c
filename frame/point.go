package frame

// anchor is a point of the frame as a linear form: displacement d (0 to 5, global) = Σ form[d][i] u[at[i]].
// The ground has no terms.
type anchor struct {
	at      []int32 // full numbers
	form    [6][]float64
	node    int32 // node of the point, -1 where it lies on a member
	element int32 // element of the point, -1 at a node
	xi      float64
	offset  [3]float64
}

// anchorAt resolves a point that Check has passed.
func (g *grid) anchorAt(p Point) anchor {
	var a anchor
	g.resolve(&a, p)
	return a
}

// resolve is anchorAt into an anchor whose memory is used again.
func (g *grid) resolve(a *anchor, p Point) {
	a.node, a.element, a.xi, a.offset = -1, -1, 0, p.Offset
	switch {
	case p.Node != "":
		node := g.nodes[p.Node]
		a.node = int32(node)
		a.resize(6)
		for d := range 6 {
			a.at[d] = int32(6*node + d)
			a.form[d][d] = 1
		}
	case p.Member != "":
		a.element, a.xi = g.locate(g.members[p.Member], p.Position)
		g.formInElement(a)
	default:
		a.resize(0)
		return
	}
	a.lever()
}

// resize makes room for n terms, all zero.
func (a *anchor) resize(n int) {
	if cap(a.at) < n {
		a.at = make([]int32, n)
	}
	a.at = a.at[:n]
	for d := range a.form {
		a.form[d] = sized(a.form[d], n)
		clear(a.form[d])
	}
}

// locate returns the element of a position along a member and the position within it.
func (g *grid) locate(member int, position float64) (element int32, xi float64) {
	low, high := g.first[member], g.first[member+1]-1
	for low < high { // the last element that begins at or before the position
		if mid := (low + high + 1) / 2; g.elements[mid].begin <= position {
			low = mid
		} else {
			high = mid - 1
		}
	}
	e := &g.elements[low]
	return low, (position - e.begin) / e.share
}

// formInElement fills the form of a point on the axis of its element.
func (g *grid) formInElement(a *anchor) {
	e := &g.elements[a.element]
	if e.armed || e.freed {
		a.formThrough(e)
		return
	}
	a.resize(12)
	ny, sy := bendingShapes(e.phiY, e.l, a.xi)
	nz, sz := bendingShapes(e.phiZ, e.l, a.xi)
	linear := [2]float64{1 - a.xi, a.xi}
	x, y, z := &e.axes[0], &e.axes[1], &e.axes[2]
	for end := range 2 {
		v, t := 2*end, 2*end+1
		at := a.at[6*end : 6*end+6]
		for d := range at {
			at[d] = 6*e.node[end] + int32(d)
		}
		for d := range 3 {
			moved, turned := a.form[d][6*end:6*end+6], a.form[3+d][6*end:6*end+6]
			x0, yv, zv := linear[end]*x[d], ny[v]*y[d], nz[v]*z[d]
			yt, zt := ny[t]*y[d], nz[t]*z[d]
			slopeZ, slopeY := sy[v]*z[d], sz[v]*y[d] // rz = dv/dx, ry = -dw/dx
			turnZ, turnY := sy[t]*z[d], sz[t]*y[d]
			for c := range 3 {
				moved[c] = x0*x[c] + yv*y[c] + zv*z[c]
				moved[3+c] = yt*z[c] - zt*y[c]
				turned[c] = slopeZ*y[c] - slopeY*z[c]
				turned[3+c] = x0*x[c] + turnY*y[c] + turnZ*z[c]
			}
		}
	}
}

// formThrough is formInElement for any element, through its transform.
func (a *anchor) formThrough(e *element) {
	var shape [6][12]float64
	var t transform
	e.shapes(a.xi, &shape)
	e.transform(&t)
	a.resize(t.n)
	copy(a.at, t.at[:t.n])
	for l := range 12 { // local end displacement l
		for c := range t.n {
			w := t.m[l][c]
			if w == 0 {
				continue
			}
			for d := range 6 { // global displacement d at the point
				base := d / 3 * 3
				s := 0.0
				for q := range 3 {
					s += e.axes[q][d-base] * shape[base+q][l]
				}
				a.form[d][c] += s * w
			}
		}
	}
}

// lever moves the point by its offset: u = u₀ + θ × offset.
func (a *anchor) lever() {
	o := a.offset
	if o == [3]float64{} {
		return
	}
	for i := range a.at {
		theta := [3]float64{a.form[3][i], a.form[4][i], a.form[5][i]}
		u := cross(theta, o)
		for k := range 3 {
			a.form[k][i] += u[k]
		}
	}
}

// project appends sign times component comp of the point in own axes as a linear form.
func (a *anchor) project(at []int32, c []float64, axes *Axes, comp int, sign float64) ([]int32, []float64) {
	base := comp / 3 * 3
	for i, freedom := range a.at {
		s := 0.0
		for k := range 3 {
			s += axes[comp-base][k] * a.form[base+k][i]
		}
		if s != 0 {
			at, c = append(at, freedom), append(c, sign*s)
		}
	}
	return at, c
}

// displacement evaluates the six displacements of the point in a full vector.
func (a *anchor) displacement(u []float64) [6]float64 {
	var d [6]float64
	for i, freedom := range a.at {
		for k := range 6 {
			d[k] += a.form[k][i] * u[freedom]
		}
	}
	return d
}

// addForce adds a force and moment at the point to the full vector.
func (a *anchor) addForce(full []float64, f [6]float64) {
	for i, freedom := range a.at {
		for k := range 6 {
			full[freedom] += a.form[k][i] * f[k]
		}
	}
}
