package pack

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/parts"
	"spanwright/prism"
	"spanwright/step"
)

// The tests in this file give the 3D files to independent readers: OpenCASCADE
// through gmsh (Debian package python3-gmsh), the Khronos glTF validator (npm ci
// in testtools), check_urdf (Debian package liburdfdom-tools). Without a reader
// its test is skipped; in CI it must be there.

// outside runs an independent reader and returns what it prints.
func outside(t *testing.T, program string, args ...string) []byte {
	t.Helper()
	out, err := exec.Command(program, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", program, strings.Join(args, " "), err, out)
	}
	return out
}

// needs skips the test if a reader is missing, which in CI is a failure.
func needs(t *testing.T, what string, err error) {
	t.Helper()
	if err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is not installed: %v", what, err)
	}
	t.Skipf("%s is not installed: %v", what, err)
}

// gmshPython is the interpreter for which Debian installs gmsh.
const gmshPython = "/usr/bin/python3"

// imported is a STEP file as OpenCASCADE sees it.
type imported struct {
	Solids []struct {
		Name string
		MM3  float64 `json:"mm3"`
		Box  [6]float64
	}
	Overlaps []struct {
		A, B string
		MM3  float64 `json:"mm3"`
	}
}

func importSTEP(t *testing.T, file string, flags ...string) imported {
	t.Helper()
	needs(t, "python3-gmsh", exec.Command(gmshPython, "-c", "import gmsh").Run())
	var out imported
	text := outside(t, gmshPython, append([]string{"testtools/read_step.py", file}, flags...)...)
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return out
}

