package structure

import (
	"math"
	"testing"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// more is the factor of the small changes.
const more = 1.05

// stiffened are small changes of a machine, each in one kind of part.
var stiffened = map[string]func(m *machine.Machine){
	"legs":   stiffer(machine.Leg),
	"rails":  stiffer(machine.Rail),
	"beams":  stiffer(machine.Beam),
	"masts":  stiffer(machine.Mast),
	"braces": stiffer(machine.Brace),
	"feet": func(m *machine.Machine) {
		for i := range m.Feet {
			p := *m.Feet[i].Part
			p.Axial, p.Lateral, p.Rotate = more*p.Axial, more*p.Lateral, more*p.Rotate
			m.Feet[i].Part = &p
		}
	},
	"blocks": func(m *machine.Machine) {
		for _, a := range m.Axes {
			b := *a.Block
			b.Ky, b.Kz, b.KMx, b.KMy, b.KMz = more*b.Ky, more*b.Kz, more*b.KMx, more*b.KMy, more*b.KMz
			a.Block = &b
		}
	},
	"corner joints": func(m *machine.Machine) {
		d := *m.Design
		d.Assumptions.JointFactor = design.Range{Low: more * 0.5, Nominal: more, High: more * 2}
		m.Design = &d
	},
	"heavier beams": func(m *machine.Machine) {
		for i := range m.Members {
			if m.Members[i].Role == machine.Beam {
				m.Members[i].Extra += (more - 1) * m.Members[i].MassPerM()
			}
		}
	},
}

func stiffer(role machine.Role) func(*machine.Machine) {
	return func(m *machine.Machine) {
		for i := range m.Members {
			mem := &m.Members[i]
			if mem.Role != role {
				continue
			}
			p, kg := *mem.Profile, mem.BareMassPerM() // of the same mass, under a name of its own
			p.ID, p.MassPerM, mem.Profile = p.ID+" stiffened", &kg, &p
			s := &mem.Section
			s.Area, s.Iy, s.Iz, s.J, s.Asy, s.Asz = more*s.Area, more*s.Iy, more*s.Iz, more*s.J, more*s.Asy, more*s.Asz
		}
	}
}

// fixed makes the joints' stiffness a factor, so that it can be changed by a tenth.
func fixed(m *machine.Machine) *machine.Machine {
	d := *m.Design
	d.Assumptions.JointFactor = design.Range{Low: 0.5, Nominal: 1, High: 2}
	m.Design = &d
	return m
}

func sensitivity(t testing.TB, m *machine.Machine, q []float64) *Sensitivity {
	t.Helper()
	s, err := NewSensitivity(m, Low, q)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func middle(m *machine.Machine) []float64 {
	var q []float64
	for _, a := range m.Axes {
		q = append(q, 0.45*a.Spec.Travel)
	}
	return q
}

// TestSmallChangesAreForeseen: a twentieth more stiffness, or weight, in any part
// gains what the sensitivities say to a twentieth of the gain: a part in parallel
// with the rest gains k, one in series 1 - 1/(1 + k), which differ by as much.
// Gains below 1e-5 of the value are rounding.
func TestSmallChangesAreForeseen(t *testing.T) {
	for _, name := range []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"} {
		old := fixed(example(t, name))
		before := sensitivity(t, old, middle(old))
		nothing, err := before.After(fixed(example(t, name)))
		if err != nil {
			t.Fatal(err)
		}
		if !near(nothing.Sag, before.Sag(), 1e-9) || !near(nothing.Frequency, before.Frequency(), 1e-9) {
			t.Errorf("%s unchanged: %g m and %g Hz expected, %g m and %g Hz are there", name, nothing.Sag, nothing.Frequency, before.Sag(), before.Frequency())
		}
		for what, change := range stiffened {
			m := fixed(example(t, name))
			change(m)
			expected, err := before.After(m)
			if err != nil {
				t.Fatal(err)
			}
			exact := sensitivity(t, m, middle(m))
			compareGain(t, name+", "+what+": sag", expected.Sag-before.Sag(), exact.Sag()-before.Sag(), 1e-5*before.Sag())
			compareGain(t, name+", "+what+": frequency", expected.Frequency-before.Frequency(), exact.Frequency()-before.Frequency(), 1e-5*before.Frequency())
		}
	}
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance*math.Abs(b) }

func compareGain(t *testing.T, what string, expected, exact, nothing float64) {
	t.Helper()
	if !(math.Abs(expected-exact) <= math.Max(0.05*math.Abs(exact), nothing)) {
		t.Errorf("%s changes by %.4g, %.4g was expected", what, exact, expected)
	}
}

// edited is an example with edits.
func edited(t testing.TB, name string, edits ...design.Edit) *machine.Machine {
	t.Helper()
	text, err := example(t, name).Design.File.Apply(edits...)
	if err != nil {
		t.Fatal(err)
	}
	d, list := design.Parse("gantry.yaml", text)
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return m
}

// TestLargeChangesAreForeseen: remedies as they are proposed, far from small.
// Bars that come or go are foreseen to a tenth of the value; where one exchanged
// profile leaves its work to others, the gain is right to a factor of two.
func TestLargeChangesAreForeseen(t *testing.T) {
	const g, underBeam = "stand.generate.", "an under-beam"
	for _, c := range []struct {
		what, name string
		edits      []design.Edit
		hz         float64 // largest deviation of the frequency's ratio to the exact one
	}{
		{"no braces at all", "crate-portal", []design.Edit{{Path: g + "braces", Value: "[]"}}, 0.02},
		{"longer braces", "crate-portal", []design.Edit{{Path: g + "braces[1].reach", Value: "600 mm"}}, 0.02},
		{"a rail less", "crate-portal", []design.Edit{{Path: g + "bottom_rail", Value: "none"}}, 0.02},
		{"another profile of the legs", "crate-portal", []design.Edit{{Path: g + "legs.profile", Value: "profile-90x180-heavy"}}, 0.02},
		{"a narrow foot", "crate-portal", []design.Edit{{Path: g + "depth", Value: "900 mm"}, {Path: g + "braces[2].reach", Value: "400 mm"}}, 0.05},
		{"fewer supports of the beam", "crate-portal", []design.Edit{{Path: "axes.x.join.support_spacing", Value: "1 m"}}, 0.02},
		{underBeam, "crate-portal", []design.Edit{{Path: "axes.x.under_beam", Value: "profile-90x90-light"}}, 0.1},
		{"another corner joint", "seedling-gantry", []design.Edit{{Path: g + "joint", Value: "bracket-45"}}, 0.1},
		{"braces all round", "seedling-gantry", []design.Edit{{Path: g + "braces[3]", Value: "{plane: top, reach: 300 mm, profile: profile-45x45-light}"}}, 0.1},
	} {
		old := example(t, c.name)
		before := sensitivity(t, old, middle(old))
		m := edited(t, c.name, c.edits...)
		expected, err := before.After(m)
		if err != nil {
			t.Fatal(err)
		}
		exact := sensitivity(t, m, middle(m))
		if !near(expected.Frequency, exact.Frequency(), c.hz) {
			t.Errorf("%s: %s: %.4g Hz expected, %.4g Hz exact", c.name, c.what, expected.Frequency, exact.Frequency())
		}
		gain, least := exact.Sag()-before.Sag(), 0.1*before.Sag() // less than that is the play of other parts
		low, high := 0.5, 2.0
		if c.what == underBeam {
			low, high = 0, 1 // two bars side by side are credited, no less than that comes out
		}
		if r := (expected.Sag - before.Sag()) / gain; math.Abs(gain) > least && !(r >= low && r <= high) {
			t.Errorf("%s: %s: sag %.4g m before, %.4g m expected, %.4g m exact", c.name, c.what, before.Sag(), expected.Sag, exact.Sag())
		}
	}
}
