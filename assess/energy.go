package assess

import (
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/equip"
	"spanwright/ledger"
)

// powerSamples is how many evenly spaced times of the cycle the power of all
// axes is added at. A peak lasts for as long as an axis nears its speed, tenths
// of a second in a cycle of seconds; a thousandth of the cycle resolves it.
const powerSamples = 1000

// power works out the electrical demand of all axes together and judges the
// supply.
func (r *run) power() {
	c := newCheck("axis.supply", "equipment.supply_power", "largest power that all drives draw together")
	var together [][]float64
	mean := 0.0
	for i := range r.axes {
		d := &r.axes[i]
		if eta := d.axis.Motor.DriveEta; !(eta > 0) {
			reason := "drive_efficiency of " + motorPart(d)
			if r.m.Design.Equipment.Supply != nil {
				r.add(unknown(c, reason), nil)
			} else {
				r.skip(c.ID, reason+" is missing")
			}
			return
		}
		if err := r.axisPower(d); err != nil {
			r.skip("axis."+d.axis.Spec.ID+".power", err.Error())
			return
		}
		mean += float64(r.results.Axes[d.axis.Spec.ID].PowerMean)
		together = append(together, r.sampledPower(d))
	}
	supply, err := drive.TogetherSupply(together...)
	if err != nil {
		r.skip(c.ID, err.Error())
		return
	}
	r.results.Power = PowerResult{Number(supply.Peak), Number(mean), Number(supply.Mean), Number(supply.RMS), Number(supply.Sum)}
	r.supply(c, supply)
	for i := range r.axes {
		r.motorCable(&r.axes[i])
	}
}

// axisPower fills the power of one axis by itself.
func (r *run) axisPower(d *axisDuty) error {
	eta := d.axis.Motor.DriveEta
	most := 0.0
	for _, p := range d.demand.Points {
		most = math.Max(most, p.Torque*p.Speed)
	}
	peak, err := drive.PeakDraw{Mechanical: most, Efficiency: eta}.Power()
	e, errE := drive.CycleEnergy{Motoring: d.demand.Motoring, Braking: d.demand.Braking, Efficiency: eta, Period: r.timeline.Duration}.Electrical()
	out := r.results.Axes[d.axis.Spec.ID]
	out.PowerPeak, out.PowerMean = Number(peak), Number(e.MeanNoRecovery)
	out.Drawn, out.Returned = Number(e.Drawn), Number(e.Returned)
	return first(err, errE)
}

// sampledPower is the electrical power of one axis over the cycle, W: drawn over
// the efficiency, returned times it. The legs of an axis follow each other
// without a gap.
func (r *run) sampledPower(d *axisDuty) []float64 {
	out := make([]float64, powerSamples)
	eta := d.axis.Motor.DriveEta
	still := 1e-9 * r.timeline.Curve(d.axis.Spec.ID).PeakSpeed() // roundings at the end of a move are no motion
	leg := 0
	for k := range out {
		t := (float64(k) + 0.5) / powerSamples * r.timeline.Duration
		for leg < len(d.legs)-1 && t >= d.legs[leg].Curve.End() {
			leg++
		}
		l := d.legs[leg]
		now := l.Curve.At(t)
		if math.Abs(now.Speed) <= still {
			continue
		}
		torque, err := d.train.Torque(drive.Instant{Force: l.Load.Force(now), Acceleration: now.Accel, Direction: drive.DirectionOf(now.Speed)})
		if err != nil {
			out[k] = math.NaN()
			continue
		}
		p := torque.Motor * d.train.MotorSpeed(now.Speed)
		if p > 0 {
			out[k] = p / eta
		} else {
			out[k] = p * eta
		}
	}
	return out
}

// supply judges the power of the supply.
func (r *run) supply(c ledger.Check, s drive.Supply) {
	given := r.m.Design.Equipment.Supply
	if given == nil {
		r.skip(c.ID, fmt.Sprintf("equipment.supply_power is not declared; the drives draw at most %.3g W at one time, %.3g W rms, %.3g W with all braking energy used", s.Peak, s.RMS, s.Mean))
		return
	}
	c.Note = fmt.Sprintf("the axes' own peaks add up to %.3g W; %.3g W rms heat transformer and line; cabinet, tool and holding torque are not counted", s.Sum, s.RMS)
	r.add(atMost(c, s.Peak, *given, "W", ledger.Working{
		Formula: "largest sum over the axes of T_M n_M / eta where an axis drives and T_M n_M eta where it brakes, at one time of the cycle", Solver: true,
		Inputs: []ledger.Input{
			in("N", "times in the cycle", powerSamples, "", "evenly spaced"), in("P_r", "rms of the drawn power", s.RMS, "W", "cycle"),
			in("P_m", "mean with all braking energy used", s.Mean, "W", "cycle"), in("P_s", "sum of the axes' own peaks", s.Sum, "W", "cycle"),
		},
		Source: "power balance; efficiency of drive and motor from part data",
	}), nil)
}

// Motor cables. Source: common practice, no source.
const (
	cablePowerFactor = 0.75 // of the motor with its amplifier, 0.6 to 0.9
	ladderLaying     = drive.LayingE
)

// motorCable proposes the section of a motor's cable for its rated power. The
// voltage is taken as that of the bus over the square root of two.
func (r *run) motorCable(d *axisDuty) {
	a, m := d.axis, d.axis.Motor
	if !(m.Tn > 0 && m.Nn > 0 && m.CapV[0] > 0) {
		return
	}
	current, err := drive.ThreePhase{ShaftPower: m.Tn * m.Nn, Efficiency: m.DriveEta, PowerFactor: cablePowerFactor, Voltage: m.CapV[0] / math.Sqrt2}.Current()
	ambient, errA := drive.AmbientFactor(r.m.Design.Task.Surroundings.Temperature[1])
	grouping, errG := drive.GroupingFactor(ladderLaying, r.circuitsBeside(d))
	size, errS := drive.Conductor{Current: current, Ambient: ambient, Grouping: grouping, Laying: ladderLaying}.Smallest()
	if e := first(err, errA, errG, errS); e != nil {
		r.skip("axis."+a.Spec.ID+".conductor", e.Error())
		return
	}
	out := r.results.Axes[a.Spec.ID]
	out.CableCurrent, out.CableSection = Number(current), Number(math.Max(size.Section, drive.LeastPowerSection))
}

// circuitsBeside is the number of motor cables that run beside that of an axis:
// all that cross the first joint if it does so too, else all on the stand.
func (r *run) circuitsBeside(d *axisDuty) int {
	body := func(a int) int {
		x := r.m.Axes[a]
		place := equip.MotorOnBeam
		if x.MotorAt == "carriage" {
			place = equip.MotorOnCarriage
		}
		return equip.MotorBody(a+1, place, x.BodyMoves)
	}
	n := 0
	for i, a := range r.m.Axes {
		if (body(i) > 0) == (body(d.axis.Index) > 0) {
			n += a.Motors()
		}
	}
	return n
}
