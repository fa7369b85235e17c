package machine

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
)

// stand builds the generated stand, the explicit members, or both, and leaves
// the lines that carry the first axis in b.lines.
func (b *builder) stand() {
	spec := b.m.Design.Stand
	g := &generator{builder: b, along: r3.Vec{X: 1}, across: r3.Vec{Y: 1}}
	if spec.Generate != nil {
		g.spec = spec.Generate
		if g.spec.Along == "y" {
			g.along, g.across = r3.Vec{Y: 1}, r3.Vec{X: -1}
		}
		g.run()
		if len(b.diags) > 0 {
			return
		}
	}
	b.m.Stand = StandInfo{Generated: spec.Generate != nil, Along: g.along, Across: g.across, Rows: len(g.legs)}
	if spec.Generate != nil {
		b.m.Stand.Height = spec.Generate.Height
		b.m.Stand.Columns = len(g.legs[0])
	}
	explicit := g.explicit(spec)
	if len(b.diags) > 0 {
		return
	}
	for _, l := range g.lines {
		l.emit(b)
	}
	b.carry(g, explicit, spec)
}

// generator lays out a stand in coordinates u along, v across, z up.
type generator struct {
	*builder
	spec          *design.Generated
	along, across r3.Vec
	lines         []*line
	legs          [][]*line // row, column
	tops          []*line   // top rail of each row
	bottoms       []*line   // bottom rail of each row
	crosses       []*line   // top rails across, one a column (two rows), nil where there is none
	floors        []*line   // foot rails, one a column
	columnsAt     []float64
	rowsAt        []float64
}

// turned is the roll of a leg that keeps its local y across the stand.
func (g *generator) turned() float64 { return rollFor(r3.Vec{Z: 1}, r3.Scale(-1, g.along)) }

func (g *generator) at(u, v, z float64) r3.Vec {
	p := r3.Add(r3.Scale(u, g.along), r3.Scale(v, g.across))
	p.Z = z
	return p
}

func (g *generator) run() {
	g.grid()
	g.legsAndFloor()
	if len(g.diags) > 0 {
		return
	}
	g.topRails()
	g.bottomRails()
	g.braces()
	g.outriggers()
}

func (g *generator) grid() {
	s := g.spec
	columns, rows := s.Legs.Count, 1
	if columns >= 4 {
		columns, rows = columns/2, 2
	}
	for c := range columns {
		g.columnsAt = append(g.columnsAt, s.Span*(float64(c)/float64(columns-1)-0.5))
	}
	g.rowsAt = []float64{0}
	if rows == 2 {
		g.rowsAt = []float64{-s.Depth / 2, s.Depth / 2}
	}
}

func (g *generator) columnName(c int) string {
	if len(g.columnsAt) == 2 {
		return [...]string{"left", "right"}[c]
	}
	return [...]string{"left", "middle", "right"}[c]
}

func (g *generator) rowName(r int) string {
	if len(g.rowsAt) == 1 {
		return ""
	}
	return [...]string{"front.", "rear."}[r]
}

func (g *generator) shape(id string) *shape { return g.profiles[id] }

func (g *generator) joint(id, path string) *Joint {
	part, ok := g.parts.Joint(id)
	if !ok {
		return nil
	}
	return &Joint{Part: part, Path: "stand.generate." + path}
}

func (g *generator) cornerJoint() *Joint { return g.joint(g.spec.Joint, "joint") }

func (g *generator) footJoint() *Joint {
	if none(g.spec.FootJoint) {
		return g.cornerJoint()
	}
	return g.joint(g.spec.FootJoint, "foot_joint")
}

func (g *generator) add(l *line) *line {
	g.lines = append(g.lines, l)
	return l
}

