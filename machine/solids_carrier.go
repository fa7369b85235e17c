package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/equip"
	"spanwright/prism"
)

// What the parts data do not say of a cable carrier: own choice.
const (
	carrierWall  = 0.009 // m, from the inner width to the outer one, each side
	carrierRoom  = 0.015 // m, beside the carriage
	carrierLeast = 1e-3  // m, shortest run that is drawn
	trayThick    = 3e-3  // m, of what carries its ends
	seamRoom     = 0.020 // m, below a beam for its clamps
	besideBlocks = 5e-3  // m, of what lies on a beam behind its rail face, past which blocks run
)

// CarrierLoop is the place of a cable carrier's loop: two runs joined by a
// half turn. One run lies still on the body that carries the axis, the other
// moves with the axis; the bend moves half as fast.
type CarrierLoop struct {
	ID      string
	Axis    int
	Carrier *CableCarrier
	Fixed   r3.Vec // fixed end of the pitch line, in the middle of the width, at home, in W
	Along   r3.Vec // unit: to where the bend opens
	Across  r3.Vec // unit: from the fixed run to the moving one
	Width   r3.Vec // unit: Along x Across
	Radius  float64
	Thick   float64 // outer height of a link, m
	Wide    float64 // outer width, m

	loop   equip.Loop // with the bend opening along Along
	travel float64
	sense  float64 // +1 if Along is the axis's direction
	track  track
}

// Runs are the lengths of the fixed and of the moving run at coordinate x of the axis, m.
func (l CarrierLoop) Runs(x float64) (fixed, moving float64) {
	moving, fixed = l.loop.Runs(x - l.travel/2)
	return max(fixed, carrierLeast), max(moving, carrierLeast)
}

// Loop places the loop of an axis's cable carrier at its (first) beam: on top
// of a level beam whose carriage hangs at its side, else beside the beam with
// the moving run level with the carriage. A hanging carrier opens downward.
func (m *Machine) Loop(a *Axis) (CarrierLoop, bool) {
	c := m.CableCarriers[a.Spec.ID]
	if c == nil {
		return CarrierLoop{}, false
	}
	l := CarrierLoop{
		ID: a.Spec.ID + ".carrier", Axis: a.Index, Carrier: c, Radius: c.Part.Radius, Thick: c.Part.Outer,
		Wide: c.Part.Inner[0] + 2*carrierWall, travel: a.Spec.Travel, sense: 1, track: m.tracks(a)[0],
	}
	shape := c.Shape
	if c.Spec.Support == "hanging" && math.Abs(a.Dir.Z) > 0.7 {
		shape.TowardMinus = a.Dir.Z > 0
	}
	shape.Built = c.Loop.Length
	l.loop, _ = shape.Loop() // of the same sizes as the one that Build accepted
	if shape.TowardMinus {
		l.sense = -1
	}
	l.Along = r3.Scale(l.sense, a.Dir)
	t, at := l.track, a.Home+a.Spec.Travel/2+c.Spec.FixedAt
	switch {
	case a.BodyMoves: // from the plate to the back of the mast
		u := -t.out * (max(t.wide, t.plateWidth()/2) + carrierRoom + l.Wide/2)
		l.Fixed, l.Across = t.at(a.Home+c.Spec.FixedAt, u, a.Part.PlateTop-l.Thick), r3.Scale(-1, a.Normal)
	case l.onTop():
		w := math.Copysign(1, a.Side.Z)
		n := min(0, t.half-besideBlocks-l.Wide/2)
		if l.rackOnTop() {
			n = -t.half - trayThick - l.Wide/2
		}
		at += l.aside()
		l.Fixed, l.Across = t.at(at, w*(t.wide+trayThick+l.Thick/2), n), r3.Scale(w, a.Side)
	default:
		u := t.carrierSide() * (max(t.wide, t.plateWidth()/2, m.mateWidth(a.Carriages[0], a.Side)/2) + carrierRoom + l.Wide/2)
		l.Fixed, l.Across = t.at(at, u, a.Part.PlateTop-l.Thick-2*l.Radius), a.Normal
	}
	l.Width = r3.Cross(l.Along, l.Across)
	return l, true
}

// onTop tells whether the loop lies on top of a level beam.
func (l CarrierLoop) onTop() bool {
	a := l.track.a
	return !a.BodyMoves && math.Abs(a.Dir.Z) < 0.7 && math.Abs(a.Side.Z) > 0.7
}

