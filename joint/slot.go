package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Lip is the pair of slot lips that a slot nut pulls on.
type Lip struct {
	Thickness   float64 // lip thickness tl, m
	Opening     float64 // slot opening s, m
	Inner       float64 // inner slot width bi, m
	NutWidth    float64 // width of the nut across the slot bn, m
	NutLength   float64 // length of the nut along the slot, m
	EndDistance float64 // nut centre to the end of the slot, m; 0: far from an end
	Yield       float64 // 0.2 % stress of the profile, Pa
}

// LipStrength is what the lips hold, N, both lips together.
type LipStrength struct {
	Lever   float64 // c: nut bearing line to the root of the lip, m
	Strip   float64 // be: length of lip that works, m
	Elastic float64 // first yield in bending
	Plastic float64 // full yield in bending, 1.5 times the elastic one
	Shear   float64 // yield in shear at the root
}

// Strength returns what the slot lips hold against a slot nut: half of the
// force bends each lip about its root at the inner wall of the slot.
//
//	c = bi/2 - (s/2 + (bn - s)/4)      be = nut length + 2 c (cut off at the slot's end)
//	F_el = fo be tl²/(3 c)    F_pl = 1.5 F_el    F_shear = 2 be tl fo/sqrt 3
//
// Source: beam model, derived; the strip length is common practice without a
// source. Near the limit a pull-out test decides.
func (l Lip) Strength() (LipStrength, error) {
	ok := l.Thickness > 0 && l.Opening > 0 && l.Inner > l.Opening && l.NutLength > 0 && l.Yield > 0 &&
		l.NutWidth > l.Opening && l.NutWidth <= l.Inner && l.EndDistance >= 0
	if !ok {
		return LipStrength{}, fmt.Errorf("%w: slot %g m, inside %g m, lip %g m, nut %g x %g m, yield %g Pa", given.ErrRefused,
			l.Opening, l.Inner, l.Thickness, l.NutWidth, l.NutLength, l.Yield)
	}
	s := LipStrength{Lever: l.Inner/2 - (l.Opening/2 + (l.NutWidth-l.Opening)/4)}
	half := l.NutLength/2 + s.Lever
	s.Strip = 2 * half
	if l.EndDistance > 0 {
		s.Strip = half + math.Min(half, l.EndDistance)
	}
	s.Elastic = l.Yield * s.Strip * l.Thickness * l.Thickness / (3 * s.Lever)
	s.Plastic = 1.5 * s.Elastic
	s.Shear = 2 * s.Strip * l.Thickness * l.Yield / math.Sqrt(3)
	return s, nil
}

// SafetyLip is the factor on the plastic strength of the lips. It also covers
// the scatter of the preload. Source: common practice, no source.
const SafetyLip = 1.5

// Holds is the force (N) that the lips hold with their safety: the smaller of
// plastic bending and shear, over 1.5.
func (s LipStrength) Holds() float64 { return math.Min(s.Plastic, s.Shear) / SafetyLip }

// LipStress is the stress in the lips under the force of one slot nut.
type LipStress struct {
	Bending float64 // Pa, elastic, at the root
	Shear   float64 // Pa, largest over the thickness
}

// Stress returns the elastic stress at the root of the lips under a nut force (N).
//
//	sigma = 3 F c/(be tl²)      tau = 1.5 (F/2)/(be tl)
func (l Lip) Stress(force float64) (LipStress, error) {
	s, err := l.Strength()
	if err != nil {
		return LipStress{}, err
	}
	return LipStress{
		Bending: 3 * force * s.Lever / (s.Strip * l.Thickness * l.Thickness),
		Shear:   1.5 * force / 2 / (s.Strip * l.Thickness),
	}, nil
}

// TappedHole is an internal thread, e.g. in the core of a profile.
type TappedHole struct {
	Engagement float64 // length of engaged thread, m
	Yield      float64 // 0.2 % stress of the tapped material, Pa
	Share      float64 // share of the ideal shear area that works, 0 to 1; 0.6 is usual
}

// TappedShare is the usual share of the ideal shear area. Source: common practice, no source.
const TappedShare = 0.6

// Strip is the force (N) at which the internal thread strips.
//
//	F = pi d2 m 0.58 fo k
//
// Source: simplified, common practice; VDI 2230 Part 1, 5.5.5 (from memory) has
// the exact areas. Aluminium wants an engagement of about 2 d.
func (h TappedHole) Strip(t Thread) (float64, error) {
	if !(h.Engagement > 0) || !(h.Yield > 0) || !(h.Share > 0 && h.Share <= 1) {
		return 0, fmt.Errorf("%w: engaged thread %g m, yield %g Pa, share %g", given.ErrRefused, h.Engagement, h.Yield, h.Share)
	}
	return math.Pi * t.PitchDiameter() * h.Engagement * 0.58 * h.Yield * h.Share, nil
}
