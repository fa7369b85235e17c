package mesh

import "fmt"

// edgeOf returns the live triangle that has the edge a-b (in that direction)
// and the corner opposite to it, or -1.
func (m *Mesh) edgeOf(a, b int32) (int32, int) {
	start := m.at[a]
	t := start
	for t >= 0 {
		tr := &m.tris[t]
		i := cornerOf(tr, a)
		if tr.v[next(i)] == b {
			return t, prev(i)
		}
		t = tr.n[next(i)] // turns counter-clockwise about a
		if t == start {
			return -1, 0
		}
	}
	// The boundary was met: go the other way from the start.
	for t = start; t >= 0; {
		tr := &m.tris[t]
		i := cornerOf(tr, a)
		if tr.v[next(i)] == b {
			return t, prev(i)
		}
		t = tr.n[prev(i)]
	}
	return -1, 0
}

func cornerOf(tr *triangle, v int32) int {
	switch v {
	case tr.v[0]:
		return 0
	case tr.v[1]:
		return 1
	}
	return 2
}

// recover makes a-b an edge of the triangulation by swapping the edges that
// cross it.
func (m *Mesh) recover(a, b int32) error {
	if t, _ := m.edgeOf(a, b); t >= 0 {
		return nil
	}
	crossing, err := m.crossing(a, b)
	if err != nil {
		return err
	}
	// Each pass swaps at least one edge of a finite set; the bound only guards.
	for budget := 10 * (len(crossing) + 10) * (len(crossing) + 10); len(crossing) > 0; budget-- {
		if budget == 0 {
			return fmt.Errorf("%w: the edge from point %d to %d cannot be recovered", ErrOutline, a, b)
		}
		e := crossing[0]
		crossing = crossing[1:]
		t, i := m.edgeOf(e[0], e[1])
		if t < 0 {
			continue
		}
		u := m.tris[t].n[i]
		p := m.tris[t].v[i]
		q := m.opposite(u, t)
		if orient(m.pts[p], m.pts[q], m.pts[e[1]]) <= 0 || orient(m.pts[p], m.pts[q], m.pts[e[0]]) >= 0 {
			crossing = append(crossing, e) // not convex yet
			continue
		}
		m.swap(t, i)
		if p == a || p == b || q == a || q == b {
			continue
		}
		if side(orient(m.pts[a], m.pts[b], m.pts[p]))*side(orient(m.pts[a], m.pts[b], m.pts[q])) < 0 {
			crossing = append(crossing, [2]int32{p, q})
		}
	}
	return nil
}

func side(x int64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// crossing lists the edges between a and b, in order from a. All points of the
// loops are inside the box, so that the triangles around each form a full
// circle.
func (m *Mesh) crossing(a, b int32) ([][2]int32, error) {
	pa, pb := m.pts[a], m.pts[b]
	start := m.at[a]
	t := start
	var from int
	for {
		tr := &m.tris[t]
		i := cornerOf(tr, a)
		right, left := tr.v[next(i)], tr.v[prev(i)]
		if orient(pa, pb, m.pts[right]) == 0 && along(pa, m.pts[right], pb) > 0 {
			return nil, fmt.Errorf("%w: point %d lies on the edge from %d to %d", ErrOutline, right, a, b)
		}
		if orient(pa, pb, m.pts[right]) < 0 && orient(pa, pb, m.pts[left]) > 0 {
			from = i
			break
		}
		t = tr.n[next(i)]
		if t < 0 || t == start {
			return nil, fmt.Errorf("%w: the edge from point %d to %d leaves the box", ErrOutline, a, b)
		}
	}
	var out [][2]int32
	i := from
	for {
		tr := &m.tris[t]
		right, left := tr.v[next(i)], tr.v[prev(i)]
		out = append(out, [2]int32{right, left})
		u := tr.n[i]
		apex := m.opposite(u, t)
		if apex == b {
			return out, nil
		}
		o := orient(pa, pb, m.pts[apex])
		if o == 0 {
			return nil, fmt.Errorf("%w: point %d lies on the edge from %d to %d", ErrOutline, apex, a, b)
		}
		t = u
		if o > 0 { // the apex is on the left: leave through the edge right-apex
			i = cornerOf(&m.tris[u], left)
		} else {
			i = cornerOf(&m.tris[u], right)
		}
	}
}

// opposite returns the corner of u that t, its neighbour, does not have.
func (m *Mesh) opposite(u, t int32) int32 {
	tr := &m.tris[u]
	for i, nb := range tr.n {
		if nb == t {
			return tr.v[i]
		}
	}
	return -1
}

// swap replaces the edge of t opposite to corner i by the other diagonal of
// the two triangles that share it.
func (m *Mesh) swap(t int32, i int) {
	tr := m.tris[t]
	u := tr.n[i]
	ur := m.tris[u]
	j := 0
	for ur.n[j] != t {
		j++
	}
	p, a, b, q := tr.v[i], tr.v[next(i)], tr.v[prev(i)], ur.v[j]
	// t = p a b, u = q b a  ->  t = p a q, u = q b p
	tOverA, tOverB := tr.n[next(i)], tr.n[prev(i)] // across b-p, across p-a
	uOverB, uOverA := ur.n[next(j)], ur.n[prev(j)] // across a-q, across q-b
	m.tris[t] = triangle{[3]int32{p, a, q}, [3]int32{uOverB, u, tOverB}}
	m.tris[u] = triangle{[3]int32{q, b, p}, [3]int32{tOverA, t, uOverA}}
	m.relink(uOverB, u, t)
	m.relink(tOverA, t, u)
	m.at[p], m.at[a], m.at[q], m.at[b] = t, t, t, u
}

func (m *Mesh) relink(of, was, is int32) {
	if of < 0 {
		return
	}
	for i, nb := range m.tris[of].n {
		if nb == was {
			m.tris[of].n[i] = is
			return
		}
	}
}

// restoreDelaunay swaps edges until every one is locally Delaunay.
func (m *Mesh) restoreDelaunay() {
	var stack []int32
	for t := range m.tris {
		if m.tris[t].v[0] != dead {
			stack = append(stack, int32(t))
		}
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i := 0; i < 3; i++ {
			tr := &m.tris[t]
			u := tr.n[i]
			if u < 0 {
				continue
			}
			q := m.opposite(u, t)
			if inCircle(m.pts[tr.v[0]], m.pts[tr.v[1]], m.pts[tr.v[2]], m.pts[q]) {
				m.swap(t, i)
				stack = append(stack, t, u)
				break
			}
		}
	}
}
