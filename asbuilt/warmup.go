package asbuilt

import (
	"fmt"
	"math"

	"spanwright/given"
)

// WarmUp is a drift that comes to rest: d = d_inf (1 - exp(-t/tau)).
type WarmUp struct {
	Final    float64 // d_inf, m
	Constant float64 // tau, s
	Scatter  float64 // about the curve, m
}

// FitWarmUp fits a drift (m) over time (s) from the first reading, by least
// squares: for each time constant the final value is linear; the constant is
// searched between the shortest interval over 5 and ten times the record.
//
// Source: first-order lag, derived; search by golden section.
func FitWarmUp(time, drift []float64) (WarmUp, error) {
	if len(time) != len(drift) || len(time) < 4 {
		return WarmUp{}, fmt.Errorf("%w: %d times and %d readings of a warm-up; four of each are needed", given.ErrRefused, len(time), len(drift))
	}
	shortest := math.Inf(1)
	for i := 1; i < len(time); i++ {
		if !(time[i] > time[i-1]) {
			return WarmUp{}, fmt.Errorf("%w: the time does not grow at reading %d", given.ErrRefused, i+1)
		}
		shortest = math.Min(shortest, time[i]-time[i-1])
	}
	final := func(tau float64) (d, squares float64) {
		ab, bb := 0.0, 0.0
		for i, t := range time {
			b := 1 - math.Exp(-(t-time[0])/tau)
			ab, bb = ab+b*drift[i], bb+b*b
		}
		d = ab / bb
		for i, t := range time {
			e := drift[i] - d*(1-math.Exp(-(t-time[0])/tau))
			squares += e * e
		}
		return d, squares
	}
	low, high := math.Log(shortest/5), math.Log(10*(time[len(time)-1]-time[0]))
	const steps = 60
	best, least := low, math.Inf(1)
	for i := range steps + 1 {
		x := low + (high-low)*float64(i)/steps
		if _, s := final(math.Exp(x)); s < least {
			best, least = x, s
		}
	}
	a, b := best-(high-low)/steps, best+(high-low)/steps
	const golden = 0.6180339887498949
	for b-a > 1e-9 {
		c, d := b-golden*(b-a), a+golden*(b-a)
		_, sc := final(math.Exp(c))
		_, sd := final(math.Exp(d))
		if sc < sd {
			b = d
		} else {
			a = c
		}
	}
	tau := math.Exp((a + b) / 2)
	d, squares := final(tau)
	return WarmUp{Final: d, Constant: tau, Scatter: math.Sqrt(squares / float64(len(time)-2))}, nil
}
