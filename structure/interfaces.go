package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/joint"
	"spanwright/machine"
)

// connectionStiffness is the nominal stiffness along and about the own axes.
func connectionStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	switch {
	case c.Clamp != nil:
		return clampStiffness(m, c)
	case c.Plate != nil:
		return plateStiffness(m, c)
	}
	return directStiffness(m, c)
}

// clampStiffness is that of two lines of clamps beside the beam.
//
//	k_z = 2 n k_n   k_x = k_y = 2 n k_t   k_rx = 2 n k_n (w/2)²   k_ry = 2 k_n Σx²   k_rz = 2 n k_t (w/2)² + 2 k_t Σx²
//
// with n clamps on each side at their own width apart. A single clamp a side
// holds pitch and yaw only over its own width. Derived.
func clampStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	kn, kt := c.Clamp.Kn, c.Clamp.Kt
	if !(kn > 0) || !(kt > 0) {
		return [6]float64{}, fmt.Errorf("clamp %s: stiffness_normal and stiffness_sideways are needed", c.Clamp.ID)
	}
	n := float64(max(c.Clamps, 1))
	half := HeldWidth(m, c) / 2
	spread := n * (n*n - 1) / 12 * c.Clamp.Width * c.Clamp.Width // Σx² of n places at equal distances
	spread += n * c.Clamp.Width * c.Clamp.Width / 12             // and each presses over its own width
	return [6]float64{2 * n * kt, 2 * n * kt, 2 * n * kn, 2 * n * kn * half * half, 2 * kn * spread, 2*n*kt*half*half + 2*kt*spread}, nil
}

// HeldWidth is the size across of what a connection holds, m.
func HeldWidth(m *machine.Machine, c machine.Connection) float64 { return face(m, c.B, c)[1] }

// face is how far a body reaches at a place of a connection, along the own x
// and y of the connection, m; +Inf along a bar.
func face(m *machine.Machine, p machine.Place, c machine.Connection) [2]float64 {
	if p.Node < 0 {
		return barFace(m, p.Member, c)
	}
	for _, a := range m.Axes {
		for _, n := range a.Carriages {
			if n == p.Node {
				return carriageFace(a, c)
			}
		}
	}
	for i, mem := range m.Members { // the tool end of a moving body
		if mem.From == p.Node || mem.To == p.Node {
			return barFace(m, i, c)
		}
	}
	return [2]float64{math.Inf(1), math.Inf(1)}
}

func carriageFace(a *machine.Axis, c machine.Connection) (size [2]float64) {
	width := a.Part.PlateWidth
	if width == 0 {
		width = a.Part.Across + a.Block.Width
	}
	for i := range size {
		size[i] = math.Abs(r3.Dot(a.Dir, c.Axes[i]))*a.Part.Plate + math.Abs(r3.Dot(a.Side, c.Axes[i]))*width
	}
	return size
}

func barFace(m *machine.Machine, member int, c machine.Connection) (size [2]float64) {
	mem := m.Members[member]
	x := r3.Unit(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At))
	y, z := machine.LocalAxes(x, mem.Roll)
	for i := range size {
		size[i] = math.Abs(r3.Dot(y, c.Axes[i]))*mem.Profile.Size[0] + math.Abs(r3.Dot(z, c.Axes[i]))*mem.Profile.Size[1]
		if math.Abs(r3.Dot(x, c.Axes[i])) > math.Sqrt2/2 {
			size[i] = math.Inf(1)
		}
	}
	return size
}

// InterfacePlate lays out the plate of a connection in its joint axes: x off
// what carries it, y along the held axis, z across.
func InterfacePlate(m *machine.Machine, c machine.Connection) (joint.PlateBetween, error) {
	p := c.Plate
	screw, err := joint.UsualScrew(p.Screw, p.Class, p.Torque)
	if err != nil {
		return joint.PlateBetween{}, err
	}
	if c.Metal == nil {
		return joint.PlateBetween{}, fmt.Errorf("plate %s: the material %s is not known", p.ID, p.Material)
	}
	out := joint.PlateBetween{
		Screw: screw, Count: p.Count, Pitch: [2]float64{p.PitchX, p.PitchY}, Size: [2]float64{p.Length, p.Width},
		Thickness: p.Thick, Young: c.Metal.E, Ribs: ribs(c), RibThickness: p.RibThick, RibHeight: p.RibHigh,
		Carrier: face(m, c.A, c), Held: face(m, c.B, c),
	}
	out.Yield, _ = c.Metal.YieldAt(p.Thick)
	if math.Abs(r3.Dot(lowerDirection(m, c), c.Axes[1])) > math.Sqrt2/2 {
		out.Pitch[0], out.Pitch[1] = out.Pitch[1], out.Pitch[0]
		out.Size[0], out.Size[1] = out.Size[1], out.Size[0]
	}
	return out, nil
}

// ribs are those that the design asks for; a plate that comes with ribs has two.
func ribs(c machine.Connection) int {
	switch {
	case !(c.Plate.RibThick > 0) || !(c.Plate.RibHigh > 0):
		return 0
	case c.Gussets > 0:
		return c.Gussets
	}
	return 2
}

// lowerDirection is the direction that the length of a plate follows: the
// travel of the axis that carries it or, on the stand, the bar under it.
func lowerDirection(m *machine.Machine, c machine.Connection) r3.Vec {
	switch {
	case c.A.Node < 0:
		mem := m.Members[c.A.Member]
		return r3.Unit(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At))
	case c.Axis > 0:
		return m.Axes[c.Axis-1].Dir
	}
	return c.Axes[0]
}

// plateStiffness is that of the bolted contact in series with the plate, which
// bends where screws stand beyond the other body and is a panel in shear.
func plateStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	k, err := directStiffness(m, c)
	if err != nil {
		return k, err
	}
	between, err := InterfacePlate(m, c)
	if err != nil {
		return k, err
	}
	plate, err := between.Assemble(joint.UsualSafety())
	if err != nil {
		return k, err
	}
	bends := plate.Stiffness()
	panel := c.Metal.G * c.Plate.Thick
	for i, own := range [...]float64{panel, panel, bends.Normal, bends.AboutY, bends.AboutZ} {
		k[i] = 1 / (1/k[i] + 1/own)
	}
	return k, nil
}

// directStiffness is that of two faces bolted on each other, taken as a base
// plate of the size that both cover.
func directStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	young := 70e9 // carriages are aluminium, EN 1999-1-1, 3.2.5, from memory
	if c.B.Node < 0 {
		young = m.Members[c.B.Member].Material.E
	}
	a, b := face(m, c.A, c), face(m, c.B, c)
	size := [2]float64{math.Min(a[0], b[0]), math.Min(a[1], b[1])}
	for i := range size {
		if math.IsInf(size[i], 1) {
			size[i] = size[1-i] // bar on bar: the contact counts as square
		}
	}
	s, err := joint.FamilySprings(joint.BasePlates, joint.Member{Young: young, DepthY: size[0], DepthZ: size[1]})
	if err != nil {
		return [6]float64{}, err
	}
	return [6]float64{s.KY.Nominal, s.KZ.Nominal, s.KX.Nominal, s.KRY.Nominal, s.KRZ.Nominal, s.KRX.Nominal}, nil
}
