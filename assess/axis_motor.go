package assess

import (
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/ledger"
)

// motorChecks judge motor and gear of one axis over the cycle.
func (r *run) motorChecks(d *axisDuty) {
	if d.axis.Motor.Kind == "stepper" {
		r.stepperChecks(d)
	} else {
		r.servoChecks(d)
	}
	r.motorSpeed(d)
	r.inertiaRatio(d)
	if d.axis.Gear != nil {
		r.gearChecks(d)
	}
	r.regeneration(d)
}

func curveOf(d *axisDuty) drive.MotorCurve {
	p := d.axis.Motor
	return drive.MotorCurve{StallTorque: p.T0, RatedTorque: p.Tn, RatedSpeed: p.Nn, PeakTorque: p.Tmax, KneeSpeed: p.Knee, NoLoadSpeed: p.NoLoad}
}

func motorPart(d *axisDuty) string { return "part " + d.axis.Motor.ID }

// perMotor is what one motor has of the torque of all.
func (d *axisDuty) perMotor(torque float64) float64 { return torque * d.share }

func (r *run) servoChecks(d *axisDuty) {
	id, limits := d.axis.Spec.ID, r.m.Design.Assumptions.Limits
	curve := curveOf(d)

	peak := axisCheck(id, "axis.motor.peak", ".motor", "motor peak torque")
	worst, err := d.worstCorner(curve)
	w := ledger.Working{
		Formula: "T = m_p * share * T_M",
		Inputs: []ledger.Input{
			in("m_p", "margin", limits.MotorPeak, "", "assumptions.limits.motor_peak_margin"),
			in("share", "share of one motor", d.share, "", "load split of the driven sides"),
			in("T_M", fmt.Sprintf("torque of all motors, %.2f s into the cycle", worst.Time), math.Abs(worst.Torque), "N m", "cycle"),
			in("n_M", "motor speed there", math.Abs(worst.Speed), "rad/s", "cycle"),
		},
		Source: "Newton's second law along the train; torque line of the motor from part data; margin " + practice,
	}
	available, errPeak := curve.Peak(worst.Speed)
	r.add(atMost(peak, limits.MotorPeak*d.perMotor(math.Abs(worst.Torque)), available, "N m", w), first(err, errPeak))

	rms := axisCheck(id, "axis.motor.rms", ".motor", "motor rms torque")
	continuous, errCont := curve.Continuous(math.Min(d.demand.MeanSpeed, curve.RatedSpeed))
	r.add(atMost(rms, limits.MotorRms*d.perMotor(d.demand.RMSTorque), continuous, "N m", ledger.Working{
		Formula: "T = m_r * share * T_rms",
		Inputs: []ledger.Input{
			in("m_r", "margin", limits.MotorRms, "", "assumptions.limits.motor_rms_margin"),
			in("share", "share of one motor", d.share, "", "load split of the driven sides"),
			in("T_rms", "rms torque of all motors over the cycle, dwells with their holding torque", d.demand.RMSTorque, "N m", "cycle"),
			in("n_m", "mean speed, at which the continuous torque is taken", d.demand.MeanSpeed, "rad/s", "cycle"),
		},
		Source: "definition of the rms value; continuous line of the motor from part data; margin " + practice,
	}), errCont)

	if d.axis.Gravity() {
		hold := axisCheck(id, "axis.motor.hold", ".motor", "torque that holds the load at rest")
		r.add(atMost(hold, d.perMotor(d.demand.HoldTorque), drive.BlockedRotorShare*d.axis.Motor.T0, "N m", ledger.Working{
			Formula: "T = share * T_h",
			Inputs: []ledger.Input{
				in("share", "share of one motor", d.share, "", "load split of the driven sides"),
				in("T_h", "largest torque at standstill in the cycle", d.demand.HoldTorque, "N m", "cycle"),
				in("T_0", "continuous torque at standstill; 0.7 of it with the rotor on one phase", d.axis.Motor.T0, "N m", motorPart(d)),
			},
			Source: "statics; share of the stall torque " + practice,
		}), nil)
	}
}

