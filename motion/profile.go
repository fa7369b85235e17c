package motion

import "math"

// Profile is a move from rest to rest: speed up, run on, slow down. The zero
// value is the move that goes nowhere.
//
// Each ramp consists of jerk, constant acceleration and jerk; parts without
// duration have no segment. With a negative stroke everything is mirrored;
// peaks and times are positive numbers all the same.
type Profile struct {
	segments  [7]Segment
	count     int
	upCount   int // of them, segments of speeding up
	downFirst int // index of the first segment of slowing down

	stroke   float64 // m, signed
	speed    float64 // peak, m/s
	up, down ramp
	cruise   float64 // s at peak speed
	governs  Limit
}

// ramp is the change between rest and a speed, symmetric about its middle.
type ramp struct {
	jerkTime float64 // s, of each of the two jerk parts
	flatTime float64 // s, at constant acceleration
	accel    float64 // peak, m/s²
}

func (r ramp) duration() float64 { return 2*r.jerkTime + r.flatTime }

// jerk returns the jerk of the ramp, m/s³; 0 if the acceleration jumps.
func (r ramp) jerk() float64 {
	if r.jerkTime == 0 {
		return 0
	}
	return r.accel / r.jerkTime
}

// assemble lays out the segments of a move to greater x. The stroke must be
// what ramps and cruise cover.
func assemble(stroke, speed float64, up, down ramp, cruise float64) Profile {
	p := Profile{stroke: stroke, speed: speed, up: up, down: down, cruise: cruise}
	pieces := [...]Piece{
		{up.jerkTime, 0, up.jerk()},
		{up.flatTime, up.accel, 0},
		{up.jerkTime, up.accel, -up.jerk()},
		{cruise, 0, 0},
		{down.jerkTime, 0, -down.jerk()},
		{down.flatTime, -down.accel, 0},
		{down.jerkTime, -down.accel, down.jerk()},
	}
	at, start := State{}, 0.0
	for i, piece := range pieces {
		switch i {
		case 3:
			at.Speed = speed // free of the roundings of the ramp
			p.upCount = p.count
		case 4:
			p.downFirst = p.count
		}
		if !(piece.Duration > 0) {
			continue
		}
		at.Accel = piece.Accel
		s := Segment{Start: start, Duration: piece.Duration, State: at, Jerk: piece.Jerk}
		p.segments[p.count] = s
		p.count++
		at, start = s.Last(), s.End()
	}
	return p
}

// Curve returns the segments of the move, from time 0 and position 0. The
// caller must not change them.
func (p *Profile) Curve() Curve { return p.segments[:p.count:p.count] }

// At returns the state at time t, in s; from the end on exactly the stroke, at
// rest.
func (p *Profile) At(t float64) State {
	if t >= p.Duration() {
		return State{Position: p.stroke}
	}
	for i := p.count - 1; i >= 0; i-- {
		if t >= p.segments[i].Start {
			return p.segments[i].At(t)
		}
	}
	return State{}
}

// Stroke returns the signed distance, m.
func (p *Profile) Stroke() float64 { return p.stroke }

// Duration returns the time of the move, s.
func (p *Profile) Duration() float64 {
	return p.up.duration() + p.cruise + p.down.duration()
}

// AccelTime returns the time of speeding up, s, jerk parts included.
func (p *Profile) AccelTime() float64 { return p.up.duration() }

// CruiseTime returns the time at peak speed, s.
func (p *Profile) CruiseTime() float64 { return p.cruise }

// DecelTime returns the time of slowing down, s, jerk parts included.
func (p *Profile) DecelTime() float64 { return p.down.duration() }

// JerkTime returns the time of one jerk part while speeding up, s; 0 if the
// acceleration jumps.
func (p *Profile) JerkTime() float64 { return p.up.jerkTime }

// DecelJerkTime returns the time of one jerk part while slowing down, s.
func (p *Profile) DecelJerkTime() float64 { return p.down.jerkTime }

// PeakSpeed returns the greatest speed, m/s, positive.
func (p *Profile) PeakSpeed() float64 { return p.speed }

// PeakAccel returns the greatest acceleration while speeding up, m/s², positive.
func (p *Profile) PeakAccel() float64 { return p.up.accel }

// PeakDecel returns the greatest deceleration, m/s², positive.
func (p *Profile) PeakDecel() float64 { return p.down.accel }

// AccelDistance returns the way of speeding up, m, positive: a ramp symmetric
// about its middle covers half of peak speed times its duration.
func (p *Profile) AccelDistance() float64 { return p.speed * p.up.duration() / 2 }

// CruiseDistance returns the way at peak speed, m, positive.
func (p *Profile) CruiseDistance() float64 { return p.speed * p.cruise }

// DecelDistance returns the way of slowing down, m, positive.
func (p *Profile) DecelDistance() float64 { return p.speed * p.down.duration() / 2 }

// Governs says which limit decides the duration. Without constant speed, it is
// acceleration as soon as one of the two ramps reaches its own limit.
func (p *Profile) Governs() Limit { return p.governs }

// Scaled returns the move with every position times k, in the same time: what
// an axis does when a path moves, k being its direction cosine.
func (p *Profile) Scaled(k float64) Profile {
	scaled, size := *p, math.Abs(k)
	scaled.stroke *= k
	scaled.speed *= size
	scaled.up.accel *= size
	scaled.down.accel *= size
	for i := range scaled.segments[:p.count] {
		s := &scaled.segments[i]
		s.Position *= k
		s.Speed *= k
		s.Accel *= k
		s.Jerk *= k
	}
	return scaled
}

// Stretched returns the same way in another time: with λ = Duration/duration,
// speeds scale by λ, accelerations by λ², jerks by λ³. A time that is not above 0
// or a move without duration returns the move as it is.
//
// Source: derived (substitution t -> λ t).
func (p *Profile) Stretched(duration float64) Profile {
	q, own := *p, p.Duration()
	if !(duration > 0) || own == 0 {
		return q
	}
	k := own / duration
	q.speed *= k
	q.up = ramp{q.up.jerkTime / k, q.up.flatTime / k, q.up.accel * k * k}
	q.down = ramp{q.down.jerkTime / k, q.down.flatTime / k, q.down.accel * k * k}
	q.cruise /= k
	for i := range q.segments[:q.count] {
		s := &q.segments[i]
		s.Start /= k
		s.Duration /= k
		s.Speed *= k
		s.Accel *= k * k
		s.Jerk *= k * k * k
	}
	return q
}
