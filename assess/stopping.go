package assess

import (
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/motion"
)

// stopsOf are the ways in which one axis comes to rest from its programmed speed.
type stopsOf struct {
	axis       *axisDuty
	controlled motion.Stopping    // by the drive, category 1
	margined   float64            // its distance with the margin, m
	off        [2]motion.Stopping // without power, towards minus and plus; not credited: friction while the brake has not closed
	offErr     error              // why it does not stop without power
	runaway    motion.Stopping
	away       bool // the run-away could be computed
}

// note says what the other stops would need.
func (s stopsOf) note() string {
	text := "for information: "
	if s.offErr != nil {
		text += "without power the axis does not stop"
	} else {
		text += fmt.Sprintf("without power the axis needs %.3g m", math.Max(s.off[0].Distance, s.off[1].Distance))
	}
	if s.away {
		text += fmt.Sprintf("; after running away with the drive's peak force during the reaction time, %.3g m", s.runaway.Distance)
	}
	return text
}

// withoutControl works out the stops in which the drive does not brake as
// planned: power off (category 0, or a failure of the mains) and run-away.
func (r *run) withoutControl(s *stopsOf) {
	id := s.axis.axis.Spec.ID
	for i, dir := range [2]float64{-1, 1} {
		var err error
		s.off[i], err = r.powerOff(s.axis, dir)
		s.offErr = first(s.offErr, err)
	}
	out := r.results.Axes[id]
	if s.offErr == nil {
		out.PowerOff = Number(math.Max(s.off[0].Distance, s.off[1].Distance))
		out.PowerOffTime = Number(math.Max(s.off[0].Time, s.off[1].Time))
	}
	if s.runaway, s.away = r.runAway(s.axis); s.away {
		out.Runaway = Number(s.runaway.Distance)
	}
}

// powerOff is the stop of a loaded axis that loses its power at the programmed
// speed: a level axis coasts (or is held by its brake, if it has one), a
// gravity axis moves on until the brake closes. Towards dir of its coordinate.
func (r *run) powerOff(d *axisDuty, dir float64) (motion.Stopping, error) {
	a := d.axis
	p, err := r.poweredOff(d)
	if err != nil {
		return motion.Stopping{}, err
	}
	p.Speed = a.Spec.Limits.Speed
	if a.Gravity() && dir*a.Vertical() > 0 {
		p.Speed = -p.Speed // downwards is positive there
	}
	stop, err := p.Stop()
	if err != nil {
		return motion.Stopping{}, err
	}
	free := stop.FreeAcceleration * float64(drive.DirectionOf(p.Speed))
	// Up to the brake only what speeds the axis up is counted: weight downward, not friction or weight upward.
	return motion.Runaway{Speed: math.Abs(p.Speed), Accel: math.Max(0, free), Reaction: p.Reaction, Decel: stop.BrakeDeceleration}.Stop()
}

// poweredOff is the axis reduced to its travel at the loss of power.
func (r *run) poweredOff(d *axisDuty) (drive.PowerOff, error) {
	a := d.axis
	if a.Gravity() {
		if a.Brake == nil {
			return drive.PowerOff{}, fmt.Errorf("axis %s has no brake and falls", a.Spec.ID)
		}
		g, err := r.gravityAxis(d)
		p, errOff := g.PowerOff()
		return p, first(err, errOff)
	}
	rotary, err := d.train.RotaryMass()
	p := drive.PowerOff{EquivalentMass: d.moved[1] + rotary, Reaction: r.m.Design.Equipment.Control.Reaction, Friction: r.leastFriction(d)}
	if a.Brake != nil {
		p.Brake = a.Brake.Torque * float64(a.Motors()) * d.train.Transmission.Gearing * d.train.Gear.Ratio
		p.Reaction += a.Brake.Apply
	}
	return p, err
}

// leastFriction is the running friction at rest in mid travel at the favourable
// end of the guides' friction, N: what brakes a coasting axis for certain.
func (r *run) leastFriction(d *axisDuty) float64 {
	n := len(r.m.Axes)
	now := instant{q: make([]float64, n), v: make([]float64, n), a: make([]float64, n)}
	for i, a := range r.m.Axes {
		now.q[i] = a.Spec.Travel / 2
	}
	loads, _, _ := d.sharing.blockLoads(r.m.Lumps(), r.m, now)
	return frictionAt(d.axis, loads, r.m.Design.Assumptions.GuideFriction.Low)
}

// runAway is a drive that pushes the empty axis on with its peak torque until
// the controlled stop acts. Information only; false where the motor's peak
// torque is not known.
func (r *run) runAway(d *axisDuty) (motion.Stopping, bool) {
	a := d.axis
	if !(a.Motor.Tmax > 0) {
		return motion.Stopping{}, false
	}
	push, err := d.train.PushingForce(a.Motor.Tmax * float64(a.Motors()))
	rotary, errRotary := d.train.RotaryMass()
	mass := d.moved[0] + rotary
	v := a.Spec.Limits.Speed
	stop, errStop := motion.Runaway{
		Speed: v, Accel: (push + math.Abs(d.steady[0])) / mass, Reaction: r.m.Design.Equipment.Control.Reaction, Decel: stopDecel(a.Spec.Limits),
		TopSpeed: math.Max(v, a.Motor.Nmax/(d.train.Transmission.Gearing*d.train.Gear.Ratio)),
	}.Stop()
	return stop, first(err, errRotary, errStop) == nil
}

// brakeTest judges the torque of the cyclic brake test and keeps what the motor
// has to give for it.
func (r *run) brakeTest(d *axisDuty) {
	a := d.axis
	id := a.Spec.ID
	g, err := r.gravityAxis(d)
	load, errLoad := g.StaticTorque()
	test, errTest := g.Test(drive.CyclicTestFactor)
	n := float64(a.Motors())
	c := axisCheck(id, "safety.brake_test", ".brake", "torque of the cyclic brake test on one brake")
	c.Caution = brakeCaution
	c.Note = fmt.Sprintf("the motors give %.3g N m along the load and %.3g N m against it, together; test at low height or with the load supported: the brake may fail it", test.MotorAlong, test.MotorAgainst)
	r.add(atMost(c, test.OnBrake/n, a.Brake.Torque, "N m", ledger.Working{
		Formula: "T = f * T_L / n",
		Inputs: []ledger.Input{
			in("f", "test torque over static load torque", drive.CyclicTestFactor, "", "guidance of a national accident insurer on gravity-loaded axes, from memory"),
			in("T_L", "static torque of the load, no credit for friction or a gas spring", load, "N m", "statics"),
			in("n", "brakes", n, "", "machine"),
		},
		Source: "statics; limit: least static torque of part " + a.Brake.ID,
	}), first(err, errLoad, errTest))
	out := r.results.Axes[id]
	out.BrakeTest, out.BrakeTestDown, out.BrakeTestUp = Number(test.OnBrake), Number(test.MotorAlong), Number(test.MotorAgainst)
}
