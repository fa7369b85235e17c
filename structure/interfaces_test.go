package structure

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

func connection(t *testing.T, m *machine.Machine, id string) machine.Connection {
	t.Helper()
	i := slices.IndexFunc(m.Connections, func(c machine.Connection) bool { return c.ID == id })
	if i < 0 {
		t.Fatalf("no connection %s", id)
	}
	return m.Connections[i]
}

// TestFacesOfConnections: sizes a reader finds in the parts, along and across
// the held axis.
func TestFacesOfConnections(t *testing.T) {
	endless := math.Inf(1)
	tests := map[string]struct {
		example, id   string
		carrier, held [2]float64 // m
	}{
		// Rail 90 x 90 and under-beam 45 x 45, both along X.
		"beam along a rail": {"crate-portal", "x.support.2", [2]float64{endless, 0.09}, [2]float64{endless, 0.045}},
		// Carriage 234 x 134 along X; block plate 179 x 100 of the mast, along Z.
		"block plate on a carriage": {"crate-portal", "z.interface", [2]float64{0.134, 0.234}, [2]float64{0.179, 0.1}},
		// Carriage 189 x 100 along X; bridge 120 x 80 on its side, along Y.
		"bridge on a carriage": {"seedling-gantry", "y.interface.1", [2]float64{0.1, 0.189}, [2]float64{endless, 0.08}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			m := example(t, c.example)
			link := connection(t, m, c.id)
			for i, want := range [][2]float64{c.carrier, c.held} {
				got := face(m, [...]machine.Place{link.A, link.B}[i], link)
				for k := range want {
					if got[k] != want[k] && !(math.Abs(got[k]-want[k]) < 1e-12) { // sums of products with unit vectors
						t.Errorf("%s: %v, want %v", [...]string{"carrier", "held"}[i], got, want)
					}
				}
			}
		})
	}
}

// TestPlateLiesAlongTheLowerAxis: the length of a plate, 100 mm, follows X, so it
// lies across the bridge that it carries.
func TestPlateLiesAlongTheLowerAxis(t *testing.T) {
	m := example(t, "sample-gantry")
	p, err := InterfacePlate(m, connection(t, m, "y.interface.1"))
	if err != nil {
		t.Fatal(err)
	}
	if want := [2]float64{0.08, 0.1}; p.Size != want || p.Pitch != [2]float64{0.05, 0.07} {
		t.Errorf("plate %v with screws at %v m, want %v with 50 and 70 mm", p.Size, p.Pitch, want)
	}
}

// TestPlateNeverStiffensTheContact: series springs; a thicker plate is stiffer.
func TestPlateNeverStiffensTheContact(t *testing.T) {
	m := example(t, "seedling-gantry")
	c := connection(t, m, "y.interface.1")
	contact, err := directStiffness(m, c)
	if err != nil {
		t.Fatal(err)
	}
	thin := *c.Plate
	var before [6]float64
	for _, thick := range []float64{0.005, 0.01, 0.02, 0.04} {
		thin.Thick, c.Plate = thick, &thin
		k, err := connectionStiffness(m, c)
		if err != nil {
			t.Fatal(err)
		}
		for i := range k {
			if !(k[i] > 0 && k[i] <= contact[i] && k[i] >= before[i]) {
				t.Errorf("%g m: component %d is %.4g after %.4g, the contact alone %.4g", thick, i, k[i], before[i], contact[i])
			}
		}
		before = k
	}
	// The bridge overhangs by 25 mm, the carriage by 15 mm: 40 mm of plate leave almost the contact alone.
	if !(before[3] > 0.8*contact[3]) {
		t.Errorf("a plate of 40 mm leaves %.4g of %.4g N m/rad", before[3], contact[3])
	}
}

func TestClampsWithoutStiffnessAreRefused(t *testing.T) {
	m := example(t, "crate-portal")
	c := connection(t, m, "x.support.1")
	bare := *c.Clamp
	bare.Kn = 0
	c.Clamp = &bare
	if _, err := connectionTie(m, c, Nominal); err == nil || !strings.Contains(err.Error(), "stiffness_normal") {
		t.Errorf("a clamp without stiffness: %v", err)
	}
}

// TestJointPlaneOfExplicitMembers: a level bar between legs has its brackets in
// the vertical plane, one between level rails in the horizontal plane.
func TestJointPlaneOfExplicitMembers(t *testing.T) {
	text, err := os.ReadFile("../examples/seedling-gantry/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		from, to string
		swapped  bool
	}{
		"between legs":  {"leg.front.left.low", "leg.front.middle.low", false},
		"between rails": {"p", "q", true},
	} {
		bar := "\n  nodes: {p: {at: [1.2 m, -1.1 m, 1.82 m]}, q: {at: [1.2 m, 1.1 m, 1.82 m]}, r: {at: [1.9 m, -1.1 m, 1.82 m]}}\n  members:\n" +
			"    rail: {from: p, to: r, profile: profile-40x40-heavy}\n    far: {from: q, to: leg.rear.middle.low, profile: profile-40x40-heavy}\n" +
			"    bar: {from: " + c.from + ", to: " + c.to + ", profile: profile-40x40-heavy, joint: bracket-40}\n  foot: foot-m16\n"
		d, list := design.Load(fstest.MapFS{"g.yaml": {Data: []byte(strings.Replace(string(text), "\n  foot: foot-m16\n", bar, 1))}}, "g.yaml")
		if len(list) > 0 {
			t.Fatal(list)
		}
		m, list := machine.Build(d, parts.Embedded())
		if len(list) > 0 {
			t.Fatal(list)
		}
		i := slices.IndexFunc(m.Members, func(o machine.Member) bool { return o.ID == "bar" })
		if got := Swapped(m, i); got != c.swapped {
			t.Errorf("%s: swapped is %v", name, got)
		}
	}
}
