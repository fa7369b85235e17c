package frame

import (
	"slices"
	"strconv"
)

func (e *entry) member() Member {
	m := Member{
		ID: e.name(), From: e.word("from", "the id of a node", true), To: e.word("to", "the id of a node", true),
		Section: e.word("section", "the id of a section", true), Material: e.word("material", "the id of a material", true),
		Roll: e.number("roll"), Divide: 1,
	}
	if t := e.get("divide"); t != nil {
		m.Divide = e.whole(t, "divide", 1, maxDivide)
	}
	if t := e.get("ends"); t != nil {
		if t.kind != '{' {
			e.complain(t, e.list, e.id, "ends", t.describe(), `is not allowed; an object with "from" and "to" is needed`)
		} else {
			ends := e.inner(t)
			m.FromEnd, m.ToEnd = ends.turns("from"), ends.turns("to")
			e.close(ends, "ends.")
		}
	}
	e.end()
	return m
}

// inner reads an object within an entry.
func (e *entry) inner(t *tree) *entry {
	return &entry{reader: e.reader, t: t, list: e.list, id: e.id}
}

// close complains about keys of an inner object that were not asked for.
func (e *entry) close(inner *entry, path string) {
	at := len(e.problems)
	inner.end()
	for i := at; i < len(e.problems); i++ {
		e.problems[i].Key = path + e.problems[i].Key
	}
}

// turns reads the freed rotations of one end.
func (e *entry) turns(side string) (end End) {
	t := e.get(side)
	if t == nil {
		return end
	}
	const allowed = `is not allowed; "free" or a stiffness in N m/rad, at least 0, is needed`
	if t.kind != '{' {
		e.complain(t, e.list, e.id, "ends."+side, t.describe(), `is not allowed; an object with "rx", "ry", "rz" is needed`)
		return end
	}
	rotations := e.inner(t)
	for k := range end {
		key := freedomNames[RX+k]
		v := rotations.get(key)
		switch {
		case v == nil:
		case v.kind == '"' && v.text == "free":
			end[k] = Free()
		case v.kind == '0' && v.number >= 0 && v.number <= maxNumber:
			end[k] = SemiRigid(v.number)
		default:
			e.complain(v, e.list, e.id, "ends."+side+"."+key, v.describe(), allowed)
		}
	}
	e.close(rotations, "ends."+side+".")
	return end
}

func (e *entry) support() Support {
	s := Support{Node: e.word("node", "the id of a node", true)}
	t := e.get("fix")
	const allowed = `a list of "ux", "uy", "uz", "rx", "ry", "rz" is needed`
	switch {
	case t == nil:
		e.complain(e.t, e.list, e.id, "fix", "", "is missing; "+allowed)
	case t.kind != '[':
		e.complain(t, e.list, e.id, "fix", t.describe(), "is not allowed; "+allowed)
	default:
		for i := range t.values {
			v := &t.values[i]
			d := slices.Index(freedomNames[:], v.text)
			if v.kind != '"' || d < 0 {
				e.complain(v, e.list, e.id, "fix["+strconv.Itoa(i)+"]", v.describe(), "is not allowed; "+allowed)
				continue
			}
			s.Fix[d] = true
		}
	}
	e.end()
	return s
}

func (e *entry) spring() Spring {
	s := Spring{From: e.word("from", "the id of a node", true), To: e.word("to", `the id of a node or "ground"`, true)}
	if s.To == "ground" {
		s.To = ""
	}
	copy(s.K[:], e.vector("k", 6, true))
	e.end()
	return s
}

func (e *entry) mass() Mass {
	m := Mass{At: Point{Node: e.word("node", "the id of a node", true)}, M: e.need("m")}
	inertia := e.vector3("inertia", false)
	for k := range 3 {
		m.Inertia[k][k] = inertia[k]
	}
	m.At.Offset = e.vector3("offset", false)
	e.end()
	return m
}

// loads sorts the loads into cases, in order of first appearance.
func (r *reader) loads(m *Model, entries []*entry) {
	at := map[string]int{}
	names := checker{model: m}
	nodes := names.collect("nodes", len(m.Nodes), func(i int) string { return m.Nodes[i].ID })
	members := names.collect("members", len(m.Members), func(i int) string { return m.Members[i].ID })
	for _, e := range entries {
		name := e.word("case", "the name of a load case", true)
		i, known := at[name]
		if !known {
			i = len(m.Cases)
			at[name] = i
			if name == "" {
				name = e.id // only so that the rest can be read; the model is refused
			}
			m.Cases = append(m.Cases, Case{ID: name})
		}
		before := len(r.problems)
		e.load(&m.Cases[i], &nodes, &members)
		if len(r.problems) > before {
			r.spoiled["loads\x00"+name] = true
		}
	}
}

// load reads one load, whose kind its keys tell.
func (e *entry) load(c *Case, nodes, members *index) {
	has := func(key string) bool { return slices.Contains(e.t.keys, key) }
	switch {
	case has("gravity"):
		c.Fields = append(c.Fields, Field{Acceleration: e.vector3("gravity", true)})
	case has("temperature"):
		t := Temperature{Rise: e.need("temperature")}
		if has("member") {
			t.Member = e.reference("member", "members", members)
		}
		c.Temperatures = append(c.Temperatures, t)
	case has("per_length") || has("member"):
		w := LineLoad{Member: e.reference("member", "members", members), PerLength: e.vector3("per_length", true)}
		if t := e.get("axes"); t != nil {
			if t.kind != '"' || (t.text != "local" && t.text != "global") {
				e.complain(t, e.list, e.id, "axes", t.describe(), `is not allowed; "local" or "global" is needed`)
			}
			w.Local = t.text == "local"
		}
		c.LineLoads = append(c.LineLoads, w)
	case has("force") || has("moment") || has("node"):
		f := Force{At: Point{Node: e.reference("node", "nodes", nodes)}, Force: e.vector3("force", false), Moment: e.vector3("moment", false)}
		if !has("force") && !has("moment") {
			e.complain(e.t, e.list, e.id, "force", "", "is missing; force, moment or both are needed, 3 numbers each")
		}
		c.Forces = append(c.Forces, f)
	default:
		e.used = append(e.used, "node", "force", "moment", "member", "per_length", "axes", "gravity", "temperature")
		e.complain(e.t, e.list, e.id, "", "", "is no load; node with force or moment, member with per_length, gravity, or temperature is needed")
	}
	e.end()
}

// ground refuses a spring to "ground" in a model that calls a node so.
func (r *reader) ground(m *Model, t *tree) {
	taken := slices.ContainsFunc(m.Nodes, func(n Node) bool { return n.ID == "ground" })
	for i := range m.Springs {
		if taken && m.Springs[i].To == "" {
			p := Problem{List: "springs", ID: place(i), Key: "to"}
			r.complain(&tree{offset: t.find(p)}, "springs", p.ID, "to", `"ground"`, "is both a node and the ground; rename the node")
		}
	}
}
