package mesh

import (
	"errors"
	"fmt"
	"math"
)

// ErrOutline says that the loops cannot be triangulated: they cross, touch, or
// hold features smaller than the grid. The caller checks outlines beforehand;
// this is the last guard.
var ErrOutline = errors.New("the loops cross or touch")

// triangle holds three corners, counter-clockwise, and the neighbours across
// the edge opposite to each corner. A neighbour below zero is a boundary edge
// of loop -1-n.
type triangle struct {
	v [3]int32
	n [3]int32
}

const dead = -1 // first corner of a triangle that no longer exists

func next(i int) int { return (i + 1) % 3 }
func prev(i int) int { return (i + 2) % 3 }

// Mesh is a triangulation of the material between loops.
type Mesh struct {
	grid grid
	pts  []gridPoint
	size []float64 // wanted edge length at each point, grid steps
	tris []triangle
	at   []int32 // one live triangle at each point
	free []int32

	inputs int       // the first points are the loops' own
	acute  []bool    // input points whose loop turns by an inner angle under 60 degrees
	fine   float64   // no boundary edge is split below this length, grid steps
	work   insertion // scratch of insert
}

// Triangle is one triangle of the result: corners counter-clockwise, and the
// neighbour opposite to each corner (index, or -1-loop on a boundary edge).
type Triangle struct {
	Corner    [3]int32
	Neighbour [3]int32
}

// Build triangulates the region inside loops[0] and outside the other loops
// (points in m, either direction of turn) and improves it until no angle is
// below about 20 degrees, except where the loops themselves are sharper.
func Build(loops [][][2]float64) (*Mesh, error) {
	m, segments, err := frameOf(loops)
	if err != nil {
		return nil, err
	}
	for _, s := range segments {
		if err := m.recover(s.a, s.b); err != nil {
			return nil, err
		}
	}
	if err := m.carve(segments); err != nil {
		return nil, err
	}
	m.restoreDelaunay()
	m.Improve()
	m.measureSizes()
	return m, nil
}

type segment struct {
	a, b int32
	loop int
}

// frameOf puts the loops' points into a box triangulated around them.
func frameOf(loops [][][2]float64) (*Mesh, []segment, error) {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range loops[0] {
		for k := range p {
			lo[k], hi[k] = min(lo[k], p[k]), max(hi[k], p[k])
		}
	}
	side := max(hi[0]-lo[0], hi[1]-lo[1])
	if !(side > 0) || math.IsInf(side, 0) {
		return nil, nil, fmt.Errorf("%w: the outer loop has no extent", ErrOutline)
	}
	m := &Mesh{grid: grid{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2, side / gridSteps}}

	var segments []segment
	for k, loop := range loops {
		first := int32(len(m.pts))
		for i, p := range loop {
			q := m.grid.snap(p)
			if abs(q.y) > gridSteps/2+1 || abs(q.z) > gridSteps/2+1 {
				return nil, nil, fmt.Errorf("%w: loop %d leaves the outer loop", ErrOutline, k)
			}
			m.pts = append(m.pts, q)
			after := first + int32((i+1)%len(loop))
			segments = append(segments, segment{first + int32(i), after, k})
		}
		m.markAcute(first)
	}
	m.inputs = len(m.pts)
	m.size = make([]float64, m.inputs, 4*m.inputs)
	for i := range m.size {
		m.size[i] = math.Inf(1)
	}
	const far = gridSteps/2 + boxMargin
	box := int32(m.inputs)
	for _, c := range []gridPoint{{-far, -far}, {far, -far}, {far, far}, {-far, far}} {
		m.addPoint(c, math.Inf(1))
	}
	m.tris = append(m.tris,
		triangle{[3]int32{box, box + 1, box + 2}, [3]int32{-1, 1, -1}},
		triangle{[3]int32{box, box + 2, box + 3}, [3]int32{-1, -1, 0}})
	m.at = make([]int32, len(m.pts), 4*len(m.pts))
	hint := int32(0)
	for i := int32(0); i < int32(m.inputs); i++ {
		t, _, inside := m.locate(hint, m.pts[i])
		if inside {
			m.gather(m.pts[i], t, -1)
		}
		if !inside || !m.sound() {
			return nil, nil, fmt.Errorf("%w: point %d coincides with another", ErrOutline, i)
		}
		m.fill(i)
		hint = m.at[i]
	}
	return m, segments, nil
}

