package glb

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Numbers of the format.
const (
	magic, version      = 0x46546C67, 2
	chunkJSON, chunkBIN = 0x4E4F534A, 0x004E4942

	typeUshort, typeUint, typeFloat = 5123, 5125, 5126
	targetPoints, targetIndices     = 34962, 34963
	modeTriangles                   = 4
)

// Write writes the scene, or nothing if it is not sound.
func Write(w io.Writer, s *Scene) error {
	f := &file{meshes: map[*Mesh]int{}, materials: map[*Material]int{}, nodes: map[*Node]int{}}
	f.doc.Asset = asset{"2.0", s.Generator}
	root, err := f.node(s.Root)
	if err != nil {
		return err
	}
	f.doc.Scenes = []scene{{Nodes: []int{root}}}
	for i := range s.Animations {
		if err := f.animation(&s.Animations[i]); err != nil {
			return err
		}
	}
	if f.bin.Len() > 0 {
		f.doc.Buffers = []buffer{{f.bin.Len()}}
	}
	text, err := json.Marshal(f.doc)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrScene, err)
	}
	return f.chunks(w, text)
}

// file collects the two chunks.
type file struct {
	doc       document
	bin       bytes.Buffer
	meshes    map[*Mesh]int
	materials map[*Material]int
	nodes     map[*Node]int
}

func (f *file) chunks(w io.Writer, text []byte) error {
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	for f.bin.Len()%4 != 0 {
		f.bin.WriteByte(0)
	}
	total := 12 + 8 + len(text)
	if f.bin.Len() > 0 {
		total += 8 + f.bin.Len()
	}
	var out bytes.Buffer
	put := func(v ...uint32) {
		for _, n := range v {
			out.Write(binary.LittleEndian.AppendUint32(nil, n))
		}
	}
	put(magic, version, uint32(total), uint32(len(text)), chunkJSON)
	out.Write(text)
	if f.bin.Len() > 0 {
		put(uint32(f.bin.Len()), chunkBIN)
		out.Write(f.bin.Bytes())
	}
	_, err := w.Write(out.Bytes())
	return err
}

func (f *file) node(n *Node) (int, error) {
	if _, twice := f.nodes[n]; twice {
		return 0, fmt.Errorf("%w: node %q hangs in two places", ErrScene, n.Name)
	}
	if !n.finite() {
		return 0, fmt.Errorf("%w: node %q has a place that is no number", ErrScene, n.Name)
	}
	at := len(f.doc.Nodes)
	f.nodes[n] = at
	f.doc.Nodes = append(f.doc.Nodes, node{})
	out := node{Name: n.Name, Extras: n.Extras}
	if n.Translation != (r3.Vec{}) {
		out.Translation = triple(n.Translation)
	}
	if n.Rotation != (quat.Number{}) && n.Rotation != (quat.Number{Real: 1}) {
		out.Rotation = &[4]float64{single(n.Rotation.Imag), single(n.Rotation.Jmag), single(n.Rotation.Kmag), single(n.Rotation.Real)}
	}
	if n.Scale != (r3.Vec{}) && n.Scale != (r3.Vec{X: 1, Y: 1, Z: 1}) {
		out.Scale = triple(n.Scale)
	}
	if n.Mesh != nil {
		m, err := f.mesh(n.Mesh)
		if err != nil {
			return 0, err
		}
		out.Mesh = &m
	}
	for _, c := range n.Children {
		k, err := f.node(c)
		if err != nil {
			return 0, err
		}
		out.Children = append(out.Children, k)
	}
	f.doc.Nodes[at] = out
	return at, nil
}

// single is a number as the format's readers keep it; written no longer than that.
func single(v float64) float64 {
	r := float64(float32(v))
	if r == 0 {
		return 0 // never -0
	}
	return r
}

func triple(v r3.Vec) *[3]float64 { return &[3]float64{single(v.X), single(v.Y), single(v.Z)} }

func (f *file) mesh(m *Mesh) (int, error) {
	if k, done := f.meshes[m]; done {
		return k, nil
	}
	if err := m.check(); err != nil {
		return 0, err
	}
	p := primitive{Mode: modeTriangles}
	p.Attributes.Position = f.points(m.Points, true)
	p.Attributes.Normal = f.points(m.Normals, false)
	p.Indices = f.indices(m)
	if m.Material != nil {
		k := f.material(m.Material)
		p.Material = &k
	}
	k := len(f.doc.Meshes)
	f.meshes[m] = k
	f.doc.Meshes = append(f.doc.Meshes, mesh{m.Name, []primitive{p}})
	return k, nil
}

