package pack

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/glb"
	"spanwright/machine"
	"spanwright/prism"
)

// glbChords is the number of chords in a full turn of a drawn arc: own choice.
const glbChords = 24

// GLB writes the machine as binary glTF with +Y up: a node for every body that
// moves, hung on the body that carries it, and below it the branches of the
// assembly tree. With keyframes the axes move, and the loops of the cable
// carriers with them.
func GLB(w io.Writer, m *machine.Machine, o ModelOptions) error {
	b := &glbBuilder{m: m, o: o, meshes: map[string]*glb.Mesh{}, materials: map[string]*glb.Material{}}
	s, err := b.scene()
	if err != nil {
		return err
	}
	return glb.Write(w, s)
}

type glbBuilder struct {
	m         *machine.Machine
	o         ModelOptions
	meshes    map[string]*glb.Mesh
	materials map[string]*glb.Material
	channels  []glb.Channel
}

func (b *glbBuilder) scene() (*glb.Scene, error) {
	items, err := modelItems(b.m, b.o)
	if err != nil {
		return nil, err
	}
	root := &glb.Node{Name: modelName(b.m), Rotation: glb.ZUp, Extras: map[string]any{
		"machine": b.m.Design.Name, "revision": b.m.Design.Meta.Revision,
	}}
	if b.o.Status != "" {
		root.Extras["status"] = b.o.Status
	}
	if b.o.Hash != "" {
		root.Extras["design"] = b.o.Hash
	}
	above := root
	for body := 0; body <= len(b.m.Axes); body++ {
		node, err := b.body(body, items)
		if err != nil {
			return nil, err
		}
		above.Children = append(above.Children, node)
		above = node
	}
	s := &glb.Scene{Generator: b.o.Program, Root: root}
	if len(b.channels) > 0 {
		s.Animations = []glb.Animation{{Name: "axes", Channels: b.channels}}
	}
	return s, nil
}

// body is the node of one body; it moves along its axis seen from the one that carries it.
func (b *glbBuilder) body(body int, items []modelItem) (*glb.Node, error) {
	node := &glb.Node{Name: bodyName(b.m, body)}
	if body > 0 {
		i := body - 1
		dir := b.m.Axes[i].Dir
		if i < len(b.o.Pose) {
			node.Translation = r3.Scale(b.o.Pose[i], dir)
		}
		b.animate(node, glb.Translation, func(q []float64) r3.Vec { return r3.Scale(q[i], dir) })
	}
	for _, group := range modelGroups(b.m) {
		branch := &glb.Node{Name: groupName(b.m, group)}
		for _, it := range items {
			if it.Body != body || it.Group != group {
				continue
			}
			n, err := b.item(it)
			if err != nil {
				return nil, err
			}
			branch.Children = append(branch.Children, n)
		}
		if len(branch.Children) > 0 {
			node.Children = append(node.Children, branch)
		}
	}
	return node, nil
}

// animate adds a channel for what depends on the pose.
func (b *glbBuilder) animate(n *glb.Node, path glb.Path, at func(q []float64) r3.Vec) {
	if len(b.o.Keyframes) == 0 {
		return
	}
	c := glb.Channel{Node: n, Path: path}
	for _, k := range b.o.Keyframes {
		q := make([]float64, len(b.m.Axes))
		copy(q, k.Pose)
		c.Times = append(c.Times, k.Time)
		c.Values = append(c.Values, at(q))
	}
	b.channels = append(b.channels, c)
}

func (b *glbBuilder) item(it modelItem) (*glb.Node, error) {
	n := &glb.Node{
		Name: it.ID, Translation: it.Start(), Rotation: glb.Axes(it.Y, it.Z, it.X),
		Extras: map[string]any{"part": it.part, "kind": string(it.Thing)},
	}
	if it.Kg > 0 {
		n.Extras["mass_kg"] = math.Round(it.Kg*1e6) / 1e6
	}
	if it.Thing == machine.ThingCarrier && len(b.o.Keyframes) > 0 {
		return n, b.movingLoop(n, it)
	}
	mesh, err := b.mesh(it.part, it.Thing, it.prism)
	n.Mesh = mesh
	return n, err
}

