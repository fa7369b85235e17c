package solvers

import (
	"bytes"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"spanwright/frame"
)

var update = flag.Bool("update", false, "run the other solver and keep its input and output under testdata")

// Allowed differences. Bars made of solids differ from beams by what happens within about a width of clamped ends and
// joints, and by the discretisation of both.
const (
	// allowedDisplacement is relative to the largest displacement of the frame; 0.15 % is the most seen (stand: rigid knots
	// of the size of the joints).
	allowedDisplacement = 0.003
	// allowedFrequency is relative to the frequency; 0.37 % is the most seen (sixth mode of the cantilever, shear).
	allowedFrequency = 0.005
)

// run has the other solver solve an input in a directory of its own.
func run(t *testing.T, program string, f *Frame) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, f.Name+".inp"), []byte(f.Input()), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, f.Name)
	cmd.Dir = dir
	var log bytes.Buffer
	cmd.Stdout, cmd.Stderr = &log, &log
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, log.String())
	}
	text, err := os.ReadFile(filepath.Join(dir, f.Name+".dat"))
	if err != nil {
		t.Fatalf("%v\n%s", err, log.String())
	}
	return string(text)
}

// TestAgainstCalculiX compares displacements and frequencies with the kept output of the other solver, and with a fresh
// one where it is installed. In CI it must be installed (Debian package calculix-ccx).
func TestAgainstCalculiX(t *testing.T) {
	program, missing := exec.LookPath("ccx")
	if missing != nil && os.Getenv("CI") == "true" {
		t.Errorf("ccx is not installed: %v", missing)
	}
	for _, f := range Frames() {
		t.Run(f.Name, func(t *testing.T) {
			input, output := filepath.Join("testdata", f.Name+".inp"), filepath.Join("testdata", f.Name+".dat")
			if *update {
				if missing != nil {
					t.Fatal(missing)
				}
				keep(t, input, f.Input())
				keep(t, output, run(t, program, &f))
			}
			kept, err := os.ReadFile(input)
			if err != nil {
				t.Fatal(err)
			}
			if string(kept) != f.Input() {
				t.Errorf("%s is not the input of this frame any more: go test ./verification/solvers -update", input)
			}
			text, err := os.ReadFile(output)
			if err != nil {
				t.Fatal(err)
			}
			compare(t, &f, string(text))
			if missing == nil {
				compare(t, &f, run(t, program, &f))
			}
		})
	}
}

func keep(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func compare(t *testing.T, f *Frame, text string) {
	t.Helper()
	want, err := f.Read(text)
	if err != nil {
		t.Fatal(err)
	}
	got, err := frame.Solve(&f.Model)
	if err != nil {
		t.Fatal(err)
	}
	largest, worst := 0.0, 0.0
	for _, d := range want.Displacements {
		for _, x := range d {
			largest = math.Max(largest, math.Abs(x))
		}
	}
	for i, n := range f.Model.Nodes {
		d, _ := got.States[0].Displacement(n.ID)
		for k, x := range want.Displacements[i] {
			difference := math.Abs(d[k]-x) / largest
			worst = math.Max(worst, difference)
			if !(difference <= allowedDisplacement) {
				t.Errorf("node %s direction %d: %.6g m, CalculiX %.6g m", n.ID, k, d[k], x)
			}
		}
	}
	off := 0.0
	for i, x := range want.Hz {
		difference := math.Abs(got.Modes.Hz[i]-x) / x
		off = math.Max(off, difference)
		if !(difference <= allowedFrequency) {
			t.Errorf("mode %d: %.6g Hz, CalculiX %.6g Hz", i, got.Modes.Hz[i], x)
		}
	}
	t.Logf("displacements differ by up to %.2g %% of the largest, frequencies by up to %.2g %%", 100*worst, 100*off)
}
