package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/frame"
	"spanwright/joint"
	"spanwright/machine"
)

// at picks the end of a range.
func at(l Level, r design.Range) float64 { return [...]float64{r.Low, r.Nominal, r.High}[l] }

func pick(l Level, r joint.Range) float64 { return [...]float64{r.Low, r.Nominal, r.High}[l] }

// JointSprings is the rotational stiffness of a member's end joint about its
// local x, y, z with its range, N m/rad.
func JointSprings(m *machine.Machine, member int) ([3]joint.Range, error) {
	mem := m.Members[member]
	s, err := joint.FamilySprings(joint.Family(mem.Joint.Part.Family), joint.Member{
		Young: mem.Material.E, DepthY: mem.Profile.Size[0], DepthZ: mem.Profile.Size[1],
	})
	if err != nil {
		return [3]joint.Range{}, err
	}
	about := [3]joint.Range{s.KRX, s.KRY, s.KRZ}
	if mem.Role == machine.Leg {
		// Legs are joined in both vertical planes.
		about[2] = s.KRY.Scale(cube(mem.Profile.Size[0] / mem.Profile.Size[1]))
	} else if swapped(m, member) {
		z, err := joint.FamilySprings(joint.Family(mem.Joint.Part.Family), joint.Member{
			Young: mem.Material.E, DepthY: mem.Profile.Size[1], DepthZ: mem.Profile.Size[0],
		})
		if err != nil {
			return about, err
		}
		about = [3]joint.Range{z.KRX, z.KRZ, z.KRY}
	}
	if f := m.Design.Assumptions.JointFactor; !f.Family {
		for i, r := range about {
			about[i] = joint.Range{Low: r.Nominal * f.Low, Nominal: r.Nominal * f.Nominal, High: r.Nominal * f.High}
		}
	}
	return about, nil
}

func cube(x float64) float64 { return x * x * x }

// swapped tells whether the plane that the member stiffens is its local x-y
// plane, so that brackets turn about its local z.
func swapped(m *machine.Machine, member int) bool {
	mem := m.Members[member]
	normal := r3.Vec{Z: 1} // top, bottom
	switch mem.Plane {
	case "along":
		normal = m.Stand.Across
	case "across":
		normal = m.Stand.Along
	}
	y, z := machine.LocalAxes(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At), mem.Roll)
	return math.Abs(r3.Dot(normal, z)) > math.Abs(r3.Dot(normal, y))
}

func jointEnd(m *machine.Machine, member int, level Level) (frame.End, error) {
	j := m.Members[member].Joint
	if j.Hinged || j.Part == nil {
		return frame.End{{}, frame.Free(), frame.Free()}, nil
	}
	about, err := JointSprings(m, member)
	if err != nil {
		return frame.End{}, fmt.Errorf("%s: %w", j.Path, err)
	}
	return frame.End{
		frame.SemiRigid(pick(level, about[0])), frame.SemiRigid(pick(level, about[1])), frame.SemiRigid(pick(level, about[2])),
	}, nil
}

// scatter is the range of an interface's computed stiffness: contact, flatness
// and torque are not known. Engineering judgement, no source.
var scatter = joint.Range{Low: 0.5, Nominal: 1, High: 2}

// connectionTie is the spring of a connection.
func connectionTie(m *machine.Machine, c machine.Connection, level Level) (frame.Tie, error) {
	k, err := connectionStiffness(m, c)
	if err != nil {
		return frame.Tie{}, fmt.Errorf("%s: %w", c.Path, err)
	}
	f := pick(level, scatter)
	t := frame.Tie{ID: c.ID, From: point(m, c.A), To: point(m, c.B), Axes: frame.Axes{array(c.Axes[0]), array(c.Axes[1]), array(c.Axes[2])}}
	for i := range k {
		t.K[i] = k[i] * f
	}
	if c.Float {
		t.K[0] = 0
	}
	return t, nil
}

