package machine

import "gonum.org/v1/gonum/spatial/r3"

// weigh adds what hardware weighs, so that the model weighs what the parts list
// does: joints at the ends they hold, plates and clamps with what they carry,
// bumpers at the ends of their beam; and bars by their sawn length, although
// their members run from centre line to centre line.
func (b *builder) weigh() {
	for _, mem := range b.m.Members {
		for e, j := range mem.Joints {
			if j.HasPart() {
				b.mass(mem.ID+".joint."+[2]string{"from", "to"}[e], [2]int{mem.From, mem.To}[e], j.Part.Mass, r3.Vec{}, [3]float64{})
			}
		}
	}
	for _, c := range b.m.Connections {
		kg := 0.0
		if c.Plate != nil {
			kg += c.Plate.Mass
		}
		if c.Clamp != nil {
			kg += 2 * float64(c.Clamps) * c.Clamp.Mass
		}
		b.massAt(c, kg)
	}
	for _, a := range b.m.Axes {
		if p := b.m.Bumpers[a.Spec.ID]; p != nil {
			for _, beam := range a.Beams {
				mem := b.m.Members[beam]
				b.mass(mem.ID+".bumper.from", mem.From, p.Mass, r3.Vec{}, [3]float64{})
				b.mass(mem.ID+".bumper.to", mem.To, p.Mass, r3.Vec{}, [3]float64{})
			}
		}
	}
	for _, bar := range b.m.Bars() {
		b.sawn(bar)
	}
}

// massAt hangs the hardware of a connection on the carriage it sits on, or
// spreads it over the held beam.
func (b *builder) massAt(c Connection, kg float64) {
	switch {
	case kg == 0:
	case c.A.Node >= 0:
		at := c.A.Offset // the seam
		if c.Plate != nil {
			at = r3.Sub(at, r3.Scale(c.Plate.Thick/2, c.Axes[2]))
		}
		b.mass(c.ID+".hardware", c.A.Node, kg, at, [3]float64{})
	case c.B.Node < 0:
		b.m.Members[c.B.Member].Extra += kg / b.m.Length(c.B.Member)
	}
}

// sawn takes off the members of a stand's bar what is not sawn of it.
func (b *builder) sawn(bar Bar) {
	if bar.Body != 0 || bar.Axis >= 0 {
		return
	}
	centre := 0.0
	for _, i := range bar.Members {
		centre += b.m.Length(i)
	}
	for _, i := range bar.Members {
		mem := &b.m.Members[i]
		mem.Extra += mem.BareMassPerM() * (bar.Length()/centre - 1)
	}
}
