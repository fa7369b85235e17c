package assess

import (
	"fmt"
	"math"

	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/parts"
	"spanwright/quantity"
	"spanwright/structure"
)

// homingSpeed is a usual speed of homing, at which a missed mark leads into the hard stop: common practice, no source.
const homingSpeed = 0.1 // m/s

// impact is one way in which an axis can meet a hard stop.
type impact struct {
	why     string
	planned bool // the hard stop is meant to end this run
	end     travelEnd
	body    equip.Impact
	hit     equip.Hit
	force   float64 // largest on the stop, N
	decel   float64 // of the axis, m/s²
}

// hardStopChecks judge the bumpers of an axis. Each of the two bumpers of a pair
// is judged for the whole: they do not share evenly.
func (r *run) hardStopChecks(s stopsOf, ends [2]travelEnd) {
	d := s.axis
	id := d.axis.Spec.ID
	part := r.m.Bumpers[id]
	impacts, err := r.impacts(s, ends, part)
	if err != nil {
		c := axisCheck(id, "stop.energy_hit", "", "energy of one hit on the hard stop")
		c.Subject = ends[0].path + ".bumper"
		r.add(c, err)
		return
	}
	worst := impacts[0]
	for _, i := range impacts {
		if i.hit.Energy > worst.hit.Energy {
			worst = i
		}
	}
	out := r.results.Axes[id]
	out.ImpactSpeed, out.ImpactEnergy, out.ImpactForce = Number(worst.body.Speed), Number(worst.hit.Energy), Number(worst.force)
	r.energyHit(d, worst, part)
	r.energyHour(d, worst, part)
	r.effectiveMass(d, impacts, part)
	r.stopDeceleration(d, impacts, part)
	if ends[0].design.Takes == "rest" {
		r.impactGrip(d, impacts)
	}
}