// markAcute notes the points of the loop starting at first where its edges
// meet at less than 60 degrees, on either side.
func (m *Mesh) markAcute(first int32) {
	n := int32(len(m.pts)) - first
	for i := int32(0); i < n; i++ {
		p, a, b := m.pts[first+i], m.pts[first+(i+n-1)%n], m.pts[first+(i+1)%n]
		dot := float64(along(p, a, b))
		m.acute = append(m.acute, dot > 0.5*math.Sqrt(float64(distance2(p, a))*float64(distance2(p, b))))
	}
}

func (m *Mesh) addPoint(p gridPoint, size float64) int32 {
	m.pts = append(m.pts, p)
	m.size = append(m.size, size)
	m.at = append(m.at, 0)
	return int32(len(m.pts) - 1)
}

// carve removes every triangle outside the material and turns the segments
// into boundary edges.
func (m *Mesh) carve(segments []segment) error {
	loopOf := make(map[[2]int32]int, 2*len(segments))
	for _, s := range segments {
		loopOf[[2]int32{s.a, s.b}] = s.loop
		loopOf[[2]int32{s.b, s.a}] = s.loop
	}
	const unseen, outside, inside = 0, 1, 2
	side := make([]uint8, len(m.tris))
	// The triangles at the box corners are outside; crossing a segment changes sides.
	start := m.at[m.inputs]
	side[start] = outside
	stack := []int32{start}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		tr := m.tris[t]
		for i, nb := range tr.n {
			if nb < 0 {
				continue
			}
			s := side[t]
			if _, crossing := loopOf[[2]int32{tr.v[next(i)], tr.v[prev(i)]}]; crossing {
				s = outside + inside - s
			}
			switch side[nb] {
			case unseen:
				side[nb] = s
				stack = append(stack, nb)
			case s:
			default:
				return fmt.Errorf("%w: inside and outside cannot be told apart", ErrOutline)
			}
		}
	}
	for t := range m.tris {
		tr := &m.tris[t]
		if side[t] != inside {
			tr.v[0] = dead
			m.free = append(m.free, int32(t))
			continue
		}
		for i, nb := range tr.n {
			m.at[tr.v[i]] = int32(t)
			if nb >= 0 && side[nb] != inside {
				tr.n[i] = int32(-1 - loopOf[[2]int32{tr.v[next(i)], tr.v[prev(i)]}])
			}
		}
	}
	// The corners of the box are the last points; nothing refers to them any more.
	m.pts, m.size, m.at = m.pts[:m.inputs], m.size[:m.inputs], m.at[:m.inputs]
	return nil
}

// Points returns the coordinates of all points, m, and Triangles the live
// triangles with neighbours renumbered to match.
func (m *Mesh) Points() [][2]float64 {
	out := make([][2]float64, len(m.pts))
	for i, p := range m.pts {
		out[i] = m.grid.metres(p)
	}
	return out
}

// Triangles returns the live triangles. The order is that of Refine's marks.
func (m *Mesh) Triangles() []Triangle {
	number := make([]int32, len(m.tris))
	live := int32(0)
	for t := range m.tris {
		if m.tris[t].v[0] != dead {
			number[t] = live
			live++
		}
	}
	out := make([]Triangle, 0, live)
	for _, tr := range m.tris {
		if tr.v[0] == dead {
			continue
		}
		n := tr.n
		for i := range n {
			if n[i] >= 0 {
				n[i] = number[n[i]]
			}
		}
		out = append(out, Triangle{tr.v, n})
	}
	return out
}

func abs(x int64) int64 {
	if x < 0 {
		return -x
	}
	return x
}