// rackOnTop tells whether a rack takes the place on top of the beam: the loop then lies behind it.
func (l CarrierLoop) rackOnTop() bool {
	a := l.track.a
	if a.Rack == nil {
		return false
	}
	u, _ := l.track.rackAt()
	return u*a.Side.Z > 0
}

// aside is how far from the middle of the carriage the arm of a loop on top
// begins, along the axis: at the edge of its plate, clear of a drive in the middle.
func (l CarrierLoop) aside() float64 {
	return -l.sense * l.track.a.Part.Plate / 2
}

// carrierSide is the side of a beam for the cable carrier: outward of a pair,
// away from the motor of a single beam.
func (t track) carrierSide() float64 {
	if len(t.a.Beams) == 2 {
		return t.out
	}
	return -t.out
}

// outline is the loop in the plane of Along and Across, from the fixed end: the
// fixed run, half a turn, the moving run back.
func (l CarrierLoop) outline(fixed, moving float64) prism.Outline {
	h, d := l.Thick/2, 2*l.Radius
	v := func(x, y, bulge float64) prism.Vertex {
		return prism.Vertex{Point: prism.Point{X: x, Y: y}, Bulge: bulge}
	}
	return prism.Outline{Outer: prism.Loop{
		v(0, -h, 0), v(fixed, -h, 1), v(fixed, d+h, 0), v(fixed-moving, d+h, 0),
		v(fixed-moving, d-h, 0), v(fixed, d-h, -1), v(fixed, h, 0), v(0, h, 0),
	}}
}

// carrierSolids is the cable carrier in the form that it has at pose q, with
// what holds its two ends.
func (m *Machine) carrierSolids(a *Axis, q []float64) []Solid {
	l, has := m.Loop(a)
	if !has {
		return nil
	}
	x := 0.0
	if a.Index < len(q) {
		x = q[a.Index]
	}
	fixed, moving := l.Runs(x)
	from := r3.Sub(l.Fixed, r3.Scale(l.Wide/2, l.Width))
	loop := drawn(from, l.Width, l.Along, l.Across, l.Wide, l.outline(fixed, moving))
	out := []Solid{loop.as(l.ID, a.Spec.ID, l.Carrier.Part.ID, ThingCarrier, a.Index, l.Carrier.Part.MassPerM*l.loop.Length)}
	for i, s := range []Solid{l.tray(), l.arm()} {
		id := l.ID + [2]string{"_tray", "_arm"}[i]
		out = append(out, s.as(id, a.Spec.ID, "", ThingTray, a.Index+i, 0))
	}
	return out
}

// spot is a point in the frame (s, u, n) of the beam.
func (l CarrierLoop) spot(p r3.Vec) (s, u, n float64) {
	a, d := l.track.a, r3.Sub(p, l.track.from)
	return r3.Dot(d, a.Dir), r3.Dot(d, a.Side), r3.Dot(d, a.Normal)
}

// tray carries the fixed run: as long as the run can become on or beside a
// beam, a short holder on a plate that its mast passes.
func (l CarrierLoop) tray() Solid {
	t, a, half := l.track, l.track.a, l.Thick/2
	s, u, n := l.spot(l.Fixed)
	long := l.loop.LowerMax
	if t.a.BodyMoves {
		long = 2 * l.Carrier.Part.Pitch
	}
	s0, s1 := min(s, s+l.sense*long), max(s, s+l.sense*long)
	side := math.Copysign(1, u)
	switch {
	case l.onTop():
		front := t.half - besideBlocks
		if l.rackOnTop() {
			front = -t.half / 2
		}
		return t.box(s0, s1, min(side*t.wide, u-side*half), max(side*t.wide, u-side*half), n-l.Wide/2, front)
	case t.a.BodyMoves:
		return t.flat(s0, s1, side, t.plateWidth()/2, math.Abs(u)+l.Wide/2, n+half, n+half+trayThick)
	}
	inner, outer := side*t.wide, side*(math.Abs(u)+l.Wide/2)
	top := n - half
	if under, deep := l.track.m.underRail(a); under > 0 && n-half < -t.half-seamRoom && deep > seamRoom {
		inner, top = side*under, -t.half-seamRoom // hung from the side of the rail below the beam
	}
	p := func(u, n float64) prism.Point { return prism.Point{X: u, Y: n} }
	return t.along(s0, s1, 0, 0, prism.Outline{Outer: prism.Polygon(
		p(inner, n-half-trayThick), p(outer, n-half-trayThick), p(outer, n-half), p(inner+side*trayThick, n-half), p(inner+side*trayThick, max(top, n-half+1e-4)), p(inner, max(top, n-half+1e-4)),
	)}.Oriented())
}

