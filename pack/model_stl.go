package pack

import (
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/stl"
)

// linkNames are the links of the URDF file that have a shape: a body each, and
// the tool.
func linkNames(m *machine.Machine) []string {
	var out []string
	for body := 0; body <= len(m.Axes); body++ {
		out = append(out, linkName(bodyName(m, body)))
	}
	if m.Tool.Kg > 0 {
		out = append(out, "tool")
	}
	return out
}

// linkMesh writes the shape of one link in the link's frame.
func linkMesh(w io.Writer, m *machine.Machine, o ModelOptions, name string) error {
	items, err := modelItems(m, o)
	if err != nil {
		return err
	}
	var all []stl.Triangle
	for _, it := range items {
		link, frame := linkOf(m, it)
		if link != name || it.Thing == machine.ThingCarrier {
			continue
		}
		mesh, err := it.prism.Mesh(glbChords)
		if err != nil {
			return fmt.Errorf("%s: %w", it.ID, err)
		}
		place := func(p [3]float64) r3.Vec {
			across := r3.Add(r3.Scale(p[0], it.Y), r3.Scale(p[1], it.Z))
			return r3.Add(r3.Sub(it.Start(), frame), r3.Add(across, r3.Scale(p[2], it.X)))
		}
		for _, t := range mesh.Triangles {
			all = append(all, stl.Triangle{place(mesh.Points[t[0]]), place(mesh.Points[t[1]]), place(mesh.Points[t[2]])})
		}
	}
	return stl.Write(w, all)
}

// linkOf is the link that shows a solid, and where its frame is at home.
func linkOf(m *machine.Machine, it modelItem) (string, r3.Vec) {
	if it.Group == "tool" || it.Group == "payload" {
		return it.Group, m.Nodes[m.Flange].At
	}
	return linkName(bodyName(m, it.Body)), linkFrame(m, it.Body)
}

// linkFrame is where a link's frame is at home: at the carriage of its axis; the
// stand's is the world's.
func linkFrame(m *machine.Machine, body int) r3.Vec {
	if body == 0 {
		return r3.Vec{}
	}
	return m.Nodes[m.Axes[body-1].Carriages[0]].At
}
