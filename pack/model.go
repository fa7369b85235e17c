package pack

import (
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/prism"
)

// ModelOptions say how the machine is drawn in the 3D files. The zero value
// draws it at home with simplified profiles and without the payload.
type ModelOptions struct {
	Pose     []float64 // coordinates of the axes, m; nil is home
	Detailed bool      // T-slot profiles with their slots; else hollow boxes of the same area
	Payload  bool      // draw the payload at the tool
	Program  string    // name and version of the program that writes
	Hash     string    // of the design's text, as in the other files of the pack
	Status   string    // said beside the name: NOT RELEASED

	Keyframes []Keyframe // GLB: poses in time; nil: no animation
	Meshes    string     // URDF: folder beside it with an STL file for each link; "" shows boxes and cylinders
}

// modelFiles are the 3D files of a pack: at home, without the payload, the GLB
// with its axes moving.
func (s Source) modelFiles() []File {
	m := s.Assessment.Machine
	o := ModelOptions{Program: s.Tool, Hash: s.Hash}
	if !s.Released() {
		o.Status = NotReleased
	}
	moving, detailed, meshed := o, o, o
	moving.Keyframes = Sweep(m)
	detailed.Detailed = true
	meshed.Meshes = "meshes"
	out := []File{
		{"model/machine.step", "3D model for CAD: assembly, profiles with their slots", func(w io.Writer) error { return STEP(w, m, detailed) }},
		{"model/machine.glb", "3D model for viewing, with its axes moving", func(w io.Writer) error { return GLB(w, m, moving) }},
		{"model/machine.urdf", "masses, joints and limits for simulation", func(w io.Writer) error { return URDF(w, m, meshed) }},
	}
	for _, link := range linkNames(m) {
		out = append(out, File{"model/meshes/" + link + ".stl", "shape of " + link + " for the simulation", func(w io.Writer) error { return linkMesh(w, m, o, link) }})
	}
	return out
}

// Keyframe is a pose at a time.
type Keyframe struct {
	Time float64   // s
	Pose []float64 // m
}

// Sweep moves every axis in turn through its travel and back, two seconds each
// way, the others at home.
func Sweep(m *machine.Machine) []Keyframe {
	const way = 2.0 // s, own choice
	at := func(axis int, x float64) []float64 {
		q := make([]float64, len(m.Axes))
		if axis >= 0 {
			q[axis] = x
		}
		return q
	}
	out := []Keyframe{{0, at(-1, 0)}}
	for i, a := range m.Axes {
		t := 2 * way * float64(i)
		out = append(out, Keyframe{t + way, at(i, a.Spec.Travel)}, Keyframe{t + 2*way, at(-1, 0)})
	}
	return out
}

// Middle is the pose with every axis in the middle of its travel.
func Middle(m *machine.Machine) []float64 {
	q := make([]float64, len(m.Axes))
	for i, a := range m.Axes {
		q[i] = a.Spec.Travel / 2
	}
	return q
}

// modelItem is a solid of the machine as the 3D files draw it.
type modelItem struct {
	machine.Solid
	prism prism.Prism
	part  string // name of what is shared by all pieces of the same shape
}

// modelItems lists the solids in the order of the assembly tree: stand, axes,
// tool, payload.
func modelItems(m *machine.Machine, o ModelOptions) ([]modelItem, error) {
	var out []modelItem
	names := partNames{labels: map[string][]string{}}
	solids := m.SolidsAt(o.Pose)
	for _, group := range modelGroups(m) {
		for _, s := range solids {
			if s.Group != group || s.Group == "payload" && !o.Payload {
				continue
			}
			p, err := s.Prism(!o.Detailed)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", s.ID, err)
			}
			out = append(out, modelItem{s, p, names.name(s, p)})
		}
	}
	return out, nil
}

// modelGroups are the branches of the assembly tree.
func modelGroups(m *machine.Machine) []string {
	out := []string{"stand"}
	for _, a := range m.Axes {
		out = append(out, a.Spec.ID)
	}
	return append(out, "tool", "payload")
}

// groupName is the name of a branch.
func groupName(m *machine.Machine, group string) string {
	for _, a := range m.Axes {
		if a.Spec.ID == group {
			return "axis " + group
		}
	}
	return group
}

