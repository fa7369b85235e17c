package view

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// each runs a test on all examples.
func each(t *testing.T, test func(t *testing.T, name string)) {
	for _, name := range examples {
		t.Run(name, func(t *testing.T) { test(t, name) })
	}
}

func at(f Floats, i uint32) r3.Vec {
	return r3.Vec{X: float64(f[3*i]), Y: float64(f[3*i+1]), Z: float64(f[3*i+2])}
}

// checkMesh holds that a mesh is a closed surface with its outside outside: every
// edge of a triangle is met once in the other direction, and the volume is positive.
func checkMesh(t *testing.T, what string, m Mesh) {
	t.Helper()
	for _, list := range []Floats{m.Positions, m.Edges} {
		for _, v := range list {
			if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
				t.Fatalf("%s: a place is no number", what)
			}
		}
	}
	if len(m.Triangles)%3 != 0 || len(m.Positions)%3 != 0 || len(m.Edges)%6 != 0 || len(m.Edges) == 0 {
		t.Fatalf("%s: %d corners of triangles, %d coordinates of points, %d of edges", what, len(m.Triangles), len(m.Positions), len(m.Edges))
	}
	open := map[[2]uint32]int{}
	volume := 0.0
	for i := 0; i < len(m.Triangles); i += 3 {
		c := m.Triangles[i : i+3]
		for k := range 3 {
			a, b := c[k], c[(k+1)%3]
			if int(a) >= len(m.Positions)/3 {
				t.Fatalf("%s: there is no point %d", what, a)
			}
			open[[2]uint32{a, b}]++
			open[[2]uint32{b, a}]--
		}
		volume += r3.Dot(at(m.Positions, c[0]), r3.Cross(at(m.Positions, c[1]), at(m.Positions, c[2]))) / 6
	}
	for e, n := range open {
		if n != 0 {
			t.Errorf("%s: the edge from %v to %v is open", what, at(m.Positions, e[0]), at(m.Positions, e[1]))
			return
		}
	}
	if !(volume > 0) {
		t.Errorf("%s: encloses %g m³", what, volume)
	}
}

func TestMeshesAreClosed(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		s := scene(t, a)
		for i, m := range s.Meshes {
			checkMesh(t, fmt.Sprintf("mesh %d", i), m)
		}
		for _, q := range [][]float64{middle(a), a.SoftPose()} {
			l, err := OfLoops(a.Machine, q)
			if err != nil {
				t.Fatal(err)
			}
			if len(l.Solids) != len(a.Machine.CableCarriers) {
				t.Errorf("%d loops are drawn, there are %d cable carriers", len(l.Solids), len(a.Machine.CableCarriers))
			}
			for i, m := range l.Meshes {
				checkMesh(t, fmt.Sprintf("loop %d", i), m)
			}
		}
	})
}

// TestSolidsFillWhatTheMachineFills: the drawn bodies, placed by their matrices,
// reach exactly as far as the machine's own solids do.
func TestSolidsFillWhatTheMachineFills(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		s := scene(t, a)
		own := a.Machine.Solids()
		if len(own) != len(s.Solids) {
			t.Fatalf("%d solids are drawn, there are %d", len(s.Solids), len(own))
		}
		seen := map[string]bool{}
		for i, o := range s.Solids {
			if seen[o.ID] {
				t.Errorf("two solids are called %s", o.ID)
			}
			seen[o.ID] = true
			if o.Path == "" || o.Body < 0 || o.Body > len(a.Machine.Axes) {
				t.Errorf("%s: path %q, body %d", o.ID, o.Path, o.Body)
			}
			for _, d := range []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
				most := math.Inf(-1)
				for k := range len(s.Meshes[o.Mesh].Positions) / 3 {
					most = max(most, r3.Dot(placed(o.Matrix, at(s.Meshes[o.Mesh].Positions, uint32(k))), d))
				}
				// Chords of 15° cut up to 1 - cos 7.5° of a radius off round bodies and rounded edges; places are 32 bits.
				reach := own[i].Support(d)
				slack := 2e-6 + 0.0086*max(own[i].Size.X, own[i].Size.Y, own[i].Size.Z)/2
				if own[i].Kind == "box" {
					slack = 2e-6
				}
				if !(math.Abs(most-reach) <= slack) {
					t.Errorf("%s reaches %.6f m along %v, drawn %.6f m", o.ID, reach, d, most)
				}
			}
		}
	})
}

