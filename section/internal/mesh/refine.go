package mesh

import "math"

const (
	// maxSlimness bounds circumradius over shortest edge; sqrt(2) is the value
	// for which Ruppert's refinement is proven to end. The least angle is then
	// asin(1/(2 sqrt 2)) = 20.7 degrees.
	maxSlimness = math.Sqrt2

	// finest is the shortest boundary edge that may still be divided, over the
	// region's larger side. Outlines are refused below 1e-6; this ends refinement
	// in sharp corners, where no angle bound can be met.
	finest = 1e-5

	// tooLarge is the circumradius over wanted edge length above which a
	// triangle is divided; an equilateral triangle of the wanted edge has 0.577.
	tooLarge = 0.72

	// maxPoints ends refinement of any region; results then carry the wider
	// bracket that the mesh allows.
	maxPoints = 200_000
)

// side of a triangle, remembered by its ends because triangles change.
type pendingEdge struct {
	tri    int32
	a, b   int32
	forced bool // divide even if not encroached
}

type pendingTriangle struct {
	tri int32
	v   [3]int32
}

type queues struct {
	edges     []pendingEdge
	triangles []pendingTriangle
}

// Improve divides encroached boundary edges and triangles that are too slim
// or larger than the size wanted at their corners, until none is left.
func (m *Mesh) Improve() {
	m.fine = finest * gridSteps
	var q queues
	for t := range m.tris {
		if m.tris[t].v[0] != dead {
			m.queue(&q, int32(t))
		}
	}
	for len(m.pts) < maxPoints {
		if n := len(q.edges); n > 0 {
			e := q.edges[n-1]
			q.edges = q.edges[:n-1]
			m.divideEdge(&q, e)
			continue
		}
		if len(q.triangles) == 0 {
			return
		}
		p := q.triangles[0]
		q.triangles = q.triangles[1:]
		m.divideTriangle(&q, p)
	}
}

// queue notes triangle t and its boundary edges if they need work.
func (m *Mesh) queue(q *queues, t int32) {
	tr := &m.tris[t]
	for i, nb := range tr.n {
		if nb < 0 {
			a, b := tr.v[next(i)], tr.v[prev(i)]
			if along(m.pts[tr.v[i]], m.pts[a], m.pts[b]) < 0 {
				q.edges = append(q.edges, pendingEdge{t, a, b, false})
			}
		}
	}
	if m.bad(t) {
		q.triangles = append(q.triangles, pendingTriangle{t, tr.v})
	}
}

// bad reports whether t is too slim or too large.
func (m *Mesh) bad(t int32) bool {
	tr := &m.tris[t]
	sides, radius := m.measure(tr)
	wanted := (m.size[tr.v[0]] + m.size[tr.v[1]] + m.size[tr.v[2]]) / 3
	return radius > tooLarge*wanted || m.slim(tr, sides, radius)
}

// measure returns the lengths of the sides opposite to each corner and the
// circumradius, grid steps.
func (m *Mesh) measure(tr *triangle) (sides [3]float64, radius float64) {
	a, b, c := m.pts[tr.v[0]], m.pts[tr.v[1]], m.pts[tr.v[2]]
	sides = [3]float64{
		math.Sqrt(float64(distance2(b, c))), math.Sqrt(float64(distance2(c, a))), math.Sqrt(float64(distance2(a, b))),
	}
	return sides, sides[0] * sides[1] * sides[2] / (2 * float64(orient(a, b, c)))
}

// slim reports whether a triangle is too slim and could be mended.
func (m *Mesh) slim(tr *triangle, sides [3]float64, radius float64) bool {
	shortest := 0
	for i := 1; i < 3; i++ {
		if sides[i] < sides[shortest] {
			shortest = i
		}
	}
	if !(radius > maxSlimness*sides[shortest]) {
		return false
	}
	// Two boundary edges of the region itself enclose the small angle: it stays.
	apex := tr.v[shortest]
	if int(apex) < m.inputs && m.acute[apex] && tr.n[next(shortest)] < 0 && tr.n[prev(shortest)] < 0 {
		return false
	}
	return sides[shortest] > m.fine
}

// divideEdge splits a boundary edge if it still exists and needs it.
func (m *Mesh) divideEdge(q *queues, e pendingEdge) (done bool) {
	t, i := m.findEdge(e)
	if t < 0 {
		return false
	}
	a, b := m.pts[e.a], m.pts[e.b]
	if !e.forced && along(m.pts[m.tris[t].v[i]], a, b) >= 0 {
		return false
	}
	length := math.Sqrt(float64(distance2(a, b)))
	if length < 2*m.fine {
		return false
	}
	p := m.splitPoint(e.a, e.b, length)
	m.gather(p, t, i)
	if !m.sound() {
		return false
	}
	v := m.addPoint(p, (m.size[e.a]+m.size[e.b])/2)
	m.fill(v)
	m.queueFresh(q)
	return true
}

