package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/parts"
)

// Solid is one body of the machine as a simple shape, for pictures, drawings and
// 3D files. It is drawn from the same machine as everything else, at home; at a
// pose it moves with its body.
type Solid struct {
	ID    string
	Body  int
	Group string // stand, an axis id, tool, payload, equipment
	Kind  SolidKind
	Part  string // catalogue id, "" for what has none

	// Own frame in W: prisms run along X from Origin for Length with the outline
	// of Profile in Y, Z; boxes are centred at Origin with Size along X, Y, Z;
	// cylinders run along X from Origin for Length with diameter Size.X.
	Origin  r3.Vec
	X, Y, Z r3.Vec
	Length  float64
	Size    r3.Vec
	Profile *parts.Profile
	Kg      float64
}

// SolidKind is the shape of a solid.
type SolidKind string

// The kinds of solids.
const (
	Prism    SolidKind = "prism"
	Box      SolidKind = "box"
	Cylinder SolidKind = "cylinder"
)

// Solids lists the machine's solids at home, in a fixed order.
func (m *Machine) Solids() []Solid {
	var out []Solid
	for _, b := range m.Bars() {
		out = append(out, m.barSolid(b))
	}
	out = append(out, m.footSolids()...)
	for _, a := range m.Axes {
		out = append(out, m.axisSolids(a)...)
	}
	return append(out, m.toolSolids()...)
}

func (m *Machine) barSolid(b Bar) Solid {
	x := r3.Unit(r3.Sub(b.To, b.From))
	y, z := LocalAxes(x, b.Roll)
	group := "stand"
	if b.Axis >= 0 && b.Axis < len(m.Axes) {
		group = m.Axes[b.Axis].Spec.ID
	}
	mem := m.Members[b.Members[0]]
	return Solid{
		ID: b.ID, Body: b.Body, Group: group, Kind: Prism, Part: b.Profile.ID,
		Origin: b.From, X: x, Y: y, Z: z, Length: b.Length(), Profile: b.Profile, Kg: mem.BareMassPerM() * b.Length(),
	}
}

func (m *Machine) footSolids() []Solid {
	var out []Solid
	for _, f := range m.Feet {
		n := m.Nodes[f.Node]
		at := n.At
		at.Z = 0
		out = append(out, Solid{
			ID: n.ID + ".foot", Group: "stand", Kind: Cylinder, Part: f.Part.ID, Origin: at,
			X: r3.Vec{Z: 1}, Y: r3.Vec{X: 1}, Z: r3.Vec{Y: 1}, Length: f.Part.Height, Size: r3.Vec{X: f.Part.Pad}, Kg: f.Part.Mass,
		})
	}
	return out
}

// axisSolids are carriages, motors with gears, and plates of one axis.
func (m *Machine) axisSolids(a *Axis) []Solid {
	var out []Solid
	thick := a.Part.PlateTop - a.Part.RailHeight
	width := max(a.Part.Across+0.04, 0.06)
	for i, n := range a.Carriages {
		node := m.Nodes[n]
		s := Solid{
			ID: fmt.Sprintf("%s.carriage.%d", a.Spec.ID, i+1), Body: node.Body, Group: a.Spec.ID, Kind: Box, Part: a.Part.ID,
			Origin: r3.Sub(node.At, r3.Scale(thick/2, a.Normal)), X: a.Dir, Y: a.Side, Z: a.Normal,
			Size: r3.Vec{X: a.Part.Plate, Y: width, Z: thick}, Kg: a.Part.Carriage,
		}
		if a.BodyMoves {
			s.Origin = r3.Sub(node.At, r3.Scale(thick/2, a.Normal))
		}
		out = append(out, s)
	}
	for _, p := range m.Masses {
		if p.ID == a.Spec.ID+".motor" || p.ID == a.Spec.ID+".motor.minus" || p.ID == a.Spec.ID+".motor.plus" {
			out = append(out, m.motorSolid(a, p))
		}
	}
	return out
}

// motorSolid is motor and gear as one box beside its beam's end, or on its plate.
func (m *Machine) motorSolid(a *Axis, p Mass) Solid {
	side := a.Motor.Flange
	length := a.Motor.Length
	if a.Gear != nil {
		length += a.Gear.Length
	}
	node := m.Nodes[p.Node]
	s := Solid{
		ID: p.ID, Body: node.Body, Group: a.Spec.ID, Kind: Box, Part: a.Motor.ID, X: a.Dir, Y: a.Side, Z: a.Normal,
		Size: r3.Vec{X: side, Y: length, Z: side}, Kg: p.Kg,
	}
	reach := half(a.Profile, a.Dir, rollFor(a.Dir, a.Normal), a.Side)
	s.Origin = r3.Add(node.At, r3.Scale(reach+length/2, a.Side))
	if a.Screw != nil { // in line behind the end of the screw
		s.Size = r3.Vec{X: length, Y: side, Z: side}
		out := a.Dir
		if node.At == m.Nodes[m.Members[a.Beams[0]].From].At {
			out = r3.Scale(-1, a.Dir)
		}
		s.Origin = r3.Add(node.At, r3.Scale(length/2, out))
	}
	if a.MotorAt == "carriage" {
		s.Origin = r3.Add(node.At, r3.Add(r3.Scale(max(a.Part.Across, 0.06)/2+length/2+0.03, a.Side), r3.Scale(-a.Part.PlateTop/2, a.Normal)))
	}
	return s
}

// toolSolids are the tool and the payload as boxes in the directions of the
// machine; the tool reaches from the flange to the tool point.
func (m *Machine) toolSolids() []Solid {
	flange := m.Nodes[m.Flange]
	body := len(m.Axes)
	size := m.Design.Task.Payload.Size
	reach := func(offset, thick float64) float64 { return math.Abs(offset) + min(max(0.06, thick), 0.5) }
	tool := r3.Vec{X: reach(m.Point.X, 0.6*size[0]), Y: reach(m.Point.Y, 0.6*size[1]), Z: max(math.Abs(m.Point.Z), 0.02)}
	return []Solid{
		{
			ID: "tool", Body: body, Group: "tool", Kind: Box, Origin: r3.Add(flange.At, r3.Scale(0.5, m.Point)),
			X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}, Size: tool, Kg: m.Tool.Kg,
		},
		{
			ID: "payload", Body: body, Group: "payload", Kind: Box, Origin: r3.Add(flange.At, m.Payload.Centre),
			X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}, Size: vec(size), Kg: m.Payload.Kg,
		},
	}
}
