package section

import (
	"fmt"
	"math"
)

// Origin tells where properties come from.
type Origin string

const (
	Computed Origin = "computed" // from the outline as drawn
	Matched  Origin = "matched"  // from an outline fitted to a given mass
	Stated   Origin = "stated"   // taken over as stated, not computed
)

// Bounds hold a value between two ends that are both computed.
type Bounds struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Properties of a cross-section. Lengths are in m, angles in rad; axes as in
// the package comment. A zero listed in Missing is unknown, not zero.
type Properties struct {
	Origin Origin `json:"origin"`

	Area     float64 `json:"A_m2"`
	Centroid Point   `json:"centroid"`
	Iy       float64 `json:"Iy_m4"`  // integral z² dA about the centroid
	Iz       float64 `json:"Iz_m4"`  // integral y² dA about the centroid
	Iyz      float64 `json:"Iyz_m4"` // integral y z dA about the centroid

	I1    float64 `json:"I1_m4"`     // larger principal second moment
	I2    float64 `json:"I2_m4"`     // smaller principal second moment
	Angle float64 `json:"angle_rad"` // major axis, from y towards z

	Wy float64 `json:"Wy_m3"` // elastic modulus, Iy over the largest |z| from the centroid
	Wz float64 `json:"Wz_m3"` // elastic modulus, Iz over the largest |y| from the centroid
	W1 float64 `json:"W1_m3"` // elastic modulus about the major axis
	W2 float64 `json:"W2_m3"` // elastic modulus about the minor axis

	J           float64 `json:"J_m4"`         // Saint-Venant torsion constant
	Wt          float64 `json:"Wt_m3"`        // torsion modulus for static design, peaks at inner corners left out
	Asy         float64 `json:"Asy_m2"`       // shear area for a force along y
	Asz         float64 `json:"Asz_m2"`       // shear area for a force along z
	ShearCentre Point   `json:"shear_centre"` // transverse forces through it do not twist the bar

	Min       Point   `json:"min"`         // lower left corner of the enclosing rectangle
	Max       Point   `json:"max"`         // upper right corner
	Thickest  float64 `json:"thickest_m"`  // diameter of the largest circle in the material
	Perimeter float64 `json:"perimeter_m"` // outer loop
	Edge      float64 `json:"edge_m"`      // all loops
	Walls     Walls   `json:"walls"`

	Symmetry Symmetry `json:"symmetry"`
	Limits   Limits   `json:"limits"`
	Spread   Spread   `json:"spread"`

	Missing []string `json:"missing,omitempty"` // quantities that are not known, by JSON key
	Notes   []string `json:"notes,omitempty"`   // what a user of the numbers should know
}

// Limits hold the exact values of the outline as drawn.
type Limits struct {
	J   Bounds `json:"J_m4"`
	Asy Bounds `json:"Asy_m2"`
	Asz Bounds `json:"Asz_m2"`

	ShearCentre float64 `json:"shear_centre_m"` // the exact one is not farther away in y nor in z, m
}

// Width is the extent along y, m.
func (p Properties) Width() float64 { return p.Max.Y - p.Min.Y }

// Height is the extent along z, m.
func (p Properties) Height() float64 { return p.Max.Z - p.Min.Z }

// KappaY is the shear area over the area for a force along y.
func (p Properties) KappaY() float64 { return p.Asy / p.Area }

// KappaZ is the shear area over the area for a force along z.
func (p Properties) KappaZ() float64 { return p.Asz / p.Area }

// MassPerLength returns kg/m for a density in kg/m³.
func (p Properties) MassPerLength(density float64) float64 { return p.Area * density }

// JError is the largest relative error that J can have against the outline as
// drawn; NaN where J was stated.
func (p Properties) JError() float64 {
	if p.Origin == Stated {
		return math.NaN()
	}
	return (p.Limits.J.High - p.Limits.J.Low) / (2 * p.J)
}

// Compute returns the properties of an outline, or an *OutlineError.
//
// Area and second moments are exact for the polygon. J, the shear areas and
// the shear centre come from the Saint-Venant torsion problem and the flexure
// problem with Poisson's ratio zero,
//
//	lap(phi) = -g, dphi/dn = 0, 1/As = integral |grad phi|² dA,
//	g = (Iy y - Iyz z)/(Iy Iz - Iyz²) for a force along y, likewise along z,
//
// each solved for the potential and for the stress function, which bound the
// energy from both sides. The value is the middle, Limits the bounds, narrowed
// to 0.1 % either way unless the outline is extreme (a note then says so). A
// rectangle has As = 5/6 A in this definition, a round bar 6/7 A.
//
// Equal outlines give equal results, however they are written down.
//
// Source: Timoshenko & Goodier, Theory of Elasticity, chapters on torsion and
// bending of bars; two-sided bounds as in package fe; checked against closed
// forms and an independent finite-element program.
func Compute(o Outline) (Properties, error) {
	if err := o.Check(); err != nil {
		return Properties{}, err
	}
	o = o.standard()
	m := o.Moments()
	symmetry := o.symmetry(m.Centroid)
	m = symmetry.settle(m)
	p := Properties{
		Origin: Computed, Area: m.Area, Centroid: m.Centroid, Iy: m.Iy, Iz: m.Iz, Iyz: m.Iyz,
		Symmetry: symmetry, Perimeter: o.Outer.length(), Walls: o.walls(),
	}
	p.I1, p.I2, p.Angle = m.Principal()
	p.Min, p.Max = o.Extents()
	for _, l := range o.loops() {
		p.Edge += l.length()
	}
	ez, ey := o.reach(m.Centroid, 0)
	p.Wy, p.Wz = p.Iy/ez, p.Iz/ey
	e1, e2 := o.reach(m.Centroid, p.Angle)
	p.W1, p.W2 = p.I1/e1, p.I2/e2

	r, grid, err := o.warping()
	if err != nil {
		return Properties{}, fmt.Errorf("torsion and shear cannot be solved: %w", err)
	}
	p.Thickest = o.largestCircle(grid)
	p.takeOver(r)
	p.Wt = p.torsionModulus(o, r.LoopStress)
	p.addNotes(max(r.Torsion.Half(), r.Shear[0].Half(), r.Shear[1].Half()))
	return p, nil
}

// settle makes equal and zero what a symmetry makes so.
func (s Symmetry) settle(m Moments) Moments {
	if s.AboutY || s.AboutZ {
		m.Iyz = 0
	}
	if s.Swap {
		m.Iy = (m.Iy + m.Iz) / 2
		m.Iz = m.Iy
	}
	return m
}

func (p *Properties) addNotes(width float64) {
	if width > accuracy {
		p.Notes = append(p.Notes, fmt.Sprintf("torsion and shear are bracketed to %.1f %% only: the outline has details far finer than its size", 100*width))
	}
	if p.Iyz != 0 && p.I1-p.I2 > 1e-6*p.I1 {
		p.Notes = append(p.Notes, fmt.Sprintf("y and z are not principal axes: turn the section by %.4g degrees, or bending in one plane causes bending in the other", -p.Angle*180/math.Pi))
	}
	if d := p.ShearCentre.sub(p.Centroid).length(); d > 1e-3*max(p.Width(), p.Height()) {
		p.Notes = append(p.Notes, fmt.Sprintf("the shear centre lies %.4g mm from the centroid: forces through the centroid twist the bar", d*1e3))
	}
}
