package structure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
)

// difference is what distinguishes a changed machine's model from another one:
// ratios of stiffness for what is in both, ties for what came or went.
type difference struct {
	members      []memberRatio
	scaled       []frame.Scaled
	gained, lost []frame.Tie
	masses       []frame.Mass // more or, negative, less; places of the old machine
}

// memberRatio are the stiffnesses of a member over those before.
type memberRatio struct {
	axial, torsion, bendingY, bendingZ, shearY, shearZ float64
}

// scale notes how a spring's six stiffnesses change.
func (d *difference) scale(in frame.SpringKind, index int, was, is [6]float64) {
	for k := range was {
		if was[k] > 0 && was[k] != is[k] {
			d.scaled = append(d.scaled, frame.Scaled{In: in, Index: index, Comp: k, Ratio: is[k] / was[k]})
		}
	}
}

// same is where nothing moved, m.
const same = 1e-6

// comparison carries what the steps of a comparison share.
type comparison struct {
	*difference
	old    *Sensitivity
	now    *machine.Machine
	before map[string]bar
	after  map[string]bar
	beside map[string]bool // bars of the changed machine that reinforce a beam: they lie on no place of the old one
}

// compare finds the differences. Bodies above the stand may stand elsewhere (an
// under-beam lifts them); only their stiffnesses and masses count.
func (s *Sensitivity) compare(now *machine.Machine) (*difference, error) {
	c := &comparison{difference: &difference{}, old: s, now: now, before: barsOf(s.m), after: barsOf(now), beside: map[string]bool{}}
	for range s.model.Members {
		c.members = append(c.members, memberRatio{1, 1, 1, 1, 1, 1})
	}
	model, err := poseModel(now, s.level, s.q)
	if err != nil {
		return nil, err
	}
	for _, id := range order(s.m) {
		if err := c.bar(id); err != nil {
			return nil, err
		}
	}
	for _, id := range order(now) {
		if _, was := c.before[id]; !was {
			if err := c.newBar(id); err != nil {
				return nil, err
			}
		}
	}
	c.feet(model)
	c.joints(model)
	c.lumps(model)
	return c.difference, nil
}

// bar is a physical bar with its members in order.
type bar struct {
	m        *machine.Machine
	members  []int
	from, to r3.Vec
}

func barsOf(m *machine.Machine) map[string]bar {
	out := map[string]bar{}
	for i, mem := range m.Members {
		b := out[mem.Bar]
		if len(b.members) == 0 {
			b.m, b.from = m, m.Nodes[mem.From].At
		}
		b.to = m.Nodes[mem.To].At
		b.members = append(b.members, i)
		out[mem.Bar] = b
	}
	return out
}

// order lists the bars of a machine, each once.
func order(m *machine.Machine) []string {
	var out []string
	seen := map[string]bool{}
	for _, mem := range m.Members {
		if !seen[mem.Bar] {
			seen[mem.Bar] = true
			out = append(out, mem.Bar)
		}
	}
	return out
}

func (b bar) first() machine.Member { return b.m.Members[b.members[0]] }
func (b bar) length() float64       { return r3.Norm(r3.Sub(b.to, b.from)) }
func (b bar) ofStand() bool         { return b.first().Body == 0 && b.first().Role != machine.Beam }
func (b bar) mass() float64         { return b.first().MassPerM() * b.length() }

func (b bar) moved(o bar) bool {
	return r3.Norm(r3.Sub(b.from, o.from)) > same || r3.Norm(r3.Sub(b.to, o.to)) > same
}

// turns are the springs of a bar's end (0 or 1) about its local axes, N m/rad;
// infinite where it is rigid, 0 where it is hinged.
func (b bar) turns(end int, level Level) ([3]float64, error) {
	inf := math.Inf(1)
	member := b.members[(len(b.members)-1)*end]
	if b.m.Members[member].Joints[end] == nil {
		return [3]float64{inf, inf, inf}, nil
	}
	e, err := jointEnd(b.m, member, end, level)
	out := [3]float64{inf, inf, inf}
	for k, t := range e {
		if t.Freed {
			out[k] = t.Stiffness
		}
	}
	return out, err
}

// bar compares a bar of the old machine with the same one of the changed machine.
func (c *comparison) bar(id string) error {
	was := c.before[id]
	is, there := c.after[id]
	moved := there && was.ofStand() && was.moved(is)
	if !there || moved && was.first().Role == machine.Brace {
		if err := c.takeBar(was); err != nil {
			return err
		}
		if there {
			return c.addBar(id, is)
		}
		return nil
	}
	for _, i := range was.members {
		c.members[i] = ratioOf(was, is)
	}
	c.spread(was, is.first(), is.mass()-was.mass())
	return c.ends(was, is)
}

