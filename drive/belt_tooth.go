package drive

import (
	"cmp"

	"spanwright/given"
)

// CountedTeethCap is the largest number of teeth in mesh that is counted for
// open-ended polyurethane belts: cord stretch lets the first teeth carry more.
//
// Source: common practice, no source.
const CountedTeethCap = 12

// Mesh is the engagement of a belt with its pulley.
type Mesh struct {
	Specific float64 // allowed force per tooth and belt width at this speed, N/m, part data (see Curve)
	Teeth    int     // in mesh
	Cap      int     // most teeth that may be counted
	Width    float64 // belt width, m
	Service  float64 // service factor, >= 1; 1.2 to 2.0 for shock (common practice)
}

// Counted returns the teeth that are counted.
func (m Mesh) Counted() int { return min(m.Teeth, m.Cap) }

// AllowedForce returns the effective force the teeth carry, N.
//
//	F = f_spec min(z_e, z_cap) b / K_service
//
// Source: common practice, no source; the specific force is part data.
func (m Mesh) AllowedForce() (float64, error) {
	if err := cmp.Or(
		given.Positive("specific tooth force", m.Specific),
		given.AtLeast("teeth in mesh", m.Teeth, 1),
		given.AtLeast("most counted teeth", m.Cap, 1),
		given.Positive("belt width", m.Width),
		given.Within("service factor", m.Service, 1, 10),
	); err != nil {
		return 0, err
	}
	return m.Specific * float64(m.Counted()) * m.Width / m.Service, nil
}

// FewTeethFactor returns the factor on the power rating of a drive with few
// teeth in mesh, k_z = 1 - 0.2 (6 - z) below six teeth, else 1; a single tooth
// counts nothing. It belongs to power-rating calculations, not to AllowedForce,
// which counts teeth already.
//
// Source: ISO 5295 (from memory).
func FewTeethFactor(teeth int) (float64, error) {
	if err := given.AtLeast("teeth in mesh", teeth, 1); err != nil {
		return 0, err
	}
	if teeth >= 6 {
		return 1, nil
	}
	return 1 - 0.2*float64(6-teeth), nil
}
