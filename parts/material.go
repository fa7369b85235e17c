package parts

// Material is what profiles and plates are made of. Its numbers come from
// standards, named in Source, and are not representative.
type Material struct {
	Common  `yaml:",inline"`
	E       float64 `yaml:"E" is:"stress" required:"true" range:"0.1 GPa..1000 GPa" doc:"modulus of elasticity"`
	G       float64 `yaml:"G" is:"stress" required:"true" range:"0.03 GPa..500 GPa" doc:"shear modulus"`
	Density float64 `yaml:"density" is:"density" required:"true" range:"100 kg/m3..25000 kg/m3" doc:"mass per volume"`
	Alpha   float64 `yaml:"expansion" is:"expansion" required:"true" range:"0 1/K..1e-3 1/K" doc:"thermal expansion"`
	Yield   float64 `yaml:"yield" is:"stress" required:"true" range:"1 MPa..3000 MPa" doc:"least 0.2 % proof stress or yield stress"`
	Tensile float64 `yaml:"tensile" is:"stress" range:"1 MPa..4000 MPa" doc:"least tensile strength"`
	Source  string  `yaml:"source" required:"true" doc:"where the numbers come from"`
}
