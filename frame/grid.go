package frame

import (
	"math"
	"slices"
)

// element is one bar of a member between two grid nodes.
//
// A rotation that Turn frees has a freedom of its own: the end of the bar then turns by it, and not with the node.
type element struct {
	bar
	member int32
	begin  float64 // place along the member, 0 to 1
	share  float64 // of the length of the member
	node   [2]int32
	axes   Axes
	arm    [2][3]float64 // rigid arms from node to end of the bar, m, global
	armed  bool
	own    [2][3]int32 // freedoms of freed end rotations about local x, y, z; -1 = turns with the node
	freed  bool
}

// grid is the model cut into elements, with its freedoms numbered.
//
// Freedoms come in two numberings. The full one has 6 a node and then one for every freed end rotation. The reduced
// one leaves out what supports fix: eq[full] is the reduced number, or -1.
type grid struct {
	model    *Model
	nodes    map[string]int
	members  map[string]int
	at       [][3]float64 // of the nodes, those of the model first
	inside   []int32      // member of an internal node, -1 for a node of the model
	elements []element
	first    []int32 // first element of each member; one more at the end
	ends     []endOwner
	full     int
	eq       []int32
	back     []int32 // full number of a reduced one
	begins   []int32 // first reduced number of each body; one more at the end
	rows     []row
	contacts []contact
	lumps    []lump
}

// endOwner tells whose rotation a freedom beyond those of the nodes is.
type endOwner struct {
	element int32
	end     int8 // 0 = beginning, 1 = end of the element
	axis    int8 // 0, 1, 2: local x, y, z
}

// newGrid cuts and numbers a model that Check has passed.
func newGrid(m *Model) *grid {
	g := &grid{model: m, nodes: make(map[string]int, len(m.Nodes)), members: make(map[string]int, len(m.Members))}
	for i := range m.Nodes {
		g.nodes[m.Nodes[i].ID] = i
		g.at = append(g.at, m.Nodes[i].At)
		g.inside = append(g.inside, -1)
	}
	sections := make(map[string]*Section, len(m.Sections))
	for i := range m.Sections {
		sections[m.Sections[i].ID] = &m.Sections[i]
	}
	materials := make(map[string]*Material, len(m.Materials))
	for i := range m.Materials {
		materials[m.Materials[i].ID] = &m.Materials[i]
	}
	for i := range m.Members {
		g.members[m.Members[i].ID] = i
		g.cut(i, sections[m.Members[i].Section], materials[m.Members[i].Material])
	}
	g.first = append(g.first, int32(len(g.elements)))
	g.numberEnds()
	g.addEndSprings()
	g.addSprings()
	for i := range m.Ties {
		g.addTie(&m.Ties[i], int32(i))
	}
	g.addContacts()
	for i := range m.Masses {
		g.lumps = append(g.lumps, g.lump(&m.Masses[i]))
	}
	g.reduceFreedoms()
	return g
}

// cut makes the elements and internal nodes of one member.
func (g *grid) cut(index int, s *Section, t *Material) {
	m := &g.model.Members[index]
	places := m.places()
	n := len(places) - 1
	from, to := g.nodes[m.From], g.nodes[m.To]
	a, b := add(g.at[from], m.OffsetFrom), add(g.at[to], m.OffsetTo)
	d := sub(b, a)
	g.first = append(g.first, int32(len(g.elements)))
	shape := element{
		member: int32(index), axes: LocalAxes(d, m.Roll), own: [2][3]int32{{-1, -1, -1}, {-1, -1, -1}},
	}
	last := int32(from)
	for k := range n {
		e := shape
		e.begin, e.share = places[k], places[k+1]-places[k]
		if k > 0 && len(m.Cuts) == 0 {
			e.bar = g.elements[len(g.elements)-1].bar // of equal length
		} else {
			e.bar = newBar(s, t, norm(d)*e.share, m.Axial)
		}
		e.node[0] = last
		if k == 0 {
			e.arm[0] = m.OffsetFrom
		}
		if k == n-1 {
			e.node[1] = int32(to)
			e.arm[1] = m.OffsetTo
		} else {
			e.node[1] = int32(len(g.at))
			g.at = append(g.at, add(a, scale(places[k+1], d)))
			g.inside = append(g.inside, int32(index))
		}
		e.armed = e.arm != [2][3]float64{}
		last = e.node[1]
		g.elements = append(g.elements, e)
	}
}

