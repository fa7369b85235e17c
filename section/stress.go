package section

import "math"

// Forces are the internal forces at one place of a bar, in section axes:
// they act on the face whose outward normal is +x.
type Forces struct {
	N  float64 // axial, N, tension positive
	Vy float64 // shear along y, N
	Vz float64 // shear along z, N
	T  float64 // torsion about the shear centre, N m
	My float64 // bending moment about y, N m: integral sigma z dA
	Mz float64 // bending moment about z, N m: -integral sigma y dA
}

// Stress is the conservative estimate of what Forces do at one place.
type Stress struct {
	Sigma float64 // largest normal stress, Pa
	Tau   float64 // shear stress taken to act at the same point, Pa
	Mises float64 // equivalent stress by von Mises, Pa
}

// Stress adds the largest stresses of all internal forces as if they met at
// one point:
//
//	sigma = |N|/A + |M1|/W1 + |M2|/W2    tau = |T|/Wt + |Vy|/Asy + |Vz|/Asz
//	equivalent = sqrt(sigma² + 3 tau²)
//
// M1, M2 are the moments about the principal axes, which are y and z for
// symmetric sections. It is exact for bending at a sharp corner of a rectangle
// and high for rounded outlines. Stress peaks at inner corners and local
// loads, as under a bolt, are not in it. V/As is the mean over the shear area;
// in a solid rectangle the peak is a quarter higher.
//
// It returns a *MissingError if a modulus or shear area that is needed is not known.
//
// Source: bending and direct stress, any text on mechanics of materials; the
// sum of worst cases is common practice.
func (p Properties) Stress(f Forces) (Stress, error) {
	var keys []string
	if f.My != 0 {
		keys = append(keys, "Wy_m3")
	}
	if f.Mz != 0 {
		keys = append(keys, "Wz_m3")
	}
	if f.T != 0 {
		keys = append(keys, "Wt_m3")
	}
	if f.Vy != 0 {
		keys = append(keys, "Asy_m2")
	}
	if f.Vz != 0 {
		keys = append(keys, "Asz_m2")
	}
	if err := p.require("stress", keys...); err != nil {
		return Stress{}, err
	}
	part := func(force, resistance float64) float64 {
		if force == 0 {
			return 0
		}
		return math.Abs(force) / resistance
	}
	s, c := math.Sincos(p.Angle)
	m1, m2 := c*f.My+s*f.Mz, c*f.Mz-s*f.My
	out := Stress{
		Sigma: part(f.N, p.Area) + part(m1, p.W1) + part(m2, p.W2),
		Tau:   part(f.T, p.Wt) + part(f.Vy, p.Asy) + part(f.Vz, p.Asz),
	}
	out.Mises = math.Sqrt(out.Sigma*out.Sigma + 3*out.Tau*out.Tau)
	return out, nil
}

// Utilisation returns factor times the equivalent stress over the strength,
// Pa: 1 is the limit. With 1.5 and the 0.2 % proof stress it is the usual
// static check of machine frames (common practice, no source); EN 1999-1-1 and
// EN 1993-1-1 use factored loads and a partial factor instead.
func (s Stress) Utilisation(strength, factor float64) float64 {
	return factor * s.Mises / strength
}

// SigmaAt returns the normal stress at a point of the section, Pa, tension
// positive, with the coupling of both bending planes:
//
//	sigma = N/A + ((My Iz + Mz Iyz) z' - (Mz Iy + My Iyz) y')/(Iy Iz - Iyz²)
//
// y', z' are measured from the centroid.
//
// Source: unsymmetric bending, any text on mechanics of materials.
func (p Properties) SigmaAt(f Forces, at Point) float64 {
	d := at.sub(p.Centroid)
	det := p.Iy*p.Iz - p.Iyz*p.Iyz
	return f.N/p.Area + ((f.My*p.Iz+f.Mz*p.Iyz)*d.Z-(f.Mz*p.Iy+f.My*p.Iyz)*d.Y)/det
}
