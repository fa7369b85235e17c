package assess

import (
	"context"
	"fmt"
	"math"
	"sort"

	"spanwright/ledger"
	"spanwright/structure"
)

const uncertain = "stiffness of joints, interfaces and floor"

// toolChecks judge the tool point: sag, frequency, settling.
func (r *run) toolChecks(context.Context) error {
	if err := r.sagCheck(); err != nil {
		return err
	}
	if err := r.response(); err != nil {
		return err
	}
	r.frequencyCheck()
	r.settleCheck()
	r.results.Tool.Map = r.toolMap()
	r.results.Tool.Compliance = Number(r.worstCompliance())
	return nil
}

func (r *run) sagCheck() error {
	var most, variation [3]float64
	mostAt, leastAt := 0, 0
	for l := structure.Low; l <= structure.High; l++ {
		m, v, i, k := sags(r.study.maps[l])
		most[l], variation[l] = m, v
		if l == level {
			mostAt, leastAt = i, k
		}
		r.results.Structural = append(r.results.Structural, LevelResult{l.String(), Number(m), Number(v), Number(r.study.freq[l])})
	}
	t := &r.results.Tool
	t.SagMax, t.SagVariation = Number(most[level]), Number(variation[level])
	for _, p := range r.study.maps[level] {
		t.PayloadSag = Number(math.Max(float64(t.PayloadSag), -p.Payload.Z))
	}
	c := newCheck("tool.sag.variation", "task.targets.sag_variation", "variation of the tool's sag over the work space")
	c.Range = &ledger.Range{Low: variation[structure.Low], Nominal: variation[structure.Nominal], High: variation[structure.High], Of: uncertain, Judged: level.String() + " stiffness"}
	p, q := r.study.maps[level][mostAt], r.study.maps[level][leastAt]
	split, err := r.study.levels[level].SagSplit(p.Q)
	if err != nil {
		return err
	}
	c.Parts, c.Adds = grouped(split), true
	c.Note = fmt.Sprintf("sags most at %s, least at %s; the split is that of the largest sag", r.poseText(p.Q), r.poseText(q.Q))
	w := ledger.Working{
		Formula: "w = u_1 - u_2",
		Inputs: []ledger.Input{
			in("u_1", "largest sag, loaded, at "+r.poseText(p.Q), sag(p), "m", "whole-machine solution"),
			in("u_2", "smallest sag, loaded, at "+r.poseText(q.Q), sag(q), "m", "whole-machine solution"),
			in("N", "poses", float64(len(r.study.grid)), "", "grid over the travels"),
			in("n", "freedoms of the model", float64(r.study.levels[level].Freedoms()), "", "whole machine"),
		},
		Source: "linear elastic frame with semi-rigid joints, guide blocks and drives at their real places; derived",
	}
	if target := r.m.Design.Task.Targets.SagVariation; target != nil {
		r.add(atMost(c, variation[level], *target, "m", w), nil)
	} else {
		r.skip(c.ID, fmt.Sprintf("no task.targets.sag_variation; computed: %.4g m", variation[level]))
	}
	return nil
}

func (r *run) poseText(q []float64) string {
	text := ""
	for i, a := range r.m.Axes {
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%s %.3f m", a.Spec.ID, q[i])
	}
	return text
}

// grouped sums a split by cause and lists the largest first.
func grouped(split []structure.Share) []ledger.Contribution {
	groups := structure.Grouped(split)
	const negligible = 1e-9 // of the largest: rounding, not a cause
	var out []ledger.Contribution
	for _, g := range groups {
		if math.Abs(g.Value) >= negligible*math.Abs(groups[0].Value) {
			out = append(out, ledger.Contribution{Name: g.Group, Value: g.Value, Unit: "m"})
		}
	}
	return out
}

// responsePoints is the number of frequencies of the tool's response besides
// those around its peaks.
const responsePoints = 60

// response is the frequency response of the tool point where it is softest.
func (r *run) response() error {
	at := r.study.grid[r.study.worst]
	points, err := r.study.levels[structure.Nominal].Receptances(at, r.m.Design.Assumptions.Damping.Nominal, responsePoints)
	if err != nil {
		return err
	}
	for _, q := range at {
		r.results.Tool.ResponseAt = append(r.results.Tool.ResponseAt, Number(q))
	}
	for _, p := range points {
		r.results.Tool.Response = append(r.results.Tool.Response, ResponsePoint{Number(p.Hz), Number(p.XX), Number(p.YY), Number(p.ZZ)})
	}
	return nil
}

