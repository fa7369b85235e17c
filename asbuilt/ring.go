package asbuilt

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"spanwright/given"
)

// Decay is a ringing read off by hand.
type Decay struct {
	First, Last float64 // peaks, in the same unit and of the same sign
	Periods     int     // between them
	Period      float64 // s
}

// Ring is what a ringing tells.
type Ring struct {
	Decrement float64 // logarithmic decrement of one period
	Damping   float64 // ratio to critical
	Damped    float64 // frequency of the ringing, Hz
	Natural   float64 // frequency without damping, Hz
}

// Ring returns frequency and damping.
//
//	d = ln(A_0/A_n)/n   z = d/sqrt(4 pi² + d²)   f_d = 1/T   f_n = f_d/sqrt(1 - z²)
//
// Source: textbook, free vibration with viscous damping.
func (d Decay) Ring() (Ring, error) {
	if err := cmp.Or(
		given.Positive("first peak", d.First), given.Positive("last peak", d.Last), given.AtLeast("periods", d.Periods, 1), given.Positive("period", d.Period),
	); err != nil {
		return Ring{}, err
	}
	if d.Last > d.First {
		return Ring{}, fmt.Errorf("%w: the last peak %g is larger than the first %g", given.ErrRefused, d.Last, d.First)
	}
	return ringOf(math.Log(d.First/d.Last)/float64(d.Periods), 1/d.Period), nil
}

func ringOf(decrement, frequency float64) Ring {
	z := decrement / math.Sqrt(4*math.Pi*math.Pi+decrement*decrement)
	return Ring{Decrement: decrement, Damping: z, Damped: frequency, Natural: frequency / math.Sqrt(1-z*z)}
}

// ErrCloseModes is returned for a ringing whose peaks grow again: two modes beat.
var ErrCloseModes = errors.New("close modes: the peaks grow again")

// beating is by how much a peak may exceed the least before it; counted are the
// peaks down to this share of the largest. Common practice, no source.
const (
	beating = 1.1
	counted = 0.1
)

// leastPeriods is how many periods a record must hold. Common practice, no source.
const leastPeriods = 5

// ReadRinging finds frequency and damping in samples of a ringing: the period
// from upward crossings of the mean, the decrement from a straight line through
// the logarithms of the peaks between them. It returns ErrCloseModes with the
// frequency if the peaks grow again: then the damping is unknown.
func ReadRinging(time, signal []float64) (Ring, error) {
	if len(time) != len(signal) || len(time) < 10*leastPeriods {
		return Ring{}, fmt.Errorf("%w: %d samples; ten a period over %d periods are needed", given.ErrRefused, len(signal), leastPeriods)
	}
	mean := stat.Mean(signal, nil)
	var crossings, peaks []float64
	peak := 0.0
	for i := 1; i < len(signal); i++ {
		if !(time[i] > time[i-1]) {
			return Ring{}, fmt.Errorf("%w: the time does not grow at sample %d", given.ErrRefused, i+1)
		}
		a, b := signal[i-1]-mean, signal[i]-mean
		if a < 0 && b >= 0 {
			if len(crossings) > 0 {
				peaks = append(peaks, peak)
			}
			crossings, peak = append(crossings, time[i-1]-a/(b-a)*(time[i]-time[i-1])), 0
		}
		peak = math.Max(peak, b)
	}
	return ringing(crossings, peaks)
}

// ringing evaluates crossings and the peak after each but the last.
func ringing(crossings, peaks []float64) (Ring, error) {
	largest := 0.0
	for _, p := range peaks {
		largest = math.Max(largest, p)
	}
	n := 0
	for n < len(peaks) && peaks[n] >= counted*largest {
		n++
	}
	if n < leastPeriods {
		return Ring{}, fmt.Errorf("%w: %d clear periods; %d are needed", given.ErrRefused, n, leastPeriods)
	}
	f := float64(n) / (crossings[n] - crossings[0])
	least := math.Inf(1)
	for _, p := range peaks { // beats may hide below the counted share and come back
		if p > beating*least && p >= counted*largest {
			return Ring{Damped: f, Natural: f, Damping: math.NaN(), Decrement: math.NaN()}, ErrCloseModes
		}
		least = math.Min(least, p)
	}
	var number, logs []float64
	for i, p := range peaks[:n] {
		number, logs = append(number, float64(i)), append(logs, math.Log(p))
	}
	_, slope := stat.LinearRegression(number, logs, nil, false)
	return ringOf(math.Max(0, -slope), f), nil
}
