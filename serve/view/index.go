package view

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"spanwright/machine"
)

// Index finds the solids of the picture that something of the machine, the
// structural model or the design is drawn as. It belongs to one goroutine.
type Index struct {
	m      *machine.Machine
	solids []machine.Solid
	paths  []string // of each solid
	poses  *regexp.Regexp
	known  map[string]drawnPart // found before
}

// drawnPart is what something of the structural model is drawn as.
type drawnPart struct {
	solids []string
	path   string // in the design
}

// NewIndex indexes a machine.
func NewIndex(m *machine.Machine) *Index {
	x := &Index{m: m, solids: m.Solids(), poses: posePattern(m), known: map[string]drawnPart{}}
	for _, s := range x.solids {
		x.paths = append(x.paths, solidPath(m, s))
	}
	return x
}

// where lists the solids for which a condition holds, in the order of the scene.
func (x *Index) where(is func(i int, s *machine.Solid) bool) []string {
	out := []string{}
	for i := range x.solids {
		if is(i, &x.solids[i]) {
			out = append(out, x.solids[i].ID)
		}
	}
	return out
}

// things are the solids of a group that are one of some things.
func (x *Index) things(group string, things ...machine.Thing) []string {
	return x.where(func(_ int, s *machine.Solid) bool { return s.Group == group && slices.Contains(things, s.Thing) })
}

// under are the solids that come from a place of the design or from within it.
func (x *Index) under(path string) []string {
	return x.where(func(i int, _ *machine.Solid) bool {
		p := x.paths[i]
		return strings.HasPrefix(p, path) && (len(p) == len(path) || p[len(path)] == '.' || p[len(path)] == '[')
	})
}

// driveThings are what a drive is drawn as.
var driveThings = []machine.Thing{machine.ThingMotor, machine.ThingGear, machine.ThingScrew, machine.ThingRack, machine.ThingShaft, machine.ThingHolder}

// Part finds what the structural model calls by an id: a member, "MEMBER
// joints", a connection, a block or drive of an axis, "foot NODE". It returns
// the solids and the design path; none for an id that it does not know.
func (x *Index) Part(id string) (solids []string, path string) {
	p, known := x.known[id]
	if !known {
		p.solids, p.path = x.find(id)
		x.known[id] = p
	}
	return slices.Clone(p.solids), p.path
}

func (x *Index) find(id string) (solids []string, path string) {
	member, joints := strings.CutSuffix(id, " joints")
	for _, mem := range x.m.Members {
		if mem.ID == member {
			return x.bar(mem, joints)
		}
	}
	for i := range x.m.Connections {
		if c := &x.m.Connections[i]; c.ID == id {
			return x.connection(c), c.Path
		}
	}
	if node, is := strings.CutPrefix(id, "foot "); is {
		return x.where(func(_ int, s *machine.Solid) bool { return hasPrefix(s.ID, node+".foot") }), "stand.foot"
	}
	axis, rest, _ := strings.Cut(id, ".")
	what, number, _ := strings.Cut(rest, ".")
	n, err := strconv.Atoi(number)
	for _, a := range x.m.Axes {
		switch {
		case a.Spec.ID != axis || err != nil:
		case what == "block" && n >= 1 && n <= len(a.Blocks):
			return x.block(a, n-1), "axes." + axis + ".part"
		case what == "drive" && n >= 1 && n <= len(a.Beams):
			return x.drive(a, n-1), "axes." + axis + ".drive"
		}
	}
	return []string{}, ""
}

// bar is a member's bar, or the hardware at the ends of the member.
func (x *Index) bar(mem machine.Member, joints bool) (solids []string, path string) {
	if !joints {
		return x.where(func(_ int, s *machine.Solid) bool { return s.ID == mem.Bar }), barPath(x.m, mem.Bar)
	}
	for e, end := range [2]string{"from", "to"} {
		if j := mem.Joints[e]; j != nil {
			path = j.Path
			solids = append(solids, x.where(func(_ int, s *machine.Solid) bool { return hasPrefix(s.ID, mem.Bar+".joint."+end) })...)
		}
	}
	if len(solids) == 0 { // hinges and joints without a part are not drawn
		solids = x.where(func(_ int, s *machine.Solid) bool { return s.ID == mem.Bar })
	}
	return solids, path
}

// connection is a connection's hardware; where none is drawn, the bars that it holds together.
func (x *Index) connection(c *machine.Connection) []string {
	solids := x.where(func(_ int, s *machine.Solid) bool { return hasPrefix(s.ID, c.ID) })
	for _, p := range [...]machine.Place{c.A, c.B} {
		if len(solids) == 0 && p.Node < 0 {
			solids = x.where(func(_ int, s *machine.Solid) bool { return s.ID == x.m.Members[p.Member].Bar })
		}
	}
	return solids
}

// side is how the solids of one beam of a pair are called.
func side(a *machine.Axis, beam int) string {
	if len(a.Beams) < 2 {
		return ""
	}
	return [2]string{".minus", ".plus"}[beam]
}

// block is a block of an axis; the solids count those of each beam.
func (x *Index) block(a *machine.Axis, i int) []string {
	n, beam := 0, a.Blocks[i].Beam
	for _, b := range a.Blocks[:i+1] {
		if b.Beam == beam {
			n++
		}
	}
	id := a.Spec.ID + ".block" + side(a, beam) + "." + strconv.Itoa(n)
	return x.where(func(_ int, s *machine.Solid) bool { return s.ID == id })
}

// drive is the drive on one beam; of a side that another drives, what drives it.
func (x *Index) drive(a *machine.Axis, beam int) []string {
	all := x.things(a.Spec.ID, driveThings...)
	if len(all) == 0 { // a screw within its beam, a motor that has no size
		all = x.things(a.Spec.ID, machine.ThingEnd)
	}
	own := slices.DeleteFunc(slices.Clone(all), func(id string) bool { return !strings.Contains(id+".", side(a, beam)+".") })
	if len(own) > 0 {
		return own
	}
	return all
}

// named finds the members, connections and feet whose ids stand in a text. Of a
// member named with one of its nodes, the hardware there is meant too.
func (x *Index) named(text string) []string {
	var out, words []string
	for word := range strings.FieldsFuncSeq(text, func(c rune) bool { return !ofID(c) }) {
		word = strings.TrimLeftFunc(strings.Trim(word, "."), func(c rune) bool { return c != '_' && !unicode.IsLetter(c) })
		if strings.Contains(word, ".") && !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	add := func(id string) bool {
		solids, _ := x.Part(id)
		for _, s := range solids {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
		return len(solids) > 0
	}
	for _, word := range words {
		if !add(word) {
			add("foot " + word)
		}
	}
	for _, mem := range x.m.Members {
		for e, node := range [2]int{mem.From, mem.To} {
			if slices.Contains(words, mem.ID) && slices.Contains(words, x.m.Nodes[node].ID) {
				end := mem.Bar + ".joint." + [2]string{"from", "to"}[e]
				out = append(out, x.where(func(_ int, s *machine.Solid) bool { return hasPrefix(s.ID, end) })...)
			}
		}
	}
	return out
}

// ofID tells whether a character may stand in an id of the model. Ids have dots
// inside and begin with a letter.
func ofID(c rune) bool {
	return c == '.' || c == '_' || c == '-' || unicode.IsLetter(c) || unicode.IsNumber(c)
}
