package search

import (
	"math"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/drive"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/parts"
	"spanwright/quantity"
)

// asked is what the cycle asks of one axis at a pace, whatever drives it.
type asked struct {
	limit  float64 // programmed speed, m/s
	speed  float64 // peak reached, m/s
	pushes []push
	holds  []float64 // shares of the payload that hang on it while it stands
}

// push is the moment at which a move reaches its acceleration.
type push struct {
	accel float64 // m/s², signed
	speed float64 // m/s, at which it begins to fall again
	share float64 // of the payload that is carried
}

// asks plans the cycle and returns what it asks of every axis, and its time
// without settling, s.
func (p *Problem) asks(limits []axisLimits) ([]asked, float64) {
	out := make([]asked, len(p.axes))
	for k := range out {
		out[k].limit = limits[k].speed
	}
	total := p.follow(limits, func(s design.Step, legs []motion.Leg, move motion.Move) {
		for k := range out {
			if s.Dwell > 0 && s.Loaded {
				out[k].holds = append(out[k].holds, s.Load)
			}
			profile := &move.Profiles[k]
			if legs[k].Stroke == 0 {
				continue
			}
			out[k].speed = math.Max(out[k].speed, profile.PeakSpeed())
			share := 0.0
			if s.Loaded {
				share = s.Load
			}
			out[k].pushes = append(out[k].pushes, push{
				accel: math.Copysign(profile.PeakAccel(), legs[k].Stroke),
				speed: profile.PeakSpeed() - profile.PeakAccel()*profile.JerkTime()/2, share: share,
			})
		}
	})
	return out, total
}

// body is an axis part with its screw, at what it moves at least.
type body struct {
	axis *machine.Axis // without motor, gear and brake
	low  [2]float64    // least moved mass, empty and loaded, kg
	slop float64       // largest force by which a cable carrier may help, N
	p    *Problem
}

// A bound discards a part by a demand that can only grow. Each says by which
// check, and why what is left out of the demand makes it no smaller.

// partBound judges an axis part by its own limits.
//
//	speed, acceleration  as in the checks, exact
//	length               travel and carriage; ends and reserves only add
func (p *Problem) partBound(part *parts.Axis, i int, l axisLimits, stop float64) string {
	switch {
	case l.speed > part.VMax:
		return "axis.speed"
	case math.Max(l.accel, stop) > part.AMax:
		return "axis.acceleration"
	case p.axes[i].travel+part.Along > part.MaxLength:
		return "axis.length"
	}
	return ""
}

// gearBound judges a gear, nil for none, by the speed that it makes of the
// travel: the planned peak speed, exact.
func (b *body) gearBound(q asked, gearing float64, gear *parts.Gear) string {
	if gear != nil && q.speed*gearing*gear.Ratio > gear.N1Max {
		return "axis.gear.speed_peak"
	}
	return ""
}

// motorBound judges motor and gear.
//
//	speed    exact
//	inertia  with the least moved mass, which more only adds to the load, and with
//	         the brake that adds most to the motor
//	peak     at the moment a move reaches its acceleration, without friction,
//	         which only adds while the motor drives, and with the full peak
//	         torque, which speed only lowers; what a cable carrier may help is
//	         taken off
//	gear     the same moment at the gear's output
//	pull-out of a stepper: the last moment at that acceleration, against the
//	         torque at its speed
func (b *body) motorBound(q asked, motor *parts.Motor, gear *parts.Gear, brakes []*parts.Brake) string {
	a := *b.axis
	a.Motor, a.Gear = motor, gear
	train, err := assess.Train(&a)
	if err != nil {
		return ""
	}
	if train.MotorSpeed(q.speed) > motor.Nmax {
		return "axis.motor.speed"
	}
	braked := train
	for _, brake := range brakes {
		if brake != nil {
			braked.MotorInertia = math.Max(braked.MotorInertia, train.MotorInertia+brake.J*float64(a.Motors()))
		}
	}
	if b.sluggish(braked) {
		return "axis.motor.inertia"
	}
	if a.Spec.Counter != nil {
		return ""
	}
	return b.torqueBound(q, train, motor, gear)
}

// sluggish tells whether the load outweighs the motor by more than the limit.
func (b *body) sluggish(train drive.Train) bool {
	limits := b.p.Task.Assumptions.Limits
	most := limits.InertiaBelt
	if b.axis.Screw != nil {
		most = limits.InertiaScrew
	}
	ratio, err := train.InertiaRatio(b.low[1])
	return err == nil && ratio > most
}

