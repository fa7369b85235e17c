package machine

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/parts"
	"spanwright/prism"
	"spanwright/section"
)

// Solid is one body of the machine as a straight prism, for pictures, drawings
// and 3D files. It is drawn from the same machine as everything else, at home;
// at a pose it moves with its body.
type Solid struct {
	ID    string
	Of    string // the solid to whose part this further piece belongs; "" for a part's only or first piece
	Body  int
	Group string // stand, an axis id, tool, payload
	Thing Thing
	Kind  SolidKind
	Part  string // catalogue id, "" for what has none

	// Own frame in W, right-handed; the outline lies in Y, Z and is drawn out along
	// X. A prism runs from Origin for Length with the outline of Profile about
	// Origin; a cylinder runs from Origin for Length with diameter Size.X; a box
	// and a shape are centred at Origin with Size along X, Y, Z, and the outline of
	// a shape is given about that centre.
	Origin  r3.Vec
	X, Y, Z r3.Vec
	Length  float64
	Size    r3.Vec
	Profile *parts.Profile
	Outline prism.Outline  // of a shape: x along Y, y along Z
	Cuts    [2]prism.Slope // of the ends of a prism, over Y and Z

	Kg      float64 // of the part; 0 for further pieces and what is not in the parts data
	Density float64 // kg/m³ where the outline is that of the part and the mass follows from it; else 0
}

// SolidKind is the shape of a solid.
type SolidKind string

// The kinds of solids.
const (
	Prism    SolidKind = "prism"    // a bar with its profile
	Box      SolidKind = "box"      //
	Cylinder SolidKind = "cylinder" //
	Shape    SolidKind = "shape"    // another outline, drawn out; Size is the box around it
)

// Thing says what a solid is, for colours and choices.
type Thing string

// The things that are drawn.
const (
	ThingProfile Thing = "profile"
	ThingJoint   Thing = "joint plate"
	ThingFoot    Thing = "foot"
	ThingRail    Thing = "rail"
	ThingBlock   Thing = "block"
	ThingPlate   Thing = "carriage plate"
	ThingEnd     Thing = "end housing"
	ThingScrew   Thing = "screw"
	ThingRack    Thing = "rack"
	ThingMotor   Thing = "motor"
	ThingGear    Thing = "gear"
	ThingShaft   Thing = "shaft"
	ThingHolder  Thing = "motor holder"
	ThingStop    Thing = "hard stop"
	ThingClamp   Thing = "clamp"
	ThingMate    Thing = "interface plate"
	ThingCarrier Thing = "cable carrier"
	ThingTray    Thing = "carrier support"
	ThingTool    Thing = "tool"
	ThingPayload Thing = "payload"
)

// Solids lists the machine's solids at home, in a fixed order.
func (m *Machine) Solids() []Solid { return m.SolidsAt(nil) }

// SolidsAt lists the machine's solids where they are at home, with the loops of
// the cable carriers in the form that they have at pose q: bodies move as a
// whole, a loop changes its shape. nil is the home pose.
func (m *Machine) SolidsAt(q []float64) []Solid {
	bars := m.Bars()
	var out []Solid
	for _, b := range bars {
		out = append(out, m.barSolid(b))
	}
	for i := range bars {
		out = append(out, m.jointSolids(bars, i)...)
	}
	out = append(out, m.footSolids()...)
	for _, a := range m.Axes {
		out = append(out, m.axisSolids(bars, a)...)
		out = append(out, m.carrierSolids(a, q)...)
	}
	return append(out, m.toolSolids()...)
}

// Prism is the solid as a prism from Start on, its x, y and z along the solid's
// Y, Z and X. A simplified T-slot profile is a hollow box of the same size and
// the same area, so that masses stay right. With slanting ends its arcs are the
// chords, of the same area, by which the section is computed.
func (s Solid) Prism(simplified bool) (prism.Prism, error) {
	switch s.Kind {
	case Box:
		return prism.Box(s.Size.Y, s.Size.Z, s.Size.X), nil
	case Cylinder:
		return prism.Cylinder(s.Size.X, s.Length), nil
	case Shape:
		return prism.Prism{Outline: s.Outline, Length: s.Size.X}, nil
	}
	p := prism.Prism{Length: s.Length, Ends: s.Cuts}
	o, err := profileOutline(s.Profile, simplified, p.Square())
	p.Outline = o
	return p, err
}

// Start is where the solid's prism begins, at home, in W.
func (s Solid) Start() r3.Vec {
	if s.Kind == Box || s.Kind == Shape {
		return r3.Sub(s.Origin, r3.Scale(s.Size.X/2, s.X))
	}
	return s.Origin
}