// impacts are the ways to meet either hard stop: what the over-travel switch
// leaves of a full-speed run, homing, and the loss of power at full speed at the
// software limit.
func (r *run) impacts(s stopsOf, ends [2]travelEnd, part *parts.Bumper) ([]impact, error) {
	d := s.axis
	rotary, err := d.train.RotaryMass()
	push, errPush := d.train.PushingForce(d.axis.Motor.T0 * float64(d.axis.Motors()))
	if e := first(err, errPush); e != nil {
		return nil, e
	}
	var out []impact
	for i, e := range ends {
		add := func(why string, speed, drive float64, planned bool) error {
			m := impact{why: why + ", " + e.name + " end", planned: planned, end: e, body: equip.Impact{
				Mass: d.moved[1] + rotary, Speed: speed, Drive: drive, Weight: r.weightAlong(d, e.sign),
				Stroke: part.Stroke, Efficiency: part.Eta, HitsPerHour: r.stopsPerHour(),
			}}
			var err error
			if m.hit, err = m.body.Hit(); err != nil {
				return err
			}
			m.force, m.decel, err = stopForce(m, part)
			out = append(out, m)
			return err
		}
		if left := s.controlled.SpeedAfter(math.Max(0, e.room())); left > 0 {
			if err := add("what the over-travel switch leaves of full speed", left, push, e.design.Takes == "rest"); err != nil {
				return nil, err
			}
		}
		if err := add("a mark missed while homing", math.Min(homingSpeed, d.axis.Spec.Limits.Speed), push, false); err != nil {
			return nil, err
		}
		if s.offErr != nil {
			continue // what then happens is judged by the missing brake
		}
		if left := s.off[i].SpeedAfter(math.Max(0, e.hard-e.soft)); left > 0 {
			if err := add("power lost at full speed at the software limit", left, 0, false); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// weightAlong is the weight along the motion towards an end, N: what pulls the
// axis into it is positive. A gas spring is credited nowhere: upwards it pushes
// with its largest force, downwards it may have lost its gas.
func (r *run) weightAlong(d *axisDuty, sign float64) float64 {
	a := d.axis
	up := sign * a.Vertical()
	w := -d.moved[1] * quantity.StandardGravity * up
	c := a.Spec.Counter
	if c == nil || up == 0 {
		return w
	}
	if c.Weight != nil {
		w += math.Copysign(c.Ratio**c.Weight*quantity.StandardGravity, up)
	}
	if c.Spring != nil && up > 0 {
		most := *c.Spring
		if c.Most != nil {
			most = *c.Most
		}
		w += most
	}
	return w
}

// stopsPerHour are the emergency stops in an hour of running.
func (r *run) stopsPerHour() float64 {
	const days, hour = 365, 3600
	duty := r.m.Design.Task.Duty
	return duty.Stops * days / (duty.HoursPerYear / hour)
}

// stopForce is the largest force on the stop and the deceleration of the axis.
// An elastomer or spring counts as a linear spring that takes its rated energy
// over its stroke: it presses harder on a short way than its mean force says.
func stopForce(m impact, part *parts.Bumper) (force, decel float64, err error) {
	if part.Kind != "elastomer" && part.Kind != "spring" {
		return m.hit.Force, m.hit.Deceleration, nil
	}
	spring, err := m.body.OnSpring(2 * part.Energy / (part.Stroke * part.Stroke))
	return spring.Force, (spring.Force - m.body.Drive - m.body.Weight) / m.body.Mass, err
}

func bumperCheck(id, kind, title string) ledger.Check {
	c := axisCheck(id, kind, "", title)
	c.Subject = "equipment.ends." + id + ".bumper"
	c.Caution = stopCaution
	return c
}

func (r *run) energyHit(d *axisDuty, m impact, part *parts.Bumper) {
	id := d.axis.Spec.ID
	c := bumperCheck(id, "stop.energy_hit", "energy of one hit on the hard stop")
	c.Note = "worst of a mark missed while homing, what the over-travel switch leaves, and the loss of power at full speed: " + m.why
	if d.axis.Spec.Pair != nil {
		c.Note += "; each side of the pair is judged for the whole"
	}
	c.Note += r.secondHit(d, m)
	r.add(atMost(c, m.hit.Energy, part.Energy, "J", ledger.Working{
		Formula: "E = max(0, m * v^2 / 2 + (F_p + G) * s_b)",
		Inputs: []ledger.Input{
			in("m", "moved mass with all that turns, loaded", m.body.Mass, "kg", "machine"),
			in("v", "speed at first contact", m.body.Speed, "m/s", "kinematics: "+m.why),
			in("F_p", "drive still pushing with its stall torque; none without power", m.body.Drive, "N", motorPart(d)),
			in("G", "weight along the motion", m.body.Weight, "N", "machine"),
			in("s_b", "stroke of the bumper", part.Stroke, "m", "part "+part.ID),
		},
		Source: "energy balance; limit from part " + part.ID,
	}), nil)
}

// secondHit tells what the rotors do that run on behind a belt after the carriage has stopped.
func (r *run) secondHit(d *axisDuty, m impact) string {
	if d.axis.Belt == nil {
		return ""
	}
	at := 0.0
	if m.end.sign > 0 {
		at = d.axis.Spec.Travel
	}
	k, err := structure.DriveStiffness(r.m, d.axis, at)
	rotary, errRotary := d.train.RotaryMass()
	if first(err, errRotary) != nil {
		return ""
	}
	f := equip.SecondHit(rotary*m.body.Speed*m.body.Speed/2, k)
	return fmt.Sprintf("; the rotors run on behind the belt and may pull it with up to %.3g N once more", f)
}

func (r *run) energyHour(d *axisDuty, m impact, part *parts.Bumper) {
	c := bumperCheck(d.axis.Spec.ID, "stop.energy_hour", "energy into the hard stop in an hour")
	if part.Hourly == 0 {
		r.add(unknown(c, "energy per hour of part "+part.ID), nil)
		return
	}
	c.Note = "every emergency stop is taken to end in the hard stop"
	r.add(atMost(c, m.hit.Hourly, part.Hourly, "J", ledger.Working{
		Formula: "E_h = E * n",
		Inputs: []ledger.Input{
			in("E", "one hit", m.hit.Energy, "J", "energy balance"),
			in("n", "hits in an hour of running", m.body.HitsPerHour, "", "task.duty"),
		},
		Source: "sum; limit from part " + part.ID,
	}), nil)
}

// effectiveMass judges the hits at speed against the range of the bumper.
func (r *run) effectiveMass(d *axisDuty, impacts []impact, part *parts.Bumper) {
	c := bumperCheck(d.axis.Spec.ID, "stop.effective_mass", "effective mass at the hard stop against the ends of the bumper's range")
	low, high := part.MassRng[0], part.MassRng[1]
	if !(high > 0) {
		r.skip(c.ID, "part "+part.ID+" states no range of effective masses")
		return
	}
	worst, most := impact{}, -1.0
	for _, m := range impacts {
		if m.body.Speed <= homingSpeed || m.hit.EffectiveMass <= 0 {
			continue // slow runs into a stop ask nothing of its metering
		}
		if u := math.Max(m.hit.EffectiveMass/high, low/m.hit.EffectiveMass); u > most {
			worst, most = m, u
		}
	}
	if most < 0 {
		r.skip(c.ID, "the hard stop is met at the speed of homing only")
		return
	}
	c.Note = worst.why
	r.add(atMost(c, most, 1, "", ledger.Working{
		Formula: "u = max(2 * E / v^2 / m_2, m_1 / (2 * E / v^2))",
		Inputs: []ledger.Input{
			in("E", "energy of the hit", worst.hit.Energy, "J", "energy balance"), in("v", "speed at first contact", worst.body.Speed, "m/s", "kinematics"),
			in("m_1", "smallest effective mass", low, "kg", "part "+part.ID), in("m_2", "largest effective mass", high, "kg", "part "+part.ID),
		},
		Source: "definition of the effective mass, 2 E / v^2; range from part " + part.ID,
	}), nil)
}

// stopDeceleration judges the hard stop that is meant to end a full-speed run
// against what the axis stands. Where the switch ends it, the hard stop is met in
// failures only; what they would do is said, not judged.
func (r *run) stopDeceleration(d *axisDuty, impacts []impact, part *parts.Bumper) {
	a := d.axis
	id := a.Spec.ID
	c := bumperCheck(id, "stop.deceleration", "deceleration when the hard stop ends a full-speed run")
	worst, failure := impact{decel: -1}, impact{decel: -1}
	for _, m := range impacts {
		if m.planned && m.decel > worst.decel {
			worst = m
		}
		if !m.planned && m.decel > failure.decel {
			failure = m
		}
	}
	text := fmt.Sprintf("%s: %.3g m/s at the stop, %.3g m/s2 and %.3g N on it; the joints are judged for the %.3g m/s2 of the controlled stop",
		failure.why, failure.body.Speed, failure.decel, failure.force, stopDecel(a.Spec.Limits))
	if worst.decel < 0 {
		r.skip(c.ID, "the hard stop is met in failures only; the hardest, "+text)
		return
	}
	c.Note = worst.why + "; not judged: " + text
	w := ledger.Working{
		Formula: "a = (E / (eta * s_b) - F_p - G) / m",
		Inputs: []ledger.Input{
			in("E", "energy of the hit", worst.hit.Energy, "J", "energy balance"), in("eta", "energy over force times stroke", part.Eta, "", "part "+part.ID),
			in("s_b", "stroke", part.Stroke, "m", "part "+part.ID), in("F_p", "drive still pushing", worst.body.Drive, "N", motorPart(d)),
			in("G", "weight along the motion", worst.body.Weight, "N", "machine"), in("m", "moved mass with all that turns", worst.body.Mass, "kg", "machine"),
		},
		Source: "work and energy; limit: largest acceleration of part " + a.Part.ID,
	}
	if part.Kind == "elastomer" || part.Kind == "spring" {
		w.Formula = "a = sqrt((F_p + G)^2 + 2 * E_r / s_b^2 * m * v^2) / m"
		w.Inputs = []ledger.Input{
			in("F_p", "drive still pushing", worst.body.Drive, "N", motorPart(d)), in("G", "weight along the motion", worst.body.Weight, "N", "machine"),
			in("E_r", "rated energy, taken by a linear spring over the stroke", part.Energy, "J", "part "+part.ID), in("s_b", "stroke", part.Stroke, "m", "part "+part.ID),
			in("m", "moved mass with all that turns", worst.body.Mass, "kg", "machine"), in("v", "speed at first contact", worst.body.Speed, "m/s", "kinematics"),
		}
	}
	r.add(atMost(c, worst.decel, a.Part.AMax, "m/s2", w), nil)
}

// impactGrip judges the grip when the hard stop ends a full-speed run.
func (r *run) impactGrip(d *axisDuty, impacts []impact) {
	for _, m := range impacts {
		if m.planned {
			c := bumperCheck(d.axis.Spec.ID, "stop.grip", "holding force when the hard stop ends a full-speed run")
			c.ID += "." + m.end.name
			up := m.decel * math.Abs(d.axis.Vertical())
			side := m.decel * math.Sqrt(math.Max(0, 1-d.axis.Vertical()*d.axis.Vertical()))
			r.holdingCheck(c, up, side, "deceleration at the "+m.end.name+" hard stop")
		}
	}
}
