package view

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/parts"
	"spanwright/prism"
)

// Solid is one body of the picture.
type Solid struct {
	ID     string     `json:"id"`
	Of     string     `json:"of,omitempty"`   // the solid to whose part this further piece belongs
	Body   int        `json:"body"`           // moves with it
	Group  string     `json:"group"`          // stand, an axis id, tool, payload
	Thing  string     `json:"thing"`          // profile, motor, ...
	Part   string     `json:"part"`           // catalogue id, "" for what has none
	Path   string     `json:"path"`           // in the design
	Loop   string     `json:"loop,omitempty"` // a cable carrier: the axis whose coordinate shapes it
	Mesh   int        `json:"mesh"`
	Matrix [16]Number `json:"matrix"` // mesh to W at home, column by column
}

// Mesh is the surface of a straight body in its own frame, shared by all bodies
// of the same shape. Triangles turn counter-clockwise seen from outside; points
// are shared between faces, so normals are those of the triangles.
type Mesh struct {
	Positions Floats  `json:"positions"` // x, y, z of each point
	Triangles Indices `json:"triangles"` // three points each
	Edges     Floats  `json:"edges"`     // feature edges: two points each
}

// How bodies are drawn: own choice.
const (
	roundChords = 24  // chords of a full turn
	loopChords  = 40  // of a cable carrier, whose bend is large
	cornerTurn  = 0.5 // rad; a sharper corner of an outline shows as an edge
)

// solids draws bodies and the meshes that they share.
func solids(m *machine.Machine, list []machine.Solid) ([]Solid, []Mesh, error) {
	var out []Solid
	var meshes []Mesh
	known := map[string]int{}
	for _, s := range list {
		p, slots, err := drawnPrism(s)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", s.ID, err)
		}
		chords := roundChords
		if s.Thing == machine.ThingCarrier {
			chords = loopChords
		}
		key := shapeKey(p, slots, chords)
		at, has := known[key]
		if !has {
			mesh, err := newMesh(p, slots, chords)
			if err != nil {
				return nil, nil, fmt.Errorf("%s: %w", s.ID, err)
			}
			at = len(meshes)
			known[key], meshes = at, append(meshes, mesh)
		}
		o := Solid{
			ID: s.ID, Of: s.Of, Body: s.Body, Group: s.Group, Thing: string(s.Thing), Part: s.Part, Path: solidPath(m, s), Mesh: at,
			Matrix: matrix(s),
		}
		if s.Thing == machine.ThingCarrier {
			o.Loop = s.Group
		}
		out = append(out, o)
	}
	return out, meshes, nil
}

// matrix takes the prism's x, y, z, which lie along Y, Z, X of the solid, to W.
func matrix(s machine.Solid) [16]Number {
	var out [16]Number
	for k, v := range [4]r3.Vec{s.Y, s.Z, s.X, s.Start()} {
		out[4*k], out[4*k+1], out[4*k+2] = round(v.X), round(v.Y), round(v.Z)
	}
	out[15] = 1
	return out
}

// drawnPrism is the solid as it is drawn, and the points of its outline at which
// further lines run along it: the lips of T-slots, which are drawn as plain
// grooves.
func drawnPrism(s machine.Solid) (prism.Prism, []prism.Point, error) {
	if s.Kind != machine.Prism || s.Profile.Shape != "t-slot" || s.Profile.Slots == nil || s.Profile.Given != nil {
		p, err := s.Prism(true)
		return p, nil, err
	}
	outer, lips := grooved(s.Profile)
	return prism.Prism{Outline: prism.Outline{Outer: outer}, Length: s.Length, Ends: s.Cuts}, lips, nil
}

// grooveShare is how deep a groove is drawn at most, over the room beside it: own choice.
const grooveShare = 0.7

