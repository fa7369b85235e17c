package joint

import "math"

// Design friction of a clamped face.
const (
	// FrictionProfile is the lower design value for steel on anodised aluminium or
	// profile on profile, in a range of 0.10 to 0.20. Source: common practice, no source.
	FrictionProfile = 0.12
	// SafetySlip is the factor on slip. Source: common practice, no source.
	SafetySlip = 1.5
)

// SlipResistance is the force (N) that n friction faces under one clamp force
// carry before they slide.
//
//	F_s = n mu max(0, F_p - 0.8 F_t)/S
//
// preload is the least clamp force, tension the outside tension that relieves
// it (N, >= 0). Tension that a moment causes need not be subtracted: the
// contact force on the pressed side makes up for it (EN 1993-1-8:2005,
// 3.9.2(2), from memory).
//
// Source: EN 1993-1-8:2005, 3.9.2(1), category C (form confirmed), with S for
// gamma_M3 and mu for k_s mu.
func SlipResistance(faces int, mu, preload, tension, safety float64) float64 {
	return float64(faces) * mu * math.Max(0, preload-0.8*tension) / safety
}