func point(m *machine.Machine, p machine.Place) frame.Point {
	if p.Node >= 0 {
		return frame.Point{Node: m.Nodes[p.Node].ID, Offset: array(p.Offset)}
	}
	return frame.Point{Member: m.Members[p.Member].ID, Position: p.At, Offset: array(p.Offset)}
}

// connectionStiffness is the nominal stiffness along and about the own axes.
func connectionStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	switch {
	case c.Clamp != nil:
		return clampStiffness(m, c), nil
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
func clampStiffness(m *machine.Machine, c machine.Connection) [6]float64 {
	n := float64(max(c.Clamps, 1))
	half := beamWidth(m, c) / 2
	spread := n * (n*n - 1) / 12 * c.Clamp.Width * c.Clamp.Width // Σx² of n places at equal distances
	spread += n * c.Clamp.Width * c.Clamp.Width / 12             // and each presses over its own width
	kn, kt := c.Clamp.Kn, c.Clamp.Kt
	return [6]float64{2 * n * kt, 2 * n * kt, 2 * n * kn, 2 * n * kn * half * half, 2 * kn * spread, 2*n*kt*half*half + 2*kt*spread}
}

// beamWidth is the size across of the held beam.
func beamWidth(m *machine.Machine, c machine.Connection) float64 {
	if c.B.Node >= 0 {
		return m.Axes[c.Axis].Part.Across
	}
	mem := m.Members[c.B.Member]
	y, z := machine.LocalAxes(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At), mem.Roll)
	return math.Abs(r3.Dot(y, c.Axes[1]))*mem.Profile.Size[0] + math.Abs(r3.Dot(z, c.Axes[1]))*mem.Profile.Size[1]
}

// plateStiffness bends the plate as a strip between the screw patterns of both
// sides, clear by a quarter of its length in each direction, ribs included;
// along and across it is a stiff panel in shear. Derived from beam theory; the
// clear length is engineering judgement.
func plateStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	const young, shear = 70e9, 27e9 // aluminium, EN 1999-1-1 3.2.5, from memory
	p := c.Plate
	bend := func(width, length float64) (float64, error) {
		inertia := joint.Strip{Width: width, Thickness: p.Thick}.Inertia()
		if c.Gussets > 0 && p.RibThick > 0 && p.RibHigh > 0 {
			s, err := joint.Ribbed{PlateWidth: width, PlateThickness: p.Thick, Ribs: c.Gussets, RibThickness: p.RibThick, RibHeight: p.RibHigh}.Section()
			if err != nil {
				return 0, err
			}
			inertia = s.Inertia
		}
		return young * inertia / (length / 4), nil
	}
	rx, err := bend(p.Length, p.Width)
	if err != nil {
		return [6]float64{}, err
	}
	ry, err := bend(p.Width, p.Length)
	if err != nil {
		return [6]float64{}, err
	}
	panel := shear * p.Thick
	arm := math.Hypot(p.PitchX, p.PitchY) / 2
	normal := 4 * math.Min(rx, ry) / (arm*arm + 1e-6)
	return [6]float64{panel, panel, normal, rx, ry, panel * arm * arm}, nil
}

// directStiffness is that of a bolted base plate of the held beam.
func directStiffness(m *machine.Machine, c machine.Connection) ([6]float64, error) {
	size, young := [2]float64{0.08, 0.08}, 70e9
	if c.B.Node < 0 {
		mem := m.Members[c.B.Member]
		size, young = mem.Profile.Size, mem.Material.E
	}
	s, err := joint.FamilySprings(joint.BasePlates, joint.Member{Young: young, DepthY: size[0], DepthZ: size[1]})
	if err != nil {
		return [6]float64{}, err
	}
	return [6]float64{s.KX.Nominal, s.KY.Nominal, s.KZ.Nominal, s.KRY.Nominal, s.KRZ.Nominal, s.KRX.Nominal}, nil
}
