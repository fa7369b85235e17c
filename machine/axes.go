package machine

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
)

// axes places every axis on what carries it.
func (b *builder) axes() {
	for i, a := range b.m.Axes {
		if i == 0 {
			b.seat = firstSeat(a)
		}
		b.checkAxis(a)
		if len(b.diags) > 0 {
			return
		}
		if a.BodyMoves {
			b.bodyMoving(a)
		} else {
			b.carriageMoving(a)
		}
		if len(b.diags) > 0 {
			return
		}
	}
}

// firstSeat is the direction from the stand to the first beam: it lies on top
// if it is not steep, else it stands on the side that its carriage faces.
func firstSeat(a *Axis) r3.Vec {
	if math.Abs(a.Dir.Z) < 0.7 {
		up := r3.Sub(r3.Vec{Z: 1}, r3.Scale(a.Dir.Z, a.Dir))
		return r3.Unit(up)
	}
	return a.Normal
}

// square is the cosine up to which two directions count as square to each other.
const square = 1e-6

// checkAxis refuses an axis that cannot sit on what carries it.
func (b *builder) checkAxis(a *Axis) {
	path := "axes." + a.Spec.ID
	switch {
	case a.Index == 0 && a.BodyMoves:
		b.refuse(path+".moves", NoPlace, "body", "the first axis sits on the stand: its carriage moves", "moves: carriage")
	case a.Index == 0:
		if r3.Dot(a.Normal, b.seat) < -0.5 && b.alongRail(a) {
			b.refuse(path+".facing", design.Facing, "", "the carriage would run between the beam and the rail that carries it along its whole length", "facing: "+word(b.seat))
		}
	case !(math.Abs(r3.Dot(a.Dir, b.seat)) <= square):
		before := b.m.Axes[a.Index-1]
		b.refuse(path+".direction", NoPlace, "", fmt.Sprintf("axis %s carries it on a face that looks to %s; a beam lies flat on that face and cannot run along %s", before.Spec.ID, word(b.seat), word(a.Dir)),
			fmt.Sprintf("turn that face: axes.%s.facing: %s", before.Spec.ID, word(r3.Cross(before.Dir, a.Dir))))
	case len(b.carriers) == 2 && a.BodyMoves:
		b.refuse(path+".moves", NoPlace, "body", "the axis after a pair of runways is the bridge: its beam lies on both carriages", "moves: carriage")
	case len(b.carriers) == 2:
		b.checkBridge(a, path)
	case a.BodyMoves && r3.Dot(a.Normal, b.seat) > -0.999:
		b.refuse(path+".facing", design.Facing, "", "the beam of a body-moving axis must face the plate that carries its blocks", "facing: "+word(r3.Scale(-1, b.seat)))
	}
}

// alongRail tells whether the first beam lies lengthwise on what carries it.
func (b *builder) alongRail(a *Axis) bool {
	return slices.ContainsFunc(b.lines[0], func(l *line) bool { return parallel(l.direction(), a.Dir) })
}

// checkBridge refuses a bridge that does not run from one carriage to the other.
func (b *builder) checkBridge(a *Axis, path string) {
	across := r3.Sub(b.m.Nodes[b.carriers[1]].At, b.m.Nodes[b.carriers[0]].At)
	if aside := r3.Sub(across, r3.Scale(r3.Dot(across, a.Dir), a.Dir)); r3.Norm(aside) > fit {
		b.refuse(path+".direction", NoPlace, "", fmt.Sprintf("the bridge must run from one carriage of the pair to the other, which lies along %s from it", word(r3.Unit(across))), "direct it so, and level the two runways")
	}
}

func word(d r3.Vec) string {
	for _, w := range []struct {
		name string
		v    r3.Vec
	}{{"x", r3.Vec{X: 1}}, {"-x", r3.Vec{X: -1}}, {"y", r3.Vec{Y: 1}}, {"-y", r3.Vec{Y: -1}}, {"z", r3.Vec{Z: 1}}, {"-z", r3.Vec{Z: -1}}} {
		if r3.Norm(r3.Sub(w.v, d)) < 1e-6 {
			return w.name
		}
	}
	return fmt.Sprintf("[%.4g, %.4g, %.4g]", d.X, d.Y, d.Z)
}

// carriageMoving places a beam (or a pair) that stays and a carriage that moves.
func (b *builder) carriageMoving(a *Axis) {
	a.Length = b.beamLength(a)
	if a.Length < a.Spec.Travel {
		b.refuse("axes."+a.Spec.ID+".length", TooShort, "", "the beam is shorter than the travel", "lengthen it or leave length out")
		return
	}
	under := b.profile(a.Spec.UnderBeam, "axes."+a.Spec.ID+".under_beam")
	if a.Index == 0 {
		for _, lines := range b.lines {
			base, rise := b.standSeat(a, lines)
			b.placeBeam(a, base, rise+b.plateThick(a), under, func(s seating) []support { return b.supports(s, lines) })
		}
	} else {
		b.placeBeam(a, b.carrierMiddle(), b.plateThick(a), under, b.carrierSupports)
	}
	b.counterweight(a, b.m.Members[a.Beams[0]].To)
	if len(a.Beams) == 2 {
		across := r3.Sub(b.m.Nodes[a.Carriages[1]].At, b.m.Nodes[a.Carriages[0]].At)
		a.PlusIsSide = r3.Dot(across, a.Side) > 0
	}
	b.carriers, b.seat = a.Carriages, a.Normal
	b.m.Flange = a.Carriages[0]
}

