package machine

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/parts"
)

// Bar is one physical piece of profile: the members between its stations
// together, cut to the length that is sawn.
type Bar struct {
	ID      string
	Body    int
	Role    Role
	Profile *parts.Profile
	Roll    float64
	From    r3.Vec // sawn end on the centre line, home pose, in W
	To      r3.Vec
	Cuts    [2]r3.Vec // outward unit normals of the sawn faces, in W
	Members []int
	Joints  [2]*Joint // hardware at its ends; nil where it is continuous or rigid
	Axis    int       // the axis whose beam or body it is; -1 for the stand

	meets [2]meeting
}

// meeting is what a bar's end butts against.
type meeting struct {
	bar  int     // index among the bars; -1 for nothing
	face r3.Vec  // outward normal of the face it meets, in W
	gap  float64 // of the end plate between face and sawn end, m
}

// Length is the sawn length along the centre line, m.
func (b Bar) Length() float64 { return r3.Norm(r3.Sub(b.To, b.From)) }

// CutAngle is the angle of a sawn end (0 or 1) from square, rad.
func (b Bar) CutAngle(end int) float64 {
	x := r3.Unit(r3.Sub(b.To, b.From))
	c := r3.Dot(b.Cuts[end], x)
	return math.Acos(min(1, math.Abs(c)))
}

// Bars lists the physical bars in the order of their first members.
func (m *Machine) Bars() []Bar {
	index := map[string]int{}
	var out []Bar
	for i, mem := range m.Members {
		at, known := index[mem.Bar]
		if !known {
			at = len(out)
			index[mem.Bar] = at
			out = append(out, Bar{ID: mem.Bar, Body: mem.Body, Role: mem.Role, Profile: mem.Profile, Roll: mem.Roll, From: m.Nodes[mem.From].At, Axis: m.axisOf(i)})
		}
		b := &out[at]
		b.Members = append(b.Members, i)
		b.To = m.Nodes[mem.To].At
		for e, j := range mem.Joints {
			if j != nil {
				b.Joints[e] = j
			}
		}
	}
	nodes := make([][2]r3.Vec, len(out)) // the ends before any is cut
	for i, b := range out {
		nodes[i] = [2]r3.Vec{b.From, b.To}
	}
	for i := range out {
		m.trim(i, out, nodes)
	}
	return out
}

// axisOf is the axis to which a member belongs as its beam or body, -1 for none.
func (m *Machine) axisOf(member int) int {
	for i, a := range m.Axes {
		for _, b := range a.Beams {
			if b == member {
				return i
			}
		}
	}
	if b := m.Members[member].Body; b > 0 {
		return b
	}
	return -1
}

// trim moves the ends of a bar from the centre lines where it meets others to
// the faces it butts against, less an end plate between them. A bar that runs
// through is not cut.
func (m *Machine) trim(i int, all []Bar, nodes [][2]r3.Vec) {
	b := &all[i]
	x := r3.Unit(r3.Sub(b.To, b.From))
	b.Cuts = [2]r3.Vec{r3.Scale(-1, x), x}
	b.meets = [2]meeting{{bar: -1}, {bar: -1}}
	if b.Body != 0 {
		return
	}
	last := len(b.Members) - 1
	for end, node := range [2]int{m.Members[b.Members[0]].From, m.Members[b.Members[last]].To} {
		inward := r3.Scale(float64(1-2*end), x)
		depth := m.butt(i, all, end, node, inward, nodes)
		at := r3.Add(nodes[i][end], r3.Scale(depth, inward))
		if end == 0 {
			b.From = at
		} else {
			b.To = at
		}
	}
	b.extend(m, all, nodes[i], x)
}

// butt is how much of the bar at an end lies inside the bars it meets there, m.
// An end that meets one bar is cut along its face; a brace in a corner of several
// is cut square, clear of all. Other bars stop at those that run through, and
// leave alone what stops there too.
func (m *Machine) butt(i int, all []Bar, end, node int, inward r3.Vec, nodes [][2]r3.Vec) float64 {
	b := &all[i]
	if b.Role == Rail && m.ownsCorner(b) || b.Joints[end] == nil && m.footed(node) {
		return 0
	}
	met := m.crossings(i, all, node, inward, nodes)
	through := func(c crossing) bool { return c.passes }
	if b.Role != Brace && slices.ContainsFunc(met, through) {
		met = slices.DeleteFunc(met, func(c crossing) bool { return !c.passes })
	}
	if len(met) == 0 {
		return 0
	}
	deepest := slices.MaxFunc(met, func(p, q crossing) int { return cmp.Compare(p.deep, q.deep) })
	b.meets[end] = meeting{bar: deepest.bar, face: deepest.face}
	if slices.ContainsFunc(met, func(c crossing) bool { return r3.Norm(r3.Sub(c.face, deepest.face)) > 1e-6 }) {
		return slices.MaxFunc(met, func(p, q crossing) int { return cmp.Compare(p.clear, q.clear) }).clear
	}
	b.Cuts[end] = r3.Scale(-1, deepest.face)
	if j := b.Joints[end]; j.onEndFace() && b.CutAngle(end) < 0.01 {
		b.meets[end].gap = j.Part.Thick
	}
	return deepest.deep + b.meets[end].gap
}

