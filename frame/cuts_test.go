package frame

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// propped is a bar clamped at both ends that rests on a spring at a place of its
// length, weighed down there; cut tells whether that place is a node.
func propped(at float64, cut bool) *Model {
	b := Member{ID: "b", From: "a", To: "c", Section: "s", Material: "m", Divide: 2}
	if cut {
		b.Cuts = []float64{at}
	}
	prop := Point{Member: "b", Position: at, Offset: [3]float64{0, 0.03, 0.05}}
	return &Model{
		Nodes:     []Node{{ID: "a"}, {ID: "c", At: [3]float64{2, 0.5, 0.4}}},
		Sections:  []Section{{ID: "s", A: 2e-3, Iy: 3e-6, Iz: 1e-6, J: 5e-7, Asy: 6e-4, Asz: 9e-4}},
		Materials: []Material{{ID: "m", E: 70e9, G: 27e9, Rho: 2700}},
		Members:   []Member{b},
		Supports:  []Support{{Node: "a", Fix: [6]bool{true, true, true, true, true, true}}, {Node: "c", Fix: [6]bool{true, true, true, true, true, true}}},
		Ties:      []Tie{{ID: "prop", From: prop, K: [6]float64{1e6, 2e6, 5e6, 1e4, 2e4, 3e4}}},
		Cases:     []Case{{ID: "load", Forces: []Force{{At: prop, Force: [3]float64{100, -200, -1000}, Moment: [3]float64{5, 0, 9}}}, Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}}}},
	}
}

// TestCutIsANode: a bar that is cut where a tie holds it is the same as two bars
// with a node there; without the cut it is too stiff.
func TestCutIsANode(t *testing.T) {
	const at = 0.37
	whole, coarse := propped(at, true), propped(at, false)
	two := propped(at, false)
	c := two.Nodes[1].At
	two.Nodes = append(two.Nodes, Node{ID: "b", At: [3]float64{at * c[0], at * c[1], at * c[2]}})
	first, second := two.Members[0], two.Members[0]
	first.To, second.ID, second.From = "b", "d", "b"
	first.Divide, second.Divide = 1, 2
	two.Members = []Member{first, second}
	lever := Point{Node: "b", Offset: two.Ties[0].From.Offset}
	two.Ties[0].From, two.Cases[0].Forces[0].At = lever, lever

	place := Point{Member: "b", Position: at}
	_, cut := system(t, whole)
	_, uncut := system(t, coarse)
	_, split := system(t, two)
	got, err := cut.At(place)
	if err != nil {
		t.Fatal(err)
	}
	want := displacement(split, "b")
	close6(t, "at the cut", got, want, 1e-9) // the same equations, solved in another order
	stiff, err := uncut.At(place)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(stiff[UZ]) < 0.999*math.Abs(got[UZ])) {
		t.Errorf("without a node there the bar sags by %.6g m, with one by %.6g m", -stiff[UZ], -got[UZ])
	}
}

// TestPlacesOfElements: equal parts between the cuts, none longer than asked.
func TestPlacesOfElements(t *testing.T) {
	for name, c := range map[string]struct {
		divide int
		cuts   []float64
		want   []float64
	}{
		"none":                 {4, nil, []float64{0, 0.25, 0.5, 0.75, 1}},
		"one element":          {0, nil, []float64{0, 1}},
		"between":              {2, []float64{0.6}, []float64{0, 0.3, 0.6, 1}},
		"on a node":            {2, []float64{0.5}, []float64{0, 0.5, 1}},
		"at the ends":          {1, []float64{0, 1}, []float64{0, 1}},
		"unsorted and twice":   {1, []float64{0.7, 0.2, 0.7}, []float64{0, 0.2, 0.7, 1}},
		"too close to an end":  {1, []float64{1e-5, 1 - 1e-5}, []float64{0, 1}},
		"too close for a part": {1, []float64{0.5, 0.50001}, []float64{0, 0.5, 1}},
	} {
		m := Member{Divide: c.divide, Cuts: c.cuts}
		if got := m.places(); !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// TestPositionsWithCuts: a point is where its position says, whatever the elements are.
func TestPositionsWithCuts(t *testing.T) {
	m := propped(0.37, true)
	m.Members[0].Cuts = []float64{0.37, 0.9, 0.02}
	m.Cases[0].Fields = nil // a line load bends between the nodes too
	s, state := system(t, m)
	const slope = 1e-3
	for i := range state.u { // turn the whole frame rigidly about Y through the origin: uz = -x slope
		state.u[i] = 0
	}
	for n, at := range s.grid.at {
		state.u[6*n+UZ], state.u[6*n+UX], state.u[6*n+RY] = -slope*at[0], slope*at[2], slope
	}
	for _, at := range []float64{0, 0.01, 0.02, 0.2, 0.37, 0.5, 0.89, 0.9, 0.95, 1} {
		d, err := state.At(Point{Member: "b", Position: at})
		if err != nil {
			t.Fatal(err)
		}
		if want := -slope * 2 * at; math.Abs(d[UZ]-want) > 1e-12 {
			t.Errorf("at %v: %v, want %v", at, d[UZ], want)
		}
	}
}

func TestCutsOutsideAreRefused(t *testing.T) {
	for _, at := range []float64{-0.1, 1.1, math.NaN()} {
		m := propped(0.4, true)
		m.Members[0].Cuts = []float64{at}
		if p := m.Check(); len(p) != 1 || !strings.Contains(p.Error(), "cuts") {
			t.Errorf("cut at %v: %v", at, p)
		}
	}
}
