package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Lubrication is the state of thread and head when the screw is tightened.
type Lubrication uint8

// AsSupplied is the zero value.
const (
	AsSupplied Lubrication = iota
	Lubricated
	Dry
)

// NutFactor is K in T = K d F: 0.16 lubricated, 0.20 as supplied, 0.24 dry.
// Source: common practice, no source; 0.20 for unlubricated screws is widely quoted.
func (l Lubrication) NutFactor() float64 {
	switch l {
	case Lubricated:
		return 0.16
	case Dry:
		return 0.24
	}
	return 0.20
}

// Tightening is how a screw is tightened and what becomes of the preload.
type Tightening struct {
	Torque    float64 // N m
	NutFactor float64 // K
	Scatter   float64 // alpha_A = largest over smallest preload, >= 1
	Loss      float64 // share lost by embedding and creep, 0 to 1
}

// Usual scatter and loss.
const (
	// ScatterTorqueWrench is for a torque wrench with estimated friction, in the
	// range 1.4 to 1.6 for measured and 1.6 to 2.5 for estimated friction.
	// Source: VDI 2230 Part 1, from memory.
	ScatterTorqueWrench = 1.6
	// LossAluminium is for steel screws in aluminium. Source: common practice
	// 10 to 20 %, no source.
	LossAluminium = 0.15
)

// Preload is the clamp force of one screw, N.
type Preload struct {
	Nominal float64 // middle of the scatter, as tightened
	Least   float64 // smallest of the scatter, after the loss
	Most    float64 // largest of the scatter, as tightened
}

// Preload returns the clamp force of a screw of diameter d (m).
//
//	F = T/(K d)   F_least = (1 - loss) 2 F/(1 + alpha_A)   F_most = 2 alpha_A F/(1 + alpha_A)
//
// Sources: torque relation, common practice; scatter as in VDI 2230 Part 1
// (from memory) with the nominal value in the middle of the scatter.
func (t Tightening) Preload(d float64) (Preload, error) {
	if !(t.Torque >= 0) || !(t.NutFactor > 0) || !(d > 0) || math.IsInf(t.Torque, 0) {
		return Preload{}, fmt.Errorf("%w: torque %g N m, nut factor %g, diameter %g m", given.ErrRefused, t.Torque, t.NutFactor, d)
	}
	if !(t.Scatter >= 1) || !(t.Loss >= 0 && t.Loss < 1) {
		return Preload{}, fmt.Errorf("%w: scatter %g must be at least 1 and loss %g between 0 and 1", given.ErrRefused, t.Scatter, t.Loss)
	}
	f := t.Torque / (t.NutFactor * d)
	return Preload{
		Nominal: f,
		Least:   (1 - t.Loss) * 2 * f / (1 + t.Scatter),
		Most:    2 * t.Scatter * f / (1 + t.Scatter),
	}, nil
}

// Screw is a screw with its tightening.
type Screw struct {
	Thread     Thread
	Class      Class
	Tightening Tightening
}

// UsualScrew is a coarse screw tightened as usual: as supplied, by a torque
// wrench (N m), in aluminium.
func UsualScrew(thread, class string, torque float64) (Screw, error) {
	t, err := CoarseThread(thread)
	if err != nil {
		return Screw{}, err
	}
	c, err := PropertyClass(class, t)
	return Screw{Thread: t, Class: c, Tightening: Tightening{
		Torque: torque, NutFactor: AsSupplied.NutFactor(), Scatter: ScatterTorqueWrench, Loss: LossAluminium,
	}}, err
}

// Preload is the clamp force of the screw.
func (s Screw) Preload() (Preload, error) { return s.Tightening.Preload(s.Thread.Diameter) }

// preloadShare is the share of the proof load that the nominal preload may
// reach. With a scatter of 1.6 the largest preload is then 92 % of the proof
// load. Source: common practice 0.70 to 0.75, no source.
const preloadShare = 0.75

// TorqueLimit is the largest tightening torque (N m) that both the screw
// (0.75 of its proof load) and its seat allow; seat is the force that the slot
// lips or the thread hold with their safety (N), +Inf if nothing else limits.
//
//	T_max = K d min(0.75 F_proof, F_seat)
func TorqueLimit(s Screw, seat float64) float64 {
	return s.Tightening.NutFactor * s.Thread.Diameter * math.Min(preloadShare*ProofLoad(s.Thread, s.Class), seat)
}

// AssemblyPreload is the preload F_M (N) at which a screw under tension and
// torsion reaches the share nu of its 0.2 % stress, with the thread friction mu.
//
//	F_M = A0 nu Rp02 / sqrt(1 + 3 [1.5 d2/d0 (P/(pi d2) + 1.155 mu)]²)
//
// Source: VDI 2230 Part 1, from memory.
func AssemblyPreload(t Thread, yield, nu, mu float64) float64 {
	d2 := t.PitchDiameter()
	d0 := (d2 + t.MinorDiameter()) / 2
	twist := 1.5 * d2 / d0 * (t.Pitch/(math.Pi*d2) + 1.155*mu)
	return t.TensileArea() * nu * yield / math.Sqrt(1+3*twist*twist)
}

// TorqueRelation holds the two rounded constants of the torque relation: the
// share of the pitch (1/(2 pi)) and of the flank (1/(2 cos 30°)).
type TorqueRelation struct{ Pitch, Flank float64 }

// Both roundings are in use; they differ by half a per cent.
var (
	TwoDigits   = TorqueRelation{0.16, 0.58}   // VDI 2230 Part 1, from memory
	ThreeDigits = TorqueRelation{0.159, 0.578} // older print of the same relation, from memory
)

// Friction is the friction of a screw while it is tightened.
type Friction struct {
	Thread       float64 // mu_G
	Head         float64 // mu_K
	HeadDiameter float64 // mean friction diameter under the head, (d_w + d_h)/2, m
}

// TighteningTorque is the torque (N m) that gives the preload (N).
//
//	M_A = F_M (0.16 P + 0.58 d2 mu_G + D_Km/2 mu_K)
//
// Source: VDI 2230 Part 1, from memory.
func TighteningTorque(t Thread, preload float64, f Friction, r TorqueRelation) float64 {
	return preload * (r.Pitch*t.Pitch + r.Flank*t.PitchDiameter()*f.Thread + f.HeadDiameter/2*f.Head)
}

// Split is how a preloaded screw and the parts it clamps share an outside force.
type Split struct {
	Screw float64 // stiffness of the screw, N/m
	Parts float64 // stiffness of the clamped parts, N/m
	Intro float64 // n: where in the clamped length the force enters, 0 to 1
}

// Factor is the load factor Phi = n k_S/(k_S + k_P): the share of an outside
// force that the screw feels while the joint is closed.
// Source: VDI 2230 Part 1 (concept), closed form.
func (s Split) Factor() float64 { return s.Intro * s.Screw / (s.Screw + s.Parts) }

// Shared is a preloaded joint under an outside force, N.
type Shared struct {
	Extra    float64 // added to the screw: Phi F_A
	Residual float64 // clamp force left between the parts: F_V - (1 - Phi) F_A
	Opening  float64 // outside force at which the joint opens: F_V/(1 - Phi)
}

// Share returns what an outside tension F_A does to a joint with preload F_V.
// A negative residual means that the joint is open and the split no longer holds.
func Share(factor, preload, outside float64) Shared {
	return Shared{
		Extra:    factor * outside,
		Residual: preload - (1-factor)*outside,
		Opening:  preload / (1 - factor),
	}
}
