package structure

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
)

// joints compares connections, blocks and drives by their names. A support that
// stands elsewhere is taken away and put there.
func (c *comparison) joints(now *frame.Model) {
	for i, t := range c.old.model.Ties {
		k := slices.IndexFunc(now.Ties, func(x frame.Tie) bool { return x.ID == t.ID })
		if k < 0 {
			c.lost = append(c.lost, t)
			continue
		}
		if there, moved := c.elsewhere(now.Ties[k]); moved {
			c.lost, c.gained = append(c.lost, t), append(c.gained, there)
			continue
		}
		c.scale(frame.OwnTie, i, t.K, now.Ties[k].K)
	}
	for _, t := range now.Ties {
		if slices.ContainsFunc(c.old.model.Ties, func(x frame.Tie) bool { return x.ID == t.ID }) {
			continue
		}
		if there, ok := c.translated(t); ok {
			c.gained = append(c.gained, there)
		}
	}
}

// connectionOf is the connection of a machine behind a tie, or nil.
func connectionOf(m *machine.Machine, id string) *machine.Connection {
	for i := range m.Connections {
		if m.Connections[i].ID == id {
			return &m.Connections[i]
		}
	}
	return nil
}

// elsewhere tells whether a support of the stand has moved, and gives it as a tie
// of the old machine.
func (c *comparison) elsewhere(t frame.Tie) (frame.Tie, bool) {
	was, is := connectionOf(c.old.m, t.ID), connectionOf(c.now, t.ID)
	if was == nil || is == nil || was.Kind != machine.Support || c.onNew(is) {
		return t, false
	}
	d := r3.Sub(placeOf(c.now, is.A), placeOf(c.old.m, was.A))
	if !(r3.Norm(d) > same) {
		return t, false
	}
	return c.translated(t)
}

// onNew tells whether a connection holds or lies on a bar that the old machine
// does not have.
func (c *comparison) onNew(x *machine.Connection) bool {
	for _, p := range []machine.Place{x.A, x.B} {
		if p.Node < 0 && c.beside[c.now.Members[p.Member].Bar] {
			return true
		}
	}
	return false
}

func placeOf(m *machine.Machine, p machine.Place) r3.Vec {
	if p.Node >= 0 {
		return r3.Add(m.Nodes[p.Node].At, p.Offset)
	}
	mem := m.Members[p.Member]
	a, b := m.Nodes[mem.From].At, m.Nodes[mem.To].At
	return r3.Add(r3.Add(a, r3.Scale(p.At, r3.Sub(b, a))), p.Offset)
}

// translated is a tie of the changed machine between places of the old one; ok is
// false where it holds something that is not there.
func (c *comparison) translated(t frame.Tie) (frame.Tie, bool) {
	for _, p := range []*frame.Point{&t.From, &t.To} {
		q, ok := c.point(*p)
		if !ok {
			return t, false
		}
		*p = q
	}
	return t, true
}

// point is a point of the changed machine as one of the old machine.
func (c *comparison) point(p frame.Point) (frame.Point, bool) {
	if p.Ground() {
		return p, true
	}
	offset := p.Offset
	var out frame.Point
	ok := false
	switch {
	case p.Node != "":
		i := slices.IndexFunc(c.now.Nodes, func(n machine.Node) bool { return n.ID == p.Node })
		if out, ok = c.place(i); !ok {
			return out, false
		}
	default:
		i := slices.IndexFunc(c.now.Members, func(x machine.Member) bool { return x.ID == p.Member })
		mem := c.now.Members[i]
		if mem.Body == 0 && mem.Role != machine.Beam {
			a, b := c.now.Nodes[mem.From].At, c.now.Nodes[mem.To].At
			if out, ok = c.onStand(r3.Add(a, r3.Scale(p.Position, r3.Sub(b, a)))); !ok {
				return out, false
			}
			break
		}
		if _, there := c.before[mem.Bar]; !there {
			return out, false
		}
		out = frame.Point{Member: p.Member, Position: p.Position}
	}
	out.Offset = offset
	return out, true
}

// lumps compares the rigid masses by their names.
func (c *comparison) lumps(now *frame.Model) {
	for _, was := range c.old.model.Masses {
		kg := -was.M
		if k := slices.IndexFunc(now.Masses, func(x frame.Mass) bool { return x.ID == was.ID }); k >= 0 {
			kg += now.Masses[k].M
		}
		c.lumpAt(was.At, kg)
	}
	for _, is := range now.Masses {
		if slices.ContainsFunc(c.old.model.Masses, func(x frame.Mass) bool { return x.ID == is.ID }) {
			continue
		}
		if p, ok := c.point(is.At); ok {
			c.lumpAt(p, is.M)
		}
	}
}