// profileOutline draws a profile about the centre of its size, with true arcs
// or with the chords of its section.
func profileOutline(p *parts.Profile, simplified, arcs bool) (prism.Outline, error) {
	drawn, err := p.Outline()
	if p.Given != nil {
		return hollow(p.Size[0], p.Size[1], p.Given.A), nil
	}
	if err != nil {
		return prism.Outline{}, err
	}
	lo, hi := drawn.Extents()
	y, z := (lo.Y+hi.Y)/2, (lo.Z+hi.Z)/2
	loop := func(l section.Loop) prism.Loop {
		points := make([]prism.Point, len(l))
		for i, q := range l {
			points[i] = prism.Point{X: q.Y - y, Y: q.Z - z}
		}
		if !arcs {
			return prism.Polygon(points...)
		}
		return prism.Recognise(points)
	}
	o := prism.Outline{Outer: loop(drawn.Outer)}
	for _, h := range drawn.Holes {
		o.Holes = append(o.Holes, loop(h))
	}
	o = o.Oriented()
	if simplified && p.Shape == "t-slot" {
		return hollow(p.Size[0], p.Size[1], o.Area()), nil
	}
	return o, nil
}

// hollow is a rectangle with a hole of even wall that leaves the given area:
// (w - 2t)(h - 2t) = w h - A.
func hollow(w, h, area float64) prism.Outline {
	o := prism.Outline{Outer: prism.Rectangle(w, h)}
	left := w*h - area
	t := ((w + h) - math.Sqrt((w-h)*(w-h)+4*max(left, 0))) / 4
	if left > 0 && t > 0 && 2*t < min(w, h) {
		o.Holes = []prism.Loop{prism.Rectangle(w-2*t, h-2*t).Reversed()}
	}
	return o
}

// Support is how far the solid reaches from the world's origin along the unit
// vector d at home, m.
func (s Solid) Support(d r3.Vec) float64 {
	p, err := s.Prism(true)
	if err != nil {
		return math.Inf(-1)
	}
	return r3.Dot(s.Start(), d) + p.Support(r3.Vec{X: r3.Dot(d, s.Y), Y: r3.Dot(d, s.Z), Z: r3.Dot(d, s.X)})
}

func (m *Machine) barSolid(b Bar) Solid {
	x := r3.Unit(r3.Sub(b.To, b.From))
	y, z := LocalAxes(x, b.Roll)
	mem := m.Members[b.Members[0]]
	s := Solid{
		ID: b.ID, Body: b.Body, Group: m.groupOf(b), Thing: ThingProfile, Kind: Prism, Part: b.Profile.ID,
		Origin: b.From, X: x, Y: y, Z: z, Length: b.Length(), Profile: b.Profile, Kg: mem.BareMassPerM() * b.Length(),
		Size: r3.Vec{X: b.Length(), Y: b.Profile.Size[0], Z: b.Profile.Size[1]},
	}
	if b.Profile.MassPerM == nil && b.Profile.Given == nil {
		s.Density = mem.Material.Density
	}
	for end, n := range b.Cuts {
		// On the cut plane n·p = 0 from its point on the centre line: the rise of x over y and z.
		along := r3.Dot(n, x)
		s.Cuts[end] = prism.Slope{X: zero(-r3.Dot(n, y) / along), Y: zero(-r3.Dot(n, z) / along)}
	}
	return s
}

// zero drops what rounding leaves of a slope.
func zero(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}

func (m *Machine) groupOf(b Bar) string {
	if b.Axis >= 0 && b.Axis < len(m.Axes) {
		return m.Axes[b.Axis].Spec.ID
	}
	for _, a := range m.Axes {
		if strings.HasPrefix(b.ID, a.Spec.ID+".under_beam") {
			return a.Spec.ID
		}
	}
	return "stand"
}

// block is a box about its centre.
func block(centre, x, y, z, size r3.Vec) Solid {
	return Solid{Kind: Box, Origin: centre, X: x, Y: y, Z: z, Length: size.X, Size: size}
}

// rod is a cylinder from a point along x.
func rod(from, x, y r3.Vec, diameter, length float64) Solid {
	return Solid{Kind: Cylinder, Origin: from, X: x, Y: y, Z: r3.Cross(x, y), Length: length, Size: r3.Vec{X: diameter}}
}

