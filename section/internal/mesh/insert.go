package mesh

// insertion is the scratch of one Bowyer-Watson insertion.
type insertion struct {
	p        gridPoint
	cavity   []int32   // triangles whose circumcircle holds p
	rim      []rimEdge // edges around them, material to the left
	split    [2]int32  // boundary edge that p divides, or -1
	loop     int32     // neighbour code of that edge
	seen     []int32   // per triangle: number of the insertion that reached it
	round    int32     // number of this insertion
	from, to []int32   // per point: new triangle whose rim edge starts or ends there
	fresh    []int32   // triangles made by the last fill
	stack    []int32
}

type rimEdge struct {
	a, b  int32
	outer int32 // neighbour beyond, or boundary code
}

// locate walks from triangle hint to the one that holds p. When the walk
// meets the boundary first it returns that triangle and edge, and false; edge
// is -1 if the walk did not end.
func (m *Mesh) locate(hint int32, p gridPoint) (tri int32, edge int, inside bool) {
	t := hint
	came := int32(-1)
	for steps := 0; steps <= len(m.tris); steps++ {
		tr := &m.tris[t]
		moved := false
		for k := 0; k < 3; k++ {
			i := (k + steps) % 3 // a fixed starting edge can walk in circles
			if tr.n[i] == came && came >= 0 {
				continue
			}
			if orient(m.pts[tr.v[next(i)]], m.pts[tr.v[prev(i)]], p) >= 0 {
				continue
			}
			if tr.n[i] < 0 {
				return t, i, false
			}
			came, t, moved = t, tr.n[i], true
			break
		}
		if !moved {
			return t, -1, true
		}
	}
	return t, -1, false
}

// gather finds the triangles that p would replace, starting from seed, and
// the rim around them. If edge >= 0, p divides that boundary edge of seed.
func (m *Mesh) gather(p gridPoint, seed int32, edge int) {
	w := &m.work
	w.p, w.cavity, w.rim, w.split = p, w.cavity[:0], w.rim[:0], [2]int32{-1, -1}
	w.round++
	for len(w.seen) < len(m.tris) {
		w.seen = append(w.seen, 0)
	}
	if edge >= 0 {
		tr := &m.tris[seed]
		w.split, w.loop = [2]int32{tr.v[next(edge)], tr.v[prev(edge)]}, tr.n[edge]
	}
	w.seen[seed] = w.round
	w.stack = append(w.stack[:0], seed)
	for len(w.stack) > 0 {
		t := w.stack[len(w.stack)-1]
		w.stack = w.stack[:len(w.stack)-1]
		w.cavity = append(w.cavity, t)
		tr := &m.tris[t]
		for _, nb := range tr.n {
			if nb < 0 || w.seen[nb] == w.round {
				continue
			}
			o := &m.tris[nb]
			if inCircle(m.pts[o.v[0]], m.pts[o.v[1]], m.pts[o.v[2]], p) {
				w.seen[nb] = w.round
				w.stack = append(w.stack, nb)
			}
		}
	}
	for _, t := range w.cavity {
		tr := &m.tris[t]
		for i, nb := range tr.n {
			if nb >= 0 && w.seen[nb] == w.round {
				continue
			}
			e := rimEdge{tr.v[next(i)], tr.v[prev(i)], nb}
			if e.a == w.split[0] && e.b == w.split[1] {
				continue
			}
			w.rim = append(w.rim, e)
		}
	}
}

// sound reports whether all triangles from the gathered rim to the point
// would turn counter-clockwise. If not, the point must be left out.
func (m *Mesh) sound() bool {
	for _, e := range m.work.rim {
		if orient(m.pts[e.a], m.pts[e.b], m.work.p) <= 0 {
			return false
		}
	}
	return true
}

// fill replaces the cavity by triangles from its rim to point v, which lies
// at the place the cavity was gathered for. The new triangles are in fresh.
func (m *Mesh) fill(v int32) {
	w := &m.work
	for len(w.from) < len(m.pts) {
		w.from, w.to = append(w.from, -1), append(w.to, -1)
	}
	w.fresh = w.fresh[:0]
	for k := range w.rim {
		var t int32
		switch {
		case k < len(w.cavity):
			t = w.cavity[k]
		case len(m.free) > 0:
			t = m.free[len(m.free)-1]
			m.free = m.free[:len(m.free)-1]
		default:
			m.tris = append(m.tris, triangle{})
			t = int32(len(m.tris) - 1)
		}
		w.fresh = append(w.fresh, t)
		w.from[w.rim[k].a], w.to[w.rim[k].b] = t, t
	}
	for k, e := range w.rim {
		t := w.fresh[k]
		across := func(one int32) int32 {
			if one < 0 {
				return w.loop
			}
			return one
		}
		m.tris[t] = triangle{
			v: [3]int32{e.a, e.b, v},
			n: [3]int32{across(w.from[e.b]), across(w.to[e.a]), e.outer},
		}
		m.at[e.a], m.at[e.b], m.at[v] = t, t, t
		if e.outer >= 0 {
			o := &m.tris[e.outer]
			for i := range o.n {
				if o.v[next(i)] == e.b && o.v[prev(i)] == e.a {
					o.n[i] = t
				}
			}
		}
	}
	for _, e := range w.rim {
		w.from[e.a], w.to[e.b] = -1, -1
	}
	for k := len(w.rim); k < len(w.cavity); k++ {
		m.tris[w.cavity[k]].v[0] = dead
		m.free = append(m.free, w.cavity[k])
	}
}
