package equip

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Bodies of a chain of n joints are numbered by the joints that move them: 0 is
// the stand, k moves with the joints 1 to k, n carries the tool.

// MotorPlace is where the motor of an axis sits.
type MotorPlace string

// The places.
const (
	MotorOnBeam     MotorPlace = "beam"     // at the end of the beam that carries the axis
	MotorOnCarriage MotorPlace = "carriage" // on what moves along the beam
)

// MotorBody is the body that the motor of joint k (1 to n) sits on. bodyMoves
// says that the beam moves past the carriage (a mast): its carriage is part of
// the body before, its beam of the body after.
func MotorBody(joint int, place MotorPlace, bodyMoves bool) int {
	if (place == MotorOnCarriage) != bodyMoves {
		return joint
	}
	return joint - 1
}

// Crossing lists, for the carrier of every joint 1 to n, which cables lie in it,
// as indices. ends holds the body on which each cable ends; it starts at the
// cabinet beside the stand.
//
//	carrier k holds the cable  <=>  end >= k
//
// Source: derived; a cable passes every joint between the stand and its end.
func Crossing(joints int, ends []int) ([][]int, error) {
	carriers := make([][]int, joints)
	for i, end := range ends {
		if end < 0 || end > joints {
			return nil, fmt.Errorf("%w: cable %d ends on body %d of a chain of %d joints", given.ErrRefused, i+1, end, joints)
		}
		for k := range end {
			carriers[k] = append(carriers[k], i)
		}
	}
	return carriers, nil
}

// NeedsCarrier applies the rule of the trade that any cable that travels runs in
// a cable carrier. A travel below 100 mm may do without if the user declares the
// cable rated for it. Source: common practice, no source.
func NeedsCarrier(cables int, travel float64, ratedForShortTravel bool) bool {
	return cables > 0 && !(ratedForShortTravel && travel < 0.1)
}

// CableRun is the way of one cable.
type CableRun struct {
	Fixed        []float64 // fixed runs, m
	Carriers     []float64 // built lengths of the carriers passed, m
	StrainRelief float64   // for each carrier, m; two ends of 0.15 m are usual
	RoundUp      float64   // ordered in steps of, m
}

// StrainRelief is the usual length for both ends of one carrier, m. Source:
// common practice, no source.
const StrainRelief = 2 * 0.15

// CableLength is a length before and after rounding up, m.
type CableLength struct{ Exact, Ordered float64 }

// Length adds the runs up and rounds to what is ordered.
func (r CableRun) Length() (CableLength, error) {
	if err := cmp.Or(given.NotNegative("strain relief", r.StrainRelief), given.Positive("step of ordered lengths", r.RoundUp)); err != nil {
		return CableLength{}, err
	}
	exact := 0.0
	for _, f := range r.Fixed {
		if err := given.NotNegative("fixed run", f); err != nil {
			return CableLength{}, err
		}
		exact += f
	}
	for _, c := range r.Carriers {
		if err := given.Positive("length of a carrier", c); err != nil {
			return CableLength{}, err
		}
		exact += c + r.StrainRelief
	}
	// A length that is a whole number of steps up to round-off is not rounded further.
	const whole = 1e-9
	return CableLength{Exact: exact, Ordered: math.Ceil(exact/r.RoundUp-whole) * r.RoundUp}, nil
}
