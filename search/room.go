package search

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/clearance"
	"spanwright/machine"
)

// withRoom makes room for what would touch.
func (p *Problem) withRoom(c Choice, f *fitted) error {
	const most = 2 // rounds: what hangs lower may come beside other parts
	for range most {
		f.roughStand(p, c)
		m, err := p.build(c, *f)
		if err != nil {
			return err
		}
		if changed, err := p.makeRoom(m, f); err != nil || !changed {
			return err
		}
		if mast := m.Axes[len(m.Axes)-1]; f.drop > 0 {
			if f.overhang == 0 {
				f.overhang = mast.Home - mast.Spec.Travel
			}
			for i := len(p.axes) - 1; i >= 0; i-- { // the ends of a heavier mast may ask for more
				if _, _, why := p.fitEnd(c, f, i); why != "" {
					return &overError{why}
				}
			}
		}
	}
	return nil
}

// overError says which check discards a machine that was fitted.
type overError struct{ kind string }

func (e *overError) Error() string { return "over: " + e.kind }

// makeRoom widens what is derived until the boxes around parts pass each other,
// where a small change does it: the mast reaches further down, so that the tool
// clears the beam it hangs beside and what drives it; the runways go apart, so that
// the tool and what moves across clear the drives of the runways. Boxes are on the
// safe side; that parts clear is a check. It tells whether anything has changed.
func (p *Problem) makeRoom(m *machine.Machine, f *fitted) (bool, error) {
	parts, err := m.Extents()
	if err != nil {
		return false, err
	}
	drop, aside := 0.0, 0.0
	for i := range parts {
		for k := range parts {
			still, moving := &parts[i], &parts[k]
			if !moving.Rigid() || m.Meant(still, moving) != "" {
				continue
			}
			if moving.Solid.Thing == machine.ThingTool {
				drop = math.Max(drop, p.lower(f, still, moving))
			}
			if p.gantry() && still.Rigid() {
				aside = math.Max(aside, p.apart(f, still, moving))
			}
		}
	}
	f.drop, f.aside = f.drop+ceil(drop, roomStep), f.aside+ceil(2*aside, roomStep)
	return drop > 0 || aside > 0, nil
}

// roomStep is to what room is rounded up, m, and mostRoomMade is the most that is
// made for one part: what is further in the way is of another size; own choice.
const (
	roomStep     = 0.01
	mostRoomMade = 0.15
)

// lower is by how much the tool hangs too high below a part that does not move
// with the mast but with the axis that carries it, or below the loop of the mast's
// own cable carrier, m.
func (p *Problem) lower(f *fitted, still, tool *machine.Extent) float64 {
	last := len(p.axes) - 1
	if !still.Rigid() {
		if still.Solid.Group != p.axes[last].id {
			return 0
		}
		return atMost(p.Task.Assumptions.Limits.Clearance - p.between(f, still, tool))
	}
	if still.Solid.Group != p.axes[last-1].id || still.Bodies[0] > last {
		return 0
	}
	low, high := p.swept(f, still, tool)
	clear := p.Task.Assumptions.Limits.Clearance
	if !overlap(still.Low.X, still.High.X, low.X, high.X, clear) || !overlap(still.Low.Y, still.High.Y, low.Y, high.Y, clear) || low.Z > still.High.Z+clear {
		return 0
	}
	return atMost(high.Z + clear - still.Low.Z)
}

// between is how near two parts come at any places of the axes, m.
func (p *Problem) between(f *fitted, a, b *machine.Extent) float64 {
	ranges := make([]clearance.Range, len(p.axes))
	for i, x := range p.axes {
		ranges[i] = clearance.Range{Low: -p.reserve(*f, i), High: x.travel + p.reserve(*f, i)}
	}
	least := math.Inf(1)
	for i := range a.Pieces {
		for k := range b.Pieces {
			if clearance.Apart(&a.Pieces[i], &b.Pieces[k], ranges) < math.Min(least, p.Task.Assumptions.Limits.Clearance) {
				least = math.Min(least, clearance.Between(&a.Pieces[i], &b.Pieces[k], ranges).Distance)
			}
		}
	}
	return least
}

// apart is by how much a part that moves across comes too near to one of a runway
// beside it, m.
func (p *Problem) apart(f *fitted, still, moving *machine.Extent) float64 {
	if still.Solid.Group != p.axes[0].id || still.Bodies[0] > 1 || moving.Bodies[0] < 2 {
		return 0
	}
	low, high := p.swept(f, still, moving)
	clear := p.Task.Assumptions.Limits.Clearance
	along, across := p.axes[0].dir, p.axes[1].dir
	span := func(d [3]float64, a, b r3.Vec) (float64, float64) {
		x, y := d[0]*a.X+d[1]*a.Y, d[0]*b.X+d[1]*b.Y
		return math.Min(x, y), math.Max(x, y)
	}
	s0, s1 := span(along, still.Low, still.High)
	m0, m1 := span(along, low, high)
	if !overlap(s0, s1, m0, m1, clear) || !overlap(still.Low.Z, still.High.Z, low.Z, high.Z, clear) {
		return 0
	}
	s0, s1 = span(across, still.Low, still.High)
	m0, m1 = span(across, low, high)
	if s0+s1 < m0+m1 {
		return atMost(s1 + clear - m0)
	}
	return atMost(m1 + clear - s0)
}

// swept is the box of the places that one part takes against another, whatever
// places the axes take that move it against that one, up to their hard stops.
func (p *Problem) swept(f *fitted, still, moving *machine.Extent) (low, high r3.Vec) {
	low, high = moving.Low, moving.High
	for i := still.Bodies[0]; i < moving.Bodies[0]; i++ {
		reserve := p.reserve(*f, i)
		for _, way := range []float64{-reserve, p.axes[i].travel + reserve} {
			d := p.axes[i].dir
			by := r3.Vec{X: way * d[0], Y: way * d[1], Z: way * d[2]}
			low = r3.Vec{X: math.Min(low.X, moving.Low.X+by.X), Y: math.Min(low.Y, moving.Low.Y+by.Y), Z: math.Min(low.Z, moving.Low.Z+by.Z)}
			high = r3.Vec{X: math.Max(high.X, moving.High.X+by.X), Y: math.Max(high.Y, moving.High.Y+by.Y), Z: math.Max(high.Z, moving.High.Z+by.Z)}
		}
	}
	return low, high
}

func overlap(a0, a1, b0, b1, clear float64) bool { return a0 < b1+clear && b0 < a1+clear }

// atMost drops what is not in the way or too far in it.
func atMost(by float64) float64 {
	if by > 0 && by <= mostRoomMade {
		return by
	}
	return 0
}
