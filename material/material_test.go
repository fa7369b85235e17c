package material

import (
	"errors"
	"math"
	"testing"
)

func TestStrengthAt(t *testing.T) {
	tests := map[string]struct {
		id        string
		thickness float64 // m
		form      Form
		proof     float64 // Pa, EN 755-2 and EN 10025-2
		unknown   bool
	}{
		"thin wall":                       {"6060-t66", 2e-3, AnyForm, 160e6, false},
		"a limit belongs to the thin one": {"6060-t66", 3e-3, AnyForm, 160e6, false},
		"thick wall":                      {"6060-t66", 3.1e-3, AnyForm, 150e6, false},
		"solid":                           {"6005a-t6", 4e-3, Solid, 225e6, false},
		"hollow":                          {"6005a-t6", 4e-3, Hollow, 215e6, false},
		"form unknown: the weaker counts": {"6005a-t6", 4e-3, AnyForm, 215e6, false},
		"the thicker one is the stronger": {"6082-t6", 8e-3, Hollow, 260e6, false},
		"steel":                           {"s235", 16e-3, AnyForm, 235e6, false},
		"thick steel":                     {"s355", 20e-3, AnyForm, 345e6, false},
		"thicker than listed":             {"s235", 41e-3, AnyForm, 0, true},
		"no wall":                         {"6060-t5", 0, AnyForm, 0, true},
		"not a number":                    {"6060-t5", math.NaN(), AnyForm, 0, true},
		"rails state hardness":            {"rail-steel", 5e-3, AnyForm, 0, true},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			m, ok := ByID(c.id)
			if !ok {
				t.Fatalf("no material %q", c.id)
			}
			s, err := m.StrengthAt(c.thickness, c.form)
			var unknown *UnknownStrengthError
			if errors.As(err, &unknown) != c.unknown || s.Proof != c.proof {
				t.Errorf("got %g Pa, %v; want %g Pa, unknown %v", s.Proof, err, c.proof, c.unknown)
			}
		})
	}
}

// Every row must be usable: numbers in order, ids told apart, a status on each.
func TestTableIsConsistent(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range All() {
		if seen[m.ID] {
			t.Errorf("%s: twice in the table", m.ID)
		}
		seen[m.ID] = true
		for name, v := range map[string]Value{"modulus": m.Modulus, "shear": m.Shear, "density": m.Density, "expansion": m.Expansion} {
			if !(0 < v.Low && v.Low <= v.Nominal && v.Nominal <= v.High) || v.Status == "" {
				t.Errorf("%s: %s: %+v is no range with a status", m.ID, name, v)
			}
			if (v.Source == "") != (v.Status == CommonPractice) {
				t.Errorf("%s: %s: a source is needed unless it is common practice: %+v", m.ID, name, v)
			}
		}
		// Isotropy ties the three constants; tables round them to two figures.
		if g := m.Modulus.Nominal / (2 * (1 + m.Poisson)); math.Abs(g/m.Shear.Nominal-1) > 0.02 {
			t.Errorf("%s: G = %g Pa, E and Poisson's ratio give %g Pa", m.ID, m.Shear.Nominal, g)
		}
		for _, s := range m.Strengths {
			if !(s.Over < s.UpTo && 0 < s.Proof && s.Proof < s.Ultimate) || s.Status == "" || s.Source == "" {
				t.Errorf("%s: %+v is out of order", m.ID, s)
			}
		}
	}
	if _, ok := ByID("unobtainium"); ok {
		t.Error("a material was found that is not in the table")
	}
}
