package frame

import "math"

// Moduli turn stress resultants into stresses.
type Moduli struct {
	Area     float64 // m²
	Wy, Wz   float64 // elastic section moduli about local y and z, m³
	Wt       float64 // torsion modulus, m³
	Asy, Asz float64 // shear areas, m²; 0 = the shear stress of that plane is left out
}

// Stress is the stress state of a cross-section, as an upper bound.
type Stress struct {
	Normal     float64 // |N|/A + |My|/Wy + |Mz|/Wz, Pa
	Shear      float64 // |T|/Wt + |Vy|/Asy + |Vz|/Asz, Pa
	Equivalent float64 // sqrt(σ² + 3τ²), von Mises, Pa
}

// Stress bounds the stress of a cross-section: the worst of all is added up as if it met in one place, which is exact for
// the normal stress in the corner of a box and conservative elsewhere.
//
// Source: beam theory; the sum is common practice.
func (x Extreme) Stress(m Moduli) Stress {
	var s Stress
	s.Normal = math.Abs(x.N)/m.Area + math.Abs(x.My)/m.Wy + math.Abs(x.Mz)/m.Wz
	s.Shear = math.Abs(x.T) / m.Wt
	if m.Asy > 0 {
		s.Shear += math.Abs(x.Vy) / m.Asy
	}
	if m.Asz > 0 {
		s.Shear += math.Abs(x.Vz) / m.Asz
	}
	s.Equivalent = math.Sqrt(s.Normal*s.Normal + 3*s.Shear*s.Shear)
	return s
}

// Magnitudes turns the resultants of one cross-section into magnitudes, for Stress.
func (r Inner) Magnitudes() Extreme {
	return Extreme{math.Abs(r.N), math.Abs(r.Vy), math.Abs(r.Vz), math.Abs(r.T), math.Abs(r.My), math.Abs(r.Mz)}
}
