package assess

import (
	"context"
	"fmt"
	"math"

	"spanwright/design"
	"spanwright/guide"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/rolling"
)

// workingAccel is the larger of acceleration and deceleration, m/s².
func workingAccel(l design.Limits) float64 {
	if l.Deceleration != nil {
		return math.Max(l.Acceleration, *l.Deceleration)
	}
	return l.Acceleration
}

// stopDecel is the deceleration of a controlled emergency stop, m/s².
func stopDecel(l design.Limits) float64 {
	if l.Stop != nil {
		return *l.Stop
	}
	const usual = 1.5 // own choice: the default stated in the design file's reference
	return usual * workingAccel(l)
}

// stopJerk is the jerk at the onset of an emergency stop, m/s³; nil without limit.
func stopJerk(l design.Limits) *float64 {
	if l.StopJerk != nil {
		return l.StopJerk
	}
	return l.Jerk
}

// axisChecks judge every axis by itself.
func (r *run) axisChecks(context.Context) error {
	for i := range r.axes {
		d := &r.axes[i]
		r.axisLimits(d)
		r.driveChecks(d)
		r.motorChecks(d)
		r.guideChecks(d)
		r.brakeChecks(d)
		r.supportChecks(d.axis)
		r.axisResults(d)
	}
	return nil
}

// axisLimits judge what the axis part allows.
func (r *run) axisLimits(d *axisDuty) {
	a := d.axis
	id, part := a.Spec.ID, "part "+a.Part.ID
	curve := r.timeline.Curve(id)
	r.add(atMost(axisCheck(id, "axis.speed", ".limits.speed", "programmed speed"), a.Spec.Limits.Speed, a.Part.VMax, "m/s", ledger.Working{
		Formula: "v = v_p",
		Inputs:  []ledger.Input{in("v_p", "programmed speed", a.Spec.Limits.Speed, "m/s", "axes."+id+".limits.speed"), in("v_c", "reached in the cycle", curve.PeakSpeed(), "m/s", "cycle")},
		Source:  "largest speed from " + part,
	}), nil)
	r.add(atMost(axisCheck(id, "axis.acceleration", ".limits.acceleration", "largest acceleration, emergency stop included"), math.Max(workingAccel(a.Spec.Limits), stopDecel(a.Spec.Limits)), a.Part.AMax, "m/s2", ledger.Working{
		Formula: "a = max(a_w, a_s)",
		Inputs: []ledger.Input{
			in("a_w", "programmed acceleration", workingAccel(a.Spec.Limits), "m/s2", "axes."+id+".limits"),
			in("a_s", "emergency stop", stopDecel(a.Spec.Limits), "m/s2", "axes."+id+".limits.stop_deceleration"),
		},
		Source: "largest acceleration from " + part,
	}), nil)
	r.add(atMost(axisCheck(id, "axis.length", ".part", "beam length"), a.Length, a.Part.MaxLength, "m", ledger.Working{
		Formula: "L = L_b", Inputs: []ledger.Input{in("L_b", "beam, with travel, carriage, ends and reserves", a.Length, "m", "machine")}, Source: "longest beam from " + part,
	}), nil)
	r.strokeReserve(d)
}

// strokeReserve judges that the blocks stay on the rail up to the compressed hard stop.
func (r *run) strokeReserve(d *axisDuty) {
	a := d.axis
	c := axisCheck(a.Spec.ID, "axis.stroke", ".travel", "rail needed for travel and both ends")
	end, bumper, ok := r.endOf(a)
	if !ok {
		r.add(unknown(c, "the axis has no equipment.ends: switch, hard stop and bumper are missing"), nil)
		return
	}
	reserve := end.HardStop + bumper
	half := a.Part.Along/2 + a.Block.Length/2
	need := a.Spec.Travel + 2*reserve + 2*half
	from, to := a.On(0), a.On(a.Spec.Travel)
	low, high := math.Min(from, to)-reserve-half, math.Max(from, to)+reserve+half
	have := a.Length
	if low < 0 || high > a.Length { // off centre: only the short side counts
		have = need - math.Max(-low, high-a.Length)
	}
	r.add(atMost(c, need, have, "m", ledger.Working{
		Formula: "L = S + 2 * (h + s_b) + A + B",
		Inputs: []ledger.Input{
			in("S", "programmed travel", a.Spec.Travel, "m", "axes."+a.Spec.ID+".travel"),
			in("h", "hard stop beyond the travel", end.HardStop, "m", "equipment.ends."+a.Spec.ID),
			in("s_b", "stroke of the bumper", bumper, "m", "part "+end.Bumper),
			in("A", "spacing of the outermost blocks", a.Part.Along, "m", "part "+a.Part.ID),
			in("B", "length of one block", a.Block.Length, "m", "part "+a.Block.ID),
		},
		Source: "geometry",
	}), nil)
}

