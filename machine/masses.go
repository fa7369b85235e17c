package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

func (b *builder) mass(id string, node int, kg float64, offset r3.Vec, inertia [3]float64) {
	if kg > 0 {
		b.m.Masses = append(b.m.Masses, Mass{ID: id, Node: node, Kg: kg, Offset: offset, Inertia: inertia})
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

// beamEnds hangs the end housings on the beam's ends, with the drive's masses at
// the From end if they sit on the beam.
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
	b.driveMasses(a, end, side)
}

// driveMasses hangs motor, gear and brake on a node, and half of a line shaft; of
// a pair with one motor, the motor only on the driven side.
func (b *builder) driveMasses(a *Axis, node int, side string) {
	if a.Shaft != nil {
		b.mass(a.Spec.ID+".shaft"+side, node, a.Shaft.MassPerM*a.Spec.Pair.Spacing/2, r3.Vec{}, [3]float64{})
	}
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

// counterweight hangs the weight of a counterbalance on what carries the axis: it
// travels with that body and moves up and down on it.
func (b *builder) counterweight(a *Axis, node int) {
	if c := a.Spec.Counter; c != nil && c.Weight != nil {
		b.mass(a.Spec.ID+".counterweight", node, *c.Weight, r3.Vec{}, [3]float64{})
	}
}
