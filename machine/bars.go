package machine

import (
	"math"

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
	From    r3.Vec // sawn end, home pose, in W
	To      r3.Vec
	Members []int
	Joints  [2]*Joint // hardware at its ends; nil where it is continuous or rigid
	Axis    int       // the axis whose beam or body it is; -1 for the stand
}

// Length is the sawn length, m.
func (b Bar) Length() float64 { return r3.Norm(r3.Sub(b.To, b.From)) }

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
		for e, has := range mem.JointAt {
			if has {
				b.Joints[e] = mem.Joint
			}
		}
	}
	for i := range out {
		m.trim(&out[i], out)
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
// the faces it butts against. A bar that runs through is not cut; an end that
// stands on a bar along its own continuation (a leg under a rail) is cut too.
func (m *Machine) trim(b *Bar, all []Bar) {
	if b.Body != 0 {
		return
	}
	x := r3.Unit(r3.Sub(b.To, b.From))
	from, to := b.From, b.To
	if d := m.butt(b, all, m.Members[b.Members[0]].From, from, x); d > 0 {
		b.From = r3.Add(from, r3.Scale(d, x))
	}
	if d := m.butt(b, all, m.Members[b.Members[len(b.Members)-1]].To, to, r3.Scale(-1, x)); d > 0 {
		b.To = r3.Sub(to, r3.Scale(d, x))
	}
	b.extend(m, all, from, to, x)
}

// butt is how much of the bar at an end lies inside the bar it meets there, m:
// the half size of the other across itself, over the sine of the angle.
func (m *Machine) butt(b *Bar, all []Bar, node int, end, inward r3.Vec) float64 {
	if b.Role == Rail && m.ownsCorner(b) {
		return 0
	}
	most := 0.0
	for i := range all {
		o := &all[i]
		if o.ID == b.ID || o.Body != 0 || !o.touches(m, node) {
			continue
		}
		along := r3.Unit(r3.Sub(o.To, o.From))
		across := r3.Sub(inward, r3.Scale(r3.Dot(inward, along), along))
		sine := r3.Norm(across)
		if sine < 0.2 {
			continue // nearly in line: no face to butt against
		}
		if o.Role == Brace || o.Role == Leg && b.Role == Leg {
			continue
		}
		most = math.Max(most, half(o.Profile, along, o.Roll, r3.Unit(across))/sine)
	}
	return most
}

// ownsCorner tells whether a rail runs over the legs instead of between them.
func (m *Machine) ownsCorner(b *Bar) bool { return b.Joints[0] == nil && b.Joints[1] == nil }

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
func (b *Bar) extend(m *Machine, all []Bar, from, to, x r3.Vec) {
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
	b.From = r3.Sub(from, r3.Scale(grow(m.Members[b.Members[0]].From), x))
	b.To = r3.Add(to, r3.Scale(grow(m.Members[b.Members[len(b.Members)-1]].To), x))
}