// worstCorner is the point of the torque-speed path closest to the peak line.
func (d *axisDuty) worstCorner(curve drive.MotorCurve) (drive.TorquePoint, error) {
	var worst drive.TorquePoint
	most := -1.0
	for _, p := range d.demand.Points {
		line, err := curve.Peak(p.Speed)
		if err != nil {
			return worst, err
		}
		u := math.Inf(1)
		if line > 0 {
			u = math.Abs(p.Torque) / line
		}
		if u > most {
			worst, most = p, u
		}
	}
	return worst, nil
}

func (r *run) stepperChecks(d *axisDuty) {
	c := axisCheck(d.axis.Spec.ID, "axis.motor.pull_out", ".motor", "torque the stepper must give with its margin")
	p := d.axis.Motor
	var line drive.Curve
	for i := range p.PullAt {
		line = append(line, drive.CurvePoint{X: p.PullAt[i], Y: p.Pull[i]})
	}
	var worst drive.TorquePoint
	most, available := -1.0, math.NaN()
	for _, pt := range d.demand.Points {
		t, err := line.At(math.Abs(pt.Speed))
		if err != nil {
			r.add(c, fmt.Errorf("pull-out torque at %.4g rad/s: %w", math.Abs(pt.Speed), err))
			return
		}
		if u := math.Abs(pt.Torque) / t; u > most {
			worst, most, available = pt, u, t
		}
	}
	c.Note = "without feedback a lost step goes unnoticed: home often or add an encoder"
	r.add(atMost(c, StepperMargin*d.perMotor(math.Abs(worst.Torque)), available, "N m", ledger.Working{
		Formula: "T = S * share * T_M",
		Inputs: []ledger.Input{
			in("S", "margin", StepperMargin, "", practice), in("share", "share of one motor", d.share, "", "load split"),
			in("T_M", "torque at the worst corner of the cycle", math.Abs(worst.Torque), "N m", "cycle"),
			in("n_M", "motor speed there", math.Abs(worst.Speed), "rad/s", "cycle"),
		},
		Source: "pull-out curve from part data; margin " + practice,
	}), nil)
}

// StepperMargin is the margin on a stepper's pull-out torque: common practice, no source.
const StepperMargin = 1.5

func (r *run) motorSpeed(d *axisDuty) {
	c := axisCheck(d.axis.Spec.ID, "axis.motor.speed", ".motor", "motor peak speed")
	v := r.timeline.Curve(d.axis.Spec.ID).PeakSpeed()
	r.add(atMost(c, d.demand.MaxSpeed, d.axis.Motor.Nmax, "rad/s", ledger.Working{
		Formula: "n = v * q * i",
		Inputs: []ledger.Input{
			in("v", "peak speed in the cycle", v, "m/s", "cycle"),
			in("q", "drive shaft angle per travel", d.train.Transmission.Gearing, "rad/m", "part data"),
			in("i", "gear ratio", d.train.Gear.Ratio, "", gearFrom(d)),
		},
		Source: "kinematics; largest speed from part data",
	}), nil)
}

func gearFrom(d *axisDuty) string {
	if d.axis.Gear == nil {
		return "direct drive"
	}
	return "part " + d.axis.Gear.ID
}

func (r *run) inertiaRatio(d *axisDuty) {
	c := axisCheck(d.axis.Spec.ID, "axis.motor.inertia", ".motor", "load over motor inertia")
	limits := r.m.Design.Assumptions.Limits
	limit, from := limits.InertiaBelt, "assumptions.limits.inertia_ratio_belt"
	if d.axis.Screw != nil {
		limit, from = limits.InertiaScrew, "assumptions.limits.inertia_ratio_screw"
	}
	ratio, err := d.train.InertiaRatio(d.moved[1])
	r.add(atMost(c, ratio, limit, "", ledger.Working{
		Formula: "lambda = (m / q^2 + J) / (i^2 * J_M)",
		Inputs: []ledger.Input{
			in("m", "moved mass, loaded", d.moved[1], "kg", "machine"),
			in("q", "drive shaft angle per travel", d.train.Transmission.Gearing, "rad/m", "part data"),
			in("J", "inertia on the drive shaft", d.train.Transmission.Inertia, "kg m2", "part data"),
			in("i", "gear ratio", d.train.Gear.Ratio, "", gearFrom(d)),
			in("J_M", "motors, brakes and gear inputs", d.train.MotorInertia+d.train.Gear.Inertia, "kg m2", motorPart(d)),
		},
		Source: "definition; limit " + practice + " (" + from + ")",
	}), err)
}

