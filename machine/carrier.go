package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/equip"
	"spanwright/parts"
)

// CableCarrier is the cable carrier of an axis with its cables. Its fixed end
// lies on the body that carries the axis, its moving end on the body that moves.
type CableCarrier struct {
	Spec    design.Carrier
	Part    *parts.Carrier
	Cables  []design.Cable // that cross the joint of the axis
	Shape   equip.Carrier  // over the mechanical travel: from the one compressed bumper to the other
	Loop    equip.Loop
	Dressed equip.Dressed
}

// MovingMass is what the axis feels of the carrier at the worse end of its travel, kg.
func (c *CableCarrier) MovingMass() float64 {
	return c.Dressed.MovingMass(c.Loop.UpperMax, c.Shape.Radius)
}

// Mass is the whole carrier with the cables in it, kg.
func (c *CableCarrier) Mass() float64 { return (c.Dressed.Empty + c.Dressed.Cables) * c.Loop.Length }

// Crossing lists the cables that cross the joint of axis i.
func (m *Machine) Crossing(i int) []design.Cable {
	var out []design.Cable
	for _, c := range m.Design.Equipment.Cables {
		if m.CableBody(c.To) > i {
			out = append(out, c)
		}
	}
	return out
}

// cableCarriers dresses every carrier and hangs it on its two bodies: what
// moves with the carriage at the worse end of travel on the moving one, the
// rest along the beam or on the block plate.
func (b *builder) cableCarriers() {
	b.m.CableCarriers = map[string]*CableCarrier{}
	for _, spec := range b.m.Design.Equipment.Carriers {
		for _, a := range b.m.Axes {
			if a.Spec.ID == spec.Axis {
				b.cableCarrier(a, spec, b.m.Carriers[spec.Axis])
			}
		}
	}
}

// straightLinks is the number of straight links at each end of a carrier.
const straightLinks = 1 // common practice, no source

func (b *builder) cableCarrier(a *Axis, spec design.Carrier, part *parts.Carrier) {
	c := &CableCarrier{Spec: spec, Part: part, Cables: b.m.Crossing(a.Index)}
	c.Shape = equip.Carrier{
		Travel: a.Spec.Travel + 2*b.reserve(a), Fixed: spec.FixedAt,
		TowardMinus: spec.FixedAt > 0, // a bend that opens away from the fixed end stands out least
		Radius:      part.Radius, AddOn: 2 * straightLinks * part.Pitch, Pitch: part.Pitch, OuterHeight: part.Outer,
	}
	if math.Abs(a.Dir.Z) > 0.7 {
		c.Shape.TowardMinus = a.Dir.Z > 0 // the bend hangs down
	}
	if spec.Length != nil {
		c.Shape.Built = *spec.Length
	}
	c.Dressed.Empty = part.MassPerM
	for _, cable := range c.Cables {
		c.Dressed.Cables += cable.Mass
	}
	var err error
	if c.Loop, err = c.Shape.Loop(); err != nil {
		b.refuse("equipment.carriers."+spec.Axis, CarrierPlace, "", err.Error(), "")
		return
	}
	b.m.CableCarriers[spec.Axis] = c
	moving := c.MovingMass()
	b.mass(a.Spec.ID+".carrier", b.movedNode(a), moving, r3.Vec{}, [3]float64{})
	resting := c.Mass() - moving // negative if it is built too short: then nothing rests
	if a.BodyMoves {
		b.mass(a.Spec.ID+".carrier.resting", a.Carriages[0], resting, r3.Vec{}, [3]float64{})
		return
	}
	beam := b.m.Members[a.Beams[0]]
	b.mass(a.Spec.ID+".carrier.resting.from", beam.From, resting/2, r3.Vec{}, [3]float64{})
	b.mass(a.Spec.ID+".carrier.resting.to", beam.To, resting/2, r3.Vec{}, [3]float64{})
}

// movedNode is the node of the body that axis a moves to which things are fixed.
func (b *builder) movedNode(a *Axis) int {
	if a.BodyMoves {
		return b.m.Members[a.Beams[0]].From
	}
	return a.Carriages[0]
}

// CableBody is the body on which a cable ends: 0 for the stand, the last for the tool.
func (m *Machine) CableBody(to string) int {
	switch to {
	case "stand":
		return 0
	case "tool":
		return len(m.Axes)
	}
	for i, a := range m.Axes {
		if a.Spec.ID == to {
			return i + 1
		}
	}
	return 0
}