// softest is the frequency, direction and size of the highest peak of the response.
func (r *run) softest() (hz, most float64, direction string) {
	for _, p := range r.results.Tool.Response {
		for k, v := range [3]Number{p.X, p.Y, p.Z} {
			if float64(v) > most {
				hz, most, direction = float64(p.Hz), float64(v), "xyz"[k:k+1]
			}
		}
	}
	return hz, most, direction
}

func (r *run) frequencyCheck() {
	f, at := r.study.freq, r.study.grid[r.study.worst]
	c := newCheck("tool.frequency", "task.targets.first_frequency", "lowest natural frequency, loaded")
	c.Range = &ledger.Range{Low: f[structure.Low], Nominal: f[structure.Nominal], High: f[structure.High], Of: uncertain, Judged: level.String() + " stiffness"}
	limit, from := r.m.Design.Assumptions.Limits.FirstFreq, "assumptions.limits.first_frequency, own choice"
	if t := r.m.Design.Task.Targets.FirstFreq; t != nil {
		limit, from = *t, "task.targets.first_frequency"
	}
	r.results.Tool.FirstFreq = Number(f[level])
	hz, most, direction := r.softest()
	c.Note = fmt.Sprintf("shaken at the tool, the machine answers most at %.3g Hz along %s: %.3g µm/N at nominal stiffness and damping", hz, direction, most*1e6)
	for _, q := range at {
		r.results.Tool.FirstFreqAt = append(r.results.Tool.FirstFreqAt, Number(q))
	}
	inputs := []ledger.Input{in("N", "poses", float64(len(r.study.grid)), "", "grid over the travels")}
	for i, hz := range r.study.maps[level][r.study.worst].Hz {
		inputs = append(inputs, in(fmt.Sprintf("f_%d", i+1), "frequency at "+r.poseText(at), hz, "Hz", "whole-machine solution"))
	}
	r.add(atLeast(c, f[level], limit, "Hz", ledger.Working{
		Formula: "lowest eigenvalue of K x = (2 pi f)^2 M x over all poses, motors held", Solver: true,
		Inputs: inputs, Source: "modal analysis of the whole machine; limit from " + from,
	}), nil)
}

func (r *run) settleCheck() {
	band, target := r.m.Design.Task.Targets.SettleBand, r.m.Design.Task.Targets.SettleTime
	any, worst := len(r.study.settle) > 0, r.study.worstLeg
	c := newCheck("tool.settle", "task.targets.settle_time", "settle time at the tool after the worst move")
	switch {
	case !any:
		r.skip(c.ID, "no step of the cycle has to settle")
		return
	case band == nil || target == nil:
		r.skip(c.ID, "task.targets.settle_band and settle_time are not both given")
		return
	}
	s := r.study.settle[worst]
	value := s.times[0]
	if !s.ok {
		value = math.Inf(1)
	}
	damping := r.m.Design.Assumptions.Damping
	c.Range = &ledger.Range{Low: s.times[0], Nominal: s.times[1], High: s.times[2], Of: uncertain + ", with the damping range", Judged: "low stiffness and low damping"}
	inputs := []ledger.Input{
		in("delta", "settle band", *band, "m", "task.targets.settle_band"),
		in("zeta", "damping ratio, low end", damping.Low, "", "assumptions.damping"),
	}
	order := make([]int, len(s.swings))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return s.swings[order[i]].Amplitude > s.swings[order[j]].Amplitude })
	for i, k := range order[:min(3, len(order))] {
		from := r.legs[s.of[k]]
		inputs = append(inputs, in(fmt.Sprintf("Y_%d", i+1), "swing of the tool when the command ends", s.swings[k].Amplitude, "m",
			fmt.Sprintf("mode of %.3g Hz, from step %d to %s, modal superposition", s.swings[k].Hz, from.index+1, from.step.To)))
	}
	largest := s.swings[order[0]]
	r.results.Tool.SettleTime, r.results.Tool.SettleAt = Number(value), name(r.legs[worst], "move")
	c.Note = fmt.Sprintf("step %d to %s decides; a jerk time of %.3g s (one period of the largest swing) would null it", r.legs[worst].index+1, r.legs[worst].step.To, 1/largest.Hz)
	if s.times[0] > 2*s.times[1] {
		c.Note += "; the damping decides: measure it"
	}
	r.add(atMost(c, value, *target, "s", ledger.Working{
		Formula: "time after which sum Y_r exp(-2 pi f_r zeta t) stays below delta, all modes and all moves since the tool last settled", Solver: true,
		Inputs: inputs, Source: "modal superposition of the actual profile (Duhamel integral; Chopra, Dynamics of Structures), envelope over the interference of ramps",
	}), nil)
}
