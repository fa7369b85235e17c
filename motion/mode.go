package motion

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
)

// Mode is one way in which a load swings against its moving support, or a frame
// against the floor:
//
//	y'' + 2 ζ ω y' + ω² y = -r a(t),   ω = 2π f
//
// with r = 1 for a load on a driven support, and the value of
// [DriveReaction.Ratio] for a frame that the drive reaction shakes. What the
// methods return is for r = 1; swings are proportional to it.
//
// Of two close modes each is judged alone and the amplitudes are added.
type Mode struct {
	Frequency float64 // f, undamped, Hz, > 0
	Damping   float64 // ζ, part of critical damping, 0 <= ζ < 1
}

// ErrMode is returned, wrapped with the values, for a mode that does not swing.
var ErrMode = errors.New("not a mode that swings")

// Check refuses a frequency that is not positive and a damping outside 0 to 1.
func (m Mode) Check() error {
	if !(m.Frequency > 0) || math.IsInf(m.Frequency, 1) || !(m.Damping >= 0 && m.Damping < 1) {
		return fmt.Errorf("%w: %g Hz with damping %g", ErrMode, m.Frequency, m.Damping)
	}
	return nil
}

// omega returns the undamped angular frequency, rad/s.
func (m Mode) omega() float64 { return 2 * math.Pi * m.Frequency }

// damped returns the angular frequency of the free swing, rad/s.
func (m Mode) damped() float64 { return m.omega() * math.Sqrt(1-m.Damping*m.Damping) }

// Period returns the time of one free swing, 1/(f √(1-ζ²)), s.
func (m Mode) Period() float64 { return 2 * math.Pi / m.damped() }

// StaticDeflection returns the deflection a/ω² under a lasting acceleration in
// m/s², m. It is not the swing that a move leaves behind: that can be four
// times as large.
func (m Mode) StaticDeflection(accel float64) float64 {
	w := m.omega()
	return accel / (w * w)
}

// Swing is the state of a mode at one instant.
type Swing struct {
	Deflection float64 // y, m
	Speed      float64 // y', m/s
	Amplitude  float64 // of the free swing from here if the support stopped accelerating, m
}

// Swing returns the state at time t, in s, of a mode at rest at the start of
// the curve. From the end of the curve on it is the free swing.
//
// With λ = -ζω + iω_d and z = y' + ζω y + iω_d y the equation of motion becomes
// z' = λ z - a, whose solution over a segment of duration T is
//
//	z(T) = e^{λT} z(0) - a T φ1(λT) - j T² φ2(λT)
//	φ1(x) = (e^x - 1)/x,  φ2(x) = (φ1(x) - 1)/x
//
// and y = Im z/ω_d, amplitude = |z|/ω_d. Nothing grows, so long moves do not
// overflow.
//
// Source: derived (Duhamel integral of an oscillator; Thomson, Theory of
// Vibration).
func (m Mode) Swing(c Curve, t float64) Swing {
	wd, decay := m.damped(), m.Damping*m.omega()
	lambda := complex(-decay, wd)
	var z complex128
	for _, s := range c {
		length := s.Duration
		if t < s.End() {
			length = t - s.Start
		}
		if !(length > 0) {
			break
		}
		z = pushed(z, lambda, s, length)
	}
	if rest := t - c.End(); rest > 0 {
		z *= cmplx.Exp(lambda * complex(rest, 0))
	}
	y := imag(z) / wd
	return Swing{Deflection: y, Speed: real(z) - decay*y, Amplitude: cmplx.Abs(z) / wd}
}

// pushed carries z over the first part of a segment.
func pushed(z, lambda complex128, s Segment, length float64) complex128 {
	x := lambda * complex(length, 0)
	phi1, phi2 := phis(x)
	return cmplx.Exp(x)*z - complex(s.Accel*length, 0)*phi1 - complex(s.Jerk*length*length, 0)*phi2
}

// phis returns φ1 and φ2. Near 0, where the differences cancel, the series is
// summed: eighteen terms reach the last digit at |x| = 0.5.
func phis(x complex128) (phi1, phi2 complex128) {
	if cmplx.Abs(x) > 0.5 {
		phi1 = (cmplx.Exp(x) - 1) / x
		return phi1, (phi1 - 1) / x
	}
	const terms = 18
	for k := terms; k >= 2; k-- { // φ2 = Σ x^(k-2)/k!, by Horner's rule
		phi2 = (1 + phi2*x) / complex(float64(k), 0)
	}
	return 1 + x*phi2, phi2
}

// Residual returns the amplitude of the swing that is left when the curve ends,
// m: the envelope of the free swing at that moment.
func (m Mode) Residual(c Curve) float64 { return m.Swing(c, c.End()).Amplitude }

// Envelope returns the greatest residual that the ramps of a move can leave,
// m: the swing of speeding up, decayed to the end of the move, plus that of
// slowing down. It is the design value, because the interference of the two
// changes with the stroke and with a frequency error of a per cent.
//
// Source: derived.
func (m Mode) Envelope(p *Profile) float64 {
	up, down := p.Curve()[:p.upCount], p.Curve()[p.downFirst:]
	lasting := p.Duration() - p.up.duration()
	return m.Residual(up)*math.Exp(-m.Damping*m.omega()*lasting) + m.Residual(down)
}

// SettleTime returns how long the free swing from an amplitude in m takes to
// stay within ± band in m: ln(Y/δ)/(ζω), 0 if it is inside already. settles is
// false if it never does: without damping, or for a band that is not above 0.
// It counts the envelope, so it may be half a period too long. The controller's
// own in-position time comes on top.
//
// Source: derived (free decay of an oscillator).
func (m Mode) SettleTime(amplitude, band float64) (t float64, settles bool) {
	if amplitude <= band {
		return 0, true
	}
	t = math.Log(amplitude/band) / (m.Damping * m.omega())
	if !(band > 0) || !(t >= 0) || math.IsInf(t, 1) {
		return 0, false
	}
	return t, true
}

// DriveReaction is a drive that pushes a mass and thereby its own frame.
type DriveReaction struct {
	Moving float64 // mass that the drive accelerates, kg
	Modal  float64 // modal mass of the frame mode, kg, > 0
	Drive  float64 // mode shape at the drive, along its force
	Output float64 // mode shape at the observed point, along the observed direction
}

// Ratio returns r = m_moving φ_drive φ_out/m_modal: how the swing of the frame
// mode compares with that of a load on a driven support.
//
// Source: derived (modal superposition with a base of unit mode shape).
func (d DriveReaction) Ratio() float64 { return d.Moving * d.Drive * d.Output / d.Modal }

// StepRatio returns the greatest deflection of an undamped mode, relative to
// the static one, under a load that rises linearly to its lasting value:
// 1 + |sin(π r)|/(π r) with r the rise time over the period. At 0 it is 2.
//
// Source: Chopra, Dynamics of Structures, step force with finite rise time
// (equation from memory).
func StepRatio(riseOverPeriod float64) float64 {
	return 1 + math.Abs(sinc(math.Pi*riseOverPeriod))
}

// sinc returns sin(x)/x.
func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(x) / x
}
