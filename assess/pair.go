package assess

import (
	"context"
	"fmt"
	"math"

	"spanwright/guide"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// pairChecks judge two runways under one bridge.
func (r *run) pairChecks(context.Context) error {
	for i := range r.axes {
		d := &r.axes[i]
		if d.axis.Spec.Pair == nil {
			continue
		}
		r.pairRatio(d)
		r.pairWedge(d)
		if err := r.pairSkew(d); err != nil {
			return err
		}
		r.pairMounts(d)
		r.pairFloat(d)
		r.pairHeight(d)
	}
	return nil
}

// guideLength is the distance of the load centres of the outermost blocks on one rail, m.
func guideLength(a *machine.Axis) float64 { return math.Max(a.Part.Along, a.Block.Length) }

// pairRatio is the trade's rule of thumb beside the computed condition.
func (r *run) pairRatio(d *axisDuty) {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.drive", ".pair.driven", "offset of the drive from the far runway over guide length")
	offset, text := 0.0, "both sides are driven: no side has to drag the other"
	if p.Driven == "one" {
		offset, text = p.Spacing, "one side is driven: the far side hangs on the guide and binds"
	}
	c.Note = text + "; the rule of thumb equals the wedging limit at a friction of 0.25 and says little of rolling guides, which the skew judges"
	w := guide.Wedge{Length: guideLength(a), DriveOffset: offset, Friction: r.m.Design.Assumptions.GuideFriction.High}
	rule, err := w.RatioRule(guide.TradeRatio)
	r.add(atMost(c, rule.Ratio, rule.Allowed, "", ledger.Working{
		Formula: "k = e / L",
		Inputs: []ledger.Input{
			in("e", "from the drive to the runway it has to take along", offset, "m", "axes."+id+".pair"),
			in("L", "guide length: outermost blocks on one rail", guideLength(a), "m", "part "+a.Part.ID),
		},
		Source: practice,
	}), err)
}

// pairWedge is the wedging condition from statics with friction.
func (r *run) pairWedge(d *axisDuty) {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.wedge", ".pair.driven", "guide length at which friction wedges the bridge, with its safety")
	mu := r.m.Design.Assumptions.GuideFriction.High
	offset := 0.0
	if p.Driven == "one" && p.DriveSide != p.Fixed {
		offset = p.Spacing
	}
	w := guide.Wedge{Length: guideLength(a), Friction: mu, DriveOffset: offset}
	c.Note = "rolling guides do not wedge by friction; with the drive on the guided side, or on both, nothing wedges and the skew decides"
	r.add(atMost(c, guide.WedgeSafety*w.NeededLength(), guideLength(a), "m", ledger.Working{
		Formula: "L_n = S * 2 * mu * e_d",
		Inputs: []ledger.Input{
			in("S", "safety on friction", guide.WedgeSafety, "", practice), in("mu", "friction of the guides, high end", mu, "", "assumptions.guide_friction"),
			in("e_d", "drive offset from the guided line", offset, "m", "axes."+id+".pair"),
		},
		Source: "derived: moment of the drive about the guide, couple of the blocks, Coulomb friction",
	}), nil)
}

// sideSprings are the stiffnesses of the blocks of one side.
func sideSprings(a *machine.Axis) (guide.Springs, error) {
	var g guide.Group
	for _, b := range a.Blocks {
		if b.Beam == 0 {
			g = append(g, guide.Block{At: guide.Vector{b.Along, b.Across}, Normal: a.Block.Kz, Lateral: a.Block.Ky, Roll: a.Block.KMx, Pitch: a.Block.KMy, Yaw: a.Block.KMz})
		}
	}
	return g.Springs()
}

// pairSkew judges how far the bridge skews: by unequal load and stiffness of
// the drives at full acceleration, wherever the carriage stands, and by what
// sets two motors apart.
func (r *run) pairSkew(d *axisDuty) error {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.skew", ".pair", "lag of one side behind the other")
	accel := workingAccel(a.Spec.Limits)
	var lag [3]float64
	var worst structure.Skew
	skews, err := r.study.levels[level].Skews(a, r.study.forces.Poses)
	if err != nil {
		return err
	}
	worst, lag[level] = structure.WorstSkew(skews, accel)
	for l := range lag {
		if structure.Level(l) == level {
			continue
		}
		others, err := r.study.levels[l].Skews(a, decidingSkew(skews))
		if err != nil {
			return err
		}
		_, lag[l] = structure.WorstSkew(others, accel)
	}
	springs, err := sideSprings(a)
	couple := guide.BlockCouple{
		Force: a.Block.C0 / r.m.Design.Assumptions.Limits.GuideStatic, Length: guideLength(a), Yaw: springs.Yaw, Span: p.Spacing,
	}
	allowed, errAllowed := couple.AllowedSkew()
	apart := 0.0
	if p.Driven == "two-motors" {
		apart = p.FollowDiff
	}
	c.Range = &ledger.Range{Low: lag[0] + apart, Nominal: lag[1] + apart, High: lag[2] + apart, Of: uncertain, Judged: level.String() + " stiffness"}
	c.Note = "driven on one side only, the far side hangs on the yaw stiffness of the guide: drive both sides"
	r.add(atMost(c, lag[level]+apart, allowed.Lag, "m", ledger.Working{
		Formula: "s = s_1 * a + s_f",
		Inputs: []ledger.Input{
			in("s_1", "lag per m/s2, loaded, worst at "+r.poseText(worst.Q), lag[level]/accel, "s2", "whole-machine solution"),
			in("a", "acceleration", accel, "m/s2", "axes."+id+".limits"),
			in("s_f", "difference of the two motors' following errors", apart, "m", "axes."+id+".pair.following_error"),
			in("k_yaw", "yaw stiffness of the guided side's blocks", springs.Yaw, "N m/rad", "part "+a.Block.ID),
			in("F_y", "lateral force a block may have: C_0 over the static safety", couple.Force, "N", "part "+a.Block.ID),
			in("W", "spacing", p.Spacing, "m", "axes."+id+".pair.spacing"),
		},
		Source: "whole-machine solution; the allowed lag is the skew at which the two outer blocks reach their lateral force, derived",
	}), first(err, errAllowed))
	return nil
}

// decidingSkew are the poses whose lag is within a tenth of the largest: parts that
// all become stiffer by like factors may change the order of poses that are close,
// not that of all (held by a test).
func decidingSkew(skews []structure.Skew) [][]float64 {
	const close = 0.9 // of the largest
	_, most := structure.WorstSkew(skews, 1)
	var out [][]float64
	for _, s := range skews {
		if !(math.Abs(s.PerAccel) < close*most) {
			out = append(out, s.Q)
		}
	}
	return out
}

// pairMounts: one side is mounted fixed, the other floats.
func (r *run) pairMounts(d *axisDuty) {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.mounts", ".pair.fixed_side", "one side is mounted fixed and the other floats")
	springs, err := sideSprings(a)
	forced, errF := guide.BothFixed{Error: p.Parallel, StiffnessA: springs.Lateral, StiffnessB: springs.Lateral, Frame: math.Inf(1)}.Force()
	if err == nil && errF == nil {
		c.Note = fmt.Sprintf("with both sides fixed the parallelism error alone would press the guides with up to %.3g N", forced.Force)
	}
	r.add(present(c, p.Fixed != "both", "both sides fixed turn every error of parallelism into force, all the time; supports at both ends and their spacing are judged with the axis"), nil)
}

// pairFloat judges the travel of the floating mounts.
func (r *run) pairFloat(d *axisDuty) {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.float", ".pair.float", "float needed on the floating side, each way")
	if p.Fixed == "both" {
		r.skip(c.ID, "no side floats; see pair."+id+".mounts")
		return
	}
	if p.Float == nil {
		r.add(unknown(c, "axes."+id+".pair.float: the sideways travel of the floating mount"), nil)
		return
	}
	bridge := r.m.Members[r.m.Axes[a.Index+1].Beams[0]].Material
	base := r.m.Members[a.Beams[0]].Material // the stand across the runways is taken as of the runways' metal
	t := r.m.Design.Task.Surroundings.Temperature
	need, err := guide.FloatNeed{
		Parallelism: p.Parallel, Assembly: p.Assembly, BridgeGrowth: bridge.Alpha, BaseGrowth: 0,
		Span: p.Spacing, Rise: t[1] - t[0], ElasticSpread: 0,
	}.Travel()
	c.Note = "the floor is taken not to grow: the feet stand still while the bridge grows over the whole temperature span; base of " + base.ID
	r.add(atMost(c, need.Total, *p.Float, "m", ledger.Working{
		Formula: "f = p + m + alpha * W * dT",
		Inputs: []ledger.Input{
			in("p", "parallelism", p.Parallel, "m", "axes."+id+".pair.parallelism"), in("m", "assembly", p.Assembly, "m", "axes."+id+".pair.assembly_error"),
			in("alpha", "expansion of the bridge", bridge.Alpha, "1/K", "materials table"), in("W", "spacing", p.Spacing, "m", "axes."+id+".pair.spacing"),
			in("dT", "temperature span", t[1]-t[0], "K", "task.surroundings.temperature"),
		},
		Source: "derived; the arithmetic sum is " + practice,
	}), err)
}

// pairHeight judges the roll moment that a height difference forces on the blocks.
func (r *run) pairHeight(d *axisDuty) {
	a, p := d.axis, d.axis.Spec.Pair
	id := a.Spec.ID
	c := axisCheck(id, "pair.height", ".pair.height_error", "load on the outer block from the height difference of the runways")
	springs, err := sideSprings(a)
	tilt, errTilt := guide.HeightError{Error: p.Height, Span: p.Spacing, Carriage: springs.Roll, Bridge: math.Inf(1)}.Tilt()
	if a.Part.Rails < 2 || a.Part.Across == 0 {
		r.skip(c.ID, fmt.Sprintf("one rail a side: the roll of %.3g rad goes into the blocks' own moment stiffness, for which the part data give no limit", tilt.Angle))
		return
	}
	n := float64(a.Part.PerRail)
	force := tilt.Moment / a.Part.Across / n
	c.Note = "the bridge's end connection is taken as rigid, which is the unfavourable end"
	r.add(atMost(c, force, a.Block.C0/r.m.Design.Assumptions.Limits.GuideStatic, "N", ledger.Working{
		Formula: "P = dz / W * k_r / (b * n)",
		Inputs: []ledger.Input{
			in("dz", "height difference", p.Height, "m", "axes."+id+".pair.height_error"), in("W", "spacing", p.Spacing, "m", "axes."+id+".pair.spacing"),
			in("k_r", "roll stiffness of one side's blocks", springs.Roll, "N m/rad", "part "+a.Block.ID),
			in("b", "distance of the rails of one side", a.Part.Across, "m", "part "+a.Part.ID), in("n", "blocks on one rail", n, "", "part "+a.Part.ID),
		},
		Source: "derived, springs of the blocks; limit C_0 over the static safety",
	}), first(err, errTilt))
}
