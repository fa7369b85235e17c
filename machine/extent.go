package machine

import (
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/clearance"
	"spanwright/prism"
)

// Extent is the room that a solid takes up at every pose: convex pieces that the
// axes shift, the coordinates of the axes being the movements. T-slot profiles
// count with their slots filled, bores as full; arcs are drawn round from outside.
type Extent struct {
	Solid  Solid
	Bodies [2]int // the body with which it moves; of a cable carrier's loop, those of its two ends
	Track  bool   // a beam with rails, or what lies along it for its carriage
	Pieces []clearance.Body

	Low, High r3.Vec // the box around it at home; not that of a loop elsewhere
}

// Rigid tells whether it moves as a whole.
func (e *Extent) Rigid() bool { return e.Bodies[0] == e.Bodies[1] }

// runways are the bars along which carriages run: the beams, and under-beams that
// do not reach beyond the face of their beam, so that the blocks clear both alike.
func (m *Machine) runways() map[string]bool {
	out := map[string]bool{}
	for _, a := range m.Axes {
		face := 0.0
		for _, b := range a.Beams {
			mem := m.Members[b]
			out[mem.Bar], face = true, half(mem.Profile, a.Dir, mem.Roll, a.Normal)
		}
		for _, mem := range m.Members {
			if strings.HasPrefix(mem.ID, a.Spec.ID+".under_beam") && half(mem.Profile, a.Dir, mem.Roll, a.Normal) <= face+fit {
				out[mem.Bar] = true
			}
		}
	}
	return out
}

// chordsPerTurn draws round what is round: a cylinder is then 2 % too thick at its corners.
const chordsPerTurn = 16

// Extents lists the extents of the solids at home, in the order of Solids.
func (m *Machine) Extents() ([]Extent, error) {
	ways := make([][]r3.Vec, len(m.Axes)+1)
	for b := range ways {
		for _, a := range m.Axes[:b] {
			ways[b] = append(ways[b], a.Dir)
		}
	}
	beams := m.runways()
	solids := m.Solids()
	out := make([]Extent, len(solids))
	profiles := map[string][][]prism.Point{}
	for i, s := range solids {
		out[i] = Extent{Solid: s, Bodies: [2]int{s.Body, s.Body}, Track: beams[s.ID] || s.Thing == ThingRail || s.Thing == ThingScrew || s.Thing == ThingRack}
		if s.Thing == ThingCarrier {
			l, _ := m.Loop(m.Axes[s.Body]) // a loop belongs to the body that carries its axis
			out[i].Bodies[1], out[i].Pieces = s.Body+1, l.pieces(ways[s.Body], ways[s.Body+1])
			out[i].box()
			continue
		}
		var polygons [][]prism.Point
		var err error
		if polygons = profiles[s.Part]; polygons == nil || s.Kind != Prism {
			if polygons, err = s.polygons(); err != nil {
				return nil, err
			}
			if s.Kind == Prism {
				profiles[s.Part] = polygons
			}
		}
		for _, p := range polygons {
			out[i].Pieces = append(out[i].Pieces, s.piece(p, ways[s.Body]))
		}
		out[i].box()
	}
	return out, nil
}

// box puts the box around the pieces.
func (e *Extent) box() {
	for i := range e.Pieces {
		low, high := e.Pieces[i].Box()
		if i == 0 {
			e.Low, e.High = low, high
			continue
		}
		e.Low = r3.Vec{X: min(e.Low.X, low.X), Y: min(e.Low.Y, low.Y), Z: min(e.Low.Z, low.Z)}
		e.High = r3.Vec{X: max(e.High.X, high.X), Y: max(e.High.Y, high.Y), Z: max(e.High.Z, high.Z)}
	}
}

// polygons are convex polygons that cover the outline of a solid, in its Y and Z.
func (s Solid) polygons() ([][]prism.Point, error) {
	if s.Kind == Prism && (s.Profile.Shape == "t-slot" || s.Profile.Given != nil) {
		return prism.Outline{Outer: prism.Rectangle(s.Size.Y, s.Size.Z)}.Convex(chordsPerTurn)
	}
	p, err := s.Prism(false)
	if err != nil {
		return nil, err
	}
	full := prism.Outline{Outer: p.Outer}
	for _, h := range p.Holes {
		if _, _, bore := h.IsCircle(); !bore && s.Kind != Prism {
			full.Holes = append(full.Holes, h)
		}
	}
	return full.Convex(chordsPerTurn)
}

