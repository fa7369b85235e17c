package frame

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

const cantilever = `{
 "nodes": [{"id":"a","at":[0,0,0]}, {"id":"b","at":[1.2,0,0]}],
 "sections": [{"id":"s","A":7e-4,"Iy":1e-7,"Iz":1e-7,"J":1.5e-8}],
 "materials": [{"id":"m","E":70e9,"G":27e9,"rho":2700}],
 "members": [{"id":"beam","from":"a","to":"b","section":"s","material":"m","divide":4}],
 "supports": [{"node":"a","fix":["ux","uy","uz","rx","ry","rz"]}],
 "loads": [{"case":"tip","node":"b","force":[0,0,-200]}],
 "modes": 3}`

func TestCantileverThroughJSON(t *testing.T) {
	m, problems := ReadJSON(strings.NewReader(cantilever))
	if problems != nil {
		t.Fatal(problems)
	}
	a, err := Solve(m)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Cases map[string]struct {
			Displacements, Reactions map[string][6]float64
			Residual                 float64
		}
		Modes []struct{ Hz float64 }
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	tip := got.Cases["tip"]
	want := -200 * 1.2 * 1.2 * 1.2 / (3 * 70e9 * 1e-7) // P L³/3EI
	if u := tip.Displacements["b"]; math.Abs(u[UZ]-want) > 1e-9*math.Abs(want) || !(u[RY] > 0) {
		t.Errorf("tip %v, want uz %g and a positive ry", u, want)
	}
	if r := tip.Reactions["a"]; math.Abs(r[UZ]-200) > 1e-6 || math.Abs(r[RY]+240) > 1e-6 {
		t.Errorf("reaction %v, want 200 N and -240 N m", r)
	}
	// 1.8751²/(2π) sqrt(EI/(rho A L⁴)); 4 consistent elements are good to 2e-4 in the first mode
	f := 1.8751 * 1.8751 / (2 * math.Pi) * math.Sqrt(70e9*1e-7/(2700*7e-4*math.Pow(1.2, 4)))
	if len(got.Modes) != 3 || math.Abs(got.Modes[0].Hz-f) > 2e-4*f {
		t.Errorf("modes %v, want the first at %g", got.Modes, f)
	}
}

// TestByteOrderMark: a model saved with a byte order mark reads as without one.
func TestByteOrderMark(t *testing.T) {
	const text = `{"nodes": [{"id": "a", "at": [0, 0, 0]}], "supports": [{"node": "a", "fix": ["ux"]}]}`
	plain, wrong := ReadJSON(strings.NewReader(text))
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	marked, wrong := ReadJSON(strings.NewReader("\uFEFF" + text))
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	if len(marked.Nodes) != len(plain.Nodes) || marked.Nodes[0] != plain.Nodes[0] {
		t.Errorf("read %v, want %v", marked.Nodes, plain.Nodes)
	}
}
