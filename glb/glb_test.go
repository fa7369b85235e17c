package glb

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// triangle is the smallest mesh.
func triangle() *Mesh {
	return &Mesh{
		Name: "triangle", Points: [][3]float64{{0, 0, 0.1}, {1, 0, 0.1}, {0, 1, 0.1}}, Normals: [][3]float64{{0, 0, 1}, {0, 0, 1}, {0, 0, 1}},
		Triangles: [][3]int{{0, 1, 2}}, Material: &Material{Name: "grey", Colour: [4]float64{0.5, 0.5, 0.5, 1}, Roughness: 0.5},
	}
}

func scene2() *Scene {
	m := triangle()
	arm := &Node{Name: "arm", Mesh: m, Translation: r3.Vec{X: 1}}
	return &Scene{
		Generator:  "test",
		Root:       &Node{Name: "root", Rotation: ZUp, Children: []*Node{{Name: "base", Mesh: m, Extras: map[string]any{"b": 1, "a": "x"}}, arm}},
		Animations: []Animation{{"move", []Channel{{arm, Translation, []float64{0, 1.5}, []r3.Vec{{X: 1}, {X: 2}}}, {arm, Scale, []float64{0}, []r3.Vec{{X: 1, Y: 1, Z: 2}}}}}},
	}
}

// parsed takes a file apart by the lengths it states.
func parsed(t *testing.T, b []byte) (doc document, bin []byte) {
	t.Helper()
	u := func(at int) int { return int(binary.LittleEndian.Uint32(b[at:])) }
	if u(0) != magic || u(4) != 2 || u(8) != len(b) || u(16) != chunkJSON {
		t.Fatalf("header % x", b[:20])
	}
	n := u(12)
	if err := json.Unmarshal(b[20:20+n], &doc); err != nil {
		t.Fatal(err)
	}
	if n%4 != 0 || u(20+n)%4 != 0 || u(24+n) != chunkBIN || 28+n+u(20+n) != len(b) {
		t.Fatalf("chunks of %d and %d bytes in %d", n, u(20+n), len(b))
	}
	return doc, b[28+n:]
}

func write(t *testing.T, s *Scene) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWhatIsWritten(t *testing.T) {
	doc, bin := parsed(t, write(t, scene2()))
	if len(doc.Meshes) != 1 || len(doc.Materials) != 1 || len(doc.Nodes) != 3 || *doc.Nodes[1].Mesh != 0 || *doc.Nodes[2].Mesh != 0 {
		t.Errorf("%d meshes, %d materials, %d nodes: one mesh is shared by two of three nodes", len(doc.Meshes), len(doc.Materials), len(doc.Nodes))
	}
	if r := doc.Nodes[0].Rotation; r == nil || *r != [4]float64{single(-math.Sqrt2 / 2), 0, 0, single(math.Sqrt2 / 2)} {
		t.Errorf("rotation of the root %v", r)
	}
	if doc.Buffers[0].ByteLength > len(bin) || len(bin)-doc.Buffers[0].ByteLength > 3 {
		t.Errorf("a buffer of %d bytes in a chunk of %d", doc.Buffers[0].ByteLength, len(bin))
	}
	a := doc.Accessors[doc.Meshes[0].Primitives[0].Attributes.Position]
	v := doc.Views[a.View]
	z := math.Float32frombits(binary.LittleEndian.Uint32(bin[v.ByteOffset+8:]))
	if a.Min[2] != float64(z) || a.Max[2] != float64(z) || z != float32(0.1) {
		t.Errorf("z from %v to %v, written as %v", a.Min[2], a.Max[2], z)
	}
	if c := doc.Animations[0].Channels; len(c) != 2 || c[0].Target != (target{2, "translation"}) || c[1].Target != (target{2, "scale"}) {
		t.Errorf("channels %v", c)
	}
}

func TestSameSceneSameBytes(t *testing.T) {
	if !bytes.Equal(write(t, scene2()), write(t, scene2())) {
		t.Error("two files of the same scene differ")
	}
}

