package frame

import (
	"fmt"
	"math"
	"strconv"
)

// Bounds on a model. They keep a mistaken file from filling the memory; no real machine comes near them.
const (
	maxGrid   = 200_000 // nodes including those of divided members
	maxDivide = 1000    // elements of a member
	maxNumber = 1e30    // magnitude of any input: products of two stay far from overflow
	minLength = 1e-9    // m, of a member
	maxModes  = 5000    // modes asked for
)

// checker collects the mistakes of a model.
type checker struct {
	model    *Model
	problems Problems
	nodes    index
	members  index
	sections index
	mats     index
}

// index finds the place of an id in its list.
type index struct {
	at  map[string]int
	ids []string
}

func (x *index) find(id string) (int, bool) {
	i, ok := x.at[id]
	return i, ok
}

// Check returns every mistake of the model, nil if there is none. What depends on solving (mechanisms) is not checked.
func (m *Model) Check() Problems {
	c := checker{model: m}
	c.nodes = c.collect("nodes", len(m.Nodes), func(i int) string { return m.Nodes[i].ID })
	c.sections = c.collect("sections", len(m.Sections), func(i int) string { return m.Sections[i].ID })
	c.mats = c.collect("materials", len(m.Materials), func(i int) string { return m.Materials[i].ID })
	c.members = c.collect("members", len(m.Members), func(i int) string { return m.Members[i].ID })
	if len(m.Nodes) == 0 {
		c.add("nodes", "", "", "", "is empty; a model needs at least one node")
	}
	for i := range m.Nodes {
		c.vector("nodes", m.Nodes[i].ID, "at", m.Nodes[i].At[:])
	}
	for i := range m.Sections {
		c.section(&m.Sections[i])
	}
	for i := range m.Materials {
		c.material(&m.Materials[i])
	}
	grid := len(m.Nodes)
	for i := range m.Members {
		c.member(&m.Members[i])
		grid += max(m.Members[i].Divide, 1) - 1 + 2*len(m.Members[i].Cuts)
	}
	if grid > maxGrid {
		c.add("nodes", "", "", strconv.Itoa(grid),
			fmt.Sprintf("nodes with those of divided members; at most %d are allowed", maxGrid))
	}
	for i := range m.Supports {
		c.node("supports", place(i), "node", m.Supports[i].Node)
	}
	c.joints()
	c.masses()
	c.cases()
	if m.Modes < 0 || m.Modes > maxModes {
		c.add("", "", "modes", strconv.Itoa(m.Modes), fmt.Sprintf("is outside 0 to %d", maxModes))
	}
	return c.problems
}

// place names an entry without id by its position in the list, from 1.
func place(i int) string { return "#" + strconv.Itoa(i+1) }

// named returns the id of an entry, or its place.
func named(id string, i int) string {
	if id == "" {
		return place(i)
	}
	return id
}

func (c *checker) add(list, id, key, value, message string) {
	c.problems = append(c.problems, Problem{List: list, ID: id, Key: key, Value: value, Message: message})
}

func (c *checker) collect(list string, n int, id func(int) string) index {
	x := index{at: make(map[string]int, n)}
	for i := range n {
		name := id(i)
		if name == "" {
			c.add(list, place(i), "id", "", "is missing; a text is needed")
			continue
		}
		if first, twice := x.at[name]; twice {
			c.add(list, name, "id", strconv.Quote(name),
				fmt.Sprintf("is used twice, at %s and %s; every id of a list must differ", place(first), place(i)))
			continue
		}
		x.at[name] = i
		x.ids = append(x.ids, name)
	}
	return x
}

func (c *checker) refer(x *index, target, list, id, key, name string) (int, bool) {
	i, ok := x.find(name)
	if !ok {
		if name == "" {
			c.add(list, id, key, "", "is missing; the id of one of the "+target+" is needed")
		} else {
			c.add(list, id, key, strconv.Quote(name), "is not in "+target+didYouMean(name, x.ids))
		}
	}
	return i, ok
}

