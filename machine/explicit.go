package machine

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/parts"
)

// shortest is the least length of a written-out member, m: what is shorter is
// one place named twice.
const shortest = 1e-6

// explicit adds the nodes, members and supports written out in the design. They
// may name nodes of the generated stand.
func (g *generator) explicit(spec design.Stand) map[string]*line {
	written := map[string]int{}
	for _, n := range spec.Nodes {
		if _, taken := g.nodeNamed(n.ID); taken {
			g.nameTaken("stand.nodes."+n.ID, n.ID)
			continue
		}
		written[n.ID] = g.node(n.ID, 0, vec(n.At))
	}
	lines, used := map[string]*line{}, map[int]bool{}
	for _, mem := range spec.Members {
		if l := g.explicitMember(mem, used); l != nil {
			lines[mem.ID] = l
		}
	}
	for _, n := range spec.Nodes {
		if id, ok := written[n.ID]; ok && !used[id] {
			g.refuse("stand.nodes."+n.ID, design.NodeUnused, n.ID, "no member begins or ends here", "add a member, or remove the node")
		}
	}
	g.explicitSupports(spec.Supports)
	return lines
}

func (g *generator) explicitMember(mem design.Member, used map[int]bool) *line {
	path := "stand.members." + mem.ID
	var ends [2]int
	known := true
	for e, end := range [2]struct{ key, node string }{{".from", mem.From}, {".to", mem.To}} {
		n, ok := g.nodeNamed(end.node)
		if ends[e] = n; !ok {
			known = false
			g.unknownNode(path+end.key, end.node)
			continue
		}
		used[n] = true
	}
	if !known {
		return nil
	}
	l := &line{
		id: mem.ID, role: explicitRole(mem.Role), shape: g.profiles[mem.Profile], roll: mem.Roll,
		ends: [2]r3.Vec{g.m.Nodes[ends[0]].At, g.m.Nodes[ends[1]].At},
	}
	if !(l.length() > shortest) {
		g.refuse(path, design.MemberLength, mem.ID, "begins and ends in the same place", "give it two nodes apart from each other")
		return nil
	}
	if j := g.explicitJoint(mem.Joint, path+".joint"); j != nil {
		l.joints = [2]*Joint{j, j}
	}
	l.meet(g.builder, ends[0])
	l.meet(g.builder, ends[1])
	return g.add(l)
}

// explicitSupports puts feet under the named nodes; one that has a foot keeps it.
func (g *generator) explicitSupports(names []string) {
	standing := map[int]bool{}
	for _, f := range g.m.Feet {
		standing[f.Node] = true
	}
	for i, id := range names {
		n, ok := g.nodeNamed(id)
		if !ok {
			g.unknownNode(decode.Item("stand.supports", i), id)
			continue
		}
		if !standing[n] {
			standing[n] = true
			g.foot(n)
		}
	}
}

func (b *builder) nameTaken(path, id string) {
	b.refuse(path, NameTaken, id, fmt.Sprintf("%q is the name of something that is generated", id), "choose another name")
}

// namesTaken refuses written-out names that something generated has too.
func (b *builder) namesTaken() {
	nodes, members := map[string]int{}, map[string]int{}
	for _, n := range b.m.Nodes {
		nodes[n.ID]++
	}
	for _, m := range b.m.Members {
		members[m.ID]++
	}
	for _, n := range b.m.Design.Stand.Nodes {
		if nodes[n.ID] > 1 {
			b.nameTaken("stand.nodes."+n.ID, n.ID)
		}
	}
	for _, m := range b.m.Design.Stand.Members {
		if members[m.ID] > 1 {
			b.nameTaken("stand.members."+m.ID, m.ID)
		}
	}
}

func (g *generator) unknownNode(path, id string) {
	var names []string
	for _, n := range g.m.Nodes {
		names = append(names, n.ID)
	}
	hint := ""
	if near := decode.Nearest(id, names); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	g.refuse(path, design.UnknownNode, id, fmt.Sprintf("%q is no node of the stand", id), hint)
}

func (g *generator) nodeNamed(id string) (int, bool) {
	for i, n := range g.m.Nodes {
		if n.ID == id {
			return i, true
		}
	}
	return 0, false
}

func (g *generator) explicitJoint(id, path string) *Joint {
	switch id {
	case "rigid":
		return nil
	case "hinged":
		return &Joint{Hinged: true, Path: path}
	}
	var part *parts.Joint
	if p, ok := g.parts.Joint(id); ok {
		part = p
	}
	return &Joint{Part: part, Path: path}
}

func explicitRole(word string) Role {
	switch word {
	case "leg":
		return Leg
	case "rail":
		return Rail
	case "brace":
		return Brace
	}
	return Other
}
