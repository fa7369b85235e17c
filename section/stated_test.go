package section

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestStatedValuesAreTakenOver(t *testing.T) {
	p, err := Sheet{Area: 7e-4, Iy: 1e-7, Iz: 4e-7, J: 2e-8, Width: 0.08, Height: 0.04}.Properties()
	if err != nil {
		t.Fatal(err)
	}
	if p.Origin != Stated || p.Area != 7e-4 || p.Iy != 1e-7 || p.J != 2e-8 {
		t.Errorf("%+v", p)
	}
	near(t, "Wy", p.Wy, 1e-7/0.02, 1e-15)
	near(t, "Wz", p.Wz, 4e-7/0.04, 1e-15)
	near(t, "angle of the stiff axis", p.Angle, math.Pi/2, 1e-15)
	near(t, "W1", p.W1, p.Wz, 0)
	if !math.IsNaN(p.JError()) {
		t.Errorf("the error of a stated J is %g", p.JError())
	}
	want := []string{"Wt_m3", "Asy_m2", "Asz_m2", "thickest_m", "perimeter_m", "edge_m", "walls"}
	if d := cmp.Diff(want, p.Missing); d != "" {
		t.Error(d)
	}
}

// What a sheet does not state is unknown: no stress is made of it.
func TestStressOfStatedSection(t *testing.T) {
	p, err := Sheet{Area: 7e-4, Iy: 1e-7, Iz: 4e-7, J: 2e-8}.Properties()
	if err != nil {
		t.Fatal(err)
	}
	if s, err := p.Stress(Forces{N: -7e3}); err != nil || s.Sigma != 7e3/7e-4 {
		t.Errorf("axial force alone: %+v, %v", s, err)
	}
	var missing *MissingError
	_, err = p.Stress(Forces{My: 1, Vz: 1, T: 1})
	if !errors.As(err, &missing) {
		t.Fatalf("got %v", err)
	}
	if d := cmp.Diff([]string{"Wy_m3", "Wt_m3", "Asz_m2"}, missing.Keys); d != "" {
		t.Error(d)
	}
}

func TestSheetRefuses(t *testing.T) {
	good := Sheet{Area: 7e-4, Iy: 1e-7, Iz: 1e-7, J: 2e-8}
	change := func(f func(*Sheet)) Sheet { s := good; f(&s); return s }
	for name, c := range map[string]struct {
		s    Sheet
		want string
	}{
		"empty":                   {Sheet{}, "A: 0 is not above zero"},
		"J missing":               {change(func(s *Sheet) { s.J = 0 }), "J: 0 is not above zero"},
		"not a number":            {change(func(s *Sheet) { s.Iz = math.NaN() }), "Iz: NaN is not above zero"},
		"polar moment as J":       {change(func(s *Sheet) { s.J = 3e-7 }), "exceeds Iy + Iz"},
		"shear area above area":   {change(func(s *Sheet) { s.Asy = 1e-3 }), "a shear area is not larger than the area"},
		"negative section height": {change(func(s *Sheet) { s.Height = -1 }), "height: -1 is below zero"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := c.s.Properties(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}