// endOf is the travel end of an axis with the stroke of its bumper.
func (r *run) endOf(a *machine.Axis) (design.End, float64, bool) {
	for _, e := range r.m.Design.Equipment.Ends {
		if e.Axis == a.Spec.ID {
			return e, r.m.Bumpers[e.Axis].Stroke, true
		}
	}
	return design.End{}, 0, false
}

// guideChecks judge the blocks of one axis: static safety and life of the worst.
func (r *run) guideChecks(d *axisDuty) {
	a := d.axis
	id, limits, part := a.Spec.ID, r.m.Design.Assumptions.Limits, "part "+a.Block.ID
	worst, meanWorst := 0, 0
	means := make([]float64, len(d.blocks))
	for i, b := range d.blocks {
		if b.peak > d.blocks[worst].peak {
			worst = i
		}
		if len(b.spans) > 0 {
			if m, err := rolling.MeanLoad(b.spans); err == nil {
				means[i] = m
			}
		}
		if means[i] > means[meanWorst] {
			meanWorst = i
		}
	}
	w := d.blocks[worst]
	static, err := guide.StaticSafety(a.Block.C0, w.peak)
	r.add(atLeast(axisCheck(id, "axis.guide.static", ".part", "static safety of the worst guide block"), static, limits.GuideStatic, "", ledger.Working{
		Formula: "f_s = C_0 / P",
		Inputs: []ledger.Input{
			in("C_0", "static rating", a.Block.C0, "N", part),
			in("P", fmt.Sprintf("equivalent load of block %d: %s", worst+1, w.where.String()), w.peak, "N", "statics with all inertia forces, cycle and emergency stop"),
		},
		Source: "ISO 14728-2 (definition); limit " + practice,
	}), first(w.err, err))
	r.add(atMost(axisCheck(id, "axis.guide.load", ".part", "mean load of the worst guide block"), means[meanWorst], limits.GuideCubeLaw*a.Block.C, "N", ledger.Working{
		Formula: "cubic mean of |P_z| + |P_y| + C_0 sum |M|/M_0 over the way of one cycle", Solver: true,
		Inputs: []ledger.Input{in("C", "dynamic rating", a.Block.C, "N", part), in("k", "share of the rating up to which the life law holds", limits.GuideCubeLaw, "", "assumptions.limits.guide_load_share")},
		Source: "cube law of rolling fatigue; share from ISO 14728-1, from memory",
	}), d.blocks[meanWorst].err)
	r.guideLife(d, meanWorst, means[meanWorst])
}