// ratioOf is how much stiffer a bar has become. One that has become longer bends
// under the same moments: 1/L.
func ratioOf(was, is bar) memberRatio {
	p, q := was.first(), is.first()
	e, g, l := q.Material.E/p.Material.E, q.Material.G/p.Material.G, is.length()/was.length()
	a, b := p.Section, q.Section
	return memberRatio{
		axial: e * b.Area / a.Area / l, torsion: g * b.J / a.J / l, bendingY: e * b.Iy / a.Iy / l, bendingZ: e * b.Iz / a.Iz / l,
		shearY: g * b.Asy / a.Asy / l, shearZ: g * b.Asz / a.Asz / l,
	}
}

// ends compares the joints at the ends of a bar.
func (c *comparison) ends(was, is bar) error {
	for end, k := range [2]int{0, len(was.members) - 1} {
		before, err := was.turns(end, c.old.level)
		if err != nil {
			return err
		}
		after, err := is.turns(end, c.old.level)
		if err != nil {
			return err
		}
		var p, q [6]float64
		for i := range before {
			if !math.IsInf(before[i], 1) {
				p[3*end+i], q[3*end+i] = before[i], min(after[i], rigidTurn)
			}
		}
		c.scale(frame.MemberEnd, was.members[k], p, q)
	}
	return nil
}

// rigidTurn stands for a rigid joint that takes the place of one that turns,
// N m/rad: far above any bar's own stiffness, far from spoiling the digits.
const rigidTurn = 1e10

// takeBar takes a bar out piece by piece.
func (c *comparison) takeBar(b bar) error {
	for k, i := range b.members {
		mem := c.old.m.Members[i]
		from, to := c.old.m.Nodes[mem.From], c.old.m.Nodes[mem.To]
		var turns [2][3]float64
		for end := range turns {
			turns[end] = [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
			if end == 0 && k == 0 || end == 1 && k == len(b.members)-1 {
				var err error
				if turns[end], err = b.turns(end, c.old.level); err != nil {
					return err
				}
			}
		}
		c.lost = append(c.lost, beamTie(mem, frame.Point{Node: from.ID}, frame.Point{Node: to.ID}, from.At, to.At, turns))
	}
	c.spread(b, b.first(), -b.mass())
	return nil
}

// addBar puts a bar between the places of the old machine where its ends lie.
func (c *comparison) addBar(id string, b bar) error {
	from, okFrom := c.place(b.m.Members[b.members[0]].From)
	to, okTo := c.place(b.m.Members[b.members[len(b.members)-1]].To)
	if !okFrom || !okTo {
		c.beside[id] = true
		return nil
	}
	var turns [2][3]float64
	for end := range turns {
		var err error
		if turns[end], err = b.turns(end, c.old.level); err != nil {
			return err
		}
	}
	c.gained = append(c.gained, beamTie(b.first(), from, to, b.from, b.to, turns))
	c.lumpAt(from, b.mass()/2)
	c.lumpAt(to, b.mass()/2)
	return nil
}

// newBar adds a bar, or what an under-beam does to the beam on it: the two bend
// side by side, nothing more is credited.
func (c *comparison) newBar(id string) error {
	b := c.after[id]
	if b.ofStand() {
		return c.addBar(id, b)
	}
	c.beside[id] = true
	for _, x := range c.now.Connections {
		if x.Kind != machine.Stacked || c.now.Members[x.A.Member].Bar != id {
			continue
		}
		upper := c.now.Members[x.B.Member]
		was, there := c.before[upper.Bar]
		if !there {
			return nil
		}
		for _, i := range was.members {
			r, o, p, q := &c.members[i], b.first(), upper.Section, b.first().Section
			e := o.Material.E / upper.Material.E
			r.bendingY *= 1 + e*q.Iy/p.Iy
			r.bendingZ *= 1 + e*q.Iz/p.Iz
			r.torsion *= 1 + e*q.J/p.J
			r.axial *= 1 + e*q.Area/p.Area
		}
		c.spread(was, b.first(), b.mass())
		return nil
	}
	return nil
}

// beamTie is the tie that stands for a bar. Of two ends that turn differently the
// mean compliance counts.
func beamTie(mem machine.Member, from, to frame.Point, a, b r3.Vec, turns [2][3]float64) frame.Tie {
	s := mem.Section
	var ends [3]float64
	for k := range ends {
		ends[k] = 2 / (1/turns[0][k] + 1/turns[1][k])
	}
	return frame.Beam(mem.ID, from, to, array(a), array(b), mem.Roll,
		frame.Section{A: s.Area, Iy: s.Iy, Iz: s.Iz, J: s.J, Asy: s.Asy, Asz: s.Asz}, frame.Material{E: mem.Material.E, G: mem.Material.G}, ends)
}

// simpson are the weights of Simpson's rule with eight steps, over their sum.
var simpson = [9]float64{1. / 24, 4. / 24, 2. / 24, 4. / 24, 2. / 24, 4. / 24, 2. / 24, 4. / 24, 1. / 24}

// spread adds the mass of a section evenly along a bar of the old machine, with the
// section's own inertia.
func (c *comparison) spread(b bar, of machine.Member, kg float64) {
	if math.Abs(kg) <= noMass {
		return
	}
	for _, i := range b.members {
		mem := c.old.m.Members[i]
		own := kg * c.old.m.Length(i) / b.length()
		x := r3.Unit(r3.Sub(c.old.m.Nodes[mem.To].At, c.old.m.Nodes[mem.From].At))
		y, z := machine.LocalAxes(x, mem.Roll)
		about := [3]float64{(of.Section.Iy + of.Section.Iz) / of.Section.Area, of.Section.Iy / of.Section.Area, of.Section.Iz / of.Section.Area}
		for k, share := range simpson {
			lump := frame.Mass{At: frame.Point{Member: mem.ID, Position: float64(k) / float64(len(simpson)-1)}, M: own * share}
			for n, axis := range [3][3]float64{array(x), array(y), array(z)} {
				for p := range axis {
					for q := range axis {
						lump.Inertia[p][q] += lump.M * about[n] * axis[p] * axis[q]
					}
				}
			}
			c.masses = append(c.masses, lump)
		}
	}
}

// noMass is what rounding leaves of equal masses, kg.
const noMass = 1e-9

func (c *comparison) lumpAt(p frame.Point, kg float64) {
	if math.Abs(kg) > 1e-3*noMass {
		c.masses = append(c.masses, frame.Mass{At: p, M: kg})
	}
}

// place is where a node of the changed machine lies in the old one: at the node of
// the same name and place, or on a bar of the stand.
func (c *comparison) place(node int) (frame.Point, bool) {
	n := c.now.Nodes[node]
	for _, o := range c.old.m.Nodes {
		if o.ID == n.ID && o.Body == n.Body && (n.Body > 0 || r3.Norm(r3.Sub(o.At, n.At)) < same) {
			return frame.Point{Node: o.ID}, true
		}
	}
	return c.onStand(n.At)
}

// onStand is a place of the old stand's bars.
func (c *comparison) onStand(p r3.Vec) (frame.Point, bool) {
	m := c.old.m
	for _, mem := range m.Members {
		if mem.Body != 0 || mem.Role == machine.Beam {
			continue
		}
		a, b := m.Nodes[mem.From].At, m.Nodes[mem.To].At
		d := r3.Sub(b, a)
		at := r3.Dot(r3.Sub(p, a), d) / r3.Dot(d, d)
		if at > -same && at < 1+same && r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(at, d)))) < same {
			return frame.Point{Member: mem.ID, Position: min(max(at, 0), 1)}, true
		}
	}
	return frame.Point{}, false
}

