package guide

import (
	"cmp"

	"spanwright/given"
)

// Springs are the diagonal of a group's stiffness at the origin of C: one motion
// at a time, the others held.
//
// For four equal blocks: 4 k_y, 4 k_z, roll k_z W², pitch k_z L², yaw k_y L²,
// each plus four times the own moment stiffness. The torsion of the profile
// under the rails comes in series and usually dominates roll.
type Springs struct {
	Lateral float64 // along y, N/m
	Normal  float64 // along z, N/m
	Roll    float64 // about x, N m/rad
	Pitch   float64 // about y
	Yaw     float64 // about z
}

// Springs returns the diagonal of the stiffness.
func (g Group) Springs() (Springs, error) {
	k, err := g.Stiffness()
	return Springs{
		Lateral: k[alongY][alongY], Normal: k[alongZ][alongZ],
		Roll: k[aboutX][aboutX], Pitch: k[aboutY][aboutY], Yaw: k[aboutZ][aboutZ],
	}, err
}

// DisplacementAt returns how far a point of the carriage moves under loads, m:
// displacement of the origin and rotation times lever.
func (g Group) DisplacementAt(p Vector, loads ...Load) (Vector, Displacement, error) {
	r, err := Sum(loads...)
	if err != nil {
		return Vector{}, Displacement{}, err
	}
	s, err := g.Share(r)
	if err != nil {
		return Vector{}, Displacement{}, err
	}
	return s.Displacement.At(p), s.Displacement, nil
}

// HertzStiffness returns the stiffness of a preloaded block at zero load,
// 3 F_pr/d_0, N/m, where d_0 in m is the approach the preload causes on either
// side. Without preload the stiffness grows as P^(1/3) from zero.
//
// Source: derived from Hertz contact, two rows against each other.
func HertzStiffness(preload, approach float64) (float64, error) {
	if err := cmp.Or(given.Positive("block preload", preload), given.Positive("preload approach", approach)); err != nil {
		return 0, err
	}
	return 3 * preload / approach, nil
}

// Friction is what resists the travel of a carriage.
type Friction struct {
	Coefficient float64 // 0.002 to 0.005 ball guides, 0.1 to 0.25 plain, 0.005 to 0.01 rollers (common practice)
	Normal      float64 // sum of |P_z| + |P_y| over the blocks, N; see NormalSum
	SealDrag    float64 // seals and wipers of one block, N; 3 to 30 (common practice)
	Blocks      int
	Viscous     float64 // N s/m
}

// Force returns the friction at a speed in m/s, N.
//
//	F = mu sum|P| + n F_seal + c_v |v|
//
// On a vertical axis the guides carry no weight: the sum comes from the moments.
//
// Source: common practice, no source.
func (f Friction) Force(speed float64) (float64, error) {
	if err := cmp.Or(
		given.NotNegative("friction coefficient", f.Coefficient),
		given.NotNegative("sum of block loads", f.Normal),
		given.NotNegative("seal drag", f.SealDrag),
		given.AtLeast("blocks", f.Blocks, 0),
		given.NotNegative("viscous friction", f.Viscous),
		given.Finite("speed", speed),
	); err != nil {
		return 0, err
	}
	if speed < 0 {
		speed = -speed
	}
	return f.Coefficient*f.Normal + float64(f.Blocks)*f.SealDrag + f.Viscous*speed, nil
}

// NormalSum returns the sum of |P_z| + |P_y| over all blocks, N.
func (s Sharing) NormalSum() float64 {
	var sum float64
	for _, b := range s.Blocks {
		sum += abs(b.Normal) + abs(b.Lateral)
	}
	return sum
}
