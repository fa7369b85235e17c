package machine

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

// Sizes of clamps and gussets that the parts data do not give: own choice.
const (
	clampThick = 0.012 // m, of a clamp's body
	clampHigh  = 0.030 // m, above the seam
	clampLow   = 0.015 // m, below the seam where it lies over it
	clampLeast = 0.004 // m, least height
	clampGap   = 1e-3  // m, to what is above
	clampSpace = 1.05  // distance of clamps over their width
)

// connectionSolids are clamps, plates and ribs between an axis and what carries it.
func (m *Machine) connectionSolids(bars []Bar, c *Connection) []Solid {
	seam := m.PlaceAt(c.B, nil)
	switch {
	case c.Clamp != nil && c.Clamps > 0:
		return m.clampSolids(bars, c, seam)
	case c.Plate != nil:
		return m.mateSolids(c, seam)
	}
	return nil
}

// seat is what carries a connection at its seam: how far it reaches along the
// held axis to both sides, and half its width across it.
func (m *Machine) seat(bars []Bar, c *Connection) (back, ahead, across float64) {
	x, y := c.Axes[0], c.Axes[1]
	if c.A.Node >= 0 { // a carriage
		for _, a := range m.Axes {
			for i, n := range a.Carriages {
				if n == c.A.Node {
					t := m.tracks(a)[i]
					l, w := a.Part.Plate/2, t.plateWidth()/2
					reach := math.Abs(r3.Dot(a.Dir, x))*l + math.Abs(r3.Dot(a.Side, x))*w
					return reach, reach, math.Abs(r3.Dot(a.Dir, y))*l + math.Abs(r3.Dot(a.Side, y))*w
				}
			}
		}
		return 0, 0, 0
	}
	mem := m.Members[c.A.Member]
	from, to := m.Nodes[mem.From].At, m.Nodes[mem.To].At
	for _, b := range bars {
		if b.ID == mem.Bar {
			from, to = b.From, b.To
		}
	}
	d := r3.Unit(r3.Sub(to, from))
	if math.Abs(r3.Dot(d, x)) > 0.999 {
		at := m.PlaceAt(c.A, nil)
		p, q := r3.Dot(r3.Sub(from, at), x), r3.Dot(r3.Sub(to, at), x)
		return -min(p, q), max(p, q), half(mem.Profile, d, mem.Roll, y)
	}
	across = math.Abs(r3.Dot(d, y)) * r3.Norm(r3.Sub(to, from)) / 2
	return half(mem.Profile, d, mem.Roll, x), half(mem.Profile, d, mem.Roll, x), max(across, half(mem.Profile, d, mem.Roll, y))
}

// clampSolids hold the beam from both sides. On a seat wider than the beam they
// stand on it, else they lie over the seam.
func (m *Machine) clampSolids(bars []Bar, c *Connection, seam r3.Vec) []Solid {
	mem := m.Members[c.B.Member]
	beam := half(mem.Profile, c.Axes[0], mem.Roll, c.Axes[1])
	back, ahead, across := m.seat(bars, c)
	pitch := min(clampSpace*c.Clamp.Width, (back+ahead)/float64(c.Clamps))
	width := min(c.Clamp.Width, pitch/clampSpace)
	span := float64(c.Clamps-1)*pitch + width
	var solids []Solid
	group, body := m.Axes[c.Axis].Spec.ID, m.bodyOf(c.A)
	for side := 1.0; side >= -1; side -= 2 {
		high := m.clampRoom(c, side)
		outline := prism.Polygon(at2(beam, 0), at2(beam+2*clampThick, 0), at2(beam+2*clampThick, high/2), at2(beam+clampThick, high/2), at2(beam+clampThick, high), at2(beam, high))
		low := 0.0
		if across < beam+clampThick {
			low = clampLow
			outline = prism.Polygon(at2(max(beam, across), -low), at2(max(beam, across)+clampThick, -low), at2(max(beam, across)+clampThick, high), at2(beam, high), at2(beam, 0), at2(max(beam, across), 0))
			if across <= beam {
				outline = prism.Polygon(at2(beam, -low), at2(beam+clampThick, -low), at2(beam+clampThick, high), at2(beam, high))
			}
		}
		back, ahead := m.alongBeam(c, side, back, ahead)
		mid := min(max(0, span/2-back), ahead-span/2) // within what carries it and along the beam
		mid = m.besideBars(bars, c, side, mid, span/2, low, back, ahead)
		for k := range c.Clamps {
			s := mid + (float64(k)-float64(c.Clamps-1)/2)*pitch
			from := r3.Add(seam, r3.Scale(s-side*width/2, c.Axes[0]))
			clamp := drawn(from, r3.Scale(side, c.Axes[0]), r3.Scale(side, c.Axes[1]), c.Axes[2], width, prism.Outline{Outer: outline}.Oriented())
			id := fmt.Sprintf("%s.clamp.%d", c.ID, len(solids)+1)
			solids = append(solids, clamp.as(id, group, c.Clamp.ID, ThingClamp, body, c.Clamp.Mass))
		}
	}
	return solids
}