// foot puts a foot under a node.
func (g *generator) foot(node int) {
	part, ok := g.parts.Foot(g.m.Design.Stand.Foot)
	if ok {
		g.m.Feet = append(g.m.Feet, Foot{Node: node, Part: part})
		g.mass(g.m.Nodes[node].ID+".foot", node, part.Mass, r3.Vec{}, [3]float64{})
	}
}

func (g *generator) footHeight() float64 {
	if part, ok := g.parts.Foot(g.m.Design.Stand.Foot); ok {
		return part.Height
	}
	return 0
}

// legsAndFloor builds legs with, in one row, foot rails under them.
func (g *generator) legsAndFloor() {
	s := g.spec
	leg, floor := g.shape(s.Legs.Profile), g.shape(s.FootRail)
	top := s.Height - g.shape(s.TopRail).part.Size[1]/2
	oneRow := len(g.rowsAt) == 1
	low := g.footHeight()
	if oneRow && floor != nil {
		low += floor.part.Size[1] / 2
	}
	if top-low < 0.05 {
		g.refuse("stand.generate.height", NoRoom, "", "feet and rails leave less than 50 mm for the legs", "raise the height")
		return
	}
	if rails := !none(s.BottomRail) || !oneRow && floor != nil; rails && !(s.BottomAt >= low-shortest && s.BottomAt < top-shortest) {
		g.refuse("stand.generate.bottom_rail_height", NoRoom, "", fmt.Sprintf("the legs reach from %.4g m to %.4g m; the bottom rails meet them nowhere", low, top), "set it between the two")
		return
	}
	for r, v := range g.rowsAt {
		var row []*line
		for c, u := range g.columnsAt {
			id := "leg." + g.rowName(r) + g.columnName(c)
			l := g.add(&line{id: id, role: Leg, shape: leg, roll: g.turned(), ends: [2]r3.Vec{g.at(u, v, low), g.at(u, v, top)}})
			l.joints[1] = g.cornerJoint()
			n := l.at(g.builder, id+".foot", l.ends[0])
			switch {
			case oneRow && floor != nil:
				l.joints[0] = g.footJoint()
				g.footRail(c, u, low, floor, n)
			default:
				g.foot(n)
			}
			row = append(row, l)
		}
		g.legs = append(g.legs, row)
	}
}

// footRail lies on the floor under one leg, with a foot at each end.
func (g *generator) footRail(c int, u, z float64, s *shape, legNode int) {
	id := "foot_rail." + g.columnName(c)
	l := g.add(&line{
		id: id, role: FootRail, shape: s, plane: "across",
		ends: [2]r3.Vec{g.at(u, -g.spec.Depth/2, z), g.at(u, g.spec.Depth/2, z)},
	})
	l.meet(g.builder, legNode)
	for e, side := range [2]string{"front", "rear"} {
		g.foot(l.at(g.builder, id+"."+side, l.ends[e]))
	}
	g.floors = append(g.floors, l)
}

func (g *generator) topRails() {
	s := g.spec
	rail := g.shape(s.TopRail)
	for r, v := range g.rowsAt {
		id := "top_rail" + trimDot("."+g.rowName(r))
		z := g.legs[r][0].ends[1].Z
		l := g.add(&line{id: id, role: Rail, shape: rail, plane: "along", ends: [2]r3.Vec{g.at(-s.Span/2, v, z), g.at(s.Span/2, v, z)}})
		for c, leg := range g.legs[r] {
			n := leg.at(g.builder, "corner."+g.rowName(r)+g.columnName(c)+".top", leg.ends[1])
			l.meet(g.builder, n)
		}
		g.tops = append(g.tops, l)
	}
	if len(g.rowsAt) == 2 {
		g.crossRails(g.shape(orElse(s.CrossRail, s.TopRail)))
	}
}

