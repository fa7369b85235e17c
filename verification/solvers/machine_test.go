package solvers

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/structure"
)

// Allowed differences between the whole machine as structure solves it and as
// the other program does.
const (
	// allowedSag is relative to the largest movement of the tool point. Blocks find a beam too stiff between its nodes: up
	// to 0.4 % with elements of 0.15 m, 0.1 % with half of that. The other program's bars hold back their warping
	// at the ends: up to 0.5 % of their torsion.
	allowedSag = 0.01
	// allowedModes is relative to the frequency, which goes with the root of the stiffness. 0.06 % is the most seen.
	allowedModes = 0.003
)

// comparedPoses are near one corner, in the middle, and at the farthest point of the task.
var comparedPoses = [][]float64{{0.15, 0.2, 0.12}, {2, 0.8, 0.25}, {3.6, 1.4, 0.06}}

const comparedModes = 3

// solved is what a program says of one pose.
type solved struct {
	Q    []float64  `json:"q_m"`
	Tool [3]float64 `json:"tool_m"` // movement of the tool point under the weight, payload included
	Hz   []float64  `json:"hz"`
}

// keptRun is the output of the other program, for machines where it is not installed.
type keptRun struct {
	Program string   `json:"program"`
	Input   string   `json:"input_sha256"` // of all inputs, one after the other
	Poses   []solved `json:"poses"`
}

const keptFile = "testdata/tray-gantry.json"

// TestWholeMachineAgainstCalculiX: a stand, a pair of runways, a bridge and a
// mast at three poses, with joints, plates, clamps, blocks, drives and feet.
func TestWholeMachineAgainstCalculiX(t *testing.T) {
	m, err := trayGantry()
	if err != nil {
		t.Fatal(err)
	}
	var inputs []string
	var gantries []*gantry
	for _, q := range comparedPoses {
		g := &gantry{m: m, q: q, level: structure.Nominal}
		text, err := g.Input(comparedModes)
		if err != nil {
			t.Fatal(err)
		}
		inputs, gantries = append(inputs, text), append(gantries, g)
	}
	ours, err := ourGantry(gantries)
	if err != nil {
		t.Fatal(err)
	}
	digest := sha256.Sum256([]byte(strings.Join(inputs, "")))
	kept := readKept(t)
	program, missing := exec.LookPath("ccx")
	if missing != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("ccx is not installed: %v", missing)
		}
		if kept.Input != hex.EncodeToString(digest[:]) {
			t.Skip("the machine has changed since the kept run, and ccx (Debian package calculix-ccx) is not installed")
		}
		compareGantry(t, ours, kept.Poses)
		return
	}
	fresh := keptRun{Program: "CalculiX " + version(program), Input: hex.EncodeToString(digest[:])}
	for i, g := range gantries {
		out, err := solveGantry(program, t.TempDir(), g, inputs[i])
		if err != nil {
			t.Fatal(err)
		}
		fresh.Poses = append(fresh.Poses, out)
	}
	compareGantry(t, ours, fresh.Poses)
	if *update {
		text, err := json.MarshalIndent(fresh, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		keep(t, keptFile, string(text)+"\n")
	}
}

func readKept(t *testing.T) keptRun {
	t.Helper()
	text, err := os.ReadFile(keptFile)
	if err != nil && !*update {
		t.Fatal(err)
	}
	var k keptRun
	if err := json.Unmarshal(text, &k); err != nil && !*update {
		t.Fatal(err)
	}
	return k
}

func version(program string) string {
	out, _ := exec.Command(program, "-v").Output() // ends with an exit code that says nothing
	words := strings.Fields(string(out))
	if len(words) == 0 {
		return "of unknown version"
	}
	return words[len(words)-1]
}

