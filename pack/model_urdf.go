package pack

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/prism"
	"spanwright/structure"
	"spanwright/urdf"
)

// URDF writes the machine as a chain of prismatic joints with masses and boxes.
// Masses and centres are those of the machine that is computed, the payload
// (if asked for) as a link of its own.
func URDF(w io.Writer, m *machine.Machine, o ModelOptions) error {
	r, err := urdfRobot(m, o)
	if err != nil {
		return err
	}
	return urdf.Write(w, r)
}

// linkName makes a name of one word: many readers take no spaces.
func linkName(s string) string { return strings.Join(strings.Fields(s), "_") }

func urdfRobot(m *machine.Machine, o ModelOptions) (*urdf.Robot, error) {
	items, err := modelItems(m, o)
	if err != nil {
		return nil, err
	}
	b := urdfBuilder{m: m, o: o, items: items}
	r := &urdf.Robot{Name: linkName(modelName(m)), Notes: b.notes()}
	frame := func(body int) r3.Vec { return linkFrame(m, body) }
	for body := 0; body <= len(m.Axes); body++ {
		r.Links = append(r.Links, b.link(bodyName(m, body), frame(body), b.mass(body), func(it modelItem) bool {
			return it.Body == body && it.Group != "tool" && it.Group != "payload"
		}))
		if body == 0 {
			continue
		}
		j, err := b.joint(body-1, r3.Sub(frame(body), frame(body-1)))
		if err != nil {
			return nil, err
		}
		r.Joints = append(r.Joints, j)
	}
	last := len(m.Axes)
	flange := m.Nodes[m.Flange].At
	hold := func(name string, lump machine.Lump, group string) {
		body := urdf.Body{Mass: lump.Kg, Centre: r3.Add(flange, lump.Centre), Inertia: b.lumpInertia(lump, group)}
		r.Links = append(r.Links, b.link(name, flange, body, func(it modelItem) bool { return it.Group == group }))
		r.Joints = append(r.Joints, urdf.Joint{
			Name: "holds_" + name, Fixed: true, Parent: linkName(bodyName(m, last)), Child: name, At: urdf.Frame{At: r3.Sub(flange, frame(last))},
		})
	}
	if m.Tool.Kg > 0 {
		hold("tool", m.Tool, "tool")
	}
	if o.Payload {
		hold("payload", m.Payload, "payload")
	}
	return r, nil
}

type urdfBuilder struct {
	m     *machine.Machine
	o     ModelOptions
	items []modelItem
}

func (b urdfBuilder) notes() []string {
	out := []string{fmt.Sprintf("%s, revision %s", b.m.Design.Name, b.m.Design.Meta.Revision)}
	if b.o.Status != "" {
		out = append(out, b.o.Status)
	}
	if b.o.Hash != "" {
		out = append(out, "design "+b.o.Hash)
	}
	for _, a := range b.m.Axes {
		if len(a.Beams) == 2 {
			out = append(out, fmt.Sprintf("axis %s is a pair of runways: one joint stands for both", a.Spec.ID))
		}
	}
	return append(out, "cable carriers change their shape and are not drawn; links are as at coordinate 0 of every axis")
}

// mass is one body with mass, centre and inertia, without tool and payload, in W.
func (b urdfBuilder) mass(body int) urdf.Body {
	var all []urdf.Body
	for i, mem := range b.m.Members {
		if mem.Body != body {
			continue
		}
		from, to := b.m.Nodes[mem.From].At, b.m.Nodes[mem.To].At
		x := r3.Unit(r3.Sub(to, from))
		y, z := machine.LocalAxes(x, mem.Roll)
		length := b.m.Length(i)
		kg := mem.MassPerM() * length
		all = append(all, urdf.Body{
			Mass: kg, Centre: r3.Scale(0.5, r3.Add(from, to)),
			Inertia: urdf.Bar(kg, length, mem.Section.Area, mem.Section.Iy, mem.Section.Iz, x, y, z),
		})
	}
	for _, p := range b.m.Masses {
		if n := b.m.Nodes[p.Node]; n.Body == body {
			all = append(all, urdf.Body{
				Mass: p.Kg, Centre: r3.Add(n.At, p.Offset), Inertia: urdf.Inertia{XX: p.Inertia[0], YY: p.Inertia[1], ZZ: p.Inertia[2]},
			})
		}
	}
	return urdf.Join(all...)
}

