package joint

import "math"

// Demand is what the attached member exerts on the joint, at the joint face in
// joint axes.
type Demand struct {
	N  float64 // along x, N, positive pulls the member off
	Vy float64 // N
	Vz float64 // N
	T  float64 // about x, N m
	My float64 // about y, N m, positive opens the +z side
	Mz float64 // about z, N m, positive opens the -y side
}

func (d Demand) isFinite() bool {
	for _, x := range [...]float64{d.N, d.Vy, d.Vz, d.T, d.My, d.Mz} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// Term is one number of a working.
type Term struct {
	Symbol string
	Name   string
	Value  float64
	Unit   string
}

// Mechanism is one way in which a joint can fail.
type Mechanism string

// The mechanisms. The words are stable: ledger ids are made from them.
const (
	Slip        Mechanism = "slip"
	PreloadHigh Mechanism = "preload"
	ScrewTight  Mechanism = "screw"
	Opening     Mechanism = "opening"
	LipPullOut  Mechanism = "lip"
	ThreadStrip Mechanism = "thread"
	PlateBends  Mechanism = "plate"
	EndPressure Mechanism = "pressure"
	AnchorPull  Mechanism = "anchor.tension"
	AnchorShear Mechanism = "anchor.shear"
	StrapBends  Mechanism = "strap"
)

// Check is the utilisation of one mechanism with its working.
//
// Formula is "U = expression" in the symbols of Terms (operators + - * / ^,
// functions sqrt, min, max, abs), so that it can be evaluated again.
type Check struct {
	Mechanism   Mechanism
	Number      string  // number of the formula, e.g. "J1"
	Where       string  // which face or screws, "" where there is only one
	Demand      float64 // in Unit
	Capacity    float64 // in Unit, with its safety
	Unit        string
	Utilisation float64 // Demand/Capacity; +Inf where a demand meets no capacity, NaN with Missing
	Formula     string
	Terms       []Term
	Source      string
	Missing     string // what is needed and not there; the mechanism is then not judged
	Note        string
}

// ratio is demand over capacity; no demand needs no capacity.
func ratio(demand, capacity float64) float64 {
	switch {
	case demand == 0:
		return 0
	case capacity <= 0:
		return math.Inf(1)
	}
	return demand / capacity
}

// Worst returns the check with the highest utilisation; a check that is not
// judged counts as worse than any. The slice must not be empty.
func Worst(checks []Check) Check {
	worst := checks[0]
	for _, c := range checks[1:] {
		if worst.Missing == "" && (c.Missing != "" || !(c.Utilisation <= worst.Utilisation)) {
			worst = c
		}
	}
	return worst
}

// Safety holds the factors and friction used by the checks of a joint.
type Safety struct {
	Slip     float64 // on slip
	Yield    float64 // on the 0.2 % stress of plates and ends
	Friction float64 // mu of the clamped faces, the unfavourable end
	Factor   float64 // Phi: share of an outside force that a preloaded screw feels
}

// UsualSafety holds the factors of static machine frames. Sources: slip and
// yield 1.5 and friction 0.12, common practice, no source; load factor 0.1 for
// stiff parts and the force entering near the interface, engineering judgement.
func UsualSafety() Safety {
	return Safety{Slip: SafetySlip, Yield: SafetyYield, Friction: FrictionProfile, Factor: 0.1}
}

// SafetyYield is the factor on the 0.2 % stress of static machine frames.
// Source: common practice, no source.
const SafetyYield = 1.5

// unknown marks a check as not judged.
func unknown(c Check, missing string) Check {
	c.Missing, c.Capacity, c.Utilisation = missing, math.NaN(), math.NaN()
	return c
}
