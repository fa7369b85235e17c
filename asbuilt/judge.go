package asbuilt

import (
	"cmp"
	"encoding/json"
	"math"

	"spanwright/given"
)

// Number is written as null where it is not finite.
type Number float64

// MarshalJSON writes a number or null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

// Verdict of a measured value against a limit.
type Verdict string

// The verdicts. Undecided: the limit lies within the uncertainty.
const (
	Pass      Verdict = "pass"
	Fail      Verdict = "fail"
	Undecided Verdict = "undecided"
)

// AtMost judges a value with its expanded uncertainty against an upper limit:
// pass if y + u <= limit, fail if y - u > limit, undecided between.
// A number that is not there is undecided.
//
// Source: ISO 14253-1, decision rule (from memory).
func AtMost(y, u, limit float64) Verdict {
	switch {
	case y+u <= limit:
		return Pass
	case y-u > limit:
		return Fail
	}
	return Undecided
}

// AtLeast is the same for a lower limit.
func AtLeast(y, u, limit float64) Verdict { return AtMost(-y, u, -limit) }

// NormalisedError is E_n: above 1, measurement and prediction disagree by more
// than their uncertainties together (k = 2) explain.
//
//	E_n = |y_m - y_p|/sqrt(U_m² + U_p²)
//
// Without any uncertainty it is 0 for equal values, infinite for others.
// Source: ISO/IEC 17043 (from memory).
func NormalisedError(measured, um, predicted, up float64) (float64, error) {
	if err := cmp.Or(
		given.Finite("measured value", measured), given.NotNegative("its uncertainty", um),
		given.Finite("predicted value", predicted), given.NotNegative("its uncertainty", up),
	); err != nil {
		return 0, err
	}
	d := math.Abs(measured - predicted)
	if d == 0 {
		return 0, nil
	}
	return d / math.Hypot(um, up), nil
}

// Finding is one evaluated quantity, SI.
type Finding struct {
	Test      Test    `json:"test"`
	Subject   string  `json:"subject"` // axis, point, pose with direction
	Quantity  string  `json:"quantity"`
	Unit      string  `json:"unit"`
	Measured  Number  `json:"measured"`
	U         Number  `json:"U"` // expanded, k = 2
	Readings  int     `json:"readings"`
	Predicted *Range  `json:"predicted"`
	En        Number  `json:"E_n"` // null without a prediction
	Agrees    *bool   `json:"agrees_with_model"`
	Limit     Number  `json:"limit"`
	Sense     string  `json:"sense,omitempty"` // at most, at least
	Verdict   Verdict `json:"verdict,omitempty"`
	Note      string  `json:"note,omitempty"`
}

// compare fills in what follows from the prediction.
func (f *Finding) compare(p *Range) {
	f.En = Number(math.NaN())
	if p == nil {
		return
	}
	e, err := NormalisedError(float64(f.Measured), float64(f.U), p.Nominal, p.U())
	if err != nil {
		return
	}
	agrees := e <= 1
	f.Predicted, f.En, f.Agrees = p, Number(e), &agrees
}

// judge fills in what follows from a limit; nil is none.
func (f *Finding) judge(limit *float64, sense string) {
	f.Limit = Number(math.NaN())
	if limit == nil || math.IsNaN(*limit) {
		return
	}
	f.Limit, f.Sense = Number(*limit), sense
	if sense == atLeast {
		f.Verdict = AtLeast(float64(f.Measured), float64(f.U), *limit)
	} else {
		f.Verdict = AtMost(float64(f.Measured), float64(f.U), *limit)
	}
}

const (
	atMost  = "at most"
	atLeast = "at least"
)