// bodyName is the name of what moves as one piece.
func bodyName(m *machine.Machine, body int) string {
	if body == 0 {
		return "stand"
	}
	return "moved by " + m.Axes[body-1].Spec.ID
}

// partNames names what is shared: the part with its length, or what of it is
// drawn; a letter tells shapes apart that would be called the same.
type partNames struct{ labels map[string][]string }

func (n partNames) name(s machine.Solid, p prism.Prism) string {
	label := partLabel(s)
	shape := shapeOf(s, p)
	for i, known := range n.labels[label] {
		if known == shape {
			return variant(label, i)
		}
	}
	n.labels[label] = append(n.labels[label], shape)
	return variant(label, len(n.labels[label])-1)
}

func variant(label string, i int) string {
	if i == 0 {
		return label
	}
	return fmt.Sprintf("%s, shape %d", label, i+1)
}

// byLength are the things that are cut to length.
var byLength = map[machine.Thing]bool{
	machine.ThingProfile: true, machine.ThingRail: true, machine.ThingScrew: true, machine.ThingRack: true, machine.ThingShaft: true,
}

// partLabel is the catalogue id, what of it is drawn if that does not say it, and the length.
func partLabel(s machine.Solid) string {
	label := s.Part
	switch {
	case label == "":
		label = s.ID
	case s.Thing == machine.ThingRail || s.Thing == machine.ThingPlate || s.Thing == machine.ThingEnd:
		label += " " + string(s.Thing)
	case s.Of != "":
		label += " further piece"
	}
	if byLength[s.Thing] {
		label += " x " + strconv.FormatFloat(float64(int(s.Length*1e4+0.5))/10, 'f', -1, 64) + " mm"
	}
	return label
}

// shapeOf tells shapes apart to 1e-9 m, and things of different looks.
func shapeOf(s machine.Solid, p prism.Prism) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %.9f %.9f", s.Thing, p.Length, p.Ends)
	for _, l := range p.Loops() {
		b.WriteByte('|')
		for _, v := range l {
			fmt.Fprintf(&b, "%.9f,%.9f,%.9f;", v.X, v.Y, v.Bulge)
		}
	}
	return strings.ReplaceAll(b.String(), "-0.000000000", "0.000000000")
}

// modelName is the name of the whole machine in the files.
func modelName(m *machine.Machine) string {
	return cmp.Or(m.Design.Meta.Number, m.Design.Name)
}

// look is the colour of a thing: red, green, blue as screens take them, and opacity.
type look struct {
	name    string
	r, g, b float64
	opacity float64
	metal   float64
}

// looks are plain: light metal for profiles, darker for what is bought ready,
// one warm tone for what is carried. Own choice.
func lookOf(t machine.Thing) look {
	switch t {
	case machine.ThingProfile:
		return look{"profile", 0.78, 0.80, 0.81, 1, 0.2}
	case machine.ThingRail, machine.ThingScrew, machine.ThingRack, machine.ThingShaft:
		return look{"steel", 0.55, 0.57, 0.60, 1, 0.5}
	case machine.ThingBlock, machine.ThingClamp:
		return look{"dark steel", 0.36, 0.38, 0.42, 1, 0.4}
	case machine.ThingPlate, machine.ThingMate, machine.ThingJoint, machine.ThingHolder:
		return look{"plate", 0.62, 0.68, 0.72, 1, 0.2}
	case machine.ThingMotor, machine.ThingCarrier, machine.ThingFoot:
		return look{"black", 0.20, 0.21, 0.23, 1, 0}
	case machine.ThingGear, machine.ThingEnd, machine.ThingTray:
		return look{"grey", 0.45, 0.46, 0.47, 1, 0.1}
	case machine.ThingStop:
		return look{"stop", 0.70, 0.55, 0.25, 1, 0}
	case machine.ThingTool:
		return look{"tool", 0.35, 0.47, 0.60, 1, 0.1}
	case machine.ThingPayload:
		return look{"payload", 0.80, 0.62, 0.42, 0.45, 0}
	}
	return look{"other", 0.6, 0.6, 0.6, 1, 0}
}

// placed is where the item's own origin lies at the pose, in W.
func (i modelItem) placed(m *machine.Machine, q []float64) r3.Vec {
	return r3.Add(i.Start(), m.Displacement(i.Body, q))
}