// drawn is an outline in the plane of y and z through a point, drawn out along x.
func drawn(from, x, y, z r3.Vec, length float64, o prism.Outline) Solid {
	reach := func(dx, dy float64) float64 { s, _ := o.Outer.Support(prism.Point{X: dx, Y: dy}); return s }
	y0, y1, z0, z1 := -reach(-1, 0), reach(1, 0), -reach(0, -1), reach(0, 1)
	s := Solid{Kind: Shape, X: x, Y: y, Z: z, Length: length, Size: r3.Vec{X: length, Y: y1 - y0, Z: z1 - z0}}
	s.Origin = r3.Add(from, r3.Add(r3.Scale(length/2, x), r3.Add(r3.Scale((y0+y1)/2, y), r3.Scale((z0+z1)/2, z))))
	s.Outline.Outer = o.Outer.Moved(-(y0+y1)/2, -(z0+z1)/2)
	for _, h := range o.Holes {
		s.Outline.Holes = append(s.Outline.Holes, h.Moved(-(y0+y1)/2, -(z0+z1)/2))
	}
	return s
}

func (s Solid) as(id, group, part string, thing Thing, body int, kg float64) Solid {
	s.ID, s.Group, s.Part, s.Thing, s.Body, s.Kg = id, group, part, thing, body, kg
	return s
}

func (s Solid) pieceOf(id string) Solid {
	s.Of, s.Kg = id, 0
	return s
}

// The parts of a levelling foot that the data do not give: own choice.
const (
	footPad  = 0.20 // height of the pad over that of the foot
	footStem = 0.30 // diameter of the screw over that of the pad
)

func (m *Machine) footSolids() []Solid {
	up, x := r3.Vec{Z: 1}, r3.Vec{X: 1}
	var out []Solid
	for _, f := range m.Feet {
		n := m.Nodes[f.Node]
		id := n.ID + ".foot"
		at := r3.Vec{X: n.At.X, Y: n.At.Y}
		if f.Part.Spacing[0] > 0 && f.Part.Spacing[1] > 0 { // a base plate
			plate := block(r3.Add(at, r3.Scale(f.Part.Height/2, up)), up, x, r3.Vec{Y: 1}, r3.Vec{X: f.Part.Height, Y: f.Part.Pad, Z: f.Part.Pad})
			out = append(out, plate.as(id, "stand", f.Part.ID, ThingFoot, 0, f.Part.Mass))
			continue
		}
		pad := footPad * f.Part.Height
		out = append(out,
			rod(at, up, x, f.Part.Pad, pad).as(id, "stand", f.Part.ID, ThingFoot, 0, f.Part.Mass),
			rod(r3.Add(at, r3.Scale(pad, up)), up, x, footStem*f.Part.Pad, f.Part.Height-pad).as(id+".stem", "stand", f.Part.ID, ThingFoot, 0, 0).pieceOf(id))
	}
	return out
}

// toolSolids are the tool and the payload as boxes: the tool from its flange to
// the level of the tool point, along the largest of its coordinates.
func (m *Machine) toolSolids() []Solid {
	flange := m.Nodes[m.Flange]
	body := len(m.Axes)
	down, x := r3.Vec{Z: -1}, r3.Vec{X: 1}
	switch p := m.Point; {
	case math.Abs(p.X) > max(math.Abs(p.Y), math.Abs(p.Z)):
		down, x = r3.Vec{X: math.Copysign(1, p.X)}, r3.Vec{Y: 1}
	case math.Abs(p.Y) > max(math.Abs(p.X), math.Abs(p.Z)):
		down = r3.Vec{Y: math.Copysign(1, p.Y)}
	case p.Z > 0:
		down = r3.Vec{Z: 1}
	}
	y := r3.Cross(down, x)
	depth := max(r3.Dot(m.Point, down), leastTool)
	aside := r3.Sub(m.Point, r3.Scale(r3.Dot(m.Point, down), down))
	size := m.Design.Task.Payload.Size
	tool := block(r3.Add(flange.At, r3.Add(aside, r3.Scale(depth/2, down))), down, x, y, r3.Vec{X: depth, Y: ToolWidth(size[0]), Z: ToolWidth(size[1])})
	payload := block(r3.Add(flange.At, m.Payload.Centre), r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}, vec(size))
	return []Solid{
		tool.as("tool", "tool", "", ThingTool, body, m.Tool.Kg),
		payload.as("payload", "payload", "", ThingPayload, body, m.Payload.Kg),
	}
}

// ToolWidth is the width of the box that stands for a tool, by that of the payload, m.
func ToolWidth(payload float64) float64 { return max(leastTool, min(toolShare*payload, mostTool)) }

// The box that stands for a tool, whose size no data give: own choice.
const (
	leastTool = 0.020 // m
	mostTool  = 0.500 // m
	toolShare = 0.6   // of the payload's size
)