// standSeat is the middle of what carries the first beam, on its centre line, and how far it rises to its face.
func (b *builder) standSeat(a *Axis, lines []*line) (middle r3.Vec, rise float64) {
	for _, l := range lines {
		middle = r3.Add(middle, r3.Scale(0.5/float64(len(lines)), r3.Add(l.ends[0], l.ends[1])))
		rise = max(rise, half(l.shape.part, r3.Sub(l.ends[1], l.ends[0]), l.roll, b.seat))
	}
	return middle, rise
}

func (b *builder) carrierMiddle() r3.Vec {
	var p r3.Vec
	for _, n := range b.carriers {
		p = r3.Add(p, r3.Scale(1/float64(len(b.carriers)), b.m.Nodes[n].At))
	}
	return p
}

// placeBeam puts one beam with its carriage, above base by rise (of the rail, or of the interface plate), with an
// under-beam if there is one, and joins it to its supports.
func (b *builder) placeBeam(a *Axis, base r3.Vec, rise float64, under *shape, supports func(seating) []support) {
	shape := b.profiles[a.Part.Profile]
	roll := rollFor(a.Dir, a.Normal)
	start := -a.Spec.Travel / 2
	if a.Spec.Start != nil {
		start = *a.Spec.Start
	}
	underHalf := 0.0
	if under != nil {
		underHalf = half(under.part, a.Dir, roll, b.seat)
	}
	lift := rise + 2*underHalf + half(shape.part, a.Dir, roll, b.seat)
	centre := r3.Add(r3.Add(base, vec(a.Spec.Offset)), r3.Add(r3.Scale(lift, b.seat), r3.Scale(start+a.Spec.Travel/2, a.Dir)))
	from := r3.Sub(centre, r3.Scale(a.Length/2, a.Dir))
	side := ""
	if a.Spec.Pair != nil {
		side = [...]string{".minus", ".plus"}[len(a.Beams)]
	}
	a.Home = a.Length/2 - a.Spec.Travel/2
	held := b.beam(a, a.Spec.ID+".beam"+side, a.Index, from, shape, roll, a.Part.ExtraPerM, Beam)
	a.Beams = append(a.Beams, held)
	lever := half(shape.part, a.Dir, roll, b.seat)
	drop := lever
	if under != nil {
		lower := b.beam(a, a.Spec.ID+".under_beam"+side, a.Index, r3.Sub(from, r3.Scale(lever+underHalf, b.seat)), under, roll, 0, Beam)
		b.stack(a, lower, held, side, underHalf, lever)
		held, lever, drop, shape = lower, underHalf, lever+2*underHalf, under
	}
	b.holdBeam(a, held, side, lever, supports(seating{axis: a, shape: shape, roll: roll, from: from, up: b.seat, plate: b.plateThick(a), drop: drop, length: a.Length}))
	b.carriage(a, len(a.Beams)-1, side, from)
	b.beamEnds(a, a.Beams[len(a.Beams)-1], side)
}

func (b *builder) beam(a *Axis, id string, body int, from r3.Vec, s *shape, roll, extra float64, role Role) int {
	to := r3.Add(from, r3.Scale(a.Length, a.Dir))
	return b.member(Member{
		ID: id, Bar: id, Body: body, From: b.node(id+".from", body, from), To: b.node(id+".to", body, to), Roll: roll,
		Profile: s.part, Section: s.section, Material: s.material, Extra: extra, Role: role, Plane: "along",
	})
}

// holdBeam joins a beam to its supports.
func (b *builder) holdBeam(a *Axis, beam int, side string, lever float64, supports []support) {
	path := "axes." + a.Spec.ID
	if len(supports) == 0 && len(b.diags) == 0 {
		b.refuse(path, NoSupport, "", "nothing carries the beam: it lies beside what should hold it", "look at start, offset and the stand's span")
	}
	kind := Support
	if a.Index > 0 {
		kind = Interface
	}
	first := len(a.Supports) == 0
	for i, s := range supports {
		if s.s < -1e-9 || s.s > a.Length+1e-9 {
			b.refuse(path+".start", NoSupport, "", "the carriage that carries the beam lies beyond the beam's end", "look at start, offset and length")
			return
		}
		c := b.connection(a, kind, fmt.Sprintf("%s.%s%s.%d", a.Spec.ID, kind, side, i+1))
		c.A = s.place
		c.B = Place{Node: -1, Member: beam, At: min(max(s.s/a.Length, 0), 1), Offset: r3.Scale(-lever, b.seat)}
		c.Float = b.floats(a, i)
		b.m.Connections = append(b.m.Connections, c)
		if first {
			a.Supports = append(a.Supports, s.s)
		}
	}
	slices.Sort(a.Supports)
}

