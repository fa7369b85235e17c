package machine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/parts"
)

// Joint is the hardware at a member's end; a nil *Joint is rigid.
type Joint struct {
	Part   *parts.Joint
	Hinged bool
	Path   string // in the design
}

// HasPart tells hardware of the part data from a hinge and from no joint at all.
func (j *Joint) HasPart() bool { return j != nil && j.Part != nil }

// line is a physical bar of a stand: it becomes one member between each two
// neighbouring stations, with joints only at its own two ends.
type line struct {
	id, plane string
	role      Role
	shape     *shape
	roll      float64
	ends      [2]r3.Vec
	joints    [2]*Joint
	stations  []station
	members   []int // filled by emit, in order
}

type station struct {
	s    float64 // m from ends[0]
	node int
}

func (l *line) length() float64 { return r3.Norm(r3.Sub(l.ends[1], l.ends[0])) }

func (l *line) direction() r3.Vec { return r3.Unit(r3.Sub(l.ends[1], l.ends[0])) }

func (l *line) along(p r3.Vec) float64 { return r3.Dot(r3.Sub(p, l.ends[0]), l.direction()) }

func (l *line) point(s float64) r3.Vec { return r3.Add(l.ends[0], r3.Scale(s, l.direction())) }

// meet makes node a station of the line, at the node's own place.
func (l *line) meet(b *builder, node int) {
	s := l.along(b.m.Nodes[node].At)
	for _, t := range l.stations {
		if t.node == node {
			return
		}
	}
	l.stations = append(l.stations, station{s, node})
}

// at returns the node on the line closest to p, making it if none is there yet.
func (l *line) at(b *builder, id string, p r3.Vec) int {
	s := min(max(l.along(p), 0), l.length())
	const same = 1e-6 // m; two nodes closer than a micrometre are one
	for _, t := range l.stations {
		if math.Abs(t.s-s) < same {
			return t.node
		}
	}
	n := b.node(id, 0, l.point(s))
	l.stations = append(l.stations, station{s, n})
	return n
}

// emit writes the members of the line.
func (l *line) emit(b *builder) {
	slices.SortFunc(l.stations, func(p, q station) int { return cmp.Compare(p.s, q.s) })
	total := float64(divisions(l.role))
	last := len(l.stations) - 2
	for i := 0; i+1 < len(l.stations); i++ {
		p, q := l.stations[i], l.stations[i+1]
		mem := Member{
			ID: l.id, Bar: l.id, From: p.node, To: q.node, Roll: l.roll, Role: l.role, Plane: l.plane,
			Profile: l.shape.part, Section: l.shape.section, Material: l.shape.material,
			Divide: max(1, int(math.Ceil(total*(q.s-p.s)/l.length()-1e-9))),
		}
		if last > 0 {
			mem.ID = fmt.Sprintf("%s.%d", l.id, i+1)
		}
		for end, at := range [2]bool{i == 0, i == last} {
			if j := l.joints[end]; at && j != nil {
				mem.Joints[end] = j
			}
		}
		l.members = append(l.members, b.member(mem))
	}
}

// place is the point of the line at s metres from its first end, with a lever.
func (l *line) place(s float64, offset r3.Vec) Place {
	for i, id := range l.members {
		p, q := l.stations[i].s, l.stations[i+1].s
		if s <= q+1e-9 || i == len(l.members)-1 {
			return Place{Node: -1, Member: id, At: min(max((s-p)/(q-p), 0), 1), Offset: offset}
		}
	}
	return Place{Node: -1, Offset: offset}
}

// half is how far the profile reaches from its centre line in direction d, m,
// for a bar along x with the given roll.
func half(p *parts.Profile, x r3.Vec, roll float64, d r3.Vec) float64 {
	y, z := LocalAxes(x, roll)
	return math.Abs(r3.Dot(d, y))*p.Size[0]/2 + math.Abs(r3.Dot(d, z))*p.Size[1]/2
}

// LocalAxes returns the local y and z of a bar along x, as package frame
// defines them: a bar that is not vertical has local y horizontal and z
// upward at roll 0; a vertical one has local y along world Y.
func LocalAxes(x r3.Vec, roll float64) (y, z r3.Vec) {
	x = r3.Unit(x)
	y = r3.Cross(r3.Vec{Z: 1}, x)
	if math.Hypot(x.X, x.Y) < 1e-6 {
		y = r3.Sub(r3.Vec{Y: 1}, r3.Scale(x.Y, x))
	}
	y = r3.Unit(y)
	z = r3.Cross(x, y)
	s, c := math.Sincos(roll)
	return r3.Add(r3.Scale(c, y), r3.Scale(s, z)), r3.Sub(r3.Scale(c, z), r3.Scale(s, y))
}

// rollFor is the roll that turns local z of a bar along x into normal, which
// must be square to x.
func rollFor(x, normal r3.Vec) float64 {
	y, z := LocalAxes(x, 0)
	return math.Atan2(-r3.Dot(normal, y), r3.Dot(normal, z))
}