// findEdge returns the live triangle with boundary edge e, and its corner
// opposite to it, or -1.
func (m *Mesh) findEdge(e pendingEdge) (int32, int) {
	tr := &m.tris[e.tri]
	for i := range tr.v {
		if tr.v[0] != dead && tr.v[next(i)] == e.a && tr.v[prev(i)] == e.b {
			return e.tri, i
		}
	}
	// The triangle was replaced; turn clockwise about a to reach the boundary
	// edge that leaves it.
	t := m.at[e.a]
	for steps := 0; steps < len(m.tris); steps++ {
		tr := &m.tris[t]
		i := cornerOf(tr, e.a)
		nb := tr.n[prev(i)]
		if nb < 0 {
			if tr.v[next(i)] == e.b {
				return t, prev(i)
			}
			return -1, 0
		}
		t = nb
	}
	return -1, 0
}

// splitPoint is the middle of a boundary edge. Next to an acute corner of the
// region it is at a power-of-two distance from the corner instead, so that
// the edges meeting there are divided alike and do not encroach each other
// for ever (Ruppert's concentric shells).
func (m *Mesh) splitPoint(a, b int32, length float64) gridPoint {
	sharp := func(v int32) bool { return int(v) < m.inputs && m.acute[v] }
	part := 0.5
	if sharp(a) != sharp(b) {
		shell := math.Exp2(math.Round(math.Log2(length / 2)))
		part = shell / length
		if sharp(b) {
			part = 1 - part
		}
	}
	pa, pb := m.pts[a], m.pts[b]
	return gridPoint{
		pa.y + int64(math.Round(part*float64(pb.y-pa.y))),
		pa.z + int64(math.Round(part*float64(pb.z-pa.z))),
	}
}

// divideTriangle inserts the circumcentre of a bad triangle, or divides the
// boundary edges that this point would encroach and looks at the triangle again.
func (m *Mesh) divideTriangle(q *queues, p pendingTriangle) {
	if m.tris[p.tri].v != p.v || !m.bad(p.tri) {
		return
	}
	c := m.circumcentre(p.v)
	t, i, inside := m.locate(p.tri, c)
	var blocking []pendingEdge
	switch {
	case inside:
		m.gather(c, t, -1)
		for _, e := range m.work.rim {
			if e.outer < 0 && along(c, m.pts[e.a], m.pts[e.b]) < 0 {
				blocking = append(blocking, pendingEdge{m.at[e.a], e.a, e.b, true})
			}
		}
		if len(blocking) == 0 && !m.sound() {
			return
		}
	case i >= 0:
		tr := &m.tris[t]
		blocking = append(blocking, pendingEdge{t, tr.v[next(i)], tr.v[prev(i)], true})
	default:
		return
	}
	if len(blocking) == 0 {
		tr := m.tris[t]
		m.fill(m.addPoint(c, (m.size[tr.v[0]]+m.size[tr.v[1]]+m.size[tr.v[2]])/3))
		m.queueFresh(q)
		return
	}
	again := false
	for _, e := range blocking {
		again = m.divideEdge(q, e) || again
	}
	if again {
		q.triangles = append(q.triangles, p)
	}
}

func (m *Mesh) queueFresh(q *queues) {
	for _, t := range m.work.fresh {
		m.queue(q, t)
	}
}

// circumcentre of three points. Conversions forbid fused multiply-add, so
// that all processors round alike.
func (m *Mesh) circumcentre(v [3]int32) gridPoint {
	a, b, c := m.pts[v[0]], m.pts[v[1]], m.pts[v[2]]
	by, bz := float64(b.y-a.y), float64(b.z-a.z)
	cy, cz := float64(c.y-a.y), float64(c.z-a.z)
	lb, lc := float64(by*by)+float64(bz*bz), float64(cy*cy)+float64(cz*cz)
	d := 2 * (float64(by*cz) - float64(bz*cy))
	return gridPoint{
		a.y + int64(math.Round((float64(cz*lb)-float64(bz*lc))/d)),
		a.z + int64(math.Round((float64(by*lc)-float64(cy*lb))/d)),
	}
}

// measureSizes sets the wanted edge length at each point to the mean length
// of the edges there, so that later refinement starts from what there is.
func (m *Mesh) measureSizes() {
	count := make([]float64, len(m.pts))
	sum := make([]float64, len(m.pts))
	for _, tr := range m.tris {
		if tr.v[0] == dead {
			continue
		}
		for i := range tr.v {
			a, b := tr.v[next(i)], tr.v[prev(i)]
			l := math.Sqrt(float64(distance2(m.pts[a], m.pts[b])))
			sum[a], sum[b] = sum[a]+l, sum[b]+l
			count[a], count[b] = count[a]+1, count[b]+1
		}
	}
	for i := range m.size {
		m.size[i] = math.Inf(1)
		if count[i] > 0 {
			m.size[i] = sum[i] / count[i]
		}
	}
}

// Refine makes the marked triangles, numbered as in Triangles, smaller by the
// given factor of edge length (below 1) and improves the mesh again.
func (m *Mesh) Refine(marked []bool, factor float64) {
	m.measureSizes()
	reduce := make([]bool, len(m.pts))
	live := 0
	for _, tr := range m.tris {
		if tr.v[0] == dead {
			continue
		}
		if marked[live] {
			for _, v := range tr.v {
				reduce[v] = true
			}
		}
		live++
	}
	for i, r := range reduce {
		if r {
			m.size[i] *= factor
		} else {
			m.size[i] *= 1.5 // neighbours grade the change instead of stopping it
		}
	}
	m.Improve()
}
