package frame

import (
	"errors"
	"math"
	"math/cmplx"
	"slices"
)

// Response computes forced motion by superposition of modes.
type Response struct {
	Modes *Modes
	Zeta  []float64 // damping ratio of every mode, 0 < ζ < 1
}

// ErrResponse says that a response is asked for that modes cannot give.
var ErrResponse = errors.New("frame: response needs one damping ratio in (0, 1) and a frequency above 0 for every mode used")

// usable refuses rigid-body modes and damping out of bounds.
func (r *Response) usable() error {
	if !usable(r.Modes.lambda, r.Zeta) {
		return ErrResponse
	}
	return nil
}

func usable(lambda, zeta []float64) bool {
	if len(zeta) != len(lambda) || len(zeta) == 0 {
		return false
	}
	for i, z := range zeta {
		if !(z > 0 && z < 1) || !(lambda[i] > 0) {
			return false
		}
	}
	return true
}

// along returns the measure of every mode shape.
func (m *Modes) along(q Measure) ([]float64, error) {
	out := make([]float64, len(m.shapes))
	for _, w := range q {
		for i := range m.shapes {
			d, err := m.Shape(i, w.At)
			if err != nil {
				return nil, err
			}
			for k := range 6 {
				out[i] += w.Along[k] * d[k]
			}
		}
	}
	return out, nil
}

// Receptance returns the complex displacement along out per unit force along in at every frequency (Hz):
//
//	H = Σ φ_out φ_in / (ω_r² - ω² + 2iζ_r ω_r ω) + (c - Σ φ_out φ_in/ω_r²)
//
// static is the static compliance c from in to out in m/N, which stands for the modes that are left out; NaN leaves the
// correction out.
//
// Source: e.g. Craig & Kurdila, Fundamentals of Structural Dynamics (from memory).
func (r *Response) Receptance(out, in Measure, static float64, hz []float64) ([]complex128, error) {
	if err := r.usable(); err != nil {
		return nil, err
	}
	a, err := r.Modes.along(out)
	if err != nil {
		return nil, err
	}
	b, err := r.Modes.along(in)
	if err != nil {
		return nil, err
	}
	return superpose(r.Modes.lambda, r.Zeta, a, b, static, hz), nil
}

// superpose sums modes with squared angular frequencies lambda and movements a and b; see Response.Receptance.
func superpose(lambda, zeta, a, b []float64, static float64, hz []float64) []complex128 {
	rest := 0.0
	if !math.IsNaN(static) {
		rest = static
		for i := range a {
			rest -= a[i] * b[i] / lambda[i]
		}
	}
	h := make([]complex128, len(hz))
	for k, f := range hz {
		w := 2 * math.Pi * f
		sum := complex(rest, 0)
		for i := range a {
			w2 := lambda[i]
			sum += complex(a[i]*b[i], 0) / complex(w2-w*w, 2*zeta[i]*math.Sqrt(w2)*w)
		}
		h[k] = sum
	}
	return h
}

// Receptance is Response.Receptance of the modes of a pose, with one damping ratio each, at one point along one
// direction for both displacement and force.
func (m *PoseModes) Receptance(zeta []float64, at Point, along [3]float64, static float64, hz []float64) ([]complex128, error) {
	if !usable(m.lambda, zeta) {
		return nil, ErrResponse
	}
	a := make([]float64, len(m.Hz))
	for i := range a {
		d, err := m.Shape(i, at)
		if err != nil {
			return nil, err
		}
		a[i] = dot(along, [3]float64(d[:3]))
	}
	return superpose(m.lambda, zeta, a, a, static, hz), nil
}

// Grid is PeakGrid around the modes of a response.
func (r *Response) Grid(lo, hi float64, n int) []float64 {
	return PeakGrid(r.Modes.Hz, r.Zeta, lo, hi, n)
}

// PeakGrid returns frequencies for plotting: n logarithmic ones from lo to hi (Hz, 0 < lo < hi), and seven around every
// natural frequency with its damping ratio, so that no peak falls between.
func PeakGrid(natural, zeta []float64, lo, hi float64, n int) []float64 {
	var hz []float64
	for i := range n {
		hz = append(hz, lo*math.Pow(hi/lo, float64(i)/float64(max(n-1, 1))))
	}
	for i, f := range natural {
		for _, d := range []float64{0, -2, -1, -0.5, 0.5, 1, 2} {
			if x := f * (1 + d*zeta[i]); x > lo && x < hi {
				hz = append(hz, x)
			}
		}
	}
	slices.Sort(hz)
	return slices.Compact(hz)
}

// Worst returns the largest singular value of a 3 by 3 complex receptance: the displacement amplitude under a unit force
// in the worst direction, m/N.
func Worst(h [3][3]complex128) float64 {
	var a [3][3]complex128 // Hᴴ H
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				a[i][j] += cmplx.Conj(h[k][i]) * h[k][j]
			}
		}
	}
	trace := real(a[0][0] + a[1][1] + a[2][2])
	if !(trace > 0) {
		return math.Sqrt(math.Max(trace, 0))
	}
	return math.Sqrt(largestHermitian(a, trace))
}

// largestHermitian returns the largest eigenvalue of a positive semidefinite Hermitian 3 by 3 matrix with this trace,
// from its characteristic cubic.
//
// Source: trigonometric solution of the cubic with three real roots.
func largestHermitian(a [3][3]complex128, trace float64) float64 {
	q := trace / 3
	p2 := 0.0
	for i := range 3 {
		d := real(a[i][i]) - q
		p2 += d * d
		for j := range i {
			p2 += 2 * (real(a[i][j])*real(a[i][j]) + imag(a[i][j])*imag(a[i][j]))
		}
	}
	p := math.Sqrt(p2 / 6)
	if p <= 1e-14*trace {
		return q
	}
	var b [3][3]complex128 // (a - q I)/p
	for i := range 3 {
		for j := range 3 {
			b[i][j] = a[i][j] / complex(p, 0)
		}
		b[i][i] = (a[i][i] - complex(q, 0)) / complex(p, 0)
	}
	det := b[0][0]*(b[1][1]*b[2][2]-b[1][2]*b[2][1]) - b[0][1]*(b[1][0]*b[2][2]-b[1][2]*b[2][0]) + b[0][2]*(b[1][0]*b[2][1]-b[1][1]*b[2][0])
	half := math.Min(1, math.Max(-1, real(det)/2))
	return q + 2*p*math.Cos(math.Acos(half)/3)
}
