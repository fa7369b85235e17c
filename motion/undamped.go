package motion

import "math"

// Undamped explains the residual of an undamped mode after a move as a product:
// what a jump to the peak speed would leave, times how much each ramp filters,
// times how the two ramps meet.
//
//	ramp:  A = (v/ω) |S(π f (T_r - t_j))| |S(π f t_j)|,   S(x) = sin(x)/x
//	both:  Y = √((A1 - A2)² + 4 A1 A2 sin²(π f Δ))
//
// with Δ the time between the middles of the ramps and A carrying the signs of
// its two factors. For equal ramps Y = 2 A |sin(π f Δ)|.
type Undamped struct {
	Jump          float64 // 2 v/ω, m
	AccelFilter   float64 // |S(π f (T_r - t_j))| of speeding up, 0 to 1
	JerkFilter    float64 // |S(π f t_j)| of speeding up, 0 to 1; 1 without jerk limit
	Interference  float64 // Amplitude/Envelope, 0 to 1; not to be relied on
	Amplitude     float64 // Y, m
	Envelope      float64 // |A1| + |A2|, the greatest Y over all strokes, m
	RampAmplitude float64 // |A1|, that of speeding up alone, m
}

// Undamped returns the closed form of the residual without damping. It agrees
// with Residual and Envelope at ζ = 0, and shows why.
//
// A filter factor is zero when the time is a whole number of periods: f t_j = n
// or f (T_r - t_j) = n. Those zeros hold for every stroke; a zero of
// Interference does not.
//
// Source: derived (Fourier transform of the acceleration; Duhamel integral).
func (m Mode) Undamped(p *Profile) Undamped {
	w := m.omega()
	angle := math.Pi * m.Frequency
	filters := func(r ramp) (accel, jerk float64) {
		return sinc(angle * (r.jerkTime + r.flatTime)), sinc(angle * r.jerkTime)
	}
	accel, jerk := filters(p.up)
	accelDown, jerkDown := filters(p.down)
	a1, a2 := p.speed/w*accel*jerk, p.speed/w*accelDown*jerkDown
	between := p.up.duration()/2 + p.cruise + p.down.duration()/2
	sin := math.Sin(angle * between)
	u := Undamped{
		Jump:          2 * p.speed / w,
		AccelFilter:   math.Abs(accel),
		JerkFilter:    math.Abs(jerk),
		Amplitude:     math.Sqrt(math.Max(0, (a1-a2)*(a1-a2)+4*a1*a2*sin*sin)),
		Envelope:      math.Abs(a1) + math.Abs(a2),
		RampAmplitude: math.Abs(a1),
	}
	if u.Envelope > 0 {
		u.Interference = u.Amplitude / u.Envelope
	}
	return u
}
