package frame

import "spanwright/sparse"

// transform turns full freedoms into the 12 local end displacements of an element: l = m u[at].
type transform struct {
	at [18]int32 // 6 of each node, then the freed end rotations
	n  int
	m  [12][18]float64
}

// transform sets t to that of the element.
func (e *element) transform(t *transform) {
	*t = transform{n: 12}
	for end := range 2 {
		for d := range 6 {
			t.at[6*end+d] = 6*e.node[end] + int32(d)
		}
		for l := range 3 {
			for c := range 3 {
				t.m[6*end+l][6*end+c] = e.axes[l][c]
				t.m[6*end+3+l][6*end+3+c] = e.axes[l][c]
			}
			if e.armed { // R (θ × arm) = (arm × R-row) · θ
				lever := cross(e.arm[end], e.axes[l])
				copy(t.m[6*end+l][6*end+3:6*end+6], lever[:])
			}
		}
		if !e.freed {
			continue
		}
		for axis, own := range e.own[end] {
			if own >= 0 {
				t.m[6*end+3+axis] = [18]float64{}
				t.m[6*end+3+axis][t.n] = 1
				t.at[t.n] = own
				t.n++
			}
		}
	}
}

// congruent sets out to tᵀ k t, of which the first t.n rows and columns are used.
func (t *transform) congruent(k *[12][12]float64, out *[18][18]float64) {
	var kt [12][18]float64
	for i := range 12 {
		for j := range 12 {
			if v := k[i][j]; v != 0 {
				for c := range t.n {
					kt[i][c] += v * t.m[j][c]
				}
			}
		}
	}
	*out = [18][18]float64{}
	for i := range 12 {
		for r := range t.n {
			if v := t.m[i][r]; v != 0 {
				for c := range t.n {
					out[r][c] += v * kt[i][c]
				}
			}
		}
	}
}

// addElements adds the matrices that addLocal gives to the builder; every place of the pattern is kept, zeros too.
func (g *grid) addElements(b *sparse.Builder, addLocal func(*bar, *[12][12]float64)) {
	var local [12][12]float64
	var k [18][18]float64
	var t transform
	for i := range g.elements {
		e := &g.elements[i]
		e.transform(&t)
		local = [12][12]float64{}
		addLocal(&e.bar, &local)
		t.congruent(&local, &k)
		for r := range t.n {
			p := g.eq[t.at[r]]
			if p < 0 {
				continue
			}
			for c := range r + 1 {
				if q := g.eq[t.at[c]]; q >= 0 {
					b.Add(int(p), int(q), k[r][c])
				}
			}
		}
	}
}

// addRows adds the scalar springs, times factor.
func (g *grid) addRows(b *sparse.Builder, factor float64) {
	for i := range g.rows {
		r := &g.rows[i]
		k := r.k * factor
		for x, at := range r.at {
			p := g.eq[at]
			if p < 0 {
				continue
			}
			for y := range x + 1 {
				if q := g.eq[r.at[y]]; q >= 0 {
					b.Add(int(p), int(q), k*r.c[x]*r.c[y])
				}
			}
		}
	}
}

// addDiagonal keeps a place for every diagonal entry, so that a freedom without stiffness is found and named.
func (g *grid) addDiagonal(b *sparse.Builder) {
	for i := range g.size() {
		b.Add(i, i, 0)
	}
}

// stiffness assembles K over the reduced freedoms.
func (g *grid) stiffness() *sparse.Matrix {
	b := sparse.NewBuilder(g.size())
	b.Grow(g.size() + len(g.elements)*12*13/2 + len(g.rows)*9)
	g.addDiagonal(b)
	g.addElements(b, (*bar).addStiffness)
	g.addRows(b, 1)
	return b.Build()
}

// massMatrix assembles M over the reduced freedoms.
func (g *grid) massMatrix() *sparse.Matrix {
	b := sparse.NewBuilder(g.size())
	b.Grow(g.size() + len(g.elements)*12*13/2 + len(g.rows)*9)
	g.addDiagonal(b)
	g.addElements(b, (*bar).addMass)
	for i := range g.lumps {
		g.addLump(b, &g.lumps[i])
	}
	return b.Build()
}

// lump is a rigid body at a point.
type lump struct {
	anchor
	m       float64       // kg
	inertia [3][3]float64 // kg m², about the point, global axes
	body    string
}

func (g *grid) lump(m *Mass) lump {
	return lump{anchor: g.anchorAt(m.At), m: m.M, inertia: m.Inertia, body: m.Body}
}

// entry returns the mass between terms i and j of the lump's form.
func (l *lump) entry(i, j int) float64 {
	s := 0.0
	for k := range 3 {
		s += l.m * l.form[k][i] * l.form[k][j]
		for q := range 3 {
			s += l.form[3+k][i] * l.inertia[k][q] * l.form[3+q][j]
		}
	}
	return s
}

func (g *grid) addLump(b *sparse.Builder, l *lump) {
	for i, at := range l.at {
		p := g.eq[at]
		if p < 0 {
			continue
		}
		for j := range i + 1 {
			if q := g.eq[l.at[j]]; q >= 0 {
				b.Add(int(p), int(q), l.entry(i, j))
			}
		}
	}
}

// internalForces adds K u, evaluated bar by bar and spring by spring, to the full vector: the forces that the
// displacements u call for at every freedom.
//
// The bars see differences of displacements only, so this keeps more digits than the product with the matrix, and it
// checks the assembly.
func (g *grid) internalForces(full, u []float64) {
	for i := range g.elements {
		e := &g.elements[i]
		f := e.elasticForces(e.deform(u))
		e.addLocal(full, &f)
		if e.axial != 0 {
			f = e.geometricForces(e.local(u))
			e.addLocal(full, &f)
		}
	}
	for i := range g.rows {
		r := &g.rows[i]
		r.addTo(full, r.k*r.stretch(u))
	}
}

// reduce picks the reduced freedoms of a full vector.
func (g *grid) reduce(dst, full []float64) {
	for i, at := range g.back {
		dst[i] = full[at]
	}
}

// expand puts a reduced vector into a full one and leaves the fixed freedoms alone.
func (g *grid) expand(full, reduced []float64) {
	for i, at := range g.back {
		full[at] = reduced[i]
	}
}