// alongBeam keeps a row of clamps on one side of a beam between its ends, and
// where its carriage runs between the end housings, as far as the seat allows.
func (m *Machine) alongBeam(c *Connection, side, back, ahead float64) (float64, float64) {
	length := m.Length(c.B.Member)
	a := m.Axes[c.Axis]
	var housing [2]float64
	if beam := slices.Index(a.Beams, c.B.Member); beam >= 0 && side*r3.Dot(c.Axes[1], a.Normal) > 0.7 {
		for i, e := range m.tracks(a)[beam].ends() {
			housing[i] = e.housing
		}
	}
	return min(back, c.B.At*length-housing[0]), min(ahead, (1-c.B.At)*length-housing[1])
}

func at2(x, y float64) prism.Point { return prism.Point{X: x, Y: y} }

// clampRoom is how high a clamp may stand on one side of the beam: below the
// rack, below a drive beside the beam, and below the blocks where the carriage runs there.
func (m *Machine) clampRoom(c *Connection, side float64) float64 {
	a := m.Axes[c.Axis]
	beam := slices.Index(a.Beams, c.B.Member)
	if beam < 0 { // an under-beam
		return clampHigh
	}
	t := m.tracks(a)[beam]
	out := r3.Scale(side, c.Axes[1])
	room := clampHigh
	if r3.Dot(out, a.Normal) > 0.7 {
		room = min(room, t.wide-a.Part.Across/2-a.Block.Width/2)
	}
	if a.Belt != nil && a.MotorAt != "carriage" { // on both sides, so that all clamps are alike
		room = min(room, t.pulleyAt()-t.flange()/2+t.half)
	}
	if a.Rack != nil {
		if u, n := t.rackAt(); u*r3.Dot(out, a.Side) > 0 && r3.Dot(c.Axes[2], a.Normal) > 0.7 {
			room = min(room, n-a.Rack.Width+t.half)
		}
	}
	return max(room-clampGap, clampLeast)
}

// besideBars moves a row of clamps (half as long as reach each way) along its
// seat to where no bar with its plate meets the seat below the seam on this side.
func (m *Machine) besideBars(bars []Bar, c *Connection, side, mid, reach, low, back, ahead float64) float64 {
	if c.A.Node >= 0 || low == 0 {
		return mid
	}
	seam, out := m.PlaceAt(c.A, nil), r3.Scale(side, c.Axes[1])
	for i := range bars {
		b := &bars[i]
		for end, meets := range b.meets {
			if meets.bar < 0 || bars[meets.bar].ID != m.Members[c.A.Member].Bar || r3.Dot(meets.face, out) < 0.7 {
				continue
			}
			k := newKnot(b, end, &bars[meets.bar])
			at := r3.Sub(k.at, seam)
			wide, top := half(b.Profile, k.lean, b.Roll, c.Axes[0]), r3.Dot(at, c.Axes[2])+half(b.Profile, k.lean, b.Roll, c.Axes[2])
			if j := b.Joints[end]; j != nil && j.Part != nil {
				wide = max(wide, j.Part.Width/2)
			}
			s := r3.Dot(at, c.Axes[0])
			if top < -low || math.Abs(s-mid) >= wide+reach {
				continue
			}
			free := s + wide + reach
			if free+reach > ahead || s-wide-2*reach >= -back && mid < s {
				free = s - wide - reach
			}
			return free
		}
	}
	return mid
}

// bodyOf is the body to which a place belongs.
func (m *Machine) bodyOf(p Place) int {
	if p.Node >= 0 {
		return m.Nodes[p.Node].Body
	}
	return m.Members[p.Member].Body
}

// mateSolids is the plate between a carriage and the next axis, up to the seam.
// Ribs are not drawn: the data do not say where they run. The data give its width
// across the carrying axis and its length along it.
func (m *Machine) mateSolids(c *Connection, seam r3.Vec) []Solid {
	z, along, p := c.Axes[2], c.Axes[0], c.Plate
	if c.Axis > 0 {
		along = m.Axes[c.Axis-1].Dir
	}
	plate := block(r3.Sub(seam, r3.Scale(p.Thick/2, z)), along, r3.Cross(z, along), z, r3.Vec{X: p.Length, Y: p.Width, Z: p.Thick})
	return []Solid{plate.as(c.ID+".plate", m.Axes[c.Axis].Spec.ID, p.ID, ThingMate, m.bodyOf(c.A), p.Mass)}
}
