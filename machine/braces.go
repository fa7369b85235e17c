package machine

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
)

// frameSide is one bay of a plane of the stand: four sides, of which a rail may be missing.
type frameSide struct {
	name        string // of the bay
	legs        [2]*line
	top, bottom *line // rails between the legs, nil where there is none
	horizontal  bool  // legs[] then hold the rails across, top and bottom the rails along
}

func (g *generator) braces() {
	for i, br := range g.spec.Braces {
		path := fmt.Sprintf("stand.generate.braces[%d]", i+1)
		before, made := len(g.diags), 0
		for _, s := range g.sides(br.Plane) {
			if len(br.Bays) > 0 && !slices.Contains(br.Bays, s.name) {
				continue
			}
			if made += g.braceSide(br, s, i); len(g.diags) > before {
				break
			}
		}
		if made == 0 && len(g.diags) == before {
			g.refuse(path, NoPlace, br.Plane, "no brace of this kind fits: the plane "+br.Plane+" has no pair of bars to hold it", "name another plane, or add the rail it needs")
		}
	}
}

// sides lists the bays of a plane.
func (g *generator) sides(plane string) []frameSide {
	switch plane {
	case "along":
		return g.sidesAlong()
	case "across":
		return g.sidesAcross()
	case "top":
		return g.sidesFlat(g.tops, g.crosses, "top")
	}
	return g.sidesFlat(g.bottoms, g.floors, "bottom")
}

func (g *generator) sidesAlong() []frameSide {
	var out []frameSide
	for r, row := range g.legs {
		for c := 0; c+1 < len(row); c++ {
			s := frameSide{name: trimDot(g.rowName(r)), legs: [2]*line{row[c], row[c+1]}, top: g.tops[r]}
			if k := r*(len(row)-1) + c; k < len(g.bottoms) {
				s.bottom = g.bottoms[k]
			}
			out = append(out, s)
		}
	}
	return out
}

func (g *generator) sidesAcross() []frameSide {
	var out []frameSide
	for c := range g.columnsAt {
		s := frameSide{name: g.columnName(c), legs: [2]*line{g.legs[0][c], nil}}
		if len(g.rowsAt) == 2 {
			s.legs[1], s.top = g.legs[1][c], g.crosses[c]
		}
		if c < len(g.floors) {
			s.bottom = g.floors[c]
		}
		out = append(out, s)
	}
	return out
}

// sidesFlat pairs the rails along with the rails across in a horizontal plane of a stand with two rows.
func (g *generator) sidesFlat(alongs, acrosses []*line, name string) []frameSide {
	acrosses = slices.DeleteFunc(slices.Clone(acrosses), func(l *line) bool { return l == nil })
	if len(g.rowsAt) != 2 || len(alongs) < 2 || len(acrosses) < 2 {
		return nil
	}
	perRow := len(alongs) / 2
	var out []frameSide
	for c := 0; c+1 < len(acrosses); c++ {
		front, rear := alongs[min(c, perRow-1)], alongs[perRow+min(c, perRow-1)]
		out = append(out, frameSide{name: name, legs: [2]*line{acrosses[c], acrosses[c+1]}, bottom: front, top: rear, horizontal: true})
	}
	return out
}

// braceSide puts the braces of one bay and returns how many.
func (g *generator) braceSide(br design.Brace, s frameSide, set int) int {
	if br.Kind == "knee" {
		return g.knees(br, s, set)
	}
	if s.legs[1] == nil {
		return 0
	}
	corner := func(leg *line, top bool) r3.Vec {
		rail, fallback := s.bottom, leg.ends[0]
		if top {
			rail, fallback = s.top, leg.ends[1]
		}
		if rail == nil {
			return fallback
		}
		return leg.point(min(max(leg.along(closest(rail, leg)), 0), leg.length()))
	}
	g.brace(br, set, s, 1, s.legs[0], s.legs[1], corner(s.legs[0], false), corner(s.legs[1], true))
	if br.Kind == "diagonal" {
		return 1
	}
	g.brace(br, set, s, 2, s.legs[1], s.legs[0], corner(s.legs[1], false), corner(s.legs[0], true))
	return 2
}

