package pack

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/glb"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/urdf"
)

// built is an example that is built and not judged: the 3D files need no more.
func built(t testing.TB, example string) *machine.Machine {
	t.Helper()
	d, list := design.Load(os.DirFS("../examples/"+example), "gantry.yaml")
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return m
}

var modelExamples = []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"}

// modelWriters are the three kinds of files.
var modelWriters = map[string]func(io.Writer, *machine.Machine, ModelOptions) error{"STEP": STEP, "GLB": GLB, "URDF": URDF}

func modelFile(t testing.TB, kind string, m *machine.Machine, o ModelOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := modelWriters[kind](&b, m, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// gltf is what of a GLB file the tests look at.
type gltf struct {
	Nodes []struct {
		Name        string
		Mesh        *int
		Translation [3]float64
		Rotation    *[4]float64
		Scale       *[3]float64
		Children    []int
	}
	Meshes []struct {
		Primitives []struct{ Attributes struct{ POSITION int } }
	}
	Accessors []struct{ Min, Max []float64 }
}

func readGLB(t testing.TB, b []byte) gltf {
	t.Helper()
	var g gltf
	if err := json.Unmarshal(b[20:20+binary.LittleEndian.Uint32(b[12:])], &g); err != nil {
		t.Fatal(err)
	}
	return g
}

// bounds is the box around the corners of all meshes, in the file's own axes.
func (g gltf) bounds() (lo, hi r3.Vec) {
	lo, hi = r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	var walk func(node int, place func(r3.Vec) r3.Vec)
	walk = func(node int, place func(r3.Vec) r3.Vec) {
		n := g.Nodes[node]
		q, scale := quat.Number{Real: 1}, r3.Vec{X: 1, Y: 1, Z: 1}
		if r := n.Rotation; r != nil {
			q = quat.Number{Real: r[3], Imag: r[0], Jmag: r[1], Kmag: r[2]}
		}
		if s := n.Scale; s != nil {
			scale = r3.Vec{X: s[0], Y: s[1], Z: s[2]}
		}
		here := func(p r3.Vec) r3.Vec {
			p = r3.Vec{X: p.X * scale.X, Y: p.Y * scale.Y, Z: p.Z * scale.Z}
			return place(r3.Add(r3.Vec{X: n.Translation[0], Y: n.Translation[1], Z: n.Translation[2]}, glb.Turn(q, p)))
		}
		if n.Mesh != nil {
			a := g.Accessors[g.Meshes[*n.Mesh].Primitives[0].Attributes.POSITION]
			for k := range 8 {
				at := func(i int) float64 { return [2][]float64{a.Min, a.Max}[k>>i&1][i] }
				p := here(r3.Vec{X: at(0), Y: at(1), Z: at(2)})
				lo = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
				hi = r3.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
			}
		}
		for _, c := range n.Children {
			walk(c, here)
		}
	}
	walk(0, func(p r3.Vec) r3.Vec { return p })
	return lo, hi
}

// machineBounds is the box around the machine at a pose, from the corners of the
// boxes around its solids.
func machineBounds(m *machine.Machine, o ModelOptions) (lo, hi r3.Vec) {
	lo, hi = r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for _, s := range m.SolidsAt(o.Pose) {
		if s.Group == "payload" && !o.Payload {
			continue
		}
		by := m.Displacement(s.Body, o.Pose)
		reach := func(d r3.Vec) float64 { return s.Support(d) + r3.Dot(by, d) }
		lo = r3.Vec{X: min(lo.X, -reach(r3.Vec{X: -1})), Y: min(lo.Y, -reach(r3.Vec{Y: -1})), Z: min(lo.Z, -reach(r3.Vec{Z: -1}))}
		hi = r3.Vec{X: max(hi.X, reach(r3.Vec{X: 1})), Y: max(hi.Y, reach(r3.Vec{Y: 1})), Z: max(hi.Z, reach(r3.Vec{Z: 1}))}
	}
	return lo, hi
}

func TestSameNamesInAllFiles(t *testing.T) {
	for _, example := range modelExamples {
		t.Run(example, func(t *testing.T) {
			m := built(t, example)
			o := ModelOptions{Payload: true}
			var want []string
			for _, s := range m.Solids() {
				want = append(want, s.ID)
			}
			slices.Sort(want)
			var step []string
			for _, found := range regexp.MustCompile(`NEXT_ASSEMBLY_USAGE_OCCURRENCE\('([^']*)'`).FindAllSubmatch(modelFile(t, "STEP", m, o), -1) {
				step = append(step, string(found[1]))
			}
			for _, group := range modelGroups(m) {
				step = slices.DeleteFunc(step, func(s string) bool { return s == groupName(m, group) && s != "tool" && s != "payload" })
			}
			slices.Sort(step)
			step = slices.Compact(step) // tool and payload are branches and solids
			if d := cmp.Diff(want, step); d != "" {
				t.Errorf("STEP (-machine +file)\n%s", d)
			}

			var nodes []string
			for _, n := range readGLB(t, modelFile(t, "GLB", m, o)).Nodes {
				if n.Mesh != nil {
					nodes = append(nodes, n.Name)
				}
			}
			slices.Sort(nodes)
			if d := cmp.Diff(want, nodes); d != "" {
				t.Errorf("GLB (-machine +file)\n%s", d)
			}

			r, err := urdf.Read(bytes.NewReader(modelFile(t, "URDF", m, o)))
			if err != nil {
				t.Fatal(err)
			}
			var visuals []string
			for _, l := range r.Links {
				for _, v := range l.Visuals {
					visuals = append(visuals, v.Name)
				}
			}
			for _, a := range m.Axes { // their loops are no rigid bodies
				visuals = append(visuals, a.Spec.ID+".carrier")
			}
			slices.Sort(visuals)
			if d := cmp.Diff(want, visuals); d != "" {
				t.Errorf("URDF (-machine +file)\n%s", d)
			}
		})
	}
}

func TestSameDesignSameFiles(t *testing.T) {
	for kind := range modelWriters {
		o := ModelOptions{Hash: "abc", Program: "test"}
		a := modelFile(t, kind, built(t, "seedling-gantry"), o)
		if b := modelFile(t, kind, built(t, "seedling-gantry"), o); !bytes.Equal(a, b) {
			t.Errorf("two %s files of the same design differ", kind)
		}
		if !bytes.Contains(a, []byte("abc")) {
			t.Errorf("the %s file does not say of which design it is", kind)
		}
	}
}

// TestModelsFillTheMachine: the boxes around the whole model are those around
// the machine, at home and elsewhere; in the GLB z is up along y.
func TestModelsFillTheMachine(t *testing.T) {
	for _, example := range modelExamples {
		m := built(t, example)
		for name, o := range map[string]ModelOptions{"home": {}, "middle, with payload": {Pose: Middle(m), Payload: true}} {
			t.Run(example+", "+name, func(t *testing.T) {
				lo, hi := machineBounds(m, o)
				root, err := stepProduct(m, o)
				if err != nil {
					t.Fatal(err)
				}
				gotLo, gotHi := root.Bounds()
				if d := max(r3.Norm(r3.Sub(gotLo, lo)), r3.Norm(r3.Sub(gotHi, hi))); d > 1e-9 {
					t.Errorf("STEP from %v to %v, machine from %v to %v", gotLo, gotHi, lo, hi)
				}
				gotLo, gotHi = readGLB(t, modelFile(t, "GLB", m, o)).bounds()
				yLo, yHi := r3.Vec{X: lo.X, Y: lo.Z, Z: -hi.Y}, r3.Vec{X: hi.X, Y: hi.Z, Z: -lo.Y}
				// Single precision keeps 7 digits; arcs are chords of 15 degrees, none is outermost by more than a millimetre.
				if d := max(r3.Norm(r3.Sub(gotLo, yLo)), r3.Norm(r3.Sub(gotHi, yHi))); d > 1.5e-3 {
					t.Errorf("GLB from %v to %v, machine from %v to %v", gotLo, gotHi, yLo, yHi)
				}
			})
		}
	}
}

// TestKeyframesArePoses: with keyframes, the first of which is the home pose,
// the model stands as without; every axis has its channel, every carrier its five.
func TestKeyframesArePoses(t *testing.T) {
	m := built(t, "seedling-gantry")
	still := readGLB(t, modelFile(t, "GLB", m, ModelOptions{Pose: Middle(m)}))
	moving := modelFile(t, "GLB", m, ModelOptions{Pose: Middle(m), Keyframes: Sweep(m)})
	lo, hi := still.bounds()
	gotLo, gotHi := readGLB(t, moving).bounds()
	if d := max(r3.Norm(r3.Sub(gotLo, lo)), r3.Norm(r3.Sub(gotHi, hi))); d > 1e-5 {
		t.Errorf("from %v to %v, without keyframes from %v to %v", gotLo, gotHi, lo, hi)
	}
	if got, want := bytes.Count(moving, []byte(`"sampler":`)), len(m.Axes)*(1+5); got != want {
		t.Errorf("%d channels, want %d", got, want)
	}
}

func TestSweep(t *testing.T) {
	m := built(t, "crate-portal")
	want := []Keyframe{{0, []float64{0, 0}}, {2, []float64{1.8, 0}}, {4, []float64{0, 0}}, {6, []float64{0, 0.7}}, {8, []float64{0, 0}}}
	if d := cmp.Diff(want, Sweep(m)); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

// TestMechanism: the file's masses and centres are those of the machine, at home
// and, with the joints moved, elsewhere; its limits are those of the design.
func TestMechanism(t *testing.T) {
	for _, example := range modelExamples {
		t.Run(example, func(t *testing.T) {
			m := built(t, example)
			r, err := urdf.Read(bytes.NewReader(modelFile(t, "URDF", m, ModelOptions{Payload: true})))
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range [][]float64{make([]float64, len(m.Axes)), Middle(m)} {
				wantKg, want := m.Centre(0, q, true)
				kg, at := centre(r, m, q)
				// Twelve digits are written.
				if math.Abs(kg/wantKg-1) > 1e-10 || r3.Norm(r3.Sub(at, want)) > 1e-9 {
					t.Errorf("at %v: %.9g kg at %v, the machine has %.9g kg at %v", q, kg, at, wantKg, want)
				}
			}
			for i, a := range m.Axes {
				j := r.Joints[i]
				if j.Name != a.Spec.ID || j.Fixed || j.Limit.Velocity != a.Spec.Limits.Speed || j.Limit.Lower > 0 || j.Limit.Upper < a.Spec.Travel {
					t.Errorf("axis %s: %+v", a.Spec.ID, j)
				}
			}
		})
	}
}

// centre is mass and centre of a mechanism with its prismatic joints at q.
func centre(r *urdf.Robot, m *machine.Machine, q []float64) (kg float64, at r3.Vec) {
	frames := map[string]r3.Vec{}
	moved := 0
	for _, j := range r.Joints { // parents come first
		frames[j.Child] = r3.Add(frames[j.Parent], j.At.At)
		if !j.Fixed {
			frames[j.Child] = r3.Add(frames[j.Child], r3.Scale(q[moved], j.Axis))
			moved++
		}
	}
	for _, l := range r.Links {
		kg += l.Body.Mass
		at = r3.Add(at, r3.Scale(l.Body.Mass, r3.Add(frames[l.Name], l.Body.Centre)))
	}
	return kg, r3.Scale(1/kg, at)
}

// TestPeakForce by hand: belt axis of the seedling gantry, two motors of peak
// torque T, gear i, pulley of z teeth and pitch p: F = 2 T i 2 pi/(z p).
func TestPeakForce(t *testing.T) {
	m := built(t, "seedling-gantry")
	a := m.Axes[0]
	got, err := peakForce(a)
	want := 2 * min(a.Motor.Tmax*a.Gear.Ratio, a.Gear.T2B) * 2 * math.Pi / (float64(a.Teeth) * a.Belt.Pitch)
	if err != nil || !(want > 100) || math.Abs(got/want-1) > 1e-12 {
		t.Errorf("%.6g N, %v; want %.6g N", got, err, want)
	}
}

func TestPartNames(t *testing.T) {
	root, err := stepProduct(built(t, "crate-portal"), ModelOptions{})
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]string{}
	for _, branch := range root.Children {
		for _, c := range branch.Of.Children {
			of[c.ID] = c.Of.ID
		}
	}
	for id, want := range map[string]string{
		"top_rail": "profile-90x90-heavy x 2790 mm", "brace.along.1.1": "profile-45x45-heavy x 509.1 mm", "x.rail.1": of["x.rail.2"],
		"x.motor": "servo-1000", "x.gear": "planetary-90-7", "x.carrier": "carrier-20x77-r100", "tool": "tool", "x.carriage": "belt-axis-120 carriage plate",
	} {
		if of[id] != want {
			t.Errorf("%s is %q, want %q", id, of[id], want)
		}
	}
	if of["brace.along.1.1"] != of["brace.along.1.2"] && !strings.HasPrefix(of["brace.along.1.2"], of["brace.along.1.1"]+", shape") {
		t.Errorf("knee braces are %q and %q", of["brace.along.1.1"], of["brace.along.1.2"])
	}
}

func TestStamp(t *testing.T) {
	for in, want := range map[string]string{"2026-03-14": "2026-03-14T00:00:00", "": "1970-01-01T00:00:00", "spring": "1970-01-01T00:00:00"} {
		if got := stamp(in); got != want {
			t.Errorf("%q gives %s, want %s", in, got, want)
		}
	}
}