// floats tells whether the i-th carriage of a pair below lets the bridge float sideways.
func (b *builder) floats(a *Axis, i int) bool {
	if a.Index == 0 {
		return false
	}
	pair := b.m.Axes[a.Index-1].Spec.Pair
	return pair != nil && (pair.Fixed == "minus" && i == 1 || pair.Fixed == "plus" && i == 0)
}

// connection starts a connection with the hardware of the axis's join.
func (b *builder) connection(a *Axis, kind ConnectionKind, id string) Connection {
	j := a.Spec.Join
	c := Connection{ID: id, Path: "axes." + a.Spec.ID + ".join", Kind: kind, Axis: a.Index, By: j.By}
	c.Axes = [3]r3.Vec{a.Dir, r3.Cross(b.seat, a.Dir), b.seat}
	if p, ok := b.parts.Plate(j.Part); ok && j.By != "clamps" {
		c.Plate = p
		c.Metal, _ = b.parts.Material(p.Material)
	}
	if p, ok := b.parts.Clamp(j.Part); ok && j.By == "clamps" {
		c.Clamp = p
	}
	if j.ClampsPerSide != nil {
		c.Clamps = *j.ClampsPerSide
	}
	if j.Gussets != nil {
		c.Gussets = *j.Gussets
	}
	return c
}

// plateThick is the room that the interface plate of an axis takes between it and
// what carries it, m; 0 where there is none.
func (b *builder) plateThick(a *Axis) float64 {
	if p, ok := b.parts.Plate(a.Spec.Join.Part); ok && a.Spec.Join.By != "clamps" {
		return p.Thick
	}
	return 0
}

// carrierSupports are the carriages of the body before, seen along the new beam,
// in their order. The lever carries the interface plate and the offset of the seat
// from the carriage, so that both sides of the connection are one place.
func (b *builder) carrierSupports(s seating) []support {
	dir := s.axis.Dir
	lever := r3.Add(vec(s.axis.Spec.Offset), r3.Scale(s.plate, s.up))
	lever = r3.Sub(lever, r3.Scale(r3.Dot(lever, dir), dir))
	var out []support
	for _, n := range b.carriers {
		out = append(out, support{r3.Dot(r3.Sub(b.m.Nodes[n].At, s.from), dir), Place{Node: n, Offset: lever}})
	}
	return out
}

// stack joins a beam to the profile under it, at the ends and at most 0.4 m apart.
func (b *builder) stack(a *Axis, lower, upper int, side string, lowerHalf, upperHalf float64) {
	n := max(2, int(math.Ceil(a.Length/0.4)))
	for i := 0; i <= n; i++ {
		at := float64(i) / float64(n)
		c := b.connection(a, Stacked, fmt.Sprintf("%s.under_beam%s.%d", a.Spec.ID, side, i+1))
		c.By, c.Plate, c.Metal, c.Clamp = "direct", nil, nil, nil
		c.A = Place{Node: -1, Member: lower, At: at, Offset: r3.Scale(lowerHalf, b.seat)}
		c.B = Place{Node: -1, Member: upper, At: at, Offset: r3.Scale(-upperHalf, b.seat)}
		b.m.Connections = append(b.m.Connections, c)
	}
}

// reserve is what the beam needs beyond the programmed travel at each end, m.
func (b *builder) reserve(a *Axis) float64 {
	for _, e := range b.m.Design.Equipment.Ends {
		if e.Axis == a.Spec.ID {
			return e.HardStop + b.m.Bumpers[e.Axis].Stroke
		}
	}
	return 0
}

func (b *builder) beamLength(a *Axis) float64 {
	if a.Spec.Length != nil {
		return *a.Spec.Length
	}
	return a.Spec.Travel + a.Part.Plate + 2*b.reserve(a) + 2*a.Part.EndLength
}

// blocks lists the rail guide carriages of one carriage.
func (a *Axis) blocks(beam int) []Block {
	var out []Block
	for r := range a.Part.Rails {
		across := 0.0
		if a.Part.Rails > 1 {
			across = a.Part.Across * (float64(r) - 0.5)
		}
		for k := range a.Part.PerRail {
			along := 0.0
			if a.Part.PerRail > 1 {
				along = a.Part.Along * (float64(k)/float64(a.Part.PerRail-1) - 0.5)
			}
			out = append(out, Block{Beam: beam, Along: along, Across: across})
		}
	}
	return out
}

// carriage puts the carriage of a carriage-moving axis at coordinate 0.
func (b *builder) carriage(a *Axis, beam int, side string, from r3.Vec) {
	at := r3.Add(from, r3.Add(r3.Scale(a.Home, a.Dir), r3.Scale(a.Part.PlateTop, a.Normal)))
	n := b.node(a.Spec.ID+".carriage"+side, a.Index+1, at)
	a.Carriages = append(a.Carriages, n)
	a.Blocks = append(a.Blocks, a.blocks(beam)...)
	b.carriageMass(a, n)
	if a.MotorAt == "carriage" {
		b.driveMasses(a, n, side)
	}
}
