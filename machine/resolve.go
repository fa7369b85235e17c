package machine

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/parts"
)

// resolve looks up every part the design names, so that all unknown ones are
// reported at once, and works out each axis's frame.
func (b *builder) resolve() {
	b.profiles = map[string]*shape{}
	d := b.m.Design
	for i := range d.Axes {
		b.m.Axes = append(b.m.Axes, b.axis(i, &d.Axes[i]))
	}
	b.resolveStand()
	b.resolveEquipment()
}

func (b *builder) axis(i int, spec *design.Axis) *Axis {
	path := "axes." + spec.ID
	a := &Axis{
		Spec: spec, Index: i, BodyMoves: spec.Moves == "body",
		Dir: r3.Unit(vec(spec.Direction)), Normal: r3.Unit(vec(spec.Facing)),
	}
	a.Side = r3.Cross(a.Normal, a.Dir)
	a.Part = find(b, b.parts.Axis, "axis", spec.Part, path+".part")
	a.Motor = find(b, b.parts.Motor, "motor", spec.Motor, path+".motor")
	a.Gear = optional(b, b.parts.Gear, "gear", spec.Gear, path+".gear")
	a.Brake = optional(b, b.parts.Brake, "brake", spec.Brake, path+".brake")
	if spec.Pair != nil {
		a.Shaft = optional(b, b.parts.Shaft, "shaft", spec.Pair.Shaft, path+".pair.shaft")
	}
	b.profile(spec.UnderBeam, path+".under_beam")
	b.resolveJoin(spec, path)
	if a.Part == nil {
		return a
	}
	if s := b.profile(a.Part.Profile, path+".part"); s != nil {
		a.Profile = s.part
	}
	a.Block = find(b, b.parts.Block, "block", a.Part.Block, path+".part")
	b.resolveDrive(a, path)
	return a
}

// resolveDrive takes the drive of the axis part with the design's changes.
func (b *builder) resolveDrive(a *Axis, path string) {
	spec, part := a.Spec.Drive, a.Part
	a.Teeth, a.Pretension = part.Teeth, part.Pretension
	if spec.Teeth != nil {
		a.Teeth = *spec.Teeth
	}
	if spec.Pretension != nil {
		a.Pretension = *spec.Pretension
	}
	a.Layout = override(spec.Layout, part.Layout)
	a.ScrewEnds = override(spec.Ends, part.Ends)
	a.MotorAt = override(spec.MotorAt, part.MotorAt)
	switch part.Drive {
	case "belt":
		a.Belt = find(b, b.parts.Belt, "belt", override(spec.Belt, part.Belt), path+".drive.belt")
		if own, has := b.parts.Belt(part.Belt); has && a.Belt != nil {
			a.exchange = price{a.Belt.Cost - own.Cost, a.Belt.CostPerM - own.CostPerM}
		}
	case "ball screw", "slide screw":
		a.Screw = find(b, b.parts.Screw, "screw", override(spec.Screw, part.Screw), path+".drive.screw")
		if own, has := b.parts.Screw(part.Screw); has && a.Screw != nil {
			a.exchange = price{a.Screw.Cost - own.Cost, a.Screw.CostPerM - own.CostPerM}
		}
	case "rack":
		a.Rack = find(b, b.parts.Rack, "rack", override(spec.Rack, part.Rack), path+".drive.rack")
		if own, has := b.parts.Rack(part.Rack); has && a.Rack != nil {
			a.exchange = price{a.Rack.Cost - own.Cost, a.Rack.CostPerM - own.CostPerM}
		}
	}
}

const asPart = "as the axis part"

func override(own, fromPart string) string {
	if own == "" || own == asPart {
		return fromPart
	}
	return own
}

func (b *builder) resolveJoin(spec *design.Axis, path string) {
	id := spec.Join.Part
	if none(id) {
		return
	}
	if spec.Join.By == "clamps" {
		find(b, b.parts.Clamp, "clamp", id, path+".join.part")
		return
	}
	find(b, b.parts.Plate, "plate", id, path+".join.part")
}