func (r *run) gearChecks(d *axisDuty) {
	id, g := d.axis.Spec.ID, d.axis.Gear
	from := "part " + g.ID
	torque := func(kind, title string, value, limit float64, what string) {
		r.add(atMost(axisCheck(id, kind, ".gear", title), d.perMotor(value), limit, "N m", ledger.Working{
			Formula: "T_2 = share * T",
			Inputs: []ledger.Input{
				in("share", "share of one gear", d.share, "", "load split of the driven sides"),
				in("T", what, value, "N m", "cycle"),
			},
			Source: "Newton's second law; limit from " + from,
		}), nil)
	}
	torque("axis.gear.peak", "gear output torque, peak", d.demand.OutputPeak, g.T2B, "largest torque at the output of all gears")
	torque("axis.gear.mean", "gear output torque, cubic mean", d.demand.OutputMean, g.T2N, "cubic mean over the output turns ("+practice+")")
	speed := func(kind, title string, value, limit float64) {
		r.add(atMost(axisCheck(id, kind, ".gear", title), value, limit, "rad/s", ledger.Working{
			Formula: "n_1 = n_M", Inputs: []ledger.Input{in("n_M", "motor speed", value, "rad/s", "cycle")}, Source: "limit from " + from,
		}), nil)
	}
	speed("axis.gear.speed_peak", "gear input speed, peak", d.demand.MaxSpeed, g.N1Max)
	speed("axis.gear.speed_mean", "gear input speed, mean", d.demand.MeanSpeed, g.N1N)
	if d.axis.Brake != nil {
		r.gearCrash(d)
	}
}

// gearCrash judges the gear when the motor brake closes at speed.
func (r *run) gearCrash(d *axisDuty) {
	c := axisCheck(d.axis.Spec.ID, "axis.gear.brake", ".gear", "gear output torque when the brake closes at speed")
	torque := drive.RealBrakeFactor * d.axis.Brake.Torque
	crash, err := d.train.BrakeCrash(torque, d.moved[1])
	load, errLoad := d.train.LoadInertia(d.moved[1])
	i := d.train.Gear.Ratio
	r.add(atMost(c, crash.OutputTorque, d.axis.Gear.T2Not, "N m", ledger.Working{
		Formula: "T_2 = k * T_b * J_L / (i * (J_M + J_L / i^2))",
		Inputs: []ledger.Input{
			in("k", "real over least static brake torque", drive.RealBrakeFactor, "", practice),
			in("T_b", "least static brake torque", d.axis.Brake.Torque, "N m", "part "+d.axis.Brake.ID),
			in("J_L", "load inertia at the gear output", load, "kg m2", "machine"),
			in("i", "gear ratio", i, "", gearFrom(d)),
			in("J_M", "motor, brake and gear input", d.train.MotorInertia+d.train.Gear.Inertia, "kg m2", motorPart(d)),
		},
		Source: "derived from Newton's second law",
	}), first(err, errLoad))
}

// regeneration states what one cycle brakes into the drive's bus. Brake
// resistors are not part of the catalogue, so nothing is judged.
func (r *run) regeneration(d *axisDuty) {
	id, p := "axis."+d.axis.Spec.ID+".motor.regeneration", d.axis.Motor
	bus := drive.Bus{Capacitance: p.CapF, Nominal: p.CapV[0], Limit: p.CapV[1]}
	e, err := bus.Regenerate(d.demand.Braking, p.DriveEta)
	if err != nil {
		r.skip(id, err.Error())
		return
	}
	r.skip(id, fmt.Sprintf("%.3g J come back to the bus in a cycle, the capacitors of one drive take %.3g J, a brake resistor would burn %.3g W; resistors are not in the catalogue",
		e.Bus, e.Storage, e.Resistor/r.timeline.Duration))
}

func first(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}
