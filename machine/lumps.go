package machine

import "gonum.org/v1/gonum/spatial/r3"

// BodyLump is one body reduced to its mass and centre of mass at home, with the
// tool in the last one.
type BodyLump struct {
	Body   int
	Kg     float64
	Centre r3.Vec // home pose, in W
}

// Lumps reduces the moved bodies 1 to n; the payload is not in it.
func (m *Machine) Lumps() []BodyLump {
	last := len(m.Axes)
	out := make([]BodyLump, 0, last)
	for b := 1; b <= last; b++ {
		kg, at := m.bodyCentre(b)
		if b == last {
			tool := r3.Add(m.Nodes[m.Flange].At, m.Tool.Centre)
			kg, at = join(kg, at, m.Tool.Kg, tool)
		}
		out = append(out, BodyLump{Body: b, Kg: kg, Centre: at})
	}
	return out
}

// PayloadLump is the payload at home.
func (m *Machine) PayloadLump() BodyLump {
	return BodyLump{Body: len(m.Axes), Kg: m.Payload.Kg, Centre: r3.Add(m.Nodes[m.Flange].At, m.Payload.Centre)}
}

func (m *Machine) bodyCentre(body int) (kg float64, at r3.Vec) {
	for i, mem := range m.Members {
		if mem.Body == body {
			mid := r3.Scale(0.5, r3.Add(m.Nodes[mem.From].At, m.Nodes[mem.To].At))
			kg, at = join(kg, at, mem.MassPerM()*m.Length(i), mid)
		}
	}
	for _, p := range m.Masses {
		if m.Nodes[p.Node].Body == body {
			kg, at = join(kg, at, p.Kg, r3.Add(m.Nodes[p.Node].At, p.Offset))
		}
	}
	return kg, at
}

func join(kgA float64, a r3.Vec, kgB float64, b r3.Vec) (float64, r3.Vec) {
	sum := kgA + kgB
	if sum == 0 {
		return 0, a
	}
	return sum, r3.Scale(1/sum, r3.Add(r3.Scale(kgA, a), r3.Scale(kgB, b)))
}