func (b *builder) resolveStand() {
	s := b.m.Design.Stand
	find(b, b.parts.Foot, "foot", s.Foot, "stand.foot")
	if g := s.Generate; g != nil {
		at := "stand.generate."
		for _, p := range [][2]string{
			{g.Legs.Profile, "legs.profile"}, {g.TopRail, "top_rail"}, {g.CrossRail, "cross_rail"},
			{g.BottomRail, "bottom_rail"}, {g.FootRail, "foot_rail"},
		} {
			b.profile(p[0], at+p[1])
		}
		find(b, b.parts.Joint, "joint", g.Joint, at+"joint")
		find(b, b.parts.Joint, "joint", g.BraceJoint, at+"brace_joint")
		optional(b, b.parts.Joint, "joint", g.FootJoint, at+"foot_joint")
		for i, br := range g.Braces {
			b.profile(br.Profile, fmt.Sprintf("%sbraces[%d].profile", at, i+1))
		}
	}
	for _, mem := range s.Members {
		path := "stand.members." + mem.ID
		b.profile(mem.Profile, path+".profile")
		if mem.Joint != "rigid" && mem.Joint != "hinged" {
			find(b, b.parts.Joint, "joint", mem.Joint, path+".joint")
		}
	}
}

func (b *builder) resolveEquipment() {
	b.m.Bumpers, b.m.Carriers = map[string]*parts.Bumper{}, map[string]*parts.Carrier{}
	for _, c := range b.m.Design.Equipment.Carriers {
		b.m.Carriers[c.Axis] = find(b, b.parts.Carrier, "carrier", c.Part, "equipment.carriers."+c.Axis+".part")
	}
	for _, e := range b.m.Design.Equipment.Ends {
		b.m.Bumpers[e.Axis] = find(b, b.parts.Bumper, "bumper", e.Bumper, "equipment.ends."+e.Axis+".bumper")
	}
}

// none tells whether a part word means that there is no such part.
func none(id string) bool { return id == "" || id == "none" }

func optional[T any](b *builder, get func(string) (*T, bool), kind, id, path string) *T {
	if none(id) {
		return nil
	}
	return find(b, get, kind, id, path)
}

// find looks a part up, records its use, or reports it as unknown with near matches.
func find[T any](b *builder, get func(string) (*T, bool), kind, id, path string) *T {
	p, ok := get(id)
	if !ok {
		near := b.parts.Near(kind, id)
		hint := ""
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, ", ") + "?"
		}
		b.refuse(path, UnknownPart, id, fmt.Sprintf("%q is no %s of the catalogue", id, kind), hint)
		return nil
	}
	key := kind + "/" + id
	if !b.seen[key] {
		b.seen[key] = true
		b.m.Used = append(b.m.Used, Use{Kind: kind, ID: id, Path: path, Representative: b.parts.Representative(kind, id)})
	}
	return p
}

// profile resolves a profile with its section properties; nil for none or unknown.
func (b *builder) profile(id, path string) *shape {
	if none(id) {
		return nil
	}
	if s, ok := b.profiles[id]; ok {
		return s
	}
	p := find(b, b.parts.Profile, "profile", id, path)
	if p == nil {
		return nil
	}
	props, err := b.parts.Properties(p)
	if err != nil {
		b.refuse(path, BadOutline, id, fmt.Sprintf("the section of %s cannot be computed: %v", id, err), "")
		return nil
	}
	material, ok := b.parts.Material(p.Material)
	if !ok {
		b.refuse(path, UnknownMaterial, p.Material, fmt.Sprintf("profile %s: %q is not in the materials table", id, p.Material), "")
		return nil
	}
	s := &shape{part: p, section: props, material: material}
	b.profiles[id] = s
	return s
}