func TestManyPointsNeedWideIndices(t *testing.T) {
	m := triangle()
	for len(m.Points) <= math.MaxUint16 {
		m.Points, m.Normals = append(m.Points, m.Points[0]), append(m.Normals, m.Normals[0])
	}
	m.Triangles = append(m.Triangles, [3]int{0, 1, len(m.Points) - 1})
	doc, bin := parsed(t, write(t, &Scene{Root: &Node{Mesh: m}}))
	a := doc.Accessors[doc.Meshes[0].Primitives[0].Indices]
	if at := doc.Views[a.View].ByteOffset + 4*5; a.Component != typeUint || int(binary.LittleEndian.Uint32(bin[at:])) != len(m.Points)-1 {
		t.Errorf("indices of type %d", a.Component)
	}
}

func TestSceneWithoutMeshes(t *testing.T) {
	b := write(t, &Scene{Root: &Node{Name: "nothing"}})
	if n := int(binary.LittleEndian.Uint32(b[8:])); n != len(b) || strings.Contains(string(b), "buffers") {
		t.Errorf("%d bytes of %d: %s", n, len(b), b)
	}
}

func TestWriteRefuses(t *testing.T) {
	with := func(change func(s *Scene)) *Scene {
		s := scene2()
		change(s)
		return s
	}
	tests := map[string]*Scene{
		"a node in two places":      with(func(s *Scene) { s.Root.Children = append(s.Root.Children, s.Root.Children[0]) }),
		"a point that is not there": with(func(s *Scene) { s.Root.Children[0].Mesh.Triangles[0][2] = 3 }),
		"a point without normal":    with(func(s *Scene) { s.Root.Children[0].Mesh.Normals = nil }),
		"an empty mesh":             with(func(s *Scene) { s.Root.Children[0].Mesh.Triangles = nil }),
		"a moved node elsewhere":    with(func(s *Scene) { s.Animations[0].Channels[0].Node = &Node{} }),
		"times that do not rise":    with(func(s *Scene) { s.Animations[0].Channels[0].Times[1] = 0 }),
		"a time without value":      with(func(s *Scene) { s.Animations[0].Channels[0].Values = nil }),
		"a place that is no number": with(func(s *Scene) { s.Root.Translation.X = math.NaN() }),
		"a note that is no number":  with(func(s *Scene) { s.Root.Extras = map[string]any{"x": math.Inf(1)} }),
	}
	for name, s := range tests {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			if err := Write(&b, s); !errors.Is(err, ErrScene) {
				t.Errorf("got %v, want ErrScene", err)
			}
			if b.Len() > 0 {
				t.Errorf("%d bytes were written all the same", b.Len())
			}
		})
	}
}

func TestZUp(t *testing.T) {
	for in, want := range map[r3.Vec]r3.Vec{{Z: 1}: {Y: 1}, {Y: 1}: {Z: -1}, {X: 1}: {X: 1}} {
		if got := Turn(ZUp, in); r3.Norm(r3.Sub(got, want)) > 1e-15 {
			t.Errorf("%v becomes %v, want %v", in, got, want)
		}
	}
}

// TestAxes: the rotation of any right-handed axes turns x, y, z into them.
func TestAxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.Float64Range(-1, 1)
		q := quat.Number{Real: part.Draw(t, "w"), Imag: part.Draw(t, "x"), Jmag: part.Draw(t, "y"), Kmag: part.Draw(t, "z")}
		if quat.Abs(q) < 0.1 {
			return
		}
		q = quat.Scale(1/quat.Abs(q), q)
		x, y, z := Turn(q, r3.Vec{X: 1}), Turn(q, r3.Vec{Y: 1}), Turn(q, r3.Vec{Z: 1})
		got := Axes(x, y, z)
		if d := quat.Abs(quat.Sub(got, q)); d > 1e-12 && quat.Abs(quat.Add(got, q)) > 1e-12 {
			t.Fatalf("%v, want %v or its negative", got, q)
		}
		if got.Real < 0 {
			t.Fatalf("%v: of two the one with the larger real part", got)
		}
	})
}