// mesh is the surface of a part, made once.
func (b *glbBuilder) mesh(name string, thing machine.Thing, p prism.Prism) (*glb.Mesh, error) {
	if m, ok := b.meshes[name]; ok {
		return m, nil
	}
	surface, err := p.Mesh(glbChords)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	m := &glb.Mesh{Name: name, Points: surface.Points, Normals: surface.Normals, Triangles: surface.Triangles, Material: b.material(thing)}
	b.meshes[name] = m
	return m, nil
}

func (b *glbBuilder) material(t machine.Thing) *glb.Material {
	l := lookOf(t)
	if m, ok := b.materials[l.name]; ok {
		return m
	}
	m := &glb.Material{Name: l.name, Colour: [4]float64{linear(l.r), linear(l.g), linear(l.b), l.opacity}, Metallic: l.metal, Roughness: 0.6}
	b.materials[l.name] = m
	return m
}

// linear is the light of a screen value (sRGB), rounded to what can be seen.
//
// Source: IEC 61966-2-1 (from memory).
func linear(v float64) float64 {
	if v > 0.04045 {
		v = math.Pow((v+0.055)/1.055, 2.4)
	} else {
		v /= 12.92
	}
	return math.Round(v*1e4) / 1e4
}

// movingLoop draws a cable carrier in three pieces that can move: two runs that
// stretch and a bend that goes half as fast as the axis.
func (b *glbBuilder) movingLoop(n *glb.Node, it modelItem) error {
	l, _ := b.m.Loop(b.m.Axes[it.Body])
	n.Translation = r3.Sub(l.Fixed, r3.Scale(l.Wide/2, l.Width))
	n.Rotation = glb.Axes(l.Along, l.Across, l.Width)
	run := prism.Prism{Outline: prism.Outline{Outer: prism.Rectangle(1, l.Thick).Moved(0.5, 0)}, Length: l.Wide}
	h, d := l.Thick/2, 2*l.Radius
	half := prism.Prism{Length: l.Wide, Outline: prism.Outline{Outer: prism.Loop{
		{Point: prism.Point{Y: -h}, Bulge: 1}, {Point: prism.Point{Y: d + h}}, {Point: prism.Point{Y: d - h}, Bulge: -1}, {Point: prism.Point{Y: h}},
	}}}
	straight, err := b.mesh(it.part+" run", it.Thing, run)
	if err != nil {
		return err
	}
	bend, err := b.mesh(it.part+" bend", it.Thing, half)
	if err != nil {
		return err
	}
	runs := func(q []float64) (fixed, moving float64) {
		if it.Body < len(q) {
			return l.Runs(q[it.Body])
		}
		return l.Runs(0)
	}
	pieces := []struct {
		name      string
		mesh      *glb.Mesh
		at, scale func(fixed, moving float64) r3.Vec
	}{
		{"fixed run", straight, func(_, _ float64) r3.Vec { return r3.Vec{} }, func(f, _ float64) r3.Vec { return r3.Vec{X: f, Y: 1, Z: 1} }},
		{"bend", bend, func(f, _ float64) r3.Vec { return r3.Vec{X: f} }, nil},
		{"moving run", straight, func(f, m float64) r3.Vec { return r3.Vec{X: f - m, Y: d} }, func(_, m float64) r3.Vec { return r3.Vec{X: m, Y: 1, Z: 1} }},
	}
	for _, p := range pieces {
		child := &glb.Node{Name: it.ID + " " + p.name, Mesh: p.mesh, Translation: p.at(runs(b.o.Pose))}
		b.animate(child, glb.Translation, func(q []float64) r3.Vec { return p.at(runs(q)) })
		if p.scale != nil {
			child.Scale = p.scale(runs(b.o.Pose))
			b.animate(child, glb.Scale, func(q []float64) r3.Vec { return p.scale(runs(q)) })
		}
		n.Children = append(n.Children, child)
	}
	return nil
}
