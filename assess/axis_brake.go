package assess

import (
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/quantity"
)

const brakeCaution = "A motor-mounted brake is a holding brake of the machine. By itself it does not make it safe to be under a raised load; " +
	"whether a second means is needed follows from the risk assessment (ISO 12100) and the control reliability (ISO 13849-1). " +
	"Stopping distances here are not safety distances to ISO 13855. Local codes and licensed practice take precedence."

// brakeChecks judge the hold brake of a gravity axis; other axes need none.
func (r *run) brakeChecks(d *axisDuty) {
	a := d.axis
	if !a.Gravity() {
		return
	}
	id := a.Spec.ID
	has := axisCheck(id, "safety.gravity_brake", ".brake", "the gravity axis has a power-off hold brake")
	has.Caution = brakeCaution
	r.add(present(has, a.Brake != nil, "every axis on which gravity can move the load has a spring-applied brake that closes when power is off; self-locking screws do not count"), nil)
	if a.Brake == nil {
		r.skip("axis."+id+".brake.hold", "there is no brake to judge; see safety."+id+".gravity_brake")
		r.skip("axis."+id+".brake.drop", "there is no brake: the load falls when power is off")
		return
	}
	r.brakeHold(d)
	r.brakeDrop(d)
}

// gravityAxis is the axis as it loses power moving down at its programmed
// speed, loaded, with nothing credited: no friction, no efficiency.
func (r *run) gravityAxis(d *axisDuty) (drive.GravityAxis, error) {
	a := d.axis
	inertia, err := d.train.BrakeInertia()
	g := drive.GravityAxis{
		Mass: d.moved[1], Incline: math.Asin(math.Min(1, math.Abs(a.Vertical()))), Inertia: inertia,
		Gearing:     d.train.Transmission.Gearing * d.train.Gear.Ratio,
		BrakeTorque: a.Brake.Torque * float64(a.Motors()),
		Reaction:    r.m.Design.Equipment.Control.Reaction + a.Brake.Apply, Speed: a.Spec.Limits.Speed,
	}
	if c := a.Spec.Counter; c != nil && c.Weight != nil {
		g.Weight = drive.Counterweight{Mass: *c.Weight, Ratio: c.Ratio}
	}
	return g, err // a gas spring may lose its gas: the brake holds without it
}

func (r *run) brakeHold(d *axisDuty) {
	a, limits := d.axis, r.m.Design.Assumptions.Limits
	c := axisCheck(a.Spec.ID, "axis.brake.hold", ".brake", "static hold factor of the brake")
	c.Caution = brakeCaution
	g, err := r.gravityAxis(d)
	off, errOff := g.PowerOff()
	factor, errHold := off.HoldFactor()
	w := ledger.Working{
		Formula: "S = n * T_B * q / (m * g * s_a - G_c)",
		Inputs: []ledger.Input{
			in("n", "brakes", float64(a.Motors()), "", "machine"),
			in("T_B", "least static brake torque, run in and warm", a.Brake.Torque, "N m", "part "+a.Brake.ID),
			in("q", "brake shaft angle per travel", g.Gearing, "rad/m", "part data"),
			in("m", "moved mass, loaded", d.moved[1], "kg", "machine"),
			in("g", "gravity", quantity.StandardGravity, "m/s2", "3rd CGPM, 1901"),
			in("s_a", "slope of the axis, sine", math.Abs(a.Vertical()), "", "axes."+a.Spec.ID+".direction"),
			in("G_c", "counterweight; a gas spring is not credited", g.Weight.Ratio*g.Weight.Mass*quantity.StandardGravity, "N", "axes."+a.Spec.ID+".counterbalance"),
		},
		Source: "statics, no credit for friction or losses; limit " + practice,
	}
	c.Note = fmt.Sprintf("cyclic brake test at %.1f times the load torque is usual (accident-insurance guidance, from memory)", drive.CyclicTestFactor)
	r.add(atLeast(c, factor, limits.BrakeHold, "", w), first(err, errOff, errHold))
}

// brakeDrop judges the way the load falls until the brake has stopped it
// against the room below the travel.
func (r *run) brakeDrop(d *axisDuty) {
	a := d.axis
	id := a.Spec.ID
	c := axisCheck(id, "axis.brake.drop", ".brake", "drop until the brake holds, power lost at full speed downward")
	c.Caution = brakeCaution
	g, err := r.gravityAxis(d)
	if err != nil {
		r.add(c, err)
		return
	}
	stop, err := g.Stop()
	r.results.Axes[id].FallDistance = Number(stop.Overrun)
	off, errOff := g.PowerOff()
	end, _, ok := r.endOf(a)
	if !ok {
		r.add(unknown(c, "the axis has no equipment.ends: the room below the travel is missing"), nil)
		return
	}
	room := end.HardStop - end.Soft
	w := ledger.Working{
		Formula: "h = v * t + a_f * t^2 / 2 + (v + a_f * t)^2 / (2 * a_b)",
		Inputs: []ledger.Input{
			in("v", "programmed speed, downward", g.Speed, "m/s", "axes."+id+".limits.speed"),
			in("t", "reaction of the control and apply time of the brake", g.Reaction, "s", "equipment.control.reaction, part "+a.Brake.ID),
			in("a_f", "fall of load and drive together, F_g/m_eq", stop.FreeAcceleration, "m/s2", "statics"),
			in("a_b", "deceleration with the brake, (F_B - F_g)/m_eq", stop.BrakeDeceleration, "m/s2", "statics"),
			in("m_eq", "moved mass with all that turns", off.EquivalentMass, "kg", "machine"),
		},
		Source: "derived from Newton's second law; friction is not credited",
	}
	c.Note = "compared with the way from the software limit to the hard stop"
	r.add(atMost(c, stop.Overrun, room, "m", w), first(err, errOff))
	r.brakeEnergy(d, stop, err)
}

// brakeEnergy judges the heat of a stop; it is not known where the brake does not
// stop the load, as failed says.
func (r *run) brakeEnergy(d *axisDuty, stop drive.Stop, failed error) {
	a := d.axis
	id, part := a.Spec.ID, "part "+a.Brake.ID
	n := float64(a.Motors())
	r.add(atMost(axisCheck(id, "axis.brake.energy", ".brake", "heat in the brake in one power-off stop"), stop.Energy/n, a.Brake.Energy, "J", ledger.Working{
		Formula: "E = F_B * s_2 / n",
		Inputs: []ledger.Input{
			in("F_B", "brake force at the carriage", a.Brake.Torque*n*d.train.Transmission.Gearing*d.train.Gear.Ratio, "N", part),
			in("s_2", "way with the brake closed", stop.Braked, "m", "power-off stop"),
			in("n", "brakes", n, "", "machine"),
		},
		Source: "energy balance; limit from " + part,
	}), failed)
	duty := r.m.Design.Task.Duty
	wanted := duty.Stops * 365 * duty.Years
	stops, err := drive.WearStops(a.Brake.Wear, stop.Energy/n)
	r.add(atLeast(axisCheck(id, "axis.brake.wear", ".brake", "emergency stops until the brake's air gap must be reset"), stops, wanted, "", ledger.Working{
		Formula: "N = W / E",
		Inputs:  []ledger.Input{in("W", "wear energy", a.Brake.Wear, "J", part), in("E", "heat of one stop", stop.Energy/n, "J", "power-off stop")},
		Source:  "energy balance; stops wanted from task.duty",
	}), first(failed, err))
}
