package structure

import (
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

// JointSprings is the rotational stiffness of the joint at a member's first (0)
// or second (1) end about the member's local x, y, z with its range, N m/rad.
func JointSprings(m *machine.Machine, member, end int) ([3]joint.Range, error) {
	mem := m.Members[member]
	family := joint.Family(mem.Joints[end].Part.Family)
	s, err := joint.FamilySprings(family, joint.Member{
		Young: mem.Material.E, DepthY: mem.Profile.Size[0], DepthZ: mem.Profile.Size[1],
	})
	if err != nil {
		return [3]joint.Range{}, err
	}
	about := [3]joint.Range{s.KRX, s.KRY, s.KRZ}
	if mem.Role == machine.Leg {
		// Legs are joined in both vertical planes.
		about[2] = s.KRY.Scale(cube(mem.Profile.Size[0] / mem.Profile.Size[1]))
	} else if Swapped(m, member) {
		z, err := joint.FamilySprings(family, joint.Member{
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

// Swapped tells whether the plane that a member stiffens is its local x-y plane,
// so that brackets turn about its local z. Members of a generated stand know
// their plane; others lie in one plane with the first bar that they meet at an angle.
func Swapped(m *machine.Machine, member int) bool {
	mem := m.Members[member]
	y, z := machine.LocalAxes(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At), mem.Roll)
	var normal r3.Vec
	switch mem.Plane {
	case "along":
		normal = m.Stand.Across
	case "across":
		normal = m.Stand.Along
	case "top", "bottom":
		normal = r3.Vec{Z: 1}
	default:
		met := met(m, member)
		return math.Abs(r3.Dot(met, y)) > math.Abs(r3.Dot(met, z))
	}
	return math.Abs(r3.Dot(normal, z)) > math.Abs(r3.Dot(normal, y))
}

// met is the direction of the first member that meets another one at an angle.
func met(m *machine.Machine, member int) r3.Vec {
	mem := m.Members[member]
	x := r3.Unit(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At))
	const angled = 0.98 // cosine of about 10 degrees
	for i, o := range m.Members {
		if i == member || o.From != mem.From && o.From != mem.To && o.To != mem.From && o.To != mem.To {
			continue
		}
		if d := r3.Unit(r3.Sub(m.Nodes[o.To].At, m.Nodes[o.From].At)); math.Abs(r3.Dot(d, x)) < angled {
			return d
		}
	}
	return r3.Vec{}
}

func jointEnd(m *machine.Machine, member, end int, level Level) (frame.End, error) {
	j := m.Members[member].Joints[end]
	if j.Hinged || j.Part == nil {
		return frame.End{{}, frame.Free(), frame.Free()}, nil
	}
	about, err := JointSprings(m, member, end)
	if err != nil {
		return frame.End{}, &PartError{j.Path, err}
	}
	return frame.End{
		frame.SemiRigid(pick(level, about[0])), frame.SemiRigid(pick(level, about[1])), frame.SemiRigid(pick(level, about[2])),
	}, nil
}

// scatter is the range of an interface's computed stiffness: contact, flatness
// and torque are not known. Engineering judgement, no source.
var scatter = joint.Range{Low: 0.5, Nominal: 1, High: 2}

// ConnectionStiffness is the stiffness of a connection along and about its own
// axes, N/m and N m/rad. A floating one lets the held beam slide along its own x.
func ConnectionStiffness(m *machine.Machine, c machine.Connection, level Level) ([6]float64, error) {
	k, err := connectionStiffness(m, c)
	if err != nil {
		return k, &PartError{c.Path, err}
	}
	f := pick(level, scatter)
	for i := range k {
		k[i] *= f
	}
	if c.Float {
		k[0] = 0
	}
	return k, nil
}

// connectionTie is the spring of a connection.
func connectionTie(m *machine.Machine, c machine.Connection, level Level) (frame.Tie, error) {
	k, err := ConnectionStiffness(m, c, level)
	return frame.Tie{ID: c.ID, From: point(m, c.A), To: point(m, c.B), Axes: frame.Axes{array(c.Axes[0]), array(c.Axes[1]), array(c.Axes[2])}, K: k}, err
}

func point(m *machine.Machine, p machine.Place) frame.Point {
	if p.Node >= 0 {
		return frame.Point{Node: m.Nodes[p.Node].ID, Offset: array(p.Offset)}
	}
	return frame.Point{Member: m.Members[p.Member].ID, Position: p.At, Offset: array(p.Offset)}
}
