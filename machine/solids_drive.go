package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

// Proportions of drives that the parts data do not give: own choice.
const (
	screwRoom  = 1e-3  // m, between the screw and what is around it
	besideBeam = 8e-3  // m, between a beam and a drive on the carriage beside it
	holderRoom = 0.018 // m, from the rack to the face of the gear
	holder     = 0.010 // m, thickness of the motor's holder
)

// drives tells whether this side carries a motor.
func (t track) drives() bool {
	p := t.a.Spec.Pair
	return p == nil || p.Driven == "two-motors" || t.side == "."+p.DriveSide
}

// driveSolids are motor and gear of this side.
func (t track) driveSolids(ends [2]end) []Solid {
	a := t.a
	if !t.drives() {
		return nil
	}
	switch {
	case a.MotorAt == "carriage" && a.Rack != nil:
		return t.rackDrive()
	case a.MotorAt == "carriage":
		return t.besidePlate()
	case a.Screw != nil:
		return t.inLine(ends)
	}
	return t.besideBeam(ends)
}

// motorEnd is the end of the beam (0 or 1) where a motor on the beam sits: away
// from the tool end.
func (t track) motorEnd() int {
	if t.a.BodyMoves && r3.Dot(t.a.ToolEnd, t.a.Dir) < 0 {
		return 1
	}
	return 0
}

// besideBeam is the drive of a belt round a fixed pulley: square to the beam,
// on its side, in the middle of the end housing.
func (t track) besideBeam(ends [2]end) []Solid {
	end := t.motorEnd()
	s := ends[end].housing / 2
	if end == 1 {
		s = t.length - s
	}
	return t.train(t.at(s, t.out*t.wide, t.pulleyAt()), r3.Scale(t.out, t.a.Side), t.outward(end), t.body)
}

// outward is the direction out of the beam at an end.
func (t track) outward(end int) r3.Vec { return r3.Scale(float64(2*end-1), t.a.Dir) }

// pulleyAt is the height of the axis of a belt's pulley: the belt runs at the
// drive height, half a pulley above it.
func (t track) pulleyAt() float64 {
	if t.a.Belt == nil {
		return t.a.Part.DriveAt
	}
	return t.a.Part.DriveAt - float64(t.a.Teeth)*t.a.Belt.Pitch/(2*math.Pi)
}

// inLine is the drive of a screw: behind the end of the beam.
func (t track) inLine(ends [2]end) []Solid {
	end := t.motorEnd()
	s := float64(end) * t.length
	return t.train(t.at(s, t.a.Part.DriveSide, t.screwAt()), t.outward(end), t.a.Normal, t.body)
}

// screwDiameter is that of the screw, as far as there is room between beam and plate.
func (t track) screwDiameter() float64 {
	return min(t.a.Screw.D0, t.a.Part.PlateTop-t.plate()-t.half-2*screwRoom)
}

// screwAt is the height of the screw above the centre line: on its drive line,
// but clear of the beam, whose recesses are not drawn.
func (t track) screwAt() float64 {
	return max(t.a.Part.DriveAt, t.half+t.screwDiameter()/2+screwRoom)
}

// besidePlate is a drive on the carriage, its motor square to the beam beside the plate.
func (t track) besidePlate() []Solid {
	a := t.a
	home := r3.Dot(r3.Sub(t.m.Nodes[a.Carriages[t.beam]].At, t.from), a.Dir)
	u := max(t.plateWidth()/2, t.wide+besideBeam)
	return t.train(t.at(home, t.out*u, a.Part.PlateTop-t.flange()/2), r3.Scale(t.out, a.Side), a.Dir, t.carriage)
}

// flange is the larger side of gear and motor, m.
func (t track) flange() float64 {
	if t.a.Gear != nil {
		return max(t.a.Gear.Flange, t.a.Motor.Flange)
	}
	return t.a.Motor.Flange
}

// rackAt is the pitch line of the rack: on the side that the data say, but not
// where a second beam lies below.
func (t track) rackAt() (u, n float64) {
	u = t.a.Part.DriveSide
	if !none(t.a.Spec.UnderBeam) && u*t.a.Side.Z < 0 {
		u = -u
	}
	return u, t.a.Part.DriveAt
}

