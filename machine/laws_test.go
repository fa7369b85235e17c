package machine_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/structure"
)

// everyExample runs a law on all examples.
func everyExample(t *testing.T, law func(t *testing.T, m *machine.Machine)) {
	for _, name := range exampleNames {
		t.Run(name, func(t *testing.T) { law(t, example(t, name)) })
	}
}

// poses are home, the far end and one between.
func poses(m *machine.Machine) [][]float64 {
	out := make([][]float64, 3)
	for i, share := range []float64{0, 0.37, 1} {
		for _, a := range m.Axes {
			out[i] = append(out[i], share*a.Spec.Travel)
		}
	}
	return out
}

func TestFramesAreRightHanded(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		righthanded := func(what string, x, y, z r3.Vec) {
			if !(r3.Norm(r3.Sub(r3.Cross(x, y), z)) <= 1e-12) || math.Abs(r3.Norm(x)-1) > 1e-12 || math.Abs(r3.Dot(x, y)) > 1e-12 {
				t.Errorf("%s: %v, %v, %v are not right-handed unit vectors", what, x, y, z)
			}
		}
		for _, a := range m.Axes {
			righthanded("axis "+a.Spec.ID, a.Dir, a.Side, a.Normal)
		}
		for _, c := range m.Connections {
			righthanded(c.ID, c.Axes[0], c.Axes[1], c.Axes[2])
			if !(r3.Norm(r3.Sub(c.Axes[0], m.Axes[c.Axis].Dir)) <= 1e-12) {
				t.Errorf("%s: own x along %v, the held axis runs along %v", c.ID, c.Axes[0], m.Axes[c.Axis].Dir)
			}
		}
		righthanded("stand", m.Stand.Along, m.Stand.Across, r3.Vec{Z: 1})
	})
}

// TestBothSidesOfAConnectionAreOnePlace: a spring between places apart would
// carry a force without its moment.
func TestBothSidesOfAConnectionAreOnePlace(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		for _, q := range poses(m) {
			for _, c := range m.Connections {
				near(t, fmt.Sprintf("%s at %v", c.ID, q), m.PlaceAt(c.A, q), m.PlaceAt(c.B, q))
			}
		}
	})
}

func TestNamesAreUnique(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		unique(t, m)
	})
}

func unique(t *testing.T, m *machine.Machine) {
	t.Helper()
	seen := map[string]bool{}
	once := func(list, id string) {
		if key := list + " " + id; id == "" || seen[key] {
			t.Errorf("%s %q is empty or there twice", list, id)
		} else {
			seen[key] = true
		}
	}
	for _, n := range m.Nodes {
		once("node", n.ID)
	}
	for i, mem := range m.Members {
		once("member", mem.ID)
		if l := m.Length(i); !(l > 1e-3) {
			t.Errorf("member %s is %v m long", mem.ID, l)
		}
		if m.Nodes[mem.From].Body != mem.Body || m.Nodes[mem.To].Body != mem.Body {
			t.Errorf("member %s of body %d ends on bodies %d and %d", mem.ID, mem.Body, m.Nodes[mem.From].Body, m.Nodes[mem.To].Body)
		}
	}
	ties, err := structure.Ties(m, make([]float64, len(m.Axes)))
	if err != nil {
		t.Fatal(err)
	}
	for _, tie := range ties {
		once("tie", tie.ID)
	}
	for _, c := range m.Connections {
		once("tie", c.ID)
	}
	for _, p := range m.Masses {
		once("mass", p.ID)
	}
}

// TestCoordinatesStayOnTheBeam: at both ends of the travel every block is on its rail.
func TestCoordinatesStayOnTheBeam(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		for _, a := range m.Axes {
			for _, q := range []float64{0, a.Spec.Travel} {
				for _, b := range a.Blocks {
					if s := a.On(q) + b.Along; s < 0 || s > a.Length {
						t.Errorf("axis %s at %v: a block at %v m on a beam of %v m", a.Spec.ID, q, s, a.Length)
					}
				}
			}
		}
	})
}

// TestRailsAreFinelyDivided: blocks run on elements of at most 0.15 m.
func TestRailsAreFinelyDivided(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		for _, a := range m.Axes {
			for _, b := range a.Beams {
				if mem := m.Members[b]; !(a.Length/float64(mem.Divide) <= 0.15) || mem.Divide < 8 {
					t.Errorf("%s is %v m long in %d elements", mem.ID, a.Length, mem.Divide)
				}
			}
		}
	})
}

// TestBodiesOnlyTranslate: what belongs to a body moves with every axis before it.
func TestBodiesOnlyTranslate(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		home := make([]float64, len(m.Axes))
		for _, q := range poses(m) {
			for i, n := range m.Nodes {
				var want r3.Vec
				for k := range min(n.Body, len(m.Axes)) {
					want = r3.Add(want, r3.Scale(q[k], m.Axes[k].Dir))
				}
				near(t, n.ID, r3.Sub(m.NodeAt(i, q), m.NodeAt(i, home)), want)
			}
		}
	})
}