// sliver is the least share of a member that an element may have; cuts closer
// together, or to an end, are one.
const sliver = 1e-4

// places lists the ends of the elements along a member, 0 and 1 among them: equal
// parts between the cuts, none longer than the member over Divide.
func (m *Member) places() []float64 {
	cuts := append([]float64{0}, m.Cuts...)
	slices.Sort(cuts)
	whole := float64(max(m.Divide, 1))
	out := []float64{0}
	grow := func(to float64) {
		from := out[len(out)-1]
		n := int(math.Ceil((to-from)*whole - 1e-9))
		for k := 1; k < n; k++ {
			out = append(out, from+(to-from)*float64(k)/float64(n))
		}
		out = append(out, to)
	}
	for _, at := range cuts {
		if at-out[len(out)-1] >= sliver && 1-at >= sliver {
			grow(at)
		}
	}
	grow(1)
	return out
}

// numberEnds gives every freed end rotation a full number.
func (g *grid) numberEnds() {
	g.full = 6 * len(g.at)
	for i := range g.model.Members {
		m := &g.model.Members[i]
		for end, turns := range []End{m.FromEnd, m.ToEnd} {
			e := g.first[i]
			if end == 1 {
				e = g.first[i+1] - 1
			}
			for axis, turn := range turns {
				if turn.Freed {
					g.elements[e].own[end][axis] = int32(g.full)
					g.elements[e].freed = true
					g.ends = append(g.ends, endOwner{e, int8(end), int8(axis)})
					g.full++
				}
			}
		}
	}
}

// reduceFreedoms gives every freedom that no support fixes a reduced number. The freedoms of a body (nodes that members,
// springs or ties hold together) follow one another, and so do those of a node and of the freed ends there.
func (g *grid) reduceFreedoms() {
	fixed := make([]bool, g.full)
	for i := range g.model.Supports {
		s := &g.model.Supports[i]
		for d, fix := range s.Fix {
			if fix {
				fixed[6*g.nodes[s.Node]+d] = true
			}
		}
	}
	ends := make([][]int32, len(g.at))
	for i, o := range g.ends {
		node := g.elements[o.element].node[o.end]
		ends[node] = append(ends[node], int32(6*len(g.at)+i))
	}
	g.eq = make([]int32, g.full)
	take := func(freedom int32) {
		g.eq[freedom] = -1
		if !fixed[freedom] {
			g.eq[freedom] = int32(len(g.back))
			g.back = append(g.back, freedom)
		}
	}
	for _, body := range g.bodies() {
		g.begins = append(g.begins, int32(len(g.back)))
		for _, node := range body {
			for d := range 6 {
				take(6*node + int32(d))
			}
			for _, end := range ends[node] {
				take(end)
			}
		}
	}
	g.begins = append(g.begins, int32(len(g.back)))
}

// bodies groups the nodes that members, springs and ties hold together, in order of their first node.
func (g *grid) bodies() [][]int32 {
	parent := make([]int32, len(g.at))
	for i := range parent {
		parent[i] = int32(i)
	}
	root := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	join := func(a, b int32) {
		if a, b = root(a), root(b); a < b {
			parent[b] = a
		} else {
			parent[a] = b
		}
	}
	for i := range g.elements {
		join(g.elements[i].node[0], g.elements[i].node[1])
	}
	for i := range g.rows {
		r := &g.rows[i]
		for _, at := range r.at {
			join(g.nodeOf(r.at[0]), g.nodeOf(at))
		}
	}
	place := make([]int32, len(g.at))
	var bodies [][]int32
	for i := range g.at {
		if r := root(int32(i)); r == int32(i) {
			place[i] = int32(len(bodies))
			bodies = append(bodies, []int32{int32(i)})
		} else {
			bodies[place[r]] = append(bodies[place[r]], int32(i))
		}
	}
	return bodies
}

// nodeOf returns the node of a full freedom.
func (g *grid) nodeOf(freedom int32) int32 {
	if n := int32(6 * len(g.at)); freedom >= n {
		o := g.ends[freedom-n]
		return g.elements[o.element].node[o.end]
	}
	return freedom / 6
}