// ourGantry solves the same poses with package structure.
func ourGantry(gantries []*gantry) ([]solved, error) {
	s, err := structure.New(gantries[0].m, structure.Nominal)
	if err != nil {
		return nil, err
	}
	responses, err := s.Map(comparedPoses, comparedModes)
	if err != nil {
		return nil, err
	}
	var out []solved
	for _, r := range responses {
		d := r.Loaded()
		out = append(out, solved{r.Q, [3]float64{d.X, d.Y, d.Z}, r.Hz[:comparedModes]})
	}
	return out, nil
}

// solveGantry has the other program solve one pose in a folder of its own.
func solveGantry(program, dir string, g *gantry, input string) (solved, error) {
	out := solved{Q: g.q}
	if err := os.WriteFile(filepath.Join(dir, "gantry.inp"), []byte(input), 0o600); err != nil {
		return out, err
	}
	cmd := exec.Command(program, "gantry")
	cmd.Dir = dir
	log, err := cmd.CombinedOutput()
	if err != nil || strings.Contains(string(log), "*ERROR") {
		return out, fmt.Errorf("%w\n%s", err, log)
	}
	text, err := os.ReadFile(filepath.Join(dir, "gantry.dat"))
	if err != nil {
		return out, err
	}
	flange, hz, err := readGantry(string(text))
	if err != nil {
		return out, err
	}
	d := g.toolPoint(flange)
	out.Tool, out.Hz = [3]float64{d.X, d.Y, d.Z}, hz
	return out, nil
}

// readGantry takes movement and rotation of the flange and the frequencies from a result file.
func readGantry(text string) (flange [2][3]float64, hz []float64, err error) {
	found, part := 0, ""
	scan := bufio.NewScanner(strings.NewReader(text))
	for scan.Scan() {
		words := strings.Fields(scan.Text())
		switch {
		case strings.Contains(scan.Text(), "displacements (vx,vy,vz)") && part == "":
			part = "displacements"
		case strings.Contains(scan.Text(), "E I G E N V A L U E   O U T P U T"):
			part = "frequencies"
		case strings.Contains(scan.Text(), "P A R T I C I P A T I O N"):
			part = "rest"
		case part == "displacements" && len(words) == 4 && found < 2:
			v, e := numbers(words[1:])
			if e != nil {
				return flange, nil, e
			}
			flange[found] = [3]float64(v)
			found++
		case part == "frequencies" && len(words) == 5:
			if v, e := numbers(words[1:]); e == nil && len(hz) < comparedModes {
				hz = append(hz, v[2])
			}
		}
	}
	if found != 2 || len(hz) != comparedModes {
		return flange, hz, errors.New("the result file is not complete")
	}
	return flange, hz, nil
}

func compareGantry(t *testing.T, ours, theirs []solved) {
	t.Helper()
	if len(theirs) != len(ours) {
		t.Fatalf("%d poses, want %d", len(theirs), len(ours))
	}
	for i, o := range ours {
		w := theirs[i]
		largest := r3.Norm(r3.Vec{X: w.Tool[0], Y: w.Tool[1], Z: w.Tool[2]})
		for k := range w.Tool {
			if !(math.Abs(o.Tool[k]-w.Tool[k]) <= allowedSag*largest) {
				t.Errorf("pose %v: the tool point moves by %.6g m in direction %d, CalculiX says %.6g m", o.Q, o.Tool[k], k, w.Tool[k])
			}
		}
		for k := range w.Hz {
			if !(math.Abs(o.Hz[k]-w.Hz[k]) <= allowedModes*w.Hz[k]) {
				t.Errorf("pose %v: mode %d at %.6g Hz, CalculiX says %.6g Hz", o.Q, k+1, o.Hz[k], w.Hz[k])
			}
		}
		t.Logf("pose %v: sag %.4f mm, CalculiX %.4f mm; %.4f %.4f %.4f Hz, CalculiX %.4f %.4f %.4f Hz", o.Q,
			-1000*o.Tool[2], -1000*w.Tool[2], o.Hz[0], o.Hz[1], o.Hz[2], w.Hz[0], w.Hz[1], w.Hz[2])
	}
}
