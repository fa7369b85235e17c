package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/motion"
)

// Leg is a part of a cycle: a motion and what is moved. The mass is what moves
// straight; the train brings its own rotating parts.
type Leg struct {
	Curve motion.Curve // standstill included where the load must be held
	Load  motion.Load
}

// TorquePoint is the motor at one moment of the cycle.
type TorquePoint struct {
	Time   float64 // s
	Speed  float64 // of the motor, rad/s, signed
	Torque float64 // of the motor, N m, signed
	Output float64 // torque at the gear's output, N m, signed
}

// MotorDemand is what a cycle asks of motor and gear.
type MotorDemand struct {
	Period     float64
	RMSTorque  float64 // over the period, N m
	MeanSpeed  float64 // mean of |speed| over the period, rad/s
	MaxSpeed   float64 // rad/s
	HoldTorque float64 // largest |torque| at standstill, N m
	Motoring   float64 // work of the motor shaft on the load, J
	Braking    float64 // work of the load on the motor shaft, J: what can be regenerated

	OutputPeak float64 // largest |torque| at the gear's output, N m
	OutputMean float64 // cubic mean over the output turns, N m; 0 without motion

	// Points are the corners of the torque-speed path in order of time, with
	// points between them where the acceleration changes.
	Points []TorquePoint
}

// insideCorners is how many pieces a stretch with changing acceleration is cut
// into for the peak check: between corners torque falls while speed rises, and
// the worst point may lie between them. Integrals do not depend on it.
const insideCorners = 8

// Demand evaluates the train over a cycle of the given period in s. Integrals
// are exact: on each stretch torque is linear and speed quadratic in time, cut
// where motion, force or a torque change sign.
//
// Source: derived; the cubic mean of the gear is common practice.
func (t Train) Demand(period float64, legs ...Leg) (MotorDemand, error) {
	if err := cmp.Or(t.check(), given.Positive("period", period)); err != nil {
		return MotorDemand{}, err
	}
	d := demand{train: t, MotorDemand: MotorDemand{Period: period}}
	for _, leg := range legs {
		d.top = math.Max(d.top, leg.Curve.PeakSpeed())
	}
	var time float64
	for i, leg := range legs {
		l := leg.Load
		if err := cmp.Or(given.NotNegative("moving mass", l.Mass), given.Finite("steady force", l.Steady), given.NotNegative("friction", l.Friction)); err != nil {
			return MotorDemand{}, fmt.Errorf("leg %d: %w", i+1, err)
		}
		for _, s := range leg.Curve {
			if err := cmp.Or(given.NotNegative("segment duration", s.Duration), given.Finite("speed", s.Speed), given.Finite("acceleration", s.Accel), given.Finite("jerk", s.Jerk)); err != nil {
				return MotorDemand{}, fmt.Errorf("leg %d: %w", i+1, err)
			}
			time += s.Duration
			d.segment(leg.Load, s)
		}
	}
	const rounding = 1e-9
	if time > period*(1+rounding) {
		return MotorDemand{}, fmt.Errorf("%w: the legs take %.6g s, the period is %.6g s", given.ErrRefused, time, period)
	}
	d.RMSTorque = math.Sqrt(d.square / period)
	d.MeanSpeed = d.turned / period
	if d.turned > 0 {
		d.OutputMean = math.Cbrt(d.cube / d.turned)
	}
	return d.MotorDemand, nil
}

// demand collects the integrals of a cycle.
type demand struct {
	MotorDemand
	train  Train
	top    float64 // greatest carriage speed of the cycle, m/s
	square float64 // integral of T² over time
	turned float64 // integral of |motor speed| over time, rad
	cube   float64 // integral of |T_out|³ |motor speed| over time
}

// stillShare is the part of the cycle's top speed below which an axis counts as
// standing: rounding leaves about 1e-16 of it at the end of a move, and a change
// of direction read from that would be none.
const stillShare = 1e-9

// segment cuts a segment where its speed changes sign.
func (d *demand) segment(load motion.Load, s motion.Segment) {
	edges := []float64{0}
	for _, u := range append(crossings(s.Speed, s.Accel, s.Jerk), s.Duration) {
		if u > edges[len(edges)-1] && u <= s.Duration {
			edges = append(edges, u)
		}
	}
	way := Standstill
	for i := 1; i < len(edges); i++ {
		if w := d.way(s, edges[i-1], edges[i]); w != Standstill {
			way = w
			break
		}
	}
	for i := 1; i < len(edges); i++ {
		if w := d.way(s, edges[i-1], edges[i]); w != Standstill {
			way = w // else that of the neighbour, or all of the segment stands
		}
		d.oneWay(load, s, way, edges[i-1], edges[i])
	}
}

// way is the direction of a stretch that does not change it.
func (d *demand) way(s motion.Segment, from, to float64) Direction {
	v := s.At(s.Start + (from+to)/2).Speed
	if math.Abs(v) <= stillShare*d.top {
		return Standstill
	}
	return DirectionOf(v)
}

