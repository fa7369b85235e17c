// Package uncertain deals with inputs that are known as a range: samples over
// all of them, percentiles of what comes out, and the value of one input that
// explains a measurement.
//
// It knows no engineering and no units. Monotone responses need no samples: the
// ends of the ranges give the ends of the outcome.
package uncertain

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"spanwright/given"
)

// Input is a number with a range.
type Input struct {
	Name      string
	Low, High float64
	Log       bool   // uniform in the logarithm, as for stiffness
	Family    string // inputs of one family share one draw; "": on its own
}

// ownScatter is how far members of a family scatter about the family's draw.
// Without the shared draw the range would average out over many joints.
// Source: engineering judgement, no source.
const ownScatter = 1.2

// Sample draws runs of all inputs by Latin hypercube: every input (or family)
// visits each of the runs equal slices of its range once. The result has one
// row per run, in the order of the inputs, and depends on the seed only.
//
// Members of a family take the family's place in their own range, times a
// factor between 1/1.2 and 1.2 (log-uniform) of their own, kept in the range.
func Sample(inputs []Input, runs int, seed uint64) ([][]float64, error) {
	if runs < 1 {
		return nil, fmt.Errorf("%w: %d runs", given.ErrRefused, runs)
	}
	for _, u := range inputs {
		if !(u.High >= u.Low) || u.Log && !(u.Low > 0) || math.IsInf(u.High-u.Low, 0) {
			return nil, fmt.Errorf("%w: %s ranges from %g to %g", given.ErrRefused, u.Name, u.Low, u.High)
		}
	}
	random := rand.New(rand.NewPCG(seed, 0))
	families := map[string][]float64{}
	out := make([][]float64, runs)
	for r := range out {
		out[r] = make([]float64, len(inputs))
	}
	for i, u := range inputs {
		place, shared := families[u.Family]
		if u.Family == "" || !shared {
			place = slices01(random, runs)
		}
		if u.Family == "" {
			for r := range out {
				out[r][i] = u.at(place[r])
			}
			continue
		}
		families[u.Family] = place
		own := slices01(random, runs)
		for r := range out {
			factor := math.Pow(ownScatter, 2*own[r]-1)
			out[r][i] = math.Min(math.Max(u.at(place[r])*factor, u.Low), u.High)
		}
	}
	return out, nil
}

// slices01 places one number in each of n equal slices of 0 to 1, in random order.
func slices01(random *rand.Rand, n int) []float64 {
	out := make([]float64, n)
	for i, slice := range random.Perm(n) {
		out[i] = (float64(slice) + random.Float64()) / float64(n)
	}
	return out
}

// at is the value at a place (0 to 1) in the range.
func (u Input) at(place float64) float64 {
	if u.Log {
		return u.Low * math.Pow(u.High/u.Low, place)
	}
	return u.Low + (u.High-u.Low)*place
}

// Percentile returns the value that a share p (0 to 1) of the values does not
// exceed, by linear interpolation between the sorted values.
func Percentile(values []float64, p float64) (float64, error) {
	if len(values) == 0 || !(p >= 0 && p <= 1) || slices.ContainsFunc(values, math.IsNaN) {
		return 0, fmt.Errorf("%w: share %g of %d values", given.ErrRefused, p, len(values))
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	at := p * float64(len(sorted)-1)
	i := min(int(at), len(sorted)-1)
	if i == len(sorted)-1 {
		return sorted[i], nil
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i]), nil
}

// Explain finds the input between low and high (both > 0) for which a rising or
// falling response equals what was measured, by bisection in the logarithm: a
// stiffness from a measured frequency or deflection. Bounds of 0.01 and
// 100 times the nominal value are usual.
//
// It returns given.ErrRefused, wrapped, if the measured value is not between the
// responses at both ends: the input cannot explain it.
func Explain(response func(float64) (float64, error), measured, low, high float64) (float64, error) {
	if !(low > 0) || !(high > low) {
		return 0, fmt.Errorf("%w: search from %g to %g", given.ErrRefused, low, high)
	}
	atLow, err := response(low)
	if err != nil {
		return 0, err
	}
	atHigh, err := response(high)
	if err != nil {
		return 0, err
	}
	if !((atLow-measured)*(atHigh-measured) <= 0) || atLow == atHigh {
		return 0, fmt.Errorf("%w: measured %g, but from %g to %g the response only goes from %g to %g",
			given.ErrRefused, measured, low, high, atLow, atHigh)
	}
	rising := atHigh > atLow
	a, b := math.Log(low), math.Log(high)
	for b-a > 1e-12 {
		middle := (a + b) / 2
		if middle == a || middle == b {
			break
		}
		y, err := response(math.Exp(middle))
		if err != nil {
			return 0, err
		}
		if (y < measured) == rising {
			a = middle
		} else {
			b = middle
		}
	}
	return math.Exp((a + b) / 2), nil
}
