package tuning

import (
	"cmp"

	"spanwright/given"
)

// Remedy is what to do against a resonance.
type Remedy string

// The remedies.
const (
	UseNotch  Remedy = "notch"
	UseShaper Remedy = "input shaper"
	UseJerk   Remedy = "slower jerk"
)

// Resonance is the range of a mode over poses and stiffness, Hz.
type Resonance struct{ Low, Nominal, High float64 }

// Spread is half of the range over the nominal frequency.
func (r Resonance) Spread() float64 { return (r.High - r.Low) / (2 * r.Nominal) }

// Factors of the choice; common practice, no source.
const (
	// NotchFrom is how far above the bandwidth of the position loop a mode must
	// lie before a notch is of use: below, it costs phase and hides the symptom.
	NotchFrom = 3
	// ShaperSpread is the spread up to which the two-impulse shaper serves; three
	// impulses bear about twice of it.
	ShaperSpread = 0.10
)

// Advice is the choice with its reason.
type Advice struct {
	Remedy Remedy
	Shaper string // zv, zvd; "" with a notch
	Why    string
}

// Advise chooses by the case: a mode well above the position loop's bandwidth
// (Hz) can be notched; one within it needs a command that does not excite it.
// A mode that wanders by more than twice ShaperSpread is beyond a fixed shaper
// too. Source: common practice, no source.
func Advise(r Resonance, bandwidth float64) (Advice, error) {
	if err := cmp.Or(
		given.Positive("lowest frequency", r.Low), given.Positive("nominal frequency", r.Nominal),
		given.NotNegative("range of the frequency", r.High-r.Low), given.Positive("bandwidth", bandwidth),
	); err != nil {
		return Advice{}, err
	}
	switch {
	case r.Low > NotchFrom*bandwidth:
		return Advice{Remedy: UseNotch, Why: "all of the range lies above three times the position loop's bandwidth, where a notch costs little phase"}, nil
	case r.Spread() <= ShaperSpread:
		return Advice{Remedy: UseShaper, Shaper: "zv", Why: "the mode lies within reach of the position loop, where a notch costs phase and hides the symptom; it moves little, so two impulses do"}, nil
	case r.Spread() <= 2*ShaperSpread:
		return Advice{Remedy: UseShaper, Shaper: "zvd", Why: "the mode lies within reach of the position loop, where a notch costs phase and hides the symptom; it moves by more than 10 %, so three impulses"}, nil
	}
	return Advice{Remedy: UseJerk, Why: "the mode lies within reach of the position loop and moves by more than 20 % over poses and stiffness: too much for one shaper"}, nil
}
