package frame

import "slices"

// barLoad is what loads one element between its nodes.
type barLoad struct {
	q    [3]float64 // N/m, local
	rise float64    // K
}

// loading is a case turned into forces on the freedoms.
type loading struct {
	full   []float64 // outer loads as equivalent nodal forces, N and N m
	bars   []barLoad // one an element; nil where no element is loaded
	misfit []float64 // stretch of each row at which it is free of force; nil where none
	settle []float64 // full displacements of the supports; nil where none
}

// loading turns a case that Check has passed into forces.
func (g *grid) loading(c *Case) *loading {
	l := &loading{full: make([]float64, g.full)}
	for i := range c.Forces {
		g.force(l, &c.Forces[i])
	}
	for i := range c.LineLoads {
		g.lineLoad(l, &c.LineLoads[i])
	}
	for i := range c.Fields {
		g.field(l, &c.Fields[i])
	}
	for i := range c.Temperatures {
		g.warm(l, &c.Temperatures[i])
	}
	for i := range l.bars {
		e, b := &g.elements[i], &l.bars[i]
		f := e.nodalForces(b)
		e.addLocal(l.full, &f)
	}
	for i := range c.Settlements {
		g.settle(l, &c.Settlements[i])
	}
	for i := range c.Mismatches {
		g.mismatch(l, &c.Mismatches[i])
	}
	return l
}

// nodalForces returns the nodal forces equivalent to what loads the element, local axes.
func (e *element) nodalForces(b *barLoad) [12]float64 {
	f := e.uniformLoad(b.q)
	w := e.warmLoad(b.rise)
	for i := range f {
		f[i] += w[i]
	}
	return f
}

// force adds a point force. On a member between two elements' ends the shape functions share it out.
func (g *grid) force(l *loading, f *Force) {
	a := g.anchorAt(f.At)
	a.addForce(l.full, [6]float64{f.Force[0], f.Force[1], f.Force[2], f.Moment[0], f.Moment[1], f.Moment[2]})
}

func (g *grid) barsOf(l *loading) []barLoad {
	if l.bars == nil {
		l.bars = make([]barLoad, len(g.elements))
	}
	return l.bars
}

func (g *grid) lineLoad(l *loading, w *LineLoad) {
	bars := g.barsOf(l)
	member := g.members[w.Member]
	for i := g.first[member]; i < g.first[member+1]; i++ {
		q := w.PerLength
		if !w.Local {
			q = g.elements[i].axes.toLocal(q)
		}
		bars[i].q = add(bars[i].q, q)
	}
}

// field loads members and masses with their mass times the acceleration.
func (g *grid) field(l *loading, f *Field) {
	chosen := func(body string) bool { return len(f.Bodies) == 0 || slices.Contains(f.Bodies, body) }
	for i := range g.model.Members {
		if !chosen(g.model.Members[i].Body) {
			continue
		}
		for k := g.first[i]; k < g.first[i+1]; k++ {
			e := &g.elements[k]
			if e.mass > 0 {
				bars := g.barsOf(l)
				bars[k].q = add(bars[k].q, scale(e.mass, e.axes.toLocal(f.Acceleration)))
			}
		}
	}
	for i := range g.lumps {
		if m := &g.lumps[i]; chosen(m.body) {
			w := scale(m.m, f.Acceleration)
			m.addForce(l.full, [6]float64{w[0], w[1], w[2]})
		}
	}
}

func (g *grid) warm(l *loading, t *Temperature) {
	bars := g.barsOf(l)
	if t.Member == "" {
		for i := range bars {
			bars[i].rise += t.Rise
		}
		return
	}
	member := g.members[t.Member]
	for i := g.first[member]; i < g.first[member+1]; i++ {
		bars[i].rise += t.Rise
	}
}

func (g *grid) settle(l *loading, s *Settlement) {
	if l.settle == nil {
		l.settle = make([]float64, g.full)
	}
	at := 6 * g.nodes[s.Node]
	for d := range 6 {
		if g.eq[at+d] < 0 {
			l.settle[at+d] += s.Move[d]
		}
	}
}

func (g *grid) mismatch(l *loading, m *Mismatch) {
	if l.misfit == nil {
		l.misfit = make([]float64, len(g.rows))
	}
	kind, of, _ := g.joint(m.Tie)
	for i := range g.rows {
		r := &g.rows[i]
		if r.kind == kind && r.of == of {
			l.misfit[i] += m.Gap[r.comp]
		}
	}
}

// takeMisfit takes the forces of misfits off the internal forces.
func (g *grid) takeMisfit(inner []float64, l *loading) {
	if l.misfit == nil {
		return
	}
	for i, gap := range l.misfit {
		if r := &g.rows[i]; gap != 0 {
			r.addTo(inner, -r.k*gap)
		}
	}
}

// resultant sums a full vector of forces to a force and a moment about the origin.
func (g *grid) resultant(full []float64) [6]float64 {
	var sum [6]float64
	for i, x := range g.at {
		f := full[6*i : 6*i+6]
		m := cross(x, [3]float64{f[0], f[1], f[2]})
		for k := range 3 {
			sum[k] += f[k]
			sum[3+k] += f[3+k] + m[k]
		}
	}
	for i, o := range g.ends {
		m := full[6*len(g.at)+i]
		for k, c := range g.elements[o.element].axes[o.axis] {
			sum[3+k] += m * c
		}
	}
	return sum
}