func (c *checker) node(list, id, key, name string) (int, bool) {
	return c.refer(&c.nodes, "nodes", list, id, key, name)
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// within complains unless lo <= v <= hi (lo < v where above is set), which NaN never is.
func (c *checker) within(list, id, key string, v, lo float64, above bool) {
	ok := v >= lo && v <= maxNumber
	word := "at least"
	if above {
		ok = v > lo && v <= maxNumber
		word = "above"
	}
	if !ok {
		c.add(list, id, key, number(v), fmt.Sprintf("is not allowed; a number %s %g and at most %g is needed", word, lo, maxNumber))
	}
}

func (c *checker) finite(list, id, key string, v float64) bool {
	if !(math.Abs(v) <= maxNumber) {
		c.add(list, id, key, number(v), fmt.Sprintf("is not allowed; a number between %g and %g is needed", -maxNumber, maxNumber))
		return false
	}
	return true
}

func (c *checker) vector(list, id, key string, v []float64) bool {
	ok := true
	for i, x := range v {
		if !(math.Abs(x) <= maxNumber) { // words only where there is something to say
			ok = c.finite(list, id, fmt.Sprintf("%s[%d]", key, i), x)
		}
	}
	return ok
}

func (c *checker) section(s *Section) {
	c.within("sections", s.ID, "A", s.A, 0, true)
	for _, q := range []struct {
		key   string
		value float64
	}{{"Iy", s.Iy}, {"Iz", s.Iz}, {"J", s.J}, {"Asy", s.Asy}, {"Asz", s.Asz}} {
		c.within("sections", s.ID, q.key, q.value, 0, false)
	}
}

func (c *checker) material(m *Material) {
	c.within("materials", m.ID, "E", m.E, 0, true)
	c.within("materials", m.ID, "G", m.G, 0, false)
	c.within("materials", m.ID, "rho", m.Rho, 0, false)
	c.finite("materials", m.ID, "alpha", m.Alpha)
	c.within("materials", m.ID, "loss", m.Loss, 0, false)
}

func (c *checker) member(m *Member) {
	const list = "members"
	i, from := c.node(list, m.ID, "from", m.From)
	j, to := c.node(list, m.ID, "to", m.To)
	s, hasSection := c.refer(&c.sections, "sections", list, m.ID, "section", m.Section)
	t, hasMaterial := c.refer(&c.mats, "materials", list, m.ID, "material", m.Material)
	c.finite(list, m.ID, "roll", m.Roll)
	c.finite(list, m.ID, "axial", m.Axial)
	arms := c.vector(list, m.ID, "offset_from", m.OffsetFrom[:]) && c.vector(list, m.ID, "offset_to", m.OffsetTo[:])
	if m.Divide < 0 || m.Divide > maxDivide {
		c.add(list, m.ID, "divide", strconv.Itoa(m.Divide), fmt.Sprintf("is outside 1 to %d", maxDivide))
	}
	for _, at := range m.Cuts {
		if !(at >= 0 && at <= 1) {
			c.add(list, m.ID, "cuts", strconv.FormatFloat(at, 'g', 6, 64), "is no place along the member; 0 to 1 are")
		}
	}
	for e, end := range []End{m.FromEnd, m.ToEnd} {
		for k, turn := range end {
			if turn == (Turn{}) {
				continue
			}
			key := "ends." + []string{"from", "to"}[e] + "." + freedomNames[RX+k]
			c.within(list, m.ID, key, turn.Stiffness, 0, false)
			c.within(list, m.ID, key+".loss", turn.Loss, 0, false)
		}
	}
	if from && to && arms {
		c.length(m, i, j)
	}
	if hasSection && hasMaterial {
		if sec := c.model.Sections[s]; c.model.Materials[t].G == 0 && (sec.Asy > 0 || sec.Asz > 0) {
			c.add(list, m.ID, "material", strconv.Quote(m.Material),
				fmt.Sprintf("has G = 0, but section %q has a shear area; G above 0 is needed", m.Section))
		}
	}
}

// length complains about a member without length and about one inside its joints.
func (c *checker) length(m *Member, i, j int) {
	a, b := c.model.Nodes[i].At, c.model.Nodes[j].At
	d := sub(add(b, m.OffsetTo), add(a, m.OffsetFrom))
	l := norm(d)
	switch {
	case m.From == m.To && m.OffsetFrom == m.OffsetTo:
		c.add("members", m.ID, "to", strconv.Quote(m.To), "is also its from node; two different nodes are needed")
	case !(l >= minLength) || !(l >= 1e-12*math.Max(maxAbs(a[:]), maxAbs(b[:]))):
		c.add("members", m.ID, "to", strconv.Quote(m.To),
			fmt.Sprintf("lies %.3g m from %q; a length above %g m is needed", l, m.From, minLength))
	case !(l <= maxNumber):
		c.add("members", m.ID, "to", strconv.Quote(m.To), "lies too far away")
	case m.OffsetFrom != [3]float64{} || m.OffsetTo != [3]float64{}:
		if along := sub(b, a); norm(along) > minLength && dot(along, d) < 0 {
			c.add("members", m.ID, "offset_to", "", "and offset_from are longer than the member: it lies inside its joints")
		}
	}
}
