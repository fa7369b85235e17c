package tuning

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"

	"spanwright/given"
)

// Notch is a second-order notch filter.
//
//	H(s) = (s² + 2 z_n w s + w²)/(s² + 2 z_d w s + w²)
type Notch struct {
	Frequency   float64 // centre, Hz
	Numerator   float64 // z_n, damping ratio of the numerator
	Denominator float64 // z_d, of the denominator; z_n/z_d is the depth
	Sample      float64 // sample time, s
}

// Biquad is a digital filter y = b0 u + b1 u' + b2 u” - a1 y' - a2 y”.
type Biquad struct{ B, A [3]float64 }

// Digital returns the filter by the bilinear transform, pre-warped so that the
// centre keeps its frequency and its depth. The gain at 0 Hz is 1.
//
//	K = w/tan(w T/2)   a0 = K² + 2 z_d w K + w²
//	b = [K² + 2 z_n w K + w², 2 w² - 2 K², K² - 2 z_n w K + w²]/a0
//	a = [1, b1, (K² - 2 z_d w K + w²)/a0]
//
// Source: textbook, bilinear transform with pre-warping (e.g. Franklin, Powell,
// Workman, Digital Control of Dynamic Systems; from memory).
func (n Notch) Digital() (Biquad, error) {
	if err := cmp.Or(
		given.Positive("notch frequency", n.Frequency), given.NotNegative("damping of the numerator", n.Numerator),
		given.Positive("damping of the denominator", n.Denominator), given.Positive("sample time", n.Sample),
	); err != nil {
		return Biquad{}, err
	}
	if !(n.Frequency*n.Sample < 0.5) {
		return Biquad{}, fmt.Errorf("%w: a notch at %g Hz needs samples closer than %g s", given.ErrRefused, n.Frequency, 0.5/n.Frequency)
	}
	w := 2 * math.Pi * n.Frequency
	k := w / math.Tan(w*n.Sample/2)
	a0 := k*k + 2*n.Denominator*w*k + w*w
	b1 := (2*w*w - 2*k*k) / a0
	return Biquad{
		B: [3]float64{(k*k + 2*n.Numerator*w*k + w*w) / a0, b1, (k*k - 2*n.Numerator*w*k + w*w) / a0},
		A: [3]float64{1, b1, (k*k - 2*n.Denominator*w*k + w*w) / a0},
	}, nil
}

// Gain is the gain at a frequency (Hz) for a sample time (s).
func (b Biquad) Gain(frequency, sample float64) float64 {
	z := cmplx.Exp(complex(0, -2*math.Pi*frequency*sample))
	at := func(c [3]float64) complex128 {
		return complex(c[0], 0) + z*complex(c[1], 0) + z*z*complex(c[2], 0)
	}
	return cmplx.Abs(at(b.B) / at(b.A))
}
