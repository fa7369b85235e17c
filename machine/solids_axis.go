package machine

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

// Proportions that the parts data do not give. They make pictures readable and
// enter no calculation: own choice.
const (
	railHeight   = 0.60   // of the block's height
	blockGap     = 0.12   // between the beam and the block's lower edge, over the block's height
	railPlay     = 0.5e-3 // m, between rail and block
	leastPlate   = 4e-3   // m, thickness of a carriage plate
	endClearance = 6e-3   // m, of end housings and bumpers below the carriage's outer face, on which other things sit
	stopSlender  = 0.5    // bumper: diameter over length
)

// track is one beam of an axis with the frame in which its carriage is drawn:
// s along the beam from its From node, u sideways, n away from the centre line.
type track struct {
	m          *Machine
	a          *Axis
	beam       int    // index into Axis.Beams
	side       string // "", .minus, .plus
	from       r3.Vec
	length     float64
	half, wide float64 // of the beam's profile, along Normal and Side
	body       int     // of the beam
	carriage   int     // body of the carriage
	out        float64 // +1 or -1: the side to which drives are hung
}

func (m *Machine) tracks(a *Axis) []track {
	var out []track
	for i, b := range a.Beams {
		mem := m.Members[b]
		t := track{
			m: m, a: a, beam: i, from: m.Nodes[mem.From].At, length: m.Length(b), body: mem.Body,
			half: half(mem.Profile, a.Dir, mem.Roll, a.Normal), wide: half(mem.Profile, a.Dir, mem.Roll, a.Side),
			carriage: m.Nodes[a.Carriages[i]].Body, out: 1,
		}
		switch {
		case len(a.Beams) == 2:
			t.side = [2]string{".minus", ".plus"}[i]
			if (i == 1) != a.PlusIsSide { // away from the other beam
				t.out = -1
			}
		case a.Side.Z < -0.5: // upward
			t.out = -1
		}
		out = append(out, t)
	}
	return out
}

func (t track) at(s, u, n float64) r3.Vec {
	return r3.Add(t.from, r3.Add(r3.Scale(s, t.a.Dir), r3.Add(r3.Scale(u, t.a.Side), r3.Scale(n, t.a.Normal))))
}

// box is a box between two corners (s, u, n).
func (t track) box(s0, s1, u0, u1, n0, n1 float64) Solid {
	return block(t.at((s0+s1)/2, (u0+u1)/2, (n0+n1)/2), t.a.Dir, t.a.Side, t.a.Normal, r3.Vec{X: s1 - s0, Y: u1 - u0, Z: n1 - n0})
}

// along is a prism with an outline in (u, n), from s0 to s1.
func (t track) along(s0, s1, u, n float64, o prism.Outline) Solid {
	return drawn(t.at(s0, u, n), t.a.Dir, t.a.Side, t.a.Normal, s1-s0, o)
}

func (t track) id(what string, more ...any) string {
	id := t.a.Spec.ID + "." + what + t.side
	for _, v := range more {
		id += fmt.Sprint(".", v)
	}
	return id
}

func (t track) own(s Solid, id, part string, thing Thing, body int, kg float64) Solid {
	return s.as(id, t.a.Spec.ID, part, thing, body, kg)
}

// plate is the thickness of the carriage plate above its blocks, m.
func (t track) plate() float64 {
	return max(t.a.Part.PlateTop-t.half-t.a.Block.Height, leastPlate)
}

// plateWidth is the width of the carriage plate, m.
func (t track) plateWidth() float64 {
	if t.a.Part.PlateWidth > 0 {
		return t.a.Part.PlateWidth
	}
	return t.a.Part.Across + t.a.Block.Width
}

// axisSolids are rails, carriages, ends, drives, stops and interfaces of an axis.
func (m *Machine) axisSolids(bars []Bar, a *Axis) []Solid {
	var out []Solid
	tracks := m.tracks(a)
	for _, t := range tracks {
		ends := t.ends()
		out = append(out, t.carriageSolids()...)
		out = append(out, t.railSolids(ends)...)
		out = append(out, t.endSolids(ends)...)
		out = append(out, t.driveSolids(ends)...)
	}
	if a.Shaft != nil && len(tracks) == 2 {
		out = append(out, lineShaft(tracks))
	}
	for i := range m.Connections {
		if c := &m.Connections[i]; c.Axis == a.Index {
			out = append(out, m.connectionSolids(bars, c)...)
		}
	}
	return out
}

// carriageSolids are the plate and its blocks at home.
func (t track) carriageSolids() []Solid {
	a := t.a
	home := r3.Dot(r3.Sub(t.m.Nodes[a.Carriages[t.beam]].At, t.from), a.Dir)
	w, top := t.plateWidth(), a.Part.PlateTop
	var blocks []Solid
	for _, b := range a.Blocks {
		if b.Beam != t.beam {
			continue
		}
		s := home + b.Along
		id := t.id("block", len(blocks)+1)
		blocks = append(blocks, t.own(t.along(s-a.Block.Length/2, s+a.Block.Length/2, b.Across, t.half, t.blockOutline()), id, a.Block.ID, ThingBlock, t.carriage, a.Block.Mass))
	}
	kg := max(0, a.Part.Carriage-float64(len(blocks))*a.Block.Mass)
	id := t.m.Nodes[a.Carriages[t.beam]].ID
	plate := t.own(t.box(home-a.Part.Plate/2, home+a.Part.Plate/2, -w/2, w/2, top-t.plate(), top), id, a.Part.ID, ThingPlate, t.carriage, kg)
	return append([]Solid{plate}, blocks...)
}