func keep(t *testing.T, name string, b []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestSTEPIsRead: the other kernel finds every solid under its place in the
// assembly tree, with its volume, and the whole where the machine is.
func TestSTEPIsRead(t *testing.T) {
	t.Run("seedling-gantry", func(t *testing.T) {
		m := built(t, "seedling-gantry")
		o := ModelOptions{Pose: []float64{1, 0.4, 0.2}}
		compareSolids(t, m, o, importSTEP(t, keep(t, "machine.step", modelFile(t, "STEP", m, o))))
	})
	t.Run("crate-portal", func(t *testing.T) {
		m := built(t, "crate-portal")
		o := ModelOptions{Pose: Middle(m), Payload: true}
		read := importSTEP(t, keep(t, "machine.step", modelFile(t, "STEP", m, o)), "--overlaps")
		compareSolids(t, m, o, read)
		for _, c := range read.Overlaps {
			t.Errorf("%s and %s share space", c.A, c.B)
		}
	})
}

func compareSolids(t *testing.T, m *machine.Machine, o ModelOptions, read imported) {
	t.Helper()
	items, err := modelItems(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if len(read.Solids) != len(items) {
		t.Errorf("%d solids, the machine has %d", len(read.Solids), len(items))
	}
	volumes := map[string]float64{}
	lo, hi := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for _, s := range read.Solids {
		volumes[s.Name] = s.MM3
		lo = r3.Vec{X: min(lo.X, s.Box[0]), Y: min(lo.Y, s.Box[1]), Z: min(lo.Z, s.Box[2])}
		hi = r3.Vec{X: max(hi.X, s.Box[3]), Y: max(hi.Y, s.Box[4]), Z: max(hi.Z, s.Box[5])}
	}
	for _, it := range items {
		branch := groupName(m, it.Group)
		name := strings.Join([]string{"Shapes", m.Design.Name, branch, branch, it.ID, it.part}, "/")
		want := 1e9 * it.prism.Volume()
		// Coordinates are rounded to 1e-6 mm: 1e-6 of the volume of what is thinner than a few millimetres.
		if got, there := volumes[name]; !there || math.Abs(got/want-1) > 1e-6 {
			t.Errorf("%s: %.9g mm³, want %.9g mm³", name, got, want)
		}
		if it.Density > 0 && math.Abs(volumes[name]*1e-9*it.Density/it.Kg-1) > 1e-6 {
			t.Errorf("%s: %.6g kg by its volume, the part weighs %.6g kg", it.ID, volumes[name]*1e-9*it.Density, it.Kg)
		}
	}
	wantLo, wantHi := machineBounds(m, o)
	// The kernel's boxes are enlarged by its tolerance of 1e-4 mm and a little on arcs.
	if d := max(r3.Norm(r3.Sub(lo, r3.Scale(1e3, wantLo))), r3.Norm(r3.Sub(hi, r3.Scale(1e3, wantHi)))); d > 1e-2 {
		t.Errorf("from %v to %v mm, the machine from %v to %v m", lo, hi, wantLo, wantHi)
	}
}

// TestProfilesAreRead: one profile of each kind in full, straight and mitred.
func TestProfilesAreRead(t *testing.T) {
	m := built(t, "crate-portal")
	root := &step.Product{ID: "profiles"}
	want := map[string]float64{}
	bar := m.Solids()[0]
	for i, p := range profiles() {
		for k, cut := range []prism.Slope{{}, {X: 0.5, Y: -0.25}} {
			s := bar
			s.Profile, s.Length, s.Cuts = p, 0.5, [2]prism.Slope{{}, cut}
			body, err := s.Prism(false)
			if err != nil {
				t.Fatal(err)
			}
			id := p.ID + [2]string{"", " mitred"}[k]
			want[id] = 1e9 * body.Volume()
			root.Children = append(root.Children, step.Occurrence{
				ID: id, Of: &step.Product{ID: id, Name: id, Body: &body}, At: step.Placement{Origin: r3.Vec{X: float64(i), Y: float64(k)}, Z: r3.Vec{Z: 1}, X: r3.Vec{X: 1}},
			})
		}
	}
	var b strings.Builder
	if err := step.Write(&b, root, step.Header{Schema: step.AP242}); err != nil {
		t.Fatal(err)
	}
	read := importSTEP(t, keep(t, "profiles.step", []byte(b.String())))
	if len(read.Solids) != len(want) || len(want) != 14 {
		t.Errorf("%d solids, want seven profiles twice, are %d", len(read.Solids), len(want))
	}
	for _, s := range read.Solids {
		id := s.Name[strings.LastIndex(s.Name, "/")+1:]
		if math.Abs(s.MM3/want[id]-1) > 1e-6 {
			t.Errorf("%s: %.9g mm³, want %.9g mm³", id, s.MM3, want[id])
		}
	}
}

// TestGLBIsValid: the validator of the format finds no error and no warning.
func TestGLBIsValid(t *testing.T) {
	_, err := exec.LookPath("node")
	needs(t, "node", err)
	_, err = os.Stat("testtools/node_modules/gltf-validator")
	needs(t, "gltf-validator (npm ci in pack/testtools)", err)
	args := []string{"testtools/validate.js"}
	for _, example := range modelExamples {
		m := built(t, example)
		args = append(args,
			keep(t, example+".glb", modelFile(t, "GLB", m, ModelOptions{})),
			keep(t, example+"-moving.glb", modelFile(t, "GLB", m, ModelOptions{Detailed: true, Payload: true, Keyframes: Sweep(m), Pose: Middle(m)})))
	}
	var found map[string]struct {
		Errors, Warnings, Triangles, Animations int
		Messages                                []string
	}
	text := outside(t, "node", args...)
	if err := json.Unmarshal(text, &found); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if len(found) != len(args)-1 {
		t.Errorf("%d files were judged, want %d", len(found), len(args)-1)
	}
	for file, f := range found {
		name := filepath.Base(file)
		moving := strings.HasSuffix(name, "-moving.glb")
		if f.Errors > 0 || f.Warnings > 0 || f.Triangles < 500 || (f.Animations == 1) != moving {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

// TestURDFIsRead: the reader of the format finds the chain.
func TestURDFIsRead(t *testing.T) {
	_, err := exec.LookPath("check_urdf")
	needs(t, "check_urdf (Debian package liburdfdom-tools)", err)
	for _, example := range modelExamples {
		m := built(t, example)
		out := string(outside(t, "check_urdf", keep(t, "machine.urdf", modelFile(t, "URDF", m, ModelOptions{Payload: true}))))
		want := "root Link: stand has 1 child(ren)\n"
		indent := "    "
		for i := range m.Axes {
			want += indent + "child(1):  " + linkName(bodyName(m, i+1)) + "\n"
			indent += "    "
		}
		want += indent + "child(1):  payload\n" + indent + "child(2):  tool\n"
		if _, tree, _ := strings.Cut(out, "Successfully Parsed XML ---------------\n"); tree != want {
			t.Errorf("%s: %s\nwant the tree\n%s", example, out, want)
		}
	}
}

// profiles are one of each kind.
func profiles() []*parts.Profile {
	var out []*parts.Profile
	c := parts.Embedded()
	for _, id := range []string{"profile-40x80-light", "tube-60x40x3", "tube-round-48.3x3.2", "flat-40x8", "angle-40x40x4", "channel-100x50x5", "box-90x60"} {
		if p, ok := c.Profile(id); ok {
			out = append(out, p)
		}
	}
	return out
}
