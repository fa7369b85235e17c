package design

import (
	"fmt"
	"math"
	"slices"

	"spanwright/decode"
)

// stand checks a stand of explicit nodes and members. Members beside a
// generated stand may name its nodes, which are not known here.
func (c *checker) stand() {
	s := &c.Stand
	if !c.File.Given("stand") {
		return
	}
	explicit := !c.File.Given("stand.generate")
	if explicit && (c.none("stand.nodes", len(s.Nodes)) || c.none("stand.members", len(s.Members))) {
		c.addKey(StandEmpty, "stand", "has no generate: and no nodes: with members:", "describe a stand with generate:, or list its nodes and members")
		return
	}
	c.nodes(explicit)
	c.members(explicit)
	if explicit {
		c.restsOn()
	}
	c.twice("stand.supports", s.Supports)
	c.twice("stand.carries", s.Carries)
}

// none tells whether a list is absent or empty, and not refused.
func (c *checker) none(path string, n int) bool {
	return n == 0 && (!c.File.Given(path) || c.sound(path))
}

func (d *Design) nodeIDs() []string {
	var out []string
	for _, n := range d.Stand.Nodes {
		out = append(out, n.ID)
	}
	return out
}

// samePlace is the distance, in m, within which two nodes are one.
const samePlace = 1e-6

func distance(a, b [3]float64) float64 {
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

// nodes finds nodes in the same place and nodes that hold nothing.
func (c *checker) nodes(explicit bool) {
	used := map[string]bool{}
	for _, m := range c.Stand.Members {
		used[m.From], used[m.To] = true, true
	}
	first := map[[3]int64]string{}
	for _, n := range c.Stand.Nodes {
		at := decode.Join("stand.nodes", n.ID)
		if !c.sound(at) {
			continue
		}
		var cell [3]int64
		for i, x := range n.At {
			cell[i] = int64(math.Round(x / samePlace))
		}
		if other, taken := first[cell]; taken {
			c.add(NodePlace, at+".at", "is where node "+other+" is; the two would not be joined", "use one node for both")
		} else {
			first[cell] = n.ID
		}
		if explicit && !used[n.ID] && c.sound("stand.members") {
			c.addKey(NodeUnused, at, "no member begins or ends here", "add a member, or remove the node")
		}
	}
}

func (c *checker) members(explicit bool) {
	nodes := c.nodeIDs()
	place := map[string][3]float64{}
	for _, n := range c.Stand.Nodes {
		if c.sound(decode.Join("stand.nodes", n.ID)) {
			place[n.ID] = n.At
		}
	}
	for _, m := range c.Stand.Members {
		at := decode.Join("stand.members", m.ID)
		for _, end := range []struct{ key, node string }{{".from", m.From}, {".to", m.To}} {
			if explicit && c.sound(at+end.key) && !slices.Contains(nodes, end.node) {
				message, hint := unknown(end.node, "node of the stand", nodes)
				c.add(UnknownNode, at+end.key, message, hint)
			}
		}
		if !c.sound(at+".from", at+".to") {
			continue
		}
		a, foundA := place[m.From]
		b, foundB := place[m.To]
		if m.From == m.To || foundA && foundB && !(distance(a, b) > samePlace) {
			c.addKey(MemberLength, at, "begins and ends in the same place", "give it two nodes apart from each other")
		}
	}
}

// restsOn checks what an explicit stand stands on and what it carries.
func (c *checker) restsOn() {
	s := &c.Stand
	nodes := c.nodeIDs()
	if c.none("stand.supports", len(s.Supports)) {
		c.addKey(StandSupports, "stand", "no node stands on the floor", "add supports: with the nodes that stand on feet")
	}
	for i, name := range s.Supports {
		if at := decode.Item("stand.supports", i); c.sound(at) && !slices.Contains(nodes, name) {
			message, hint := unknown(name, "node of the stand", nodes)
			c.add(UnknownNode, at, message, hint)
		}
	}
	var members []string
	for _, m := range s.Members {
		members = append(members, m.ID)
	}
	for i, name := range s.Carries {
		if at := decode.Item("stand.carries", i); c.sound(at) && !slices.Contains(members, name) {
			message, hint := unknown(name, "member of the stand", members)
			c.add(UnknownMember, at, message, hint)
		}
	}
	pair := len(c.Axes) > 0 && c.Axes[0].Pair != nil
	n, readable := len(s.Carries), c.sound("stand.carries") || !c.File.Given("stand.carries")
	switch {
	case !readable:
	case pair && n != 2:
		c.addKey(StandCarries, "stand.carries", fmt.Sprintf("names %d members; 2 are needed", n), "name the members on which the first axis lies, minus side first")
	case !pair && n == 0:
		c.addKey(StandCarries, "stand.carries", "names no member; 1 or more are needed", "name the members on which the first axis lies")
	}
}