// blockOutline is a block across its rail, from the beam's face upward.
func (t track) blockOutline() prism.Outline {
	b := t.a.Block
	h, low := b.Height, blockGap*b.Height
	w := max(b.Width, b.Rail+4*railPlay) / 2
	slot, roof := b.Rail/2+railPlay, railHeight*h+railPlay
	return prism.Outline{Outer: prism.Polygon(
		prism.Point{X: -w, Y: low}, prism.Point{X: -slot, Y: low}, prism.Point{X: -slot, Y: roof}, prism.Point{X: slot, Y: roof},
		prism.Point{X: slot, Y: low}, prism.Point{X: w, Y: low}, prism.Point{X: w, Y: h}, prism.Point{X: -w, Y: h},
	)}
}

// end is the room at one end of a beam beyond the carriage at its hard stop.
type end struct {
	contact float64 // where the carriage meets the stop, m from the beam's end
	housing float64 // length of the end housing, m
	stop    float64 // length of the bumper, m; 0: none
}

// ends are the rooms at the From and the To end.
func (t track) ends() [2]end {
	a := t.a
	minus, plus, bumper := 0.0, 0.0, t.m.Bumpers[a.Spec.ID]
	for _, e := range t.m.Design.Equipment.Ends {
		if e.Axis == a.Spec.ID {
			minus, plus = e.HardStop, e.HardStop
		}
	}
	low, high := a.On(-minus), a.On(a.Spec.Travel+plus)
	if low > high {
		low, high = high, low
	}
	var out [2]end
	for i, contact := range [2]float64{low - a.Part.Plate/2, t.length - high - a.Part.Plate/2} {
		e := end{contact: max(contact, 0)}
		if bumper != nil {
			e.stop = min(bumper.Length, 0.75*e.contact)
		}
		e.housing = e.contact - e.stop
		if bumper == nil {
			e.housing = min(e.housing, a.Part.EndLength)
		}
		out[i] = e
	}
	return out
}

// railSolids are the rails between the end housings, with screw or rack beside them.
func (t track) railSolids(ends [2]end) []Solid {
	a := t.a
	s0, s1 := ends[0].housing+0.002, t.length-ends[1].housing-0.002
	if !(s1 > s0) {
		return nil
	}
	var out []Solid
	for r := range a.Part.Rails {
		u := 0.0
		if a.Part.Rails > 1 {
			u = a.Part.Across * (float64(r) - 0.5)
		}
		w, h := a.Block.Rail, railHeight*a.Block.Height
		out = append(out, t.own(t.box(s0, s1, u-w/2, u+w/2, t.half, t.half+h), t.id("rail", r+1), a.Block.ID, ThingRail, t.body, a.Block.RailPerM*(s1-s0)))
	}
	switch {
	case a.Rack != nil:
		u, n := t.rackAt()
		w := a.Rack.Width
		out = append(out, t.own(t.box(0, t.length, u-w/2, u+w/2, n-w, n), t.id("rack"), a.Rack.ID, ThingRack, t.body, a.Rack.MassPerM*t.length))
	case a.Screw != nil && a.Part.Rails > 1: // else it lies within the beam, whose recess is not drawn
		screw := rod(t.at(s0, a.Part.DriveSide, t.screwAt()), a.Dir, a.Side, t.screwDiameter(), s1-s0)
		out = append(out, t.own(screw, t.id("screw"), a.Screw.ID, ThingScrew, t.body, a.Screw.MassPerM*(s1-s0)))
	}
	return out
}

// endSolids are the end housings and the bumpers on them.
func (t track) endSolids(ends [2]end) []Solid {
	a := t.a
	var out []Solid
	bumper := t.m.Bumpers[a.Spec.ID]
	for i, e := range ends {
		word := [2]string{"from", "to"}[i]
		at := func(d float64) float64 { // distance from this end of the beam
			if i == 0 {
				return d
			}
			return t.length - d
		}
		if e.housing > 1e-3 {
			s0, s1 := min(at(0), at(e.housing)), max(at(0), at(e.housing))
			out = append(out, t.own(t.box(s0, s1, -t.wide, t.wide, t.half, a.Part.PlateTop-endClearance), t.id("end", word), a.Part.ID, ThingEnd, t.body, a.Part.EndMass/2))
		}
		if e.stop > 1e-3 {
			s0, s1 := min(at(e.housing), at(e.contact)), max(at(e.housing), at(e.contact))
			d, n := t.stopAt(bumper.Length)
			out = append(out, t.own(rod(t.at(s0, 0, n), a.Dir, a.Side, d, s1-s0), t.id("stop", word), bumper.ID, ThingStop, t.body, bumper.Mass))
		}
	}
	return out
}

// stopAt is the diameter of a bumper that finds room between beam, rails and
// the carriage's outer face, and its height above the centre line.
func (t track) stopAt(length float64) (diameter, n float64) {
	a := t.a
	low, top := t.half, a.Part.PlateTop-endClearance
	room := top - low
	switch {
	case a.Part.Rails == 1:
		low += railHeight * a.Block.Height
		room = top - low
	case a.Part.Rails > 1:
		room = min(room, a.Part.Across-a.Block.Rail)
	}
	if a.Screw != nil && a.Part.Rails > 1 { // beside the screw there is no room: above it
		if over := t.screwAt() + t.screwDiameter()/2; over > low {
			low = over
			room = min(room, top-low)
		}
	}
	diameter = max(min(stopSlender*length, room), 0.006)
	return diameter, top - max(top-low, diameter)/2
}
