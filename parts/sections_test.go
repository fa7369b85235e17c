package parts

import (
	"errors"
	"math"
	"testing"

	"spanwright/section"
)

// withProfile returns a catalogue with one more profile, given as it stands in
// a file.
func withProfile(t *testing.T, text string) (*Catalogue, *Profile) {
	t.Helper()
	c, list := Embedded().With(Source{Name: "p.yaml", Text: []byte("spanwright_parts: 1\nprofile:\n  p: " + text + "\n")})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	p, _ := c.Profile("p")
	return c, p
}

func TestPropertiesOfAUsersProfile(t *testing.T) {
	tests := map[string]struct {
		text      string
		origin    section.Origin
		area, iy  float64 // m², m⁴
		tolerance float64
	}{
		// A rectangle: b h and b h³/12.
		"a flat": {"{shape: flat, material: s235, size: [40 mm, 30 mm]}", section.Computed, 1200e-6, 40e-3 * 27e-6 / 12, 1e-12},
		"the same point by point": {"{shape: outline, material: s235, outer: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 30 mm], [0 mm, 30 mm]]}",
			section.Computed, 1200e-6, 40e-3 * 27e-6 / 12, 1e-12},
		"given":              {"{shape: given, material: s235, size: [40 mm, 30 mm], given: {A: 11 cm2, Iy: 9 cm4, Iz: 15 cm4, J: 19 cm4}}", section.Stated, 11e-4, 9e-8, 1e-12},
		"a round bar":        {"{shape: round tube, material: s235, size: [30 mm, 30 mm], wall: 15 mm}", section.Computed, math.Pi / 4 * 900e-6, math.Pi / 64 * 81e-8, 2e-3},       // drawn with 96 edges of equal area
		"angle with a root":  {"{shape: angle, material: s235, size: [50 mm, 50 mm], wall: 5 mm, radius: 7 mm}", section.Computed, (475 + (1-math.Pi/4)*49) * 1e-6, 11.2e-8, 0.02}, // EN 10056-1 prints 4.80 cm² and 11.0 cm⁴ with rounded toes, from memory
		"channel":            {"{shape: channel, material: s235, size: [50 mm, 100 mm], wall: 5 mm}", section.Computed, 950e-6, (50*1e6 - 45*729e3) / 12 * 1e-12, 1e-9},
		"fitted to its mass": {"{shape: t-slot, material: 6063-t66, mass_per_m: 2.1 kg/m, t_slot: " + slot40 + "}", section.Matched, 2.1 / 2700, 11.5e-8, 0.06},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			catalogue, p := withProfile(t, c.text)
			s, err := catalogue.Properties(p)
			if err != nil {
				t.Fatal(err)
			}
			if s.Origin != c.origin {
				t.Errorf("origin %q, want %q", s.Origin, c.origin)
			}
			if math.Abs(s.Area/c.area-1) > c.tolerance && math.Abs(s.Area/c.area-1) > 1e-6 || math.Abs(s.Iy/c.iy-1) > c.tolerance {
				t.Errorf("A %.6g m², Iy %.6g m⁴, want %.6g and %.6g", s.Area, s.Iy, c.area, c.iy)
			}
		})
	}
}

// slot40 is the outline of the embedded profile-40x40-light.
const slot40 = "{module: 40 mm, modules_wide: 1, modules_high: 1, slot: 8 mm, lip: 4.5 mm, inner: 20 mm, depth: 12.25 mm, web: 2.5 mm, corner: 1.5 mm, bore: 6.8 mm, cell_wall: 1.8 mm, hollow_corners: yes}"

func TestKnownOutlineIsNotComputedAgain(t *testing.T) {
	c, p := withProfile(t, "{shape: t-slot, material: 6063-t66, t_slot: "+slot40+"}")
	if p.Size != [2]float64{0.04, 0.04} {
		t.Errorf("size %v does not follow from the T-slot", p.Size)
	}
	got, err := c.Properties(p)
	if err != nil {
		t.Fatal(err)
	}
	e, _ := c.Profile("profile-40x40-light")
	want, err := c.Properties(e)
	if err != nil {
		t.Fatal(err)
	}
	if got.J != want.J || got.Asy != want.Asy {
		t.Errorf("J %.9g against the stored %.9g", got.J, want.J)
	}
	// The stated mass of the drawn outline, to three figures, changes nothing.
	c, p = withProfile(t, "{shape: t-slot, material: 6063-t66, mass_per_m: 1.89 kg/m, t_slot: "+slot40+"}")
	if got, err = c.Properties(p); err != nil || got.J != want.J {
		t.Errorf("with its own mass stated: J %.9g, %v", got.J, err)
	}
}

func TestSectionsThatCannotBe(t *testing.T) {
	c, p := withProfile(t, "{shape: t-slot, material: 6063-t66, mass_per_m: 9 kg/m, t_slot: "+slot40+"}")
	if _, err := c.Properties(p); err == nil {
		t.Error("a mass that the outline cannot have was accepted")
	}
	c, p = withProfile(t, "{shape: given, material: s235, size: [40 mm, 30 mm], mass_per_m: 8 kg/m, given: {A: 11 cm2, Iy: 9 cm4, Iz: 15 cm4, J: 19 cm4}}")
	if _, err := p.Outline(); !errors.Is(err, ErrNoOutline) {
		t.Errorf("outline of given properties: %v", err)
	}
	if mass, err := c.MassPerMetre(p); err != nil || mass != 8 {
		t.Errorf("stated mass: %g, %v", mass, err)
	}
}

// TestClosedFacesStiffen closes two faces of a profile: the closed cells raise J.
func TestClosedFacesStiffen(t *testing.T) {
	c, p := withProfile(t, "{shape: t-slot, material: 6063-t66, t_slot: "+slot40[:len(slot40)-1]+", closed_faces: [+z, -z], face_wall: 2 mm}}")
	s, err := c.Properties(p)
	if err != nil {
		t.Fatal(err)
	}
	open, _ := c.sections.stored("profile-40x40-light")
	if !(s.J > 2*open.J) {
		t.Errorf("J %.4g against %.4g m⁴ with open slots", s.J, open.J)
	}
}

func TestYieldDependsOnThickness(t *testing.T) {
	c := Embedded()
	m, _ := c.Material("6063-t66")
	if y, ok := m.YieldAt(5e-3); !ok || y != 200e6 { // EN 755-2, up to 10 mm
		t.Errorf("5 mm: %g, %v", y, ok)
	}
	if m.Yield != 180e6 { // EN 755-2, 10 to 25 mm
		t.Errorf("least of all thicknesses: %g", m.Yield)
	}
	if _, ok := m.YieldAt(40e-3); ok {
		t.Error("40 mm is not listed")
	}
	rail, _ := c.Material("rail-steel")
	if _, ok := rail.YieldAt(5e-3); ok || rail.Yield != 0 {
		t.Error("the yield stress of rail steel is not known")
	}
	own, list := c.With(Source{Name: "m.yaml", Text: []byte("spanwright_parts: 1\nmaterial:\n  m: {E: 70 GPa, G: 27 GPa, density: 2700 kg/m3, expansion: 23e-6 1/K, yield: 140 MPa, source: sheet}\n")})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	mine, _ := own.Material("m")
	if y, ok := mine.YieldAt(5e-3); !ok || y != 140e6 {
		t.Errorf("a user's material: %g, %v", y, ok)
	}
}
