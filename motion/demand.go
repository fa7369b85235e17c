package motion

import "math"

// Load is what an axis moves: the drive force is
//
//	F = m a + F_0 + F_f sgn(v)
//
// with sgn(0) = 0, so that an axis at rest is held against F_0 alone.
type Load struct {
	Mass     float64 // m, moved mass with the reflected inertia of the drive if that is asked for, kg, >= 0
	Steady   float64 // F_0, force on the load towards greater x that holds it, N; m g for an axis pointing up
	Friction float64 // F_f, against the motion, N, >= 0
}

// Force returns the drive force in a state, N, positive towards greater x.
func (l Load) Force(s State) float64 {
	f := l.Mass*s.Accel + l.Steady
	switch {
	case s.Speed > 0:
		f += l.Friction
	case s.Speed < 0:
		f -= l.Friction
	}
	return f
}

// Demand is what a load asks of its drive over a curve. Demands of successive
// parts are joined with Join, also if the load changes between them.
type Demand struct {
	Duration    float64 // s
	Distance    float64 // integral of |v|, m
	MaxForce    float64 // greatest force, N, signed
	MinForce    float64 // least force, N, signed
	SquareForce float64 // integral of F² over time, N² s
	CubeForce   float64 // integral of |F|³ over the way, N³ m
	PeakPower   float64 // greatest F v, W, >= 0
	PeakAt      float64 // when, s
	Motoring    float64 // integral of F v where it is positive, J
	Braking     float64 // integral of |F v| where it is negative, J: comes back to the drive
	Frictional  float64 // friction work, J
}

// Demand evaluates the load over a curve, exactly: on each segment force is
// linear and power cubic in time.
//
//	∫F² dt = T (F1² + F1 F2 + F2²)/3
//
// Power peaks inside a segment where m j v + F a = 0. Braking energy is cut off
// at zero: friction above the braking force only means that the drive still
// pushes.
//
// Source: derived; definitions of RMS value and work.
func (l Load) Demand(c Curve) Demand {
	d := Demand{MaxForce: math.Inf(-1), MinForce: math.Inf(1)}
	for _, s := range c {
		l.addSegment(&d, s)
	}
	if len(c) == 0 {
		d.MaxForce, d.MinForce = 0, 0
	}
	return d
}

// addSegment splits a segment where speed or force changes sign and adds its
// parts.
func (l Load) addSegment(d *Demand, s Segment) {
	marks := [4]float64{0, s.Duration}
	n := 2
	if s.turns() {
		for _, u := range roots(s.Jerk/2, s.Accel, s.Speed) {
			if u > 0 && u < s.Duration {
				marks[n] = u
				n++
			}
		}
	}
	sortUp(marks[:n])
	for i := 1; i < n; i++ {
		from, to := marks[i-1], marks[i]
		way := s.after((from + to) / 2)
		friction := l.Force(State{Speed: way.Speed})
		// F(u) = m (a + j u) + friction, zero at most once in this part
		zero := -(l.Mass*s.Accel + friction) / (l.Mass * s.Jerk)
		if zero > from && zero < to {
			l.addPart(d, s, from, zero, friction)
			from = zero
		}
		l.addPart(d, s, from, to, friction)
	}
}

// turns tells whether the speed changes sign inside the segment. A speed that
// only touches zero, as at the end of every move, misses it by a rounding to
// either side; friction must not change its sign for that.
func (s Segment) turns() bool {
	const touch = 1e-6 // part of the greatest speed of the segment; above roundings, of no weight in energy
	end := s.Last().Speed
	least, greatest := math.Min(s.Speed, end), math.Max(s.Speed, end)
	if u := -s.Accel / s.Jerk; u > 0 && u < s.Duration {
		v := s.after(u).Speed
		least, greatest = math.Min(least, v), math.Max(greatest, v)
	}
	return math.Min(-least, greatest) > touch*math.Max(-least, greatest)
}