// piece is a convex polygon drawn out as the solid is.
func (s Solid) piece(polygon []prism.Point, ways []r3.Vec) clearance.Body {
	length := s.Length
	if s.Kind == Box || s.Kind == Shape {
		length = s.Size.X
	}
	drawn := prism.Prism{Length: length, Ends: s.Cuts}
	start := s.Start()
	var points []r3.Vec
	for end := range 2 {
		for _, p := range polygon {
			at := r3.Add(r3.Scale(drawn.Z(end, p), s.X), r3.Add(r3.Scale(p.X, s.Y), r3.Scale(p.Y, s.Z)))
			points = append(points, r3.Add(start, at))
		}
	}
	b := clearance.Body{Groups: []clearance.Group{clearance.Of(points, ways)}}
	n := len(polygon)
	b.Edges = append(b.Edges, s.X)
	for i := range n {
		edge := r3.Sub(points[(i+1)%n], points[i])
		b.Normals = distinct(b.Normals, r3.Cross(edge, s.X))
		b.Edges = distinct(b.Edges, edge)
		if !drawn.Square() {
			b.Edges = distinct(b.Edges, r3.Sub(points[n+(i+1)%n], points[n+i]))
		}
	}
	for end := range 2 { // on the end plane, x = Cuts.X y + Cuts.Y z
		b.Normals = distinct(b.Normals, r3.Sub(s.X, r3.Add(r3.Scale(s.Cuts[end].X, s.Y), r3.Scale(s.Cuts[end].Y, s.Z))))
	}
	return b
}

// distinct adds the direction of d unless it or its opposite is there.
func distinct(to []r3.Vec, d r3.Vec) []r3.Vec {
	d = r3.Unit(d)
	for _, have := range to {
		if r3.Norm(r3.Cross(have, d)) < rounded {
			return to
		}
	}
	return append(to, d)
}

// rounded is the sine below which directions are one.
const rounded = 1e-9

// pieces are the two runs and the bend of a loop: the fixed run grows by half of
// what the axis goes, the bend moves by half, the moving run goes with the axis at
// its far end. The bend is drawn as half an octagon round it.
func (l CarrierLoop) pieces(fixed, moving []r3.Vec) []clearance.Body {
	half := append(append([]r3.Vec{}, fixed...), r3.Scale(0.5, l.track.a.Dir))
	run, back := l.Runs(0)
	high, outer := l.Thick/2, l.Radius+l.Thick/2
	face := func(s, low, top float64) (points []r3.Vec) {
		for _, n := range [2]float64{low, top} {
			for _, w := range [2]float64{-l.Wide / 2, l.Wide / 2} {
				points = append(points, r3.Add(l.Fixed, r3.Add(r3.Scale(s, l.Along), r3.Add(r3.Scale(n, l.Across), r3.Scale(w, l.Width)))))
			}
		}
		return points
	}
	d := 2 * l.Radius
	square := []r3.Vec{l.Along, l.Across, l.Width}
	const corner = 0.41421356 // tangent of 22.5 degrees: the octagon round a circle
	bend := slices.Concat(face(run, -high, d+high), face(run+corner*outer, -high, d+high), face(run+outer, l.Radius-corner*outer, l.Radius+corner*outer))
	slants := []r3.Vec{r3.Unit(r3.Add(l.Along, l.Across)), r3.Unit(r3.Sub(l.Along, l.Across))}
	between := func(p, q clearance.Group) clearance.Body {
		return clearance.Body{Groups: []clearance.Group{p, q}, Normals: square, Edges: square}
	}
	return []clearance.Body{
		between(clearance.Of(face(0, -high, high), fixed), clearance.Of(face(run, -high, high), half)),
		{Groups: []clearance.Group{clearance.Of(bend, half)}, Normals: append(slants, square...), Edges: append(slants, square...)},
		between(clearance.Of(face(run, d-high, d+high), half), clearance.Of(face(run-back, d-high, d+high), moving)),
	}
}

// Meant says why two parts may touch or lie within each other although one moves
// along the other; "" where they must stay clear.
func (m *Machine) Meant(a, b *Extent) string {
	p, q := a.Solid.Thing, b.Solid.Thing
	one := func(is func(*Extent) bool, other func(Thing) bool) bool {
		return is(a) && other(q) || is(b) && other(p)
	}
	thing := func(t Thing) func(*Extent) bool { return func(e *Extent) bool { return e.Solid.Thing == t } }
	carriage := func(t Thing) bool { return t == ThingPlate || t == ThingBlock }
	if one(thing(ThingTool), func(t Thing) bool { return t == ThingPayload }) {
		return "the tool holds the payload"
	}
	if a.Bodies == b.Bodies && one(thing(ThingJoint), func(t Thing) bool { return t == ThingJoint || t == ThingProfile }) {
		return "the data give no outline of joint hardware: it is drawn plain among the bars that it joins"
	}
	if a.Solid.Group != b.Solid.Group {
		return ""
	}
	switch {
	case one(func(e *Extent) bool { return e.Track }, carriage):
		return "a carriage runs on its beam, its nut on its screw"
	case one(thing(ThingStop), carriage):
		return "a hard stop meets its carriage at the end of travel"
	case one(thing(ThingClamp), carriage):
		return "clamps are drawn as high as the carriage leaves room: the data give no height"
	case one(thing(ThingCarrier), func(t Thing) bool { return t == ThingTray }) || one(thing(ThingCarrier), func(t Thing) bool { return t == ThingProfile }) && a.Solid.Body == b.Solid.Body:
		return "a cable carrier lies on its supports along its beam"
	}
	return ""
}
