package section

import "fmt"

// Sheet holds section properties from a data sheet. Area, Iy, Iz and J are
// needed; 0 elsewhere means not stated.
type Sheet struct {
	Area, Iy, Iz, J float64 // m², m⁴, m⁴, m⁴
	Asy, Asz        float64 // shear areas, m²
	Wy, Wz, Wt      float64 // moduli, m³
	Width, Height   float64 // extents along y and z, m
}

// Properties takes the values over unchanged. Elastic moduli that are not
// stated follow from Iy, Iz and the extents of a section symmetric about both
// axes. What remains unknown is listed in Missing.
func (s Sheet) Properties() (Properties, error) {
	var sz sizes
	needed := func(name string, v float64) {
		sz.refuse(!(v > 0), "%s: %g is not above zero; A, Iy, Iz and J are all needed", name, v)
	}
	needed("A", s.Area)
	needed("Iy", s.Iy)
	needed("Iz", s.Iz)
	needed("J", s.J)
	sz.refuse(!sz.failed() && s.J > 1.0001*(s.Iy+s.Iz),
		"J: %.4g cm⁴ exceeds Iy + Iz = %.4g cm⁴, which no section can do; is it the polar moment of another axis?", s.J*1e8, (s.Iy+s.Iz)*1e8)
	for _, v := range []struct {
		name  string
		value float64
	}{{"Asy", s.Asy}, {"Asz", s.Asz}, {"Wy", s.Wy}, {"Wz", s.Wz}, {"Wt", s.Wt}, {"width", s.Width}, {"height", s.Height}} {
		sz.refuse(!(v.value >= 0), "%s: %g is below zero", v.name, v.value)
	}
	sz.refuse(!sz.failed() && (s.Asy > s.Area || s.Asz > s.Area), "Asy, Asz: a shear area is not larger than the area")
	if sz.failed() {
		return Properties{}, &ShapeError{sz.reasons}
	}
	p := Properties{
		Origin: Stated, Area: s.Area, Iy: s.Iy, Iz: s.Iz, J: s.J,
		Asy: s.Asy, Asz: s.Asz, Wy: s.Wy, Wz: s.Wz, Wt: s.Wt,
		Min: Point{-s.Width / 2, -s.Height / 2}, Max: Point{s.Width / 2, s.Height / 2},
		Notes: []string{"stated values, not computed from an outline; centroid, shear centre and principal axes are taken as those of a section symmetric about y and z"},
	}
	if p.Wy == 0 && s.Height > 0 {
		p.Wy = 2 * s.Iy / s.Height
	}
	if p.Wz == 0 && s.Width > 0 {
		p.Wz = 2 * s.Iz / s.Width
	}
	p.I1, p.I2, p.Angle = Moments{Area: s.Area, Iy: s.Iy, Iz: s.Iz}.Principal()
	p.W1, p.W2 = p.Wy, p.Wz
	if s.Iz > s.Iy {
		p.W1, p.W2 = p.Wz, p.Wy
	}
	for _, v := range []struct {
		key   string
		value float64
	}{{"Wy_m3", p.Wy}, {"Wz_m3", p.Wz}, {"Wt_m3", p.Wt}, {"Asy_m2", p.Asy}, {"Asz_m2", p.Asz},
		{"thickest_m", 0}, {"perimeter_m", 0}, {"edge_m", 0}, {"walls", 0}} {
		if v.value == 0 {
			p.Missing = append(p.Missing, v.key)
		}
	}
	return p, nil
}

// MissingError says which properties a calculation lacks.
type MissingError struct {
	For  string
	Keys []string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s: unknown because the data sheet does not state %v", e.For, e.Keys)
}

// require returns a *MissingError if one of the keys is in Missing.
func (p Properties) require(what string, keys ...string) error {
	var lacking []string
	for _, k := range keys {
		for _, m := range p.Missing {
			if k == m {
				lacking = append(lacking, k)
			}
		}
	}
	if lacking == nil {
		return nil
	}
	return &MissingError{what, lacking}
}