// size returns the number of reduced freedoms.
func (g *grid) size() int { return len(g.back) }

// local returns the 12 end displacements of an element in its local axes.
func (e *element) local(u []float64) *[12]float64 {
	var l [12]float64
	for end := range 2 {
		d := u[6*e.node[end] : 6*e.node[end]+6]
		t := [3]float64{d[0], d[1], d[2]}
		r := [3]float64{d[3], d[4], d[5]}
		if e.armed {
			t = add(t, cross(r, e.arm[end]))
		}
		t, r = e.axes.toLocal(t), e.axes.toLocal(r)
		copy(l[6*end:], t[:])
		copy(l[6*end+3:], r[:])
		if e.freed {
			for axis, own := range e.own[end] {
				if own >= 0 {
					l[6*end+3+axis] = u[own]
				}
			}
		}
	}
	return &l
}

// deform returns the deformation of an element under full displacements.
//
// The ends' displacements are subtracted before they are turned to local axes: the difference of two stored numbers is
// exact where they are close, so a large common motion costs no digits.
func (e *element) deform(u []float64) strain {
	a, b := u[6*e.node[0]:6*e.node[0]+6], u[6*e.node[1]:6*e.node[1]+6]
	d := [3]float64{b[0] - a[0], b[1] - a[1], b[2] - a[2]}
	r0, r1 := [3]float64{a[3], a[4], a[5]}, [3]float64{b[3], b[4], b[5]}
	if e.armed {
		d = add(d, sub(cross(r1, e.arm[1]), cross(r0, e.arm[0])))
	}
	psiY, psiZ := dot(e.axes[1], d)/e.l, dot(e.axes[2], d)/e.l
	s := strain{
		stretch: dot(e.axes[0], d), twist: dot(e.axes[0], sub(r1, r0)),
		y1: dot(e.axes[2], r0) - psiY, y2: dot(e.axes[2], r1) - psiY,
		z1: -dot(e.axes[1], r0) - psiZ, z2: -dot(e.axes[1], r1) - psiZ,
	}
	if e.freed {
		e.deformEnds(&s, u, psiY, psiZ, r0, r1)
	}
	return s
}

// energy returns the strain energy of an element under full displacements, J, with that of the axial force.
func (e *element) energy(u []float64) float64 {
	sum := e.bar.energy(e.deform(u))
	if e.axial != 0 {
		l := e.local(u)
		for i, f := range e.geometricForces(l) {
			sum += f * l[i] / 2
		}
	}
	return sum
}

// deformEnds puts freed end rotations in place of those of the nodes.
func (e *element) deformEnds(s *strain, u []float64, psiY, psiZ float64, r0, r1 [3]float64) {
	own := func(end, axis int, node [3]float64) float64 {
		if at := e.own[end][axis]; at >= 0 {
			return u[at]
		}
		return dot(e.axes[axis], node)
	}
	if e.own[0][0] >= 0 || e.own[1][0] >= 0 {
		s.twist = own(1, 0, r1) - own(0, 0, r0)
	}
	s.y1, s.y2 = own(0, 2, r0)-psiY, own(1, 2, r1)-psiY
	s.z1, s.z2 = -own(0, 1, r0)-psiZ, -own(1, 1, r1)-psiZ
}

// addLocal adds the local end forces f, turned to the freedoms on which they act, to the full vector.
func (e *element) addLocal(full []float64, f *[12]float64) {
	for end := range 2 {
		force := e.axes.toGlobal([3]float64{f[6*end], f[6*end+1], f[6*end+2]})
		moment := [3]float64{f[6*end+3], f[6*end+4], f[6*end+5]}
		if e.freed {
			for axis, own := range e.own[end] {
				if own >= 0 {
					full[own] += moment[axis]
					moment[axis] = 0
				}
			}
		}
		moment = e.axes.toGlobal(moment)
		if e.armed {
			moment = add(moment, cross(e.arm[end], force))
		}
		at := 6 * int(e.node[end])
		for k := range 3 {
			full[at+k] += force[k]
			full[at+3+k] += moment[k]
		}
	}
}
