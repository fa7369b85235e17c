package accuracy

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Beam is a simply supported beam under a moving load.
type Beam struct {
	Span    float64 // m
	Bending float64 // E I, N m²
}

// Sag is the sag (m, positive down) under a load (N) that stands at a (m) from one end.
//
//	delta = P a² (L - a)²/(3 E I L)
//
// Source: closed form, any beam table. Shear is not in it.
func (b Beam) Sag(load, a float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("span", b.Span), given.Positive("bending stiffness E I", b.Bending),
		given.Finite("load", load), given.Within("place of the load on the span", a, 0, b.Span),
	); err != nil {
		return 0, err
	}
	rest := b.Span - a
	return load * a * a * rest * rest / (3 * b.Bending * b.Span), nil
}

// Variation is a value over the work space as a taught machine sees it.
type Variation struct {
	FromTaught []float64 // each value minus the one at the taught place
	PeakToPeak float64
}

// Vary takes the constant part out of a list of values: a taught point absorbs
// what is the same everywhere.
func Vary(values []float64, taught int) (Variation, error) {
	if taught < 0 || taught >= len(values) {
		return Variation{}, fmt.Errorf("%w: place %d of %d was taught", given.ErrRefused, taught, len(values))
	}
	v := Variation{FromTaught: make([]float64, len(values))}
	least, most := math.Inf(1), math.Inf(-1)
	for i, x := range values {
		if err := given.Finite(fmt.Sprintf("value at place %d", i), x); err != nil {
			return Variation{}, err
		}
		v.FromTaught[i] = x - values[taught]
		least, most = math.Min(least, x), math.Max(most, x)
	}
	v.PeakToPeak = most - least
	return v, nil
}

// Bow is a beam whose opposite faces differ in temperature.
type Bow struct {
	Expansion  float64 // 1/K
	Difference float64 // between the faces, K
	Height     float64 // between the faces, m
	Length     float64 // m
}

// Rise returns how far the middle rises from the line between the ends, m.
//
//	alpha dT/h L²/8
//
// Source: derived, constant curvature.
func (b Bow) Rise() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("thermal expansion", b.Expansion), given.Finite("temperature difference", b.Difference),
		given.Positive("height", b.Height), given.NotNegative("length", b.Length),
	); err != nil {
		return 0, err
	}
	return b.Expansion * b.Difference / b.Height * b.Length * b.Length / 8, nil
}