func (r *run) guideLife(d *axisDuty, block int, mean float64) {
	a := d.axis
	c := axisCheck(a.Spec.ID, "axis.guide.life", ".part", "life of the worst guide block in years")
	c.Range = nil
	if d.travel == 0 {
		r.skip(c.ID, "the axis does not move in the cycle")
		return
	}
	if a.Block.Kind == "cam roller" {
		r.skip("axis."+a.Spec.ID+".guide.contact", "contact pressure of cam rollers on their track: the part data give no track hardness and roller crown")
	}
	basis := guide.Per100km
	if a.Block.Basis == "50 km" {
		basis = guide.Per50km
	}
	distance, errBasis := basis.Distance()
	factors := guide.LifeFactors{Reliability: r.reliability(), Hardness: 1, Temperature: 1, Contact: 1, Load: r.m.Design.Assumptions.Shock}
	life, err := guide.DynamicRating{Load: a.Block.C, Basis: basis}.Life(mean, factors)
	duty := r.m.Design.Task.Duty
	perYear := duty.HoursPerYear / r.timeline.Duration * d.travel
	c.Note = "each block counts with its own loads over the cycle; temperature and hardness factors are 1"
	r.results.Axes[a.Spec.ID].GuideLife = Number(life / perYear)
	r.add(atLeast(c, life/perYear, duty.Years, "years", ledger.Working{
		Formula: "Y = a_1 * L_0 * (C / (f_w * P_m))^3 * T / (H * s)",
		Inputs: []ledger.Input{
			in("a_1", "reliability factor", factors.Reliability, "", "assumptions.reliability"),
			in("L_0", "travel of the rating basis", distance, "m", "part "+a.Block.ID),
			in("C", "dynamic rating", a.Block.C, "N", "part "+a.Block.ID),
			in("f_w", "shock factor", factors.Load, "", "assumptions.shock_factor"),
			in("P_m", fmt.Sprintf("cubic mean load of block %d over its way", block+1), mean, "N", "cycle"),
			in("T", "cycle time", r.timeline.Duration, "s", "cycle"),
			in("H", "running time a year", duty.HoursPerYear, "s", "task.duty.hours_per_year"),
			in("s", "way in a cycle", d.travel, "m", "cycle"),
		},
		Source: "ISO 14728-1:2017 (formula and rating bases from memory); shock factor " + practice,
	}), first(err, errBasis, d.blocks[block].err))
}

// reliability is the life factor a_1.
func (r *run) reliability() float64 {
	share := map[string]float64{"90": 0.90, "95": 0.95, "96": 0.96, "97": 0.97, "98": 0.98, "99": 0.99}[r.m.Design.Assumptions.Reliability]
	a1, err := rolling.Reliability(rolling.Edition2007, share)
	if err != nil {
		return math.NaN()
	}
	return a1
}

// axisResults fills the numbers of an axis.
func (r *run) axisResults(d *axisDuty) {
	a := d.axis
	out := r.results.Axes[a.Spec.ID]
	curve := r.timeline.Curve(a.Spec.ID)
	ratio, err := d.train.InertiaRatio(d.moved[1])
	if err != nil {
		ratio = math.NaN()
	}
	peak := 0.0
	for _, p := range d.demand.Points {
		peak = math.Max(peak, math.Abs(p.Torque))
	}
	out.Moved = Number(d.moved[1])
	out.PeakSpeed, out.PeakAccel = Number(curve.PeakSpeed()), Number(curve.PeakAccel())
	out.PeakThrust, out.RMSThrust = Number(math.Abs(d.largest().force)), Number(d.rms)
	out.MotorPeak, out.MotorRMS = Number(d.perMotor(peak)), Number(d.perMotor(d.demand.RMSTorque))
	out.MotorSpeed, out.MotorMean = Number(d.demand.MaxSpeed), Number(d.demand.MeanSpeed)
	out.InertiaRatio, out.Regenerated = Number(ratio), Number(d.demand.Braking)
	out.Travelled, out.BeamLength = Number(d.travel), Number(a.Length)
	for _, l := range r.legs {
		if p := &l.move.Profiles[a.Index]; p.Duration() > 0 {
			out.Governs = append(out.Governs, p.Governs().String())
		}
	}
	for _, b := range d.blocks {
		out.BlockPeak = Number(math.Max(float64(out.BlockPeak), b.peak))
		if m, err := rolling.MeanLoad(b.spans); err == nil && len(b.spans) > 0 {
			out.BlockMean = Number(math.Max(float64(out.BlockMean), m))
		}
	}
	if s, err := r.controlledStop(a); err == nil {
		out.StopDistance, out.StopTime = Number(s.Distance), Number(s.Time)
	}
}

// controlledStop is the emergency stop of an axis from its programmed speed.
func (r *run) controlledStop(a *machine.Axis) (motion.Stopping, error) {
	l := a.Spec.Limits
	s := motion.ControlledStop{Speed: l.Speed, Decel: stopDecel(l), Onset: motion.OnsetAbrupt, Reaction: r.m.Design.Equipment.Control.Reaction}
	if jerk := stopJerk(l); jerk != nil {
		s.Onset, s.Jerk = motion.OnsetJerk, *jerk
	}
	return s.Stop()
}