// addPart adds the stretch from u1 to u2 of a segment, over which neither speed
// nor force changes sign; rest is the force without that of acceleration.
func (l Load) addPart(d *Demand, s Segment, u1, u2, rest float64) {
	force := func(u float64) float64 { return l.Mass*(s.Accel+s.Jerk*u) + rest }
	speed := func(u float64) float64 { return s.Speed + u*(s.Accel+u*s.Jerk/2) }
	length := u2 - u1
	f1, f2 := force(u1), force(u2)
	d.Duration += length
	d.MaxForce = max(d.MaxForce, f1, f2)
	d.MinForce = min(d.MinForce, f1, f2)
	d.SquareForce += length * (f1*f1 + f1*f2 + f2*f2) / 3
	work := 0.0
	for i, node := range gaussNodes {
		u := u1 + length*(1+node)/2
		f, v, w := force(u), speed(u), length/2*gaussWeights[i]
		work += w * f * v
		d.Distance += w * math.Abs(v)
		d.CubeForce += w * math.Abs(f*f*f*v)
		if v != 0 {
			d.Frictional += w * math.Abs(v) * l.Friction
		}
	}
	if work >= 0 {
		d.Motoring += work
	} else {
		d.Braking -= work
	}
	peak := func(u float64) {
		if p := force(u) * speed(u); p > d.PeakPower {
			d.PeakPower, d.PeakAt = p, s.Start+u
		}
	}
	peak(u1)
	peak(u2)
	for _, u := range l.stationaryPower(s, rest) {
		if u > u1 && u < u2 {
			peak(u)
		}
	}
}

// Nodes and weights of the three-point Gauss–Legendre rule on [-1, 1], exact up
// to the fifth degree: |F|³ |v| on a part is of that degree.
// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, table 25.4.
var (
	gaussNodes   = [3]float64{-math.Sqrt(3.0 / 5), 0, math.Sqrt(3.0 / 5)}
	gaussWeights = [3]float64{5.0 / 9, 8.0 / 9, 5.0 / 9}
)

// StationaryPower returns the times, in s, at which F v is stationary if the
// law of a segment held for ever; NaN stands for none. What lies outside the
// segment is no peak of the motion, but tells how far from one it ends.
func (l Load) StationaryPower(s Segment) [2]float64 {
	rest := l.Force(State{Speed: s.after(s.Duration / 2).Speed})
	u := l.stationaryPower(s, rest)
	return [2]float64{s.Start + u[0], s.Start + u[1]}
}

// stationaryPower solves m j v(u) + F(u) a(u) = 0 for the time since the start
// of the segment.
func (l Load) stationaryPower(s Segment, rest float64) [2]float64 {
	m, a, j := l.Mass, s.Accel, s.Jerk
	return roots(1.5*m*j*j, j*(rest+3*m*a), m*j*s.Speed+(rest+m*a)*a)
}

// RMSForce returns the root mean square of the force over a period in s, N.
// What the period has beyond the curve counts as without force: a vertical axis
// that is held needs its standstill in the curve.
func (d Demand) RMSForce(period float64) float64 { return math.Sqrt(d.SquareForce / period) }

// MeanForce returns the cubic mean of the force over the way, N, on which the
// life of rolling parts depends: (∫|F|³ |dx| / ∫|dx|)^(1/3). Without way it is 0.
//
// Source: ISO 3408-5 and ISO 14728-1, mean load with exponent 3 (clauses from memory).
func (d Demand) MeanForce() float64 {
	if d.Distance == 0 {
		return 0
	}
	return math.Cbrt(d.CubeForce / d.Distance)
}

// PeakForce returns the greatest |force|, N.
func (d Demand) PeakForce() float64 { return math.Max(d.MaxForce, -d.MinForce) }

// Join returns the demand of this part and the next.
func (d Demand) Join(next Demand) Demand {
	if d.Duration == 0 {
		return next
	}
	if next.Duration == 0 {
		return d
	}
	if next.PeakPower > d.PeakPower {
		d.PeakPower, d.PeakAt = next.PeakPower, next.PeakAt
	}
	d.MaxForce, d.MinForce = math.Max(d.MaxForce, next.MaxForce), math.Min(d.MinForce, next.MinForce)
	d.Duration += next.Duration
	d.Distance += next.Distance
	d.SquareForce += next.SquareForce
	d.CubeForce += next.CubeForce
	d.Motoring += next.Motoring
	d.Braking += next.Braking
	d.Frictional += next.Frictional
	return d
}

// roots returns the real roots of a x² + b x + c, the smaller first; NaN where
// there is none.
func roots(a, b, c float64) [2]float64 {
	nan := math.NaN()
	if a == 0 {
		if b == 0 {
			return [2]float64{nan, nan}
		}
		return [2]float64{-c / b, nan}
	}
	q := -(b + math.Copysign(math.Sqrt(b*b-4*a*c), b)) / 2
	x, y := q/a, c/q
	if q == 0 {
		y = 0
	}
	return [2]float64{math.Min(x, y), math.Max(x, y)}
}

// sortUp sorts a handful of numbers in place.
func sortUp(x []float64) {
	for i := 1; i < len(x); i++ {
		for k := i; k > 0 && x[k] < x[k-1]; k-- {
			x[k], x[k-1] = x[k-1], x[k]
		}
	}
}
