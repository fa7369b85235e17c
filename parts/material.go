package parts

import (
	"math"

	"spanwright/material"
)

// Material is what profiles and plates are made of. The embedded ones are those
// of package material; their numbers come from standards, named in Source, and
// are not representative.
type Material struct {
	Common  `yaml:",inline"`
	E       float64 `yaml:"E" is:"stress" required:"true" range:"0.1 GPa..1000 GPa" doc:"modulus of elasticity"`
	G       float64 `yaml:"G" is:"stress" required:"true" range:"0.03 GPa..500 GPa" doc:"shear modulus"`
	Density float64 `yaml:"density" is:"density" required:"true" range:"100 kg/m3..25000 kg/m3" doc:"mass per volume"`
	Alpha   float64 `yaml:"expansion" is:"expansion" required:"true" range:"0 1/K..1e-3 1/K" doc:"thermal expansion"`
	Yield   float64 `yaml:"yield" is:"stress" range:"1 MPa..3000 MPa" doc:"least 0.2 % proof stress or yield stress of all thicknesses; 0: not known"`
	Tensile float64 `yaml:"tensile" is:"stress" range:"1 MPa..4000 MPa" doc:"least tensile strength of all thicknesses; 0: not known"`
	Source  string  `yaml:"source" required:"true" doc:"where the numbers come from"`

	// Metal is the entry of package material, with strengths by thickness and
	// the status of every number; nil for a user's material.
	Metal *material.Material `yaml:"-"`
}

// YieldAt returns the least yield stress for a wall of the thickness, m, or
// false where it is not known.
func (m *Material) YieldAt(thickness float64) (float64, bool) {
	if m.Metal == nil {
		return m.Yield, m.Yield > 0
	}
	s, err := m.Metal.StrengthAt(thickness, material.AnyForm)
	return s.Proof, err == nil
}

// addMetals enters the materials of package material.
func (c *Catalogue) addMetals() {
	for _, metal := range material.All() {
		c.add("material", metal.ID, "", 0, func(p Part) { p.(*Material).take(&metal) })
	}
}

func (m *Material) take(metal *material.Material) {
	m.Metal, m.Title = metal, metal.Name
	m.E, m.G = metal.Modulus.Nominal, metal.Shear.Nominal
	m.Density, m.Alpha = metal.Density.Nominal, metal.Expansion.Nominal
	m.Source = cite("elastic and thermal values", metal.Modulus.Source, metal.Modulus.Status)
	if len(metal.Strengths) == 0 {
		return
	}
	m.Yield, m.Tensile = math.Inf(1), math.Inf(1)
	for _, s := range metal.Strengths {
		m.Yield, m.Tensile = min(m.Yield, s.Proof), min(m.Tensile, s.Ultimate)
	}
	m.Source += "; " + cite("strengths", metal.Strengths[0].Source, metal.Strengths[0].Status)
}

func cite(what, source string, status material.Status) string {
	if source == "" {
		return what + ": " + string(status)
	}
	return what + ": " + source + " (" + string(status) + ")"
}