func (g *generator) crossRails(s *shape) {
	g.crosses = make([]*line, len(g.columnsAt))
	for c, u := range g.columnsAt {
		if g.spec.CrossAt == "ends" && c > 0 && c < len(g.columnsAt)-1 {
			continue
		}
		z := g.tops[0].ends[0].Z
		l := g.add(&line{
			id: "cross_rail." + g.columnName(c), role: Rail, shape: s, plane: "across",
			ends:   [2]r3.Vec{g.at(u, g.rowsAt[0], z), g.at(u, g.rowsAt[1], z)},
			joints: [2]*Joint{g.cornerJoint(), g.cornerJoint()},
		})
		for r := range g.rowsAt {
			l.meet(g.builder, g.tops[r].at(g.builder, "", g.at(u, g.rowsAt[r], z)))
		}
		g.crosses[c] = l
	}
}

func (g *generator) bottomRails() {
	s := g.spec
	if rail := g.shape(s.BottomRail); rail != nil {
		for r := range g.rowsAt {
			g.bottoms = append(g.bottoms, g.between("bottom_rail"+trimDot("."+g.rowName(r)), "along", rail, g.legs[r])...)
		}
	}
	floor := g.shape(s.FootRail)
	if len(g.rowsAt) == 2 && floor != nil {
		for c := range g.columnsAt {
			column := []*line{g.legs[0][c], g.legs[1][c]}
			g.floors = append(g.floors, g.between("foot_rail."+g.columnName(c), "across", floor, column)...)
		}
	}
}

// between joins neighbouring legs by rails near the floor.
func (g *generator) between(id, plane string, s *shape, legs []*line) []*line {
	var out []*line
	for i := 0; i+1 < len(legs); i++ {
		p, q := legs[i], legs[i+1]
		name := id
		if len(legs) > 2 {
			name = fmt.Sprintf("%s.bay%d", id, i+1)
		}
		a, c := p.ends[0], q.ends[0]
		a.Z, c.Z = g.spec.BottomAt, g.spec.BottomAt
		l := g.add(&line{id: name, role: Rail, shape: s, plane: plane, ends: [2]r3.Vec{a, c}, joints: [2]*Joint{g.cornerJoint(), g.cornerJoint()}})
		l.meet(g.builder, p.at(g.builder, p.id+".low", a))
		l.meet(g.builder, q.at(g.builder, q.id+".low", c))
		out = append(out, l)
	}
	return out
}

// outriggers add angled feet beyond the legs: along the length for one row, across for two.
func (g *generator) outriggers() {
	s := g.spec
	if !(s.Outrigger > 0) {
		return
	}
	for r := range g.legs {
		for c, leg := range g.legs[r] {
			out := g.outward(r, c)
			if out == (r3.Vec{}) {
				continue
			}
			foot := r3.Add(leg.ends[0], r3.Scale(s.Outrigger, out))
			knee := leg.ends[0]
			knee.Z = min(leg.ends[0].Z+s.Outrigger*1.5, leg.ends[1].Z*0.6)
			l := g.add(&line{
				id: "outrigger." + g.rowName(r) + g.columnName(c), role: Brace, shape: leg.shape, plane: "outrigger",
				ends:   [2]r3.Vec{knee, foot},
				joints: [2]*Joint{g.joint(s.BraceJoint, "brace_joint"), nil},
			})
			l.meet(g.builder, leg.at(g.builder, l.id+".leg", knee))
			g.foot(l.at(g.builder, l.id+".floor", foot))
		}
	}
}

func (g *generator) outward(r, c int) r3.Vec {
	if len(g.rowsAt) == 2 {
		return r3.Scale([2]float64{-1, 1}[r], g.across)
	}
	switch c {
	case 0:
		return r3.Scale(-1, g.along)
	case len(g.columnsAt) - 1:
		return g.along
	}
	return r3.Vec{}
}

func trimDot(s string) string {
	if len(s) > 0 && s[len(s)-1] == '.' {
		return s[:len(s)-1]
	}
	return s
}

func orElse(id, fallback string) string {
	if none(id) {
		return fallback
	}
	return id
}