func (b *body) torqueBound(q asked, train drive.Train, motor *parts.Motor, gear *parts.Gear) string {
	margin := b.p.Task.Assumptions.Limits.MotorPeak
	n := float64(b.axis.Motors()) // of two motors the more loaded one has at least half
	for _, s := range q.pushes {
		mass := b.low[0] + s.share*(b.low[1]-b.low[0])
		force := mass * (s.accel + quantity.StandardGravity*b.axis.Vertical())
		dir := drive.DirectionOf(s.accel)
		driving := force*float64(dir) - b.slop
		if !(driving > 0) {
			continue
		}
		t, err := train.Torque(drive.Instant{Force: driving * float64(dir), Acceleration: s.accel, Direction: dir})
		if err != nil {
			return ""
		}
		switch {
		case motor.Kind == "stepper":
			most, err := pullOut(motor).At(train.MotorSpeed(s.speed))
			if err == nil && assess.StepperMargin*math.Abs(t.Motor)/n > most {
				return "axis.motor.pull_out"
			}
		case margin*math.Abs(t.Motor)/n > motor.Tmax:
			return "axis.motor.peak"
		case gear != nil && math.Abs(t.Output)/n > gear.T2B:
			return "axis.gear.peak"
		}
	}
	return ""
}

// pullOut is the torque of a stepper over its speed.
func pullOut(motor *parts.Motor) (line drive.Curve) {
	for i, at := range motor.PullAt {
		line = append(line, drive.CurvePoint{X: at, Y: motor.Pull[i]})
	}
	return line
}

// brakeBound judges a brake with its motor and gear, with the least moved mass:
// more mass only adds to what the brake and the motor hold, and to what the gear
// bears when the brake closes at speed.
func (b *body) brakeBound(q asked, motor *parts.Motor, gear *parts.Gear, brake *parts.Brake) string {
	if !b.axis.Gravity() || b.axis.Spec.Counter != nil {
		return ""
	}
	a := *b.axis
	a.Motor, a.Gear, a.Brake = motor, gear, brake
	train, err := assess.Train(&a)
	if err != nil {
		return ""
	}
	if b.sluggish(train) {
		return "axis.motor.inertia"
	}
	n := float64(a.Motors())
	for _, share := range q.holds {
		weight := (b.low[0] + share*(b.low[1]-b.low[0])) * quantity.StandardGravity * math.Abs(a.Vertical())
		t, err := train.Torque(drive.Instant{Force: math.Max(0, weight-b.slop), Direction: drive.Standstill})
		if err == nil && motor.Kind == "servo" && math.Abs(t.Motor)/n > drive.BlockedRotorShare*motor.T0 {
			return "axis.motor.hold"
		}
	}
	if brake == nil {
		return ""
	}
	if gear != nil {
		crash, err := train.BrakeCrash(drive.RealBrakeFactor*brake.Torque, b.low[1])
		if err == nil && crash.OutputTorque > gear.T2Not {
			return "axis.gear.brake"
		}
	}
	return b.fallBound(q, train, brake, n)
}

// fallBound judges hold and heat of the brakes: at the programmed speed, with
// the least moved mass, more of which adds to both.
func (b *body) fallBound(q asked, train drive.Train, brake *parts.Brake, n float64) string {
	inertia, err := train.BrakeInertia()
	if err != nil {
		return ""
	}
	fall := drive.GravityAxis{
		Mass: b.low[1], Incline: math.Asin(math.Min(1, math.Abs(b.axis.Vertical()))), Inertia: inertia,
		Gearing: train.Transmission.Gearing * train.Gear.Ratio, BrakeTorque: brake.Torque * n,
		Reaction: b.p.Task.Equipment.Control.Reaction + brake.Apply, Speed: q.limit,
	}
	off, err := fall.PowerOff()
	if err != nil {
		return ""
	}
	if factor, err := off.HoldFactor(); err == nil && factor < b.p.Task.Assumptions.Limits.BrakeHold {
		return "axis.brake.hold"
	}
	stop, err := fall.Stop()
	if err != nil {
		return ""
	}
	duty := b.p.Task.Task.Duty
	const days = 365
	stops, err := drive.WearStops(brake.Wear, stop.Energy/n)
	switch {
	case stop.Energy/n > brake.Energy:
		return "axis.brake.energy"
	case err == nil && stops < duty.Stops*days*duty.Years:
		return "axis.brake.wear"
	}
	return ""
}

// carrierHelp is the largest force by which any cable carrier of the catalogue
// with all cables in it pulls its axis one way, N.
func (p *Problem) carrierHelp(d *design.Design) float64 {
	load := 0.0
	for _, c := range d.Equipment.Cables {
		load += c.Mass
	}
	most := 0.0
	for _, part := range p.Catalogue.List("carrier") {
		c := part.(*parts.Carrier)
		most = math.Max(most, (c.MassPerM+load)*quantity.StandardGravity*c.Radius)
	}
	return most
}
