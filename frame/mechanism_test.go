package frame

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestMechanisms: each structure can move; the message must name one of the nodes that do.
func TestMechanisms(t *testing.T) {
	beam := func(id, from, to, ends string) string {
		return fmt.Sprintf(`{"id":%q,"from":%q,"to":%q,"section":"s","material":"m"%s}`, id, from, to, ends)
	}
	hinges := `,"ends":{"from":{"ry":"free","rz":"free"},"to":{"ry":"free","rz":"free"}}`
	portal := `"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[0,0,2]},{"id":"c","at":[3,0,2]},{"id":"d","at":[3,0,0]}],`
	tests := map[string]struct {
		model     string
		nodes     string // any of these
		direction int    // -1: any
	}{
		"nothing holds it": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]}],"members":[` + beam("1", "a", "b", "") + `],
			"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "a b", -1},
		"a node without members": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]},{"id":"lost","at":[1,1,0]}],"members":[` + beam("1", "a", "b", "") + `],
			"supports":[{"node":"a",` + clamped + `}],"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "lost", -1},
		"a beam on one ball joint": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]}],"members":[` + beam("1", "a", "b", "") + `],
			"supports":[{"node":"a","fix":["ux","uy","uz"]}],"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "a b", -1},
		"two beams hinged at a middle node": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"mid","at":[1,0,0]},{"id":"c","at":[2,0,0]}],"members":[` +
			beam("1", "a", "mid", `,"ends":{"to":{"ry":"free"}}`) + "," + beam("2", "mid", "c", `,"ends":{"from":{"ry":"free"}}`) + `],
			"supports":[{"node":"a",` + clamped + `},{"node":"c",` + clamped + `}],"loads":[{"case":"c","node":"mid","force":[0,0,-1]}]`, "mid", RY},
		"hinged portal sways": {portal + `"members":[` + beam("1", "a", "b", "") + "," + beam("2", "b", "c", hinges) + "," + beam("3", "d", "c", "") + `],
			"supports":[{"node":"a","fix":["ux","uy","uz","rx","rz"]},{"node":"d","fix":["ux","uy","uz","rx","rz"]}],
			"loads":[{"case":"c","node":"b","force":[1,0,0]}]`, "b c", UX},
		"a bar that spins": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,1,0]}],"members":[` +
			beam("1", "a", "b", `,"divide":3,"ends":{"from":{"rx":"free"},"to":{"rx":"free"}}`) + `],
			"supports":[{"node":"a",` + clamped + `},{"node":"b",` + clamped + `}],"loads":[{"case":"c","member":"1","per_length":[0,0,-1]}]`, "a b", -1},
		"slides in one direction": {portal + `"members":[` + beam("1", "a", "b", "") + "," + beam("2", "b", "c", "") + "," + beam("3", "d", "c", "") + `],
			"supports":[{"node":"a","fix":["uy","uz","rx","ry","rz"]},{"node":"d","fix":["uy","uz","rx","ry","rz"]}],
			"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "a b c d", UX},
		"a second part beside a good one": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]},{"id":"x","at":[0,5,0]},{"id":"y","at":[1,5,0]}],"members":[` +
			beam("1", "a", "b", "") + "," + beam("2", "x", "y", "") + `],
			"supports":[{"node":"a",` + clamped + `}],"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "x y", -1},
		"a spring that holds one direction only": {`"nodes":[{"id":"a","at":[0,0,0]}],"springs":[{"from":"a","to":"ground","k":[1e12,0,1e3,1,1,1]}],
			"loads":[{"case":"c","node":"a","force":[1,0,0]}]`, "a", UY},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			m, problems := ReadJSON(strings.NewReader("{" + stock + tt.model + "}"))
			if problems != nil {
				t.Fatal(problems)
			}
			_, err := Solve(m)
			var free *MechanismError
			if !errors.As(err, &free) {
				t.Fatalf("not refused: %v", err)
			}
			named := false
			for _, node := range strings.Fields(tt.nodes) {
				named = named || free.Node == node && strings.Contains(err.Error(), `"`+node+`"`)
			}
			if !named || tt.direction >= 0 && free.Direction != tt.direction {
				t.Errorf("named node %q direction %d, want one of %q direction %d: %v", free.Node, free.Direction, tt.nodes, tt.direction, err)
			}
			// The same model without loads is solved for its modes.
			m.Cases, m.Modes = nil, 2
			if _, err := Solve(m); err != nil && !errors.Is(err, ErrNoMass) && !errors.Is(err, ErrIdle) {
				t.Errorf("modes: %v", err)
			}
		})
	}
}

// TestSoftIsNotAMechanism: structures that are nearly mechanisms, each with a known displacement.
func TestSoftIsNotAMechanism(t *testing.T) {
	tests := map[string]struct {
		model string
		node  string
		dir   int
		want  float64
	}{
		"a spring of 1e-3 N/m beside one of 1e12": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]}],
			"springs":[{"from":"a","to":"b","k":[1e12,1e12,1e12,1e9,1e9,1e9]},{"from":"a","to":"ground","k":[1e-3,1e3,1e3,1e3,1e3,1e3]}],
			"loads":[{"case":"c","node":"b","force":[1,0,0]}]`, "b", UX, 1000},
		"a nearly hinged portal": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[0,0,2]},{"id":"c","at":[3,0,2]},{"id":"d","at":[3,0,0]}],"members":[
			{"id":"1","from":"a","to":"b","section":"s","material":"m","ends":{"from":{"ry":1e-6}}},
			{"id":"2","from":"b","to":"c","section":"s","material":"m","ends":{"from":{"ry":"free"},"to":{"ry":"free"}}},
			{"id":"3","from":"d","to":"c","section":"s","material":"m","ends":{"from":{"ry":"free"}}}],
			"supports":[{"node":"a",` + clamped + `},{"node":"d",` + clamped + `},{"node":"b","fix":["uy"]},{"node":"c","fix":["uy"]}],
			"loads":[{"case":"c","node":"b","force":[1e-6,0,0]}]`, "b", UX, 1e-6 * 2 * 2 / 1e-6}, // P h²/S: the leg turns on its base spring
		"a long thin chain": {`"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[100,0,0]}],"members":[
			{"id":"1","from":"a","to":"b","section":"s","material":"m","divide":1000}],
			"supports":[{"node":"a",` + clamped + `}],"loads":[{"case":"c","node":"b","force":[0,0,-1]}]`, "b", UZ, -1e6 / (3 * 70e9 * 3e-6)},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			a := solved(t, "{"+stock+tt.model+"}")
			d := displacement(a.States[0], tt.node)
			// 1e-6: the ratio of stiffnesses is up to 1e15, and refinement brings back what it can
			near(t, "displacement", d[tt.dir], tt.want, 1e-6)
			if r := a.States[0].Proof.Residual; !(r <= 1e-5) {
				t.Errorf("residual %g", r)
			}
		})
	}
}

// TestIllConditionedSprings is a spring of 1e12 beside one of 1e3.
func TestIllConditionedSprings(t *testing.T) {
	a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[0,0,0]},{"id":"c","at":[0,0,0]}],
		"springs":[{"from":"a","to":"ground","k":[1e3,1e3,1e3,1e3,1e3,1e3]},{"from":"a","to":"b","k":[1e12,1e12,1e12,1e12,1e12,1e12]},
			{"from":"b","to":"c","k":[1e3,1e3,1e3,1e3,1e3,1e3]}],
		"loads":[{"case":"c","node":"c","force":[1,2,3],"moment":[4,5,6]}]}`)
	d := displacement(a.States[0], "c")
	for k := range 6 {
		near(t, freedomNames[k], d[k], float64(k+1)*(2e-3+1e-12), 1e-9)
	}
	if r := a.States[0].Proof.Residual; !(r <= 1e-5) || math.IsNaN(r) {
		t.Errorf("residual %g", r)
	}
}
