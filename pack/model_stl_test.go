package pack

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/urdf"
)

// readSTL reads the corners of a binary STL file.
func readSTL(t *testing.T, text []byte) (out [][3]r3.Vec) {
	t.Helper()
	if len(text) < 84 || len(text) != 84+50*int(binary.LittleEndian.Uint32(text[80:])) {
		t.Fatalf("%d bytes are no whole STL file", len(text))
	}
	number := func(at int) float64 {
		return float64(math.Float32frombits(binary.LittleEndian.Uint32(text[at:])))
	}
	for at := 84; at < len(text); at += 50 {
		var corners [3]r3.Vec
		for i := range corners {
			p := at + 12*(i+1)
			corners[i] = r3.Vec{X: number(p), Y: number(p + 4), Z: number(p + 8)}
		}
		out = append(out, corners)
	}
	return out
}

// TestLinkMeshes: every link that the URDF file shows has a closed mesh of the
// volume and at the place of its solids.
func TestLinkMeshes(t *testing.T) {
	for _, example := range modelExamples {
		t.Run(example, func(t *testing.T) {
			m := built(t, example)
			r, err := urdf.Read(bytes.NewReader(modelFile(t, "URDF", m, ModelOptions{Meshes: "meshes"})))
			if err != nil {
				t.Fatal(err)
			}
			names := linkNames(m)
			if len(names) != len(r.Links) {
				t.Fatalf("meshes %v for %d links", names, len(r.Links))
			}
			for i, name := range names {
				if r.Links[i].Mesh != "meshes/"+name+".stl" {
					t.Errorf("link %s shows %q", name, r.Links[i].Mesh)
				}
				var b bytes.Buffer
				if err := linkMesh(&b, m, ModelOptions{}, name); err != nil {
					t.Fatal(err)
				}
				checkMesh(t, m, name, readSTL(t, b.Bytes()))
			}
		})
	}
}

func checkMesh(t *testing.T, m *machine.Machine, name string, mesh [][3]r3.Vec) {
	t.Helper()
	items, err := modelItems(m, ModelOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want, top, frame := 0.0, math.Inf(-1), r3.Vec{}
	for _, it := range items {
		link, at := linkOf(m, it)
		if link != name || it.Thing == machine.ThingCarrier {
			continue
		}
		surface, err := it.prism.Mesh(glbChords)
		if err != nil {
			t.Fatal(err)
		}
		want, frame = want+surface.Volume(), at
		up := r3.Vec{X: it.Y.Z, Y: it.Z.Z, Z: it.X.Z} // the world's z in the solid's axes
		top = math.Max(top, it.Start().Z+it.prism.Support(up))
	}
	got, highest := 0.0, math.Inf(-1)
	for _, c := range mesh {
		got += r3.Dot(c[0], r3.Cross(c[1], c[2])) / 6
		highest = math.Max(highest, math.Max(c[0].Z, math.Max(c[1].Z, c[2].Z))+frame.Z)
	}
	// Corners are written with seven digits; volumes of metres are sums over them.
	if math.Abs(got-want) > 1e-4*want || math.Abs(highest-top) > 1e-5 {
		t.Errorf("%s: %.7g m³ up to %.6g m, the solids have %.7g m³ up to %.6g m", name, got, highest, want, top)
	}
}