// rackDrive is a drive on the carriage whose pinion runs on the rack, with the
// holder that joins it to the plate.
func (t track) rackDrive() []Solid {
	a := t.a
	u, n := t.rackAt()
	side := math.Copysign(1, u)
	module := a.Rack.Module / math.Cos(a.Rack.Helix)
	n += module * float64(a.Rack.Teeth) / 2
	face := math.Abs(u) + a.Rack.Width/2 + holderRoom
	home := r3.Dot(r3.Sub(t.m.Nodes[a.Carriages[t.beam]].At, t.from), a.Dir)
	out := t.train(t.at(home, side*face, n), r3.Scale(side, a.Side), a.Dir, t.carriage)
	f := t.flange()
	top, low, edge := a.Part.PlateTop, n-f/2, t.plateWidth()/2
	plate := t.plate()
	angle := prism.Outline{Outer: prism.Polygon(
		prism.Point{X: side * edge, Y: top - plate}, prism.Point{X: side * (face - holder), Y: top - plate}, prism.Point{X: side * (face - holder), Y: low},
		prism.Point{X: side * face, Y: low}, prism.Point{X: side * face, Y: top}, prism.Point{X: side * edge, Y: top},
	)}.Oriented()
	if face-holder > edge {
		out = append(out, t.own(t.along(home-f/2, home+f/2, 0, 0, angle), t.id("holder"), "", ThingHolder, t.carriage, 0))
	}
	return out
}

// train is gear and motor one behind the other from a face along its outward
// direction; behind a right-angle gear the motor points to turn.
func (t track) train(face, out, turn r3.Vec, body int) []Solid {
	a := t.a
	z := r3.Cross(out, turn)
	var solids []Solid
	if g := a.Gear; g != nil {
		gear := block(r3.Add(face, r3.Scale(g.Length/2, out)), out, turn, z, r3.Vec{X: g.Length, Y: g.Flange, Z: g.Flange})
		solids = append(solids, t.own(gear, t.id("gear"), g.ID, ThingGear, body, g.Mass))
		if g.Kind == "right-angle" {
			face = r3.Add(face, r3.Add(r3.Scale(g.Length/2, out), r3.Scale(g.Flange/2, turn)))
			out, turn = turn, r3.Scale(-1, out)
		} else {
			face = r3.Add(face, r3.Scale(g.Length, out))
		}
	}
	kg := a.Motor.Mass
	if a.Brake != nil {
		kg += a.Brake.Mass
	}
	motor := block(r3.Add(face, r3.Scale(a.Motor.Length/2, out)), out, turn, z, r3.Vec{X: a.Motor.Length, Y: a.Motor.Flange, Z: a.Motor.Flange})
	return append(solids, t.own(motor, t.id("motor"), a.Motor.ID, ThingMotor, body, kg))
}

// lineShaft joins the pulleys of a pair, between the inner sides of its beams.
func lineShaft(tracks []track) Solid {
	t, o := tracks[0], tracks[1]
	a := t.a
	end := t.motorEnd()
	s := t.ends()[end].housing / 2
	if end == 1 {
		s = t.length - s
	}
	from := t.at(s, -t.out*t.wide, t.pulleyAt())
	to := o.at(s, -o.out*o.wide, o.pulleyAt())
	x := r3.Unit(r3.Sub(to, from))
	length := r3.Norm(r3.Sub(to, from))
	shaft := rod(from, x, a.Normal, a.Shaft.Outer, length)
	if a.Shaft.Inner > 0 {
		tube := prism.Outline{Outer: prism.Circle(prism.Point{}, a.Shaft.Outer/2), Holes: []prism.Loop{prism.Circle(prism.Point{}, a.Shaft.Inner/2).Reversed()}}
		shaft = drawn(from, x, a.Normal, r3.Cross(x, a.Normal), length, tube)
	}
	return t.own(shaft, a.Spec.ID+".shaft", a.Shaft.ID, ThingShaft, t.body, a.Shaft.MassPerM*length)
}