// crossing is a bar that another one meets at its end.
type crossing struct {
	bar    int
	face   r3.Vec  // outward normal of the face that is met
	deep   float64 // how much of the centre line lies inside, m
	clear  float64 // how much of a square end would lie inside, m
	passes bool    // it is not cut there itself
}

// crossings are the bars that a bar meets at a node, from where it runs inward:
// their half size across themselves over the sine of the angle.
func (m *Machine) crossings(i int, all []Bar, node int, inward r3.Vec, nodes [][2]r3.Vec) []crossing {
	b := &all[i]
	var out []crossing
	for k := range all {
		o := &all[k]
		if k == i || o.Body != 0 || !o.touches(m, node) || o.Role == Brace || o.Role == Leg && b.Role == Leg {
			continue
		}
		along := r3.Unit(r3.Sub(nodes[k][1], nodes[k][0]))
		cosine := r3.Dot(inward, along)
		across := r3.Sub(inward, r3.Scale(cosine, along))
		sine := r3.Norm(across)
		if sine < 0.2 {
			continue // nearly in line: no face to butt against
		}
		c := crossing{bar: k, face: r3.Unit(across), passes: m.passes(o, node)}
		c.deep = half(o.Profile, along, o.Roll, c.face) / sine
		c.clear = c.deep
		if aside := r3.Sub(along, r3.Scale(cosine, inward)); r3.Norm(aside) > 1e-9 { // across the bar, in the plane of both
			c.clear += half(b.Profile, inward, b.Roll, r3.Unit(aside)) * math.Abs(cosine) / sine
		}
		out = append(out, c)
	}
	return out
}

// onEndFace tells whether the joint's plate lies between a bar's end and what it meets.
func (j *Joint) onEndFace() bool {
	return j != nil && j.Part != nil && (j.Part.Family == "corner plate" || j.Part.Family == "base plate")
}

// footed tells whether a foot stands under a node: a leg goes down to it, past
// the rails that meet it there.
func (m *Machine) footed(node int) bool {
	return slices.ContainsFunc(m.Feet, func(f Foot) bool { return f.Node == node })
}

// ownsCorner tells whether a rail runs over the legs instead of between them.
func (m *Machine) ownsCorner(b *Bar) bool { return b.Joints[0] == nil && b.Joints[1] == nil }

// passes tells whether a bar is uncut at a node: it goes on beyond it, or runs over the corner.
func (m *Machine) passes(b *Bar, node int) bool {
	last := m.Members[b.Members[len(b.Members)-1]].To
	return node != m.Members[b.Members[0]].From && node != last || b.Role == Rail && m.ownsCorner(b)
}

// touches tells whether a bar has a member that ends in a node.
func (b *Bar) touches(m *Machine, node int) bool {
	for _, i := range b.Members {
		if m.Members[i].From == node || m.Members[i].To == node {
			return true
		}
	}
	return false
}

// extend lets a rail that runs over legs reach to their outer faces.
func (b *Bar) extend(m *Machine, all []Bar, nodes [2]r3.Vec, x r3.Vec) {
	if b.Role != Rail || !m.ownsCorner(b) {
		return
	}
	grow := func(node int) float64 {
		most := 0.0
		for i := range all {
			if o := &all[i]; o.Role == Leg && o.touches(m, node) {
				most = math.Max(most, half(o.Profile, r3.Sub(o.To, o.From), o.Roll, x))
			}
		}
		return most
	}
	b.From = r3.Sub(nodes[0], r3.Scale(grow(m.Members[b.Members[0]].From), x))
	b.To = r3.Add(nodes[1], r3.Scale(grow(m.Members[b.Members[len(b.Members)-1]].To), x))
}