// closest is the point of rail nearest to the line of leg: where they meet.
func closest(rail, leg *line) r3.Vec {
	for _, e := range rail.ends {
		d := r3.Sub(e, leg.point(leg.along(e)))
		if r3.Norm(d) < 1e-6 {
			return e
		}
	}
	u, v := r3.Unit(r3.Sub(rail.ends[1], rail.ends[0])), r3.Unit(r3.Sub(leg.ends[1], leg.ends[0]))
	w := r3.Sub(rail.ends[0], leg.ends[0])
	b := r3.Dot(u, v)
	s := (b*r3.Dot(v, w) - r3.Dot(u, w)) / (1 - b*b)
	return rail.point(min(max(s, 0), rail.length()))
}

func (g *generator) knees(br design.Brace, s frameSide, set int) int {
	made := 0
	corners := [][2]bool{} // top?, second leg?
	for _, second := range [2]bool{false, true} {
		if br.At != "foot" || s.horizontal {
			corners = append(corners, [2]bool{true, second})
		}
		if br.At != "top" || s.horizontal {
			corners = append(corners, [2]bool{false, second})
		}
	}
	for _, c := range corners {
		rail, leg := s.bottom, s.legs[0]
		if c[0] {
			rail = s.top
		}
		if c[1] {
			leg = s.legs[1]
		}
		if s.legs[1] == nil && c[1] {
			leg = s.legs[0] // a single leg on its foot rail: braces to both sides
		}
		if rail == nil || leg == nil {
			continue
		}
		one := g.knee(br, set, s, made+1, leg, rail, c[0], c[1])
		if one == 0 {
			return made // it does not fit, nor would the others
		}
		made += one
	}
	return made
}

// knee is one short brace from leg to rail; down (top = false) it springs up from the rail.
func (g *generator) knee(br design.Brace, set int, s frameSide, k int, leg, rail *line, top, second bool) int {
	meet := closest(rail, leg)
	legDir := r3.Unit(r3.Sub(leg.ends[1], leg.ends[0]))
	if top {
		legDir = r3.Scale(-1, legDir)
	}
	railDir := r3.Unit(r3.Sub(rail.ends[1], rail.ends[0]))
	if r3.Dot(railDir, r3.Sub(g.bayMiddle(s, meet), meet)) < 0 {
		railDir = r3.Scale(-1, railDir)
	}
	if s.legs[1] == nil && second {
		railDir = r3.Scale(-1, railDir)
	}
	onLeg, onRail := r3.Add(meet, r3.Scale(br.Reach, legDir)), r3.Add(meet, r3.Scale(br.Reach, railDir))
	if !within(leg, onLeg) || !within(rail, onRail) {
		g.refuse(fmt.Sprintf("stand.generate.braces[%d].reach", set+1), NoRoom, "", fmt.Sprintf("a knee brace of this reach does not fit between %s and %s", leg.id, rail.id), "shorten the reach")
		return 0
	}
	g.brace(br, set, s, k, leg, rail, onLeg, onRail)
	return 1
}

// bayMiddle is the middle of the bay at the height of p; for a single leg, a point on the positive side.
func (g *generator) bayMiddle(s frameSide, p r3.Vec) r3.Vec {
	if s.legs[1] == nil {
		return r3.Add(p, g.across)
	}
	return r3.Scale(0.25, r3.Add(r3.Add(s.legs[0].ends[0], s.legs[0].ends[1]), r3.Add(s.legs[1].ends[0], s.legs[1].ends[1])))
}

func within(l *line, p r3.Vec) bool {
	s := l.along(p)
	return s > -1e-9 && s < l.length()+1e-9
}

func (g *generator) brace(br design.Brace, set int, s frameSide, k int, from, to *line, p, q r3.Vec) {
	id := fmt.Sprintf("brace.%s.%d.%s.%d", br.Plane, set+1, s.name, k)
	if s.name == "" {
		id = fmt.Sprintf("brace.%s.%d.%d", br.Plane, set+1, k)
	}
	id = g.unique(id)
	j := g.joint(g.spec.BraceJoint, "brace_joint")
	l := g.add(&line{id: id, role: Brace, plane: br.Plane, shape: g.shape(br.Profile), joints: [2]*Joint{j, j}})
	a, c := from.at(g.builder, id+".a", p), to.at(g.builder, id+".b", q)
	l.ends = [2]r3.Vec{g.m.Nodes[a].At, g.m.Nodes[c].At}
	l.meet(g.builder, a)
	l.meet(g.builder, c)
}

func (g *generator) unique(id string) string {
	taken := func(s string) bool {
		return slices.ContainsFunc(g.lines, func(l *line) bool { return l.id == s })
	}
	out := id
	for i := 2; taken(out); i++ {
		out = fmt.Sprintf("%s-%d", id, i)
	}
	return out
}