// grooved is the outline of a T-slot profile with a plain groove for each slot,
// counter-clockwise, and the lips of the grooves.
func grooved(p *parts.Profile) (prism.Loop, []prism.Point) {
	t := p.Slots
	w, h := float64(t.NX)*t.Module/2, float64(t.NY)*t.Module/2
	deep := min(t.Depth, grooveShare*(t.Module-t.Slot)/2)
	if !(deep > 0) {
		return prism.Rectangle(2*w, 2*h), nil
	}
	var loop, lips []prism.Point
	side := func(name string, corner, along, in prism.Point, modules int) {
		at := func(s, d float64) prism.Point {
			return prism.Point{X: corner.X + s*along.X + d*in.X, Y: corner.Y + s*along.Y + d*in.Y}
		}
		loop = append(loop, corner)
		for _, closed := range t.Closed {
			if closed == name {
				return
			}
		}
		for k := range modules {
			mid := (float64(k) + 0.5) * t.Module
			from, to := mid-t.Slot/2, mid+t.Slot/2
			loop = append(loop, at(from, 0), at(from, deep), at(to, deep), at(to, 0))
			lips = append(lips, at(from, 0), at(to, 0))
		}
	}
	side("-z", prism.Point{X: -w, Y: -h}, prism.Point{X: 1}, prism.Point{Y: 1}, t.NX)
	side("+y", prism.Point{X: w, Y: -h}, prism.Point{Y: 1}, prism.Point{X: -1}, t.NY)
	side("+z", prism.Point{X: w, Y: h}, prism.Point{X: -1}, prism.Point{Y: -1}, t.NX)
	side("-y", prism.Point{X: -w, Y: h}, prism.Point{Y: -1}, prism.Point{X: 1}, t.NY)
	return prism.Polygon(loop...), lips
}

// newMesh triangulates a prism. Points that several faces share are kept once.
func newMesh(p prism.Prism, lips []prism.Point, chords int) (Mesh, error) {
	surface, err := p.Mesh(chords)
	if err != nil {
		return Mesh{}, err
	}
	var out Mesh
	known := map[[3]float64]uint32{}
	index := make([]uint32, len(surface.Points))
	for i, at := range surface.Points {
		n, has := known[at]
		if !has {
			n = uint32(len(known))
			known[at] = n
			out.Positions = append(out.Positions, float32(at[0]), float32(at[1]), float32(at[2]))
		}
		index[i] = n
	}
	for _, t := range surface.Triangles {
		out.Triangles = append(out.Triangles, index[t[0]], index[t[1]], index[t[2]])
	}
	for _, e := range edges(p, lips, chords) {
		for _, at := range e {
			out.Edges = append(out.Edges, float32(at[0]), float32(at[1]), float32(at[2]))
		}
	}
	return out, nil
}

// edges are the feature edges. Of a grooved profile only the lips run along
// besides the outer corners: the bottoms of the grooves would blacken it.
func edges(p prism.Prism, lips []prism.Point, chords int) []prism.Edge {
	all := p.Edges(chords, cornerTurn)
	if len(lips) == 0 {
		return all
	}
	shown := map[prism.Point]bool{}
	for _, at := range lips {
		shown[at] = true
	}
	w, h := reach(p.Outer)
	var out []prism.Edge
	for _, e := range all {
		a, b := prism.Point{X: e[0][0], Y: e[0][1]}, prism.Point{X: e[1][0], Y: e[1][1]}
		corner := math.Abs(a.X) == w && math.Abs(a.Y) == h
		if a != b || shown[a] || corner {
			out = append(out, e)
		}
	}
	return out
}

func reach(l prism.Loop) (w, h float64) {
	for _, v := range l {
		w, h = max(w, math.Abs(v.X)), max(h, math.Abs(v.Y))
	}
	return w, h
}

// shapeKey is the same for prisms of the same shape, to a nanometre.
func shapeKey(p prism.Prism, lips []prism.Point, chords int) string {
	var b strings.Builder
	add := func(values ...float64) {
		var raw [8]byte
		for _, v := range values {
			binary.LittleEndian.PutUint64(raw[:], uint64(int64(math.Round(v*1e9))))
			b.Write(raw[:])
		}
	}
	add(float64(chords), p.Length, p.Ends[0].X, p.Ends[0].Y, p.Ends[1].X, p.Ends[1].Y, float64(len(lips)))
	for _, l := range p.Loops() {
		add(float64(len(l)))
		for _, v := range l {
			add(v.X, v.Y, v.Bulge)
		}
	}
	return b.String()
}
