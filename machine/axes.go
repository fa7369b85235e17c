package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// axes places every axis on what carries it.
func (b *builder) axes() {
	last := len(b.m.Axes) - 1
	for i, a := range b.m.Axes {
		if i == 0 {
			b.seat = firstSeat(a)
		}
		b.checkAxis(a, i == last)
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

func (b *builder) checkAxis(a *Axis, last bool) {
	path := "axes." + a.Spec.ID
	if a.Spec.Pair != nil && (last || a.Index > 0) {
		b.refuse(path+".pair", "no-place", "", "only the first axis of a machine with a bridge on it can be a pair", "")
	}
	if a.BodyMoves && a.Index == 0 {
		b.refuse(path+".moves", "no-place", "body", "the first axis sits on the stand: its carriage moves", "moves: carriage")
	}
	if a.BodyMoves && r3.Dot(a.Normal, b.seat) > -0.999 {
		b.refuse(path+".facing", "facing", "", "the beam of a body-moving axis must face the plate that carries its blocks", "facing: "+word(r3.Scale(-1, b.seat)))
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
	under := b.profile(a.Spec.UnderBeam, "axes."+a.Spec.ID+".under_beam")
	if a.Index == 0 {
		for _, lines := range b.lines {
			base, rise := b.standSeat(a, lines)
			b.placeBeam(a, base, rise, under, func(from r3.Vec, lift float64) []support {
				return b.supports(a, lines, from, b.seat, a.Length)
			})
		}
	} else {
		base := b.carrierMiddle()
		b.placeBeam(a, base, 0, under, func(from r3.Vec, _ float64) []support { return b.carrierSupports(a, from) })
	}
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

// placeBeam puts one beam with its carriage, above base by rise, with an
// under-beam if there is one, and joins it to its supports.
func (b *builder) placeBeam(a *Axis, base r3.Vec, rise float64, under *shape, supports func(from r3.Vec, lift float64) []support) {
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
	if under != nil {
		lower := b.beam(a, a.Spec.ID+".under_beam"+side, a.Index, r3.Sub(from, r3.Scale(lever+underHalf, b.seat)), under, roll, 0, Beam)
		b.stack(a, lower, held, underHalf, lever)
		held, lever = lower, underHalf
	}
	b.holdBeam(a, held, side, lever, supports(from, lift))
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
	if len(supports) == 0 {
		b.refuse(path, "no-support", "", "nothing carries the beam: it lies beside what should hold it", "look at start, offset and the stand's span")
		return
	}
	kind := Support
	if a.Index > 0 {
		kind = Interface
	}
	first := len(a.Supports) == 0
	for i, s := range supports {
		if s.s < -1e-9 || s.s > a.Length+1e-9 {
			b.refuse(path+".start", "no-support", "", "the carriage that carries the beam lies beyond the beam's end", "look at start, offset and length")
			continue
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

// carrierSupports are the carriages of the body before, seen along the new beam.
func (b *builder) carrierSupports(a *Axis, from r3.Vec) []support {
	var out []support
	for _, n := range b.carriers {
		at := b.m.Nodes[n].At
		s := r3.Dot(r3.Sub(at, from), a.Dir)
		// The lever carries the offset of the seat from the carriage node, so that both places coincide.
		lever := r3.Add(vec(a.Spec.Offset), r3.Vec{})
		lever = r3.Sub(lever, r3.Scale(r3.Dot(lever, a.Dir), a.Dir))
		out = append(out, support{s, Place{Node: n, Offset: lever}})
	}
	return out
}

// stack joins a beam to the profile under it, at the ends and at most 0.4 m apart.
func (b *builder) stack(a *Axis, lower, upper int, lowerHalf, upperHalf float64) {
	n := max(2, int(math.Ceil(a.Length/0.4)))
	for i := 0; i <= n; i++ {
		at := float64(i) / float64(n)
		c := b.connection(a, Stacked, fmt.Sprintf("%s.under_beam.%d", a.Spec.ID, i+1))
		c.By, c.Plate, c.Clamp = "direct", nil, nil
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
		b.motor(a, n, side)
	}
}

func (b *builder) carriageMass(a *Axis, n int) {
	thick := a.Part.PlateTop - a.Part.RailHeight
	size := r3.Add(r3.Add(absScale(a.Part.Plate, a.Dir), absScale(max(a.Part.Across, 0.06), a.Side)), absScale(thick, a.Normal))
	b.mass(b.m.Nodes[n].ID, n, a.Part.Carriage, r3.Scale(-thick/2, a.Normal), box(a.Part.Carriage, size))
}

func absScale(f float64, v r3.Vec) r3.Vec {
	return r3.Vec{X: math.Abs(f * v.X), Y: math.Abs(f * v.Y), Z: math.Abs(f * v.Z)}
}

// beamEnds hangs the end housings on the beam's ends, with the motor at the From end if it sits on the beam.
func (b *builder) beamEnds(a *Axis, beam int, side string) {
	mem := b.m.Members[beam]
	b.mass(mem.ID+".end.from", mem.From, a.Part.EndMass/2, r3.Vec{}, [3]float64{})
	b.mass(mem.ID+".end.to", mem.To, a.Part.EndMass/2, r3.Vec{}, [3]float64{})
	if a.MotorAt == "carriage" {
		return
	}
	end := mem.From
	if a.BodyMoves && r3.Dot(a.ToolEnd, a.Dir) < 0 {
		end = mem.To
	}
	b.motor(a, end, side)
}

// motor hangs motor, gear and brake on a node; of a pair with one motor, only on the driven side.
func (b *builder) motor(a *Axis, node int, side string) {
	p := a.Spec.Pair
	if p != nil && p.Driven != "two-motors" && side != "."+p.DriveSide {
		return
	}
	kg := a.Motor.Mass
	if a.Gear != nil {
		kg += a.Gear.Mass
	}
	if a.Brake != nil {
		kg += a.Brake.Mass
	}
	b.mass(a.Spec.ID+".motor"+side, node, kg, r3.Vec{}, [3]float64{})
}