// underRail is half the width of the rail of the stand that lies along under an
// axis's beam, and its height, m; 0 where there is none.
func (m *Machine) underRail(a *Axis) (half2, high float64) {
	for i := range m.Connections {
		c := &m.Connections[i]
		if c.Axis != a.Index || c.Kind != Support || c.A.Node >= 0 {
			continue
		}
		mem := m.Members[c.A.Member]
		x := r3.Unit(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At))
		if math.Abs(r3.Dot(x, a.Dir)) > 0.999 {
			return half(mem.Profile, x, mem.Roll, a.Side), 2 * half(mem.Profile, x, mem.Roll, a.Normal)
		}
	}
	return 0, 0
}

// arm holds the moving run: on the carriage, or on the mast.
func (l CarrierLoop) arm() Solid {
	t, a, half := l.track, l.track.a, l.Thick/2
	moving := r3.Add(l.Fixed, r3.Scale(2*l.Radius, l.Across))
	_, u, n := l.spot(moving)
	side := math.Copysign(1, u)
	s := a.Home // on the beam, where the moving end is at home
	switch {
	case a.BodyMoves:
		s -= a.Spec.Travel / 2
	case l.onTop():
		s += l.aside()
	}
	long := l.sense * 2 * l.Carrier.Part.Pitch
	if l.onTop() && a.MotorAt == "carriage" {
		long = l.sense * max(carrierLeast, min(math.Abs(long), (a.Part.Plate-t.flange())/2-carrierLeast))
	}
	s0, s1 := min(s, s+long), max(s, s+long)
	switch {
	case l.onTop(): // up from the edge of the plate and back over the run
		top, low, back := side*(math.Abs(u)+half+trayThick), side*(math.Abs(u)+half), n-l.Wide/2
		front := a.Part.PlateTop
		edge, behind := side*t.plateWidth()/2, front-t.plate()
		p := func(u, n float64) prism.Point { return prism.Point{X: u, Y: n} }
		return t.along(s0, s1, 0, 0, prism.Outline{Outer: prism.Polygon(
			p(edge, front), p(edge, behind), p(low, behind), p(low, back), p(top, back), p(top, front),
		)}.Oriented())
	case a.BodyMoves:
		return t.flat(s0, s1, side, t.wide, math.Abs(u)+l.Wide/2, n+half, max(n+half+trayThick, trayThick-t.half))
	}
	// Over the run, and up to the carriage's plate.
	edge, outer, top := side*t.plateWidth()/2, side*(math.Abs(u)+l.Wide/2), a.Part.PlateTop
	p := func(u, n float64) prism.Point { return prism.Point{X: u, Y: n} }
	return t.along(s0, s1, 0, 0, prism.Outline{Outer: prism.Polygon(
		p(edge, n+half), p(outer, n+half), p(outer, n+half+trayThick), p(edge+side*trayThick, n+half+trayThick), p(edge+side*trayThick, top), p(edge, top),
	)}.Oriented())
}

// mateWidth is the size of the interface plate on a carriage in a direction square to its normal, m; 0 for none.
func (m *Machine) mateWidth(node int, d r3.Vec) float64 {
	for i := range m.Connections {
		if c := &m.Connections[i]; c.Plate != nil && c.A.Node == node && c.Axis > 0 {
			along := m.Axes[c.Axis-1].Dir
			return math.Abs(r3.Dot(d, along))*c.Plate.Length + math.Abs(r3.Dot(d, r3.Cross(c.Axes[2], along)))*c.Plate.Width
		}
	}
	return 0
}

// flat is a box on one side of the beam, from u0 to u1 outward.
func (t track) flat(s0, s1, side, u0, u1, n0, n1 float64) Solid {
	return t.box(s0, s1, min(side*u0, side*u1), max(side*u0, side*u1), n0, n1)
}