// feet compares the springs under the feet. A foot that moves is taken away and
// put back on a rigid arm from its node.
func (c *comparison) feet(now *frame.Model) {
	place := func(m *machine.Machine, id string) (r3.Vec, bool) {
		i := slices.IndexFunc(m.Nodes, func(n machine.Node) bool { return n.ID == id })
		if i < 0 {
			return r3.Vec{}, false
		}
		return m.Nodes[i].At, true
	}
	for i, s := range c.old.model.Springs {
		k := slices.IndexFunc(now.Springs, func(x frame.Spring) bool { return x.ID == s.ID })
		here := frame.Tie{ID: s.ID, From: frame.Point{Node: s.From}, K: s.K}
		if k < 0 {
			c.lost = append(c.lost, here)
			continue
		}
		a, _ := place(c.old.m, s.From)
		b, _ := place(c.now, s.From)
		if d := r3.Sub(b, a); r3.Norm(d) > same {
			there := here
			there.From.Offset, there.K = array(d), now.Springs[k].K
			c.lost, c.gained = append(c.lost, here), append(c.gained, there)
			continue
		}
		c.scale(frame.OwnSpring, i, s.K, now.Springs[k].K)
	}
	for _, s := range now.Springs {
		if slices.ContainsFunc(c.old.model.Springs, func(x frame.Spring) bool { return x.ID == s.ID }) {
			continue
		}
		if at, ok := place(c.now, s.From); ok {
			if p, ok := c.onStand(at); ok {
				c.gained = append(c.gained, frame.Tie{ID: s.ID, From: p, K: s.K})
			}
		}
	}
}