func (f *file) material(m *Material) int {
	if k, done := f.materials[m]; done {
		return k
	}
	out := material{Name: m.Name, Surface: surface{m.Colour, m.Metallic, m.Roughness}}
	if m.Colour[3] < 1 {
		out.AlphaMode = "BLEND"
	}
	k := len(f.doc.Materials)
	f.materials[m] = k
	f.doc.Materials = append(f.doc.Materials, out)
	return k
}

// view starts a part of the buffer, aligned to four bytes, and returns a
// function that ends it.
func (f *file) view(target int) func() int {
	for f.bin.Len()%4 != 0 {
		f.bin.WriteByte(0)
	}
	start := f.bin.Len()
	return func() int {
		f.doc.Views = append(f.doc.Views, view{ByteOffset: start, ByteLength: f.bin.Len() - start, Target: target})
		return len(f.doc.Views) - 1
	}
}

func (f *file) float(v float64) float32 {
	r := float32(single(v))
	f.bin.Write(binary.LittleEndian.AppendUint32(nil, math.Float32bits(r)))
	return r
}

func (f *file) points(points [][3]float64, bounds bool) int {
	end := f.view(targetPoints)
	a := accessor{Component: typeFloat, Count: len(points), Type: "VEC3"}
	var lo, hi [3]float64
	for i, p := range points {
		for k, v := range p {
			r := float64(f.float(v))
			if i == 0 || r < lo[k] {
				lo[k] = r
			}
			if i == 0 || r > hi[k] {
				hi[k] = r
			}
		}
	}
	if bounds {
		a.Min, a.Max = lo[:], hi[:]
	}
	a.View = end()
	return f.accessor(a)
}

func (f *file) indices(m *Mesh) int {
	end := f.view(targetIndices)
	a := accessor{Component: typeUshort, Count: 3 * len(m.Triangles), Type: "SCALAR"}
	wide := len(m.Points) > math.MaxUint16 // 65535 itself is reserved
	if wide {
		a.Component = typeUint
	}
	for _, t := range m.Triangles {
		for _, i := range t {
			if wide {
				f.bin.Write(binary.LittleEndian.AppendUint32(nil, uint32(i)))
			} else {
				f.bin.Write(binary.LittleEndian.AppendUint16(nil, uint16(i)))
			}
		}
	}
	a.View = end()
	return f.accessor(a)
}

func (f *file) accessor(a accessor) int {
	f.doc.Accessors = append(f.doc.Accessors, a)
	return len(f.doc.Accessors) - 1
}

func (f *file) animation(a *Animation) error {
	out := animation{Name: a.Name}
	for i := range a.Channels {
		c := &a.Channels[i]
		if err := c.check(); err != nil {
			return err
		}
		k, known := f.nodes[c.Node]
		if !known {
			return fmt.Errorf("%w: animation %q moves a node that is not in the scene", ErrScene, a.Name)
		}
		out.Samplers = append(out.Samplers, sampler{Input: f.times(c.Times), Interpolation: "LINEAR", Output: f.values(c.Values)})
		out.Channels = append(out.Channels, channel{Sampler: i, Target: target{k, string(c.Path)}})
	}
	if len(out.Channels) > 0 {
		f.doc.Animations = append(f.doc.Animations, out)
	}
	return nil
}

func (f *file) times(times []float64) int {
	end := f.view(0)
	a := accessor{Component: typeFloat, Count: len(times), Type: "SCALAR"}
	var first, last float32
	for i, t := range times {
		last = f.float(t)
		if i == 0 {
			first = last
		}
	}
	a.Min, a.Max = []float64{float64(first)}, []float64{float64(last)}
	a.View = end()
	return f.accessor(a)
}

func (f *file) values(values []r3.Vec) int {
	end := f.view(0)
	for _, v := range values {
		f.float(v.X)
		f.float(v.Y)
		f.float(v.Z)
	}
	return f.accessor(accessor{View: end(), Component: typeFloat, Count: len(values), Type: "VEC3"})
}
