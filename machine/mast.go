package machine

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// toolEndMargin is the default distance from the outermost block at the hard
// stop to the tool end of the body: room for the tool flange; own choice.
const toolEndMargin = 0.040 // m

// bodyMoving places a beam that moves past blocks fixed on the carriage before.
func (b *builder) bodyMoving(a *Axis) {
	shape := b.profiles[a.Part.Profile]
	roll := rollFor(a.Dir, a.Normal)
	plateAt := r3.Add(r3.Add(b.carrierMiddle(), vec(a.Spec.Offset)), r3.Scale(b.plateThick(a), b.seat))
	plate := b.node(a.Spec.ID+".plate", a.Index, plateAt)
	a.Carriages = []int{plate}
	a.Blocks = a.blocks(0)
	b.carriageMass(a, plate)
	b.counterweight(a, plate)
	b.joinPlate(a, plate)

	half := a.Part.Along/2 + a.Block.Length/2
	overhang := half + b.reserve(a) + toolEndMargin
	if a.Spec.Overhang != nil {
		overhang = *a.Spec.Overhang
	}
	a.Length = overhang + a.Spec.Travel + half + b.reserve(a) + a.Part.EndLength
	if a.Spec.Length != nil {
		a.Length = *a.Spec.Length
	}
	a.ToolEnd = toolEnd(a)
	atMinus := r3.Dot(a.ToolEnd, a.Dir) < 0
	a.Home = overhang + a.Spec.Travel
	if !atMinus {
		a.Home = a.Length - overhang
	}
	line := r3.Sub(plateAt, r3.Scale(a.Part.PlateTop, a.Normal))
	from := r3.Sub(line, r3.Scale(a.Home, a.Dir))
	mast := b.beam(a, a.Spec.ID+".body", a.Index+1, from, shape, roll, a.Part.ExtraPerM, Mast)
	a.Beams = []int{mast}
	b.beamEnds(a, mast, "")
	if a.MotorAt == "carriage" {
		b.driveMasses(a, plate, "")
	}
	b.m.Flange = b.m.Members[mast].To
	if atMinus {
		b.m.Flange = b.m.Members[mast].From
	}
	if short := a.Home - a.Spec.Travel; short < 0 || a.Home > a.Length {
		b.refuse("axes."+a.Spec.ID+".length", TooShort, "", "the body is too short: its blocks would leave the rail within the travel", "lengthen it or leave length out")
	}
	b.carriers, b.seat = []int{b.m.Flange}, a.ToolEnd
}

// toolEnd is the lower end of a steep body, else its plus end.
func toolEnd(a *Axis) r3.Vec {
	if a.Dir.Z > 0.7 {
		return r3.Scale(-1, a.Dir)
	}
	return a.Dir
}

// joinPlate is the interface between the carriage before and the block plate.
func (b *builder) joinPlate(a *Axis, plate int) {
	for _, n := range b.carriers {
		c := b.connection(a, Interface, a.Spec.ID+".interface")
		c.A = Place{Node: n, Offset: r3.Sub(b.m.Nodes[plate].At, b.m.Nodes[n].At)}
		c.B = Place{Node: plate}
		b.m.Connections = append(b.m.Connections, c)
	}
	a.Supports = []float64{0}
}
