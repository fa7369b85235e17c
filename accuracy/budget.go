package accuracy

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Kind says how a contribution adds to others. The zero value is no kind and is
// refused: adding systematic errors as if they were random hides them.
type Kind uint8

const (
	// Systematic errors keep their sign: lead, pitch, thermal growth, sag, Abbe.
	Systematic Kind = iota + 1
	// Random errors scatter: encoder, in-position window, homing.
	Random
)

// String names the kind.
func (k Kind) String() string {
	switch k {
	case Systematic:
		return "systematic"
	case Random:
		return "random"
	default:
		return "no kind"
	}
}

// Contribution is one source of position error.
type Contribution struct {
	Name string
	Size float64 // half width, m; the sign does not matter
	Kind Kind
}

// Budget is the sum of contributions in three ways, m.
type Budget struct {
	Arithmetic float64 // all at their worst together: guaranteed
	RSS        float64 // root of the sum of squares: right only if all were random and independent
	Mixed      float64 // systematic ones in full, random ones as RSS: the default
}

// Sum adds contributions.
//
//	arithmetic  sum |e_i|
//	RSS         sqrt(sum e_i²)
//	mixed       sum |systematic| + sqrt(sum random²)
//
// Source: common practice, no source.
func Sum(contributions ...Contribution) (Budget, error) {
	var all, squares, systematic, random float64
	for _, c := range contributions {
		if err := given.Finite("error contribution "+c.Name, c.Size); err != nil {
			return Budget{}, err
		}
		size := math.Abs(c.Size)
		all += size
		squares += size * size
		switch c.Kind {
		case Systematic:
			systematic += size
		case Random:
			random += size * size
		default:
			return Budget{}, fmt.Errorf("%w: contribution %q must be systematic or random", given.ErrRefused, c.Name)
		}
	}
	return Budget{Arithmetic: all, RSS: math.Sqrt(squares), Mixed: systematic + math.Sqrt(random)}, nil
}

// RectangularUncertainty returns the standard uncertainty of a tolerance of plus
// or minus a half width, a/sqrt 3.
//
// Source: published, GUM (JCGM 100), 4.3.7.
func RectangularUncertainty(halfWidth float64) (float64, error) {
	if err := given.NotNegative("half width", halfWidth); err != nil {
		return 0, err
	}
	return halfWidth / math.Sqrt(3), nil
}

// Expanded returns the expanded uncertainty of independent standard
// uncertainties, U = 2 sqrt(sum u²), about 95 %.
//
// Source: published, GUM (JCGM 100), coverage factor 2.
func Expanded(standard ...float64) (float64, error) {
	var squares float64
	for _, u := range standard {
		if err := given.NotNegative("standard uncertainty", u); err != nil {
			return 0, err
		}
		squares += u * u
	}
	return 2 * math.Sqrt(squares), nil
}

// Reversal is an axis coming from the other side.
type Reversal struct {
	Backlash  float64 // m
	Friction  float64 // N
	Stiffness float64 // of drive and guide to the point looked at, N/m
}

// LostMotion returns how far the axis stays behind after reversal, m.
//
//	j + 2 F_f/k
//
// No pre-tension removes the second part.
//
// Source: derived, a spring that friction keeps bent either way.
func (r Reversal) LostMotion() (float64, error) {
	if err := cmp.Or(given.NotNegative("backlash", r.Backlash), given.NotNegative("friction", r.Friction), given.Stiffness("drive stiffness", r.Stiffness)); err != nil {
		return 0, err
	}
	return r.Backlash + 2*r.Friction/r.Stiffness, nil
}

// Abbe returns the error of a guide's angle at an arm, angle in rad times arm in
// m: often the largest of all.
//
// Source: derived, geometry.
func Abbe(angle, arm float64) (float64, error) {
	if err := cmp.Or(given.Finite("guide angle error", angle), given.Finite("arm", arm)); err != nil {
		return 0, err
	}
	return math.Abs(angle * arm), nil
}

// ScaleGrowth is the thermal growth of a machine against its scale.
type ScaleGrowth struct {
	Length  float64 // m
	Rise    float64 // K
	Machine float64 // thermal expansion of what carries the work, 1/K
	Scale   float64 // thermal expansion of the scale or screw, 1/K
}

// Growth returns the growth of the machine and its difference to the scale, m,
// signed with the rise.
//
//	dL = alpha L dT
func (s ScaleGrowth) Growth() (machine, difference float64, err error) {
	if err := cmp.Or(
		given.NotNegative("length", s.Length), given.Finite("temperature rise", s.Rise),
		given.NotNegative("thermal expansion of the machine", s.Machine), given.NotNegative("thermal expansion of the scale", s.Scale),
	); err != nil {
		return 0, 0, err
	}
	return s.Machine * s.Length * s.Rise, (s.Machine - s.Scale) * s.Length * s.Rise, nil
}