// lumpInertia is that of the design, or of the box that is drawn where it has none.
func (b urdfBuilder) lumpInertia(l machine.Lump, group string) urdf.Inertia {
	if l.Inertia != [3]float64{} {
		return urdf.Inertia{XX: l.Inertia[0], YY: l.Inertia[1], ZZ: l.Inertia[2]}
	}
	for _, it := range b.items {
		if it.Group == group {
			return urdf.Bar(l.Kg, it.Size.X, it.Size.Y*it.Size.Z, it.Size.Y*it.Size.Z*it.Size.Z*it.Size.Z/12, it.Size.Z*it.Size.Y*it.Size.Y*it.Size.Y/12, it.X, it.Y, it.Z)
		}
	}
	return urdf.Inertia{}
}

func (b urdfBuilder) link(name string, frame r3.Vec, body urdf.Body, mine func(modelItem) bool) urdf.Link {
	body.Centre = r3.Sub(body.Centre, frame)
	l := urdf.Link{Name: linkName(name), Body: body}
	if b.o.Meshes != "" {
		l.Mesh = b.o.Meshes + "/" + l.Name + ".stl"
	}
	for _, it := range b.items {
		if mine(it) && it.Thing != machine.ThingCarrier {
			l.Visuals = append(l.Visuals, visual(it, frame))
		}
	}
	return l
}

// visual is the box around a solid, or its cylinder; its z is the solid's length.
func visual(it modelItem, frame r3.Vec) urdf.Visual {
	look := lookOf(it.Thing)
	v := urdf.Visual{Name: it.ID, Colour: look.name, RGBA: [4]float64{look.r, look.g, look.b, look.opacity}}
	reach := func(x, y float64) float64 {
		s, _ := it.prism.Outer.Support(prism.Point{X: x, Y: y})
		return s
	}
	x0, x1, y0, y1 := -reach(-1, 0), reach(1, 0), -reach(0, -1), reach(0, 1)
	z0, z1 := -it.prism.Support(r3.Vec{Z: -1}), it.prism.Support(r3.Vec{Z: 1})
	if !it.prism.Square() { // slanting ends: the length on the centre line is closer than the longest edge
		z0, z1 = 0, it.Length
	}
	centre := r3.Add(it.Start(), r3.Add(r3.Scale((x0+x1)/2, it.Y), r3.Add(r3.Scale((y0+y1)/2, it.Z), r3.Scale((z0+z1)/2, it.X))))
	v.At = urdf.AngleFrame(r3.Sub(centre, frame), it.Y, it.Z, it.X)
	if it.Kind == machine.Cylinder {
		v.Radius, v.Length = (x1-x0)/2, z1-z0
		return v
	}
	v.Box = r3.Vec{X: x1 - x0, Y: y1 - y0, Z: z1 - z0}
	return v
}

// peakForce is what the drive of an axis can push for a short time: the peak
// torque of its motors, but no more than their gears bear, times the travel of
// the drive (virtual work, losses not counted), N. A stepper has no peak torque:
// its torque at standstill counts.
func peakForce(a *machine.Axis) (float64, error) {
	gearing, err := structure.OutputGearing(a)
	if err != nil {
		return 0, fmt.Errorf("axis %s: %w", a.Spec.ID, err)
	}
	torque := cmp.Or(a.Motor.Tmax, a.Motor.T0)
	if g := a.Gear; g != nil {
		torque = min(torque*g.Ratio, g.T2B)
	}
	return float64(a.Motors()) * torque * gearing, nil
}

// joint is an axis with its software limits and its programmed speed.
func (b urdfBuilder) joint(axis int, at r3.Vec) (urdf.Joint, error) {
	a := b.m.Axes[axis]
	effort, err := peakForce(a)
	if err != nil {
		return urdf.Joint{}, err
	}
	soft := 0.0
	for _, e := range b.m.Design.Equipment.Ends {
		if e.Axis == a.Spec.ID {
			soft = e.Soft
		}
	}
	return urdf.Joint{
		Name: a.Spec.ID, Parent: linkName(bodyName(b.m, axis)), Child: linkName(bodyName(b.m, axis+1)),
		At: urdf.Frame{At: at}, Axis: a.Dir,
		Limit: urdf.Limit{Lower: -soft, Upper: a.Spec.Travel + soft, Effort: effort, Velocity: a.Spec.Limits.Speed},
	}, nil
}
