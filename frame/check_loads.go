package frame

import (
	"fmt"
	"math"
	"strconv"
)

// axesTolerance bounds how far own axes may be from square: rounding of numbers given with six digits.
const axesTolerance = 1e-5

func (c *checker) axes(list, id string, a Axes) {
	if a == (Axes{}) {
		return
	}
	if !(a.squareness() <= axesTolerance) {
		c.add(list, id, "axes", "", "is not a right-handed set of unit vectors, square to each other")
	}
}

// joints checks springs and ties, whose ids share one name space because loads refer to both.
func (c *checker) joints() {
	seen := map[string]string{}
	once := func(list, id string) {
		if id == "" {
			return
		}
		if other, twice := seen[id]; twice {
			c.add(list, id, "id", strconv.Quote(id), "is used twice, also in "+other)
		}
		seen[id] = list
	}
	for i := range c.model.Springs {
		s := &c.model.Springs[i]
		id := named(s.ID, i)
		once("springs", s.ID)
		c.node("springs", id, "from", s.From)
		if s.To != "" {
			c.node("springs", id, "to", s.To)
			if s.From == s.To {
				c.add("springs", id, "to", strconv.Quote(s.To), `is also its from node; another node or "ground" is needed`)
			}
		}
		c.stiffness("springs", id, s.K, s.Loss)
		c.axes("springs", id, s.Axes)
		c.contact("springs", id, s.Contact, s.To == "")
	}
	for i := range c.model.Ties {
		t := &c.model.Ties[i]
		once("ties", t.ID)
		for _, p := range c.tie(t) {
			p.ID = named(t.ID, i)
			c.problems = append(c.problems, p)
		}
	}
}

// tie returns the mistakes of one tie; its id is left to the caller.
func (c *checker) tie(t *Tie) Problems {
	at := len(c.problems)
	c.point("ties", t.ID, "from", t.From)
	if t.From.Ground() {
		c.add("ties", t.ID, "from", "", "is the ground; only to can be the ground")
	}
	c.point("ties", t.ID, "to", t.To)
	c.stiffness("ties", t.ID, t.K, t.Loss)
	c.axes("ties", t.ID, t.Axes)
	c.contact("ties", t.ID, t.Contact, t.To.Ground())
	found := append(Problems(nil), c.problems[at:]...)
	c.problems = c.problems[:at]
	return found
}

func (c *checker) stiffness(list, id string, k [6]float64, loss float64) {
	for i := range k {
		c.within(list, id, fmt.Sprintf("k[%d]", i), k[i], 0, false)
	}
	c.within(list, id, "loss", loss, 0, false)
}

func (c *checker) contact(list, id string, k *Contact, toGround bool) {
	if k == nil {
		return
	}
	if !toGround {
		c.add(list, id, "contact", "", "is possible to the ground only")
	}
	if !(math.Abs(norm(k.Normal)-1) <= axesTolerance) {
		c.add(list, id, "contact.normal", "", "is not a unit vector")
	}
	c.finite(list, id, "contact.gap", k.Gap)
}

func (c *checker) point(list, id, key string, p Point) {
	c.vector(list, id, key+".offset", p.Offset[:])
	switch {
	case p.Node != "":
		c.node(list, id, key+".node", p.Node)
		if p.Member != "" {
			c.add(list, id, key+".member", strconv.Quote(p.Member), "stands beside a node; a point lies on one of them")
		}
	case p.Member != "":
		c.refer(&c.members, "members", list, id, key+".member", p.Member)
		if !(p.Position >= 0 && p.Position <= 1) {
			c.add(list, id, key+".position", number(p.Position), "is outside 0 to 1")
		}
	}
}

func (c *checker) masses() {
	for i := range c.model.Masses {
		m := &c.model.Masses[i]
		id := named(m.ID, i)
		c.point("masses", id, "at", m.At)
		if m.At.Ground() {
			c.add("masses", id, "node", "", "is missing; the id of one of the nodes is needed")
		}
		c.within("masses", id, "m", m.M, 0, false)
		for a := range 3 {
			c.within("masses", id, fmt.Sprintf("inertia[%d]", a), m.Inertia[a][a], 0, false)
			for b := range a {
				x, y := m.Inertia[a][b], m.Inertia[b][a]
				if !(m.Inertia[a][a] >= 0 && m.Inertia[b][b] >= 0) {
					continue // said already
				}
				if !(math.Abs(x-y) <= 1e-9*math.Max(math.Abs(x), math.Abs(y))) || !(x*x <= m.Inertia[a][a]*m.Inertia[b][b]*(1+1e-9)) {
					c.add("masses", id, fmt.Sprintf("inertia[%d][%d]", a, b), number(x),
						"is not that of a body; a symmetric tensor with products within the moments is needed")
				}
			}
		}
	}
}

func (c *checker) cases() {
	c.collect("cases", len(c.model.Cases), func(i int) string { return c.model.Cases[i].ID })
	for i := range c.model.Cases {
		c.loads(&c.model.Cases[i])
	}
}

// loads checks one case.
func (c *checker) loads(k *Case) {
	id := k.ID
	for i := range k.Forces {
		f := &k.Forces[i]
		c.point("loads", id, "node", f.At)
		if f.At.Ground() {
			c.add("loads", id, "node", "", "is missing; the id of one of the nodes is needed")
		}
		c.vector("loads", id, "force", f.Force[:])
		c.vector("loads", id, "moment", f.Moment[:])
	}
	for i := range k.LineLoads {
		c.refer(&c.members, "members", "loads", id, "member", k.LineLoads[i].Member)
		c.vector("loads", id, "per_length", k.LineLoads[i].PerLength[:])
	}
	for i := range k.Fields {
		c.vector("loads", id, "gravity", k.Fields[i].Acceleration[:])
	}
	for i := range k.Temperatures {
		t := &k.Temperatures[i]
		c.finite("loads", id, "temperature", t.Rise)
		if t.Member != "" {
			c.refer(&c.members, "members", "loads", id, "member", t.Member)
		}
	}
	for i := range k.Settlements {
		c.node("loads", id, "settlement", k.Settlements[i].Node)
		c.vector("loads", id, "settlement", k.Settlements[i].Move[:])
	}
	for i := range k.Mismatches {
		c.vector("loads", id, "mismatch", k.Mismatches[i].Gap[:])
		if !c.hasJoint(k.Mismatches[i].Tie) {
			c.add("loads", id, "mismatch", strconv.Quote(k.Mismatches[i].Tie), "is neither a tie nor a spring")
		}
	}
}

func (c *checker) hasJoint(id string) bool {
	if id == "" {
		return false
	}
	for i := range c.model.Ties {
		if c.model.Ties[i].ID == id {
			return true
		}
	}
	for i := range c.model.Springs {
		if c.model.Springs[i].ID == id {
			return true
		}
	}
	return false
}