func placed(m [16]Number, p r3.Vec) r3.Vec {
	row := func(i int) float64 {
		return float64(m[i])*p.X + float64(m[4+i])*p.Y + float64(m[8+i])*p.Z + float64(m[12+i])
	}
	return r3.Vec{X: row(0), Y: row(1), Z: row(2)}
}

func TestSceneIsSmall(t *testing.T) {
	if n := len(written(t, scene(t, judged(t, large)))); n > 1.5e6 {
		t.Errorf("the scene takes %d bytes", n)
	}
}

func TestEqualBodiesShareAMesh(t *testing.T) {
	s := scene(t, judged(t, large))
	meshes := map[int]bool{}
	for _, o := range s.Solids {
		if o.Thing == "clamp" {
			meshes[o.Mesh] = true
		}
	}
	if len(meshes) != 1 {
		t.Errorf("the clamps of one part have %d meshes", len(meshes))
	}
}

func TestProfilesShowTheirSlots(t *testing.T) {
	s := scene(t, judged(t, large))
	for _, o := range s.Solids {
		if o.ID != "leg.front.left" { // 80 x 80: two slots on each of four faces
			continue
		}
		long, e := 0, s.Meshes[o.Mesh].Edges
		for i := 0; i < len(e); i += 6 {
			if e[i] == e[i+3] && e[i+1] == e[i+4] {
				long++
			}
		}
		if want := 4 + 2*8; long != want {
			t.Errorf("%d edges run along the leg, want its 4 corners and 2 lips of 8 slots: %d", long, want)
		}
		return
	}
	t.Error("there is no leg")
}

func TestSceneSaysWhereThingsAre(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		s := scene(t, a)
		bars := map[string]bool{}
		for _, o := range s.Solids {
			bars[o.ID] = true
		}
		for _, m := range s.Members {
			if !bars[m.Solid] || m.Path == "" || m.Group == "" {
				t.Errorf("member %s: solid %q, path %q, group %q", m.ID, m.Solid, m.Path, m.Group)
			}
		}
		for _, p := range s.Points {
			for i := range 3 {
				if !(p.At[i] >= s.WorkSpace.Min[i]-1e-6 && p.At[i] <= s.WorkSpace.Max[i]+1e-6) { // places are written to a micrometre
					t.Errorf("point %s at %v lies outside the work space %v", p.Name, p.At, s.WorkSpace)
				}
			}
		}
		for i, x := range a.Machine.Axes {
			d := s.Dims[len(s.Dims)-len(a.Machine.Axes)+i]
			if d.Name != "travel "+x.Spec.ID || math.Abs(float64(d.Value)-x.Spec.Travel) > 1e-9 { // a sum of places of metres
				t.Errorf("%s is %g m, want %g m", d.Name, d.Value, x.Spec.Travel)
			}
			if b := s.Bodies[i+1]; *b.MovedBy != x.Spec.ID || *b.Parent != i {
				t.Errorf("body %d is moved by %s and sits on %d", b.Index, *b.MovedBy, *b.Parent)
			}
		}
	})
}

func TestPosesThatAreNone(t *testing.T) {
	a := judged(t, "sample-gantry")
	for what, q := range map[string][]float64{"too few": {0}, "too far": {0, 0, 99}, "negative": {-0.1, 0, 0}, "no number": {math.NaN(), 0, 0}, "none": nil} {
		_, pose := OfPose(a, q, true)
		_, modes := OfModes(a, q, true, 3)
		_, loops := OfLoops(a.Machine, q)
		_, fine := OfFine(a, FineQuery{AxisA: "x", AxisB: "y", Rest: append([]float64{}, q...), Counts: [2]int{3, 3}})
		for name, err := range map[string]error{"pose": pose, "modes": modes, "loops": loops, "fine": fine} {
			if _, is := err.(*Beyond); !is {
				t.Errorf("%s: %s answers %v", what, name, err)
			}
		}
	}
	_, many := OfModes(a, middle(a), true, 1000)
	_, other := OfSplit(a, "colour", nil)
	_, axis := OfFine(a, FineQuery{AxisA: "x", AxisB: "x", Counts: [2]int{3, 3}})
	_, places := OfFine(a, FineQuery{AxisA: "x", AxisB: "y", Counts: [2]int{3000, 3000}})
	for i, err := range []error{many, other, axis, places} {
		if _, is := err.(*Beyond); !is || strings.Contains(err.Error(), "%!") {
			t.Errorf("query %d answers %v", i, err)
		}
	}
}
