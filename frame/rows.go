package frame

// rowKind tells what a scalar spring belongs to.
type rowKind uint8

const (
	ofEnd    rowKind = iota // a semi-rigid member end
	ofSpring                // a component of a Spring
	ofTie                   // a component of a Tie
)

// row is one scalar spring: it stretches by c · u over the freedoms at, and holds the force k (c · u).
type row struct {
	at   []int32 // full numbers
	c    []float64
	k    float64 // N/m or N m/rad; that of an open contact is 0
	kind rowKind
	of   int32 // element, spring or tie
	comp int8  // 0 to 5 (UX to RZ of its axes); for an end, the place among the 12 local freedoms
}

// stretch returns c · u.
func (r *row) stretch(u []float64) float64 {
	s := 0.0
	for i, at := range r.at {
		s += r.c[i] * u[at]
	}
	return s
}

// addTo adds f c to the full vector.
func (r *row) addTo(full []float64, f float64) {
	for i, at := range r.at {
		full[at] += f * r.c[i]
	}
}

// merge joins terms of the same freedom, which two points on one element share.
func (r *row) merge() {
	n := 0
	for i, at := range r.at {
		seen := false
		for j := range n {
			if r.at[j] == at {
				r.c[j] += r.c[i]
				seen = true
				break
			}
		}
		if !seen {
			r.at[n], r.c[n] = at, r.c[i]
			n++
		}
	}
	r.at, r.c = r.at[:n], r.c[:n]
}

// addEndSprings adds the springs between nodes and freed member ends that have a stiffness.
func (g *grid) addEndSprings() {
	for _, o := range g.ends {
		e := &g.elements[o.element]
		m := &g.model.Members[e.member]
		turn := m.FromEnd[o.axis]
		if o.end == 1 {
			turn = m.ToEnd[o.axis]
		}
		if turn.Stiffness == 0 {
			continue
		}
		r := row{k: turn.Stiffness, kind: ofEnd, of: o.element, comp: 6*o.end + 3 + o.axis}
		r.at = append(r.at, e.own[o.end][o.axis])
		r.c = append(r.c, 1)
		for d, c := range e.axes[o.axis] {
			if c != 0 {
				r.at = append(r.at, 6*e.node[o.end]+3+int32(d))
				r.c = append(r.c, -c)
			}
		}
		g.rows = append(g.rows, r)
	}
}

// addSprings adds the components of the springs.
func (g *grid) addSprings() {
	for i := range g.model.Springs {
		s := &g.model.Springs[i]
		from := g.anchorAt(Point{Node: s.From})
		to := anchor{}
		if s.To != "" {
			to = g.anchorAt(Point{Node: s.To})
		}
		g.addJoint(from, to, s.Axes.orGlobal(), s.K, ofSpring, int32(i))
	}
}

func (g *grid) addTie(t *Tie, index int32) {
	g.addJoint(g.anchorAt(t.From), g.anchorAt(t.To), t.Axes.orGlobal(), t.K, ofTie, index)
}

// addJoint adds one row a stiffness that is not 0.
func (g *grid) addJoint(from, to anchor, axes Axes, k [6]float64, kind rowKind, of int32) {
	for comp := range 6 {
		if k[comp] == 0 {
			continue
		}
		r := row{k: k[comp], kind: kind, of: of, comp: int8(comp)}
		r.at, r.c = from.project(r.at, r.c, &axes, comp, 1)
		r.at, r.c = to.project(r.at, r.c, &axes, comp, -1)
		r.merge()
		g.rows = append(g.rows, r)
	}
}