// oneWay cuts a stretch of one direction where force, output torque or motor
// torque change sign, so that the losses follow one law on each piece and its
// work goes one way.
func (d *demand) oneWay(load motion.Load, s motion.Segment, way Direction, from, to float64) {
	at := func(u float64) (TorquePoint, Instant) {
		state := s.At(s.Start + u)
		now := Instant{
			Force:        load.Force(motion.State{Speed: float64(way), Accel: state.Accel}),
			Acceleration: state.Accel,
			Direction:    way,
		}
		torque := d.train.torque(now)
		return TorquePoint{Time: s.Start + u, Speed: d.train.MotorSpeed(state.Speed), Torque: torque.Motor, Output: torque.Output}, now
	}
	force := func(u float64) float64 { _, now := at(u); return now.Force }
	point := func(u float64) TorquePoint { p, _ := at(u); return p }
	for _, f := range cut(from, to, force) {
		for _, o := range cut(f[0], f[1], func(u float64) float64 { return point(u).Output }) {
			for _, m := range cut(o[0], o[1], func(u float64) float64 { return point(u).Torque }) {
				d.piece(m[0], m[1], s.Jerk != 0, way, point)
			}
		}
	}
}

// piece adds a stretch on which torque is linear in time.
func (d *demand) piece(from, to float64, bent bool, way Direction, at func(float64) TorquePoint) {
	a, b := at(from), at(to)
	length := to - from
	d.square += length * (a.Torque*a.Torque + a.Torque*b.Torque + b.Torque*b.Torque) / 3
	work := 0.0
	for i, node := range gaussNodes {
		p, w := at(from+length*(1+node)/2), length/2*gaussWeights[i]
		speed := math.Abs(p.Speed)
		d.turned += w * speed
		d.cube += w * speed * math.Abs(p.Output*p.Output*p.Output)
		work += w * p.Speed * p.Torque
	}
	if work >= 0 {
		d.Motoring += work
	} else {
		d.Braking -= work
	}
	steps := 1
	if bent {
		steps = insideCorners
	}
	for i := range steps + 1 {
		p := at(from + length*float64(i)/float64(steps))
		d.Points = append(d.Points, p)
		d.MaxSpeed = math.Max(d.MaxSpeed, math.Abs(p.Speed))
		d.OutputPeak = math.Max(d.OutputPeak, math.Abs(p.Output))
		if way == Standstill {
			d.HoldTorque = math.Max(d.HoldTorque, math.Abs(p.Torque))
		}
	}
}

// Three-point Gauss-Legendre rule on [-1, 1], exact to the fifth degree:
// |T_out|³ |speed| on a piece is of that degree.
//
// Source: published, Abramowitz & Stegun, Handbook of Mathematical Functions,
// table 25.4.
var (
	gaussNodes   = [3]float64{-math.Sqrt(3.0 / 5), 0, math.Sqrt(3.0 / 5)}
	gaussWeights = [3]float64{5.0 / 9, 8.0 / 9, 5.0 / 9}
)

// cut splits a stretch at the zero of a function that is linear on it.
func cut(from, to float64, linear func(float64) float64) [][2]float64 {
	a, b := linear(from), linear(to)
	if a*b < 0 {
		zero := from + (to-from)*a/(a-b)
		if zero > from && zero < to {
			return [][2]float64{{from, zero}, {zero, to}}
		}
	}
	return [][2]float64{{from, to}}
}

// crossings returns the times at which v + a u + j u²/2 is zero, rising.
func crossings(v, a, j float64) []float64 {
	if j == 0 {
		if a == 0 {
			return nil
		}
		return []float64{-v / a}
	}
	disc := a*a - 2*j*v
	if !(disc > 0) {
		return nil
	}
	q := -(a + math.Copysign(math.Sqrt(disc), a))
	x, y := q/j, 0.0
	if q != 0 {
		y = 2 * v / q
	}
	return []float64{math.Min(x, y), math.Max(x, y)}
}

// PeakUse returns the largest |torque| over the motor's peak torque at the same
// speed, over all points of the cycle, and where it occurs; +Inf beyond the
// no-load speed.
func (d MotorDemand) PeakUse(m MotorCurve) (use float64, at TorquePoint, err error) {
	if err := m.check(); err != nil {
		return 0, TorquePoint{}, err
	}
	for _, p := range d.Points {
		if u := math.Abs(p.Torque) / m.peak(math.Abs(p.Speed)); u > use {
			use, at = u, p
		}
	}
	return use, at, nil
}

// ContinuousUse returns the rms torque over the continuous torque at the mean
// speed.
func (d MotorDemand) ContinuousUse(m MotorCurve) (float64, error) {
	torque, err := m.Continuous(d.MeanSpeed)
	if err != nil {
		return 0, err
	}
	return d.RMSTorque / torque, nil
}
