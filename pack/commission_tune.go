package pack

import (
	"fmt"
	"math"
	"slices"

	"spanwright/asbuilt"
	"spanwright/motion"
	"spanwright/report"
	"spanwright/tuning"
	"spanwright/wording"
)

// resonances says what to do about each of the lowest modes, axis by axis.
func (s Source) resonances(plan *asbuilt.Plan) ([]report.Block, error) {
	modes := modeRanges(plan)
	if low := s.Assessment.Results.Tool.FirstFreq; len(modes) > 0 && float64(low) < modes[0].Low {
		modes[0].Low = float64(low) // over the whole map
	}
	zeta := s.Assessment.Machine.Design.Assumptions.Damping
	table := report.Table{Header: []string{"mode", "lowest", "nominal", "highest", "measured"}, Right: []bool{false, true, true, true}, Widths: []float64{2, 1, 1, 1, 1.4}}
	for k, m := range modes {
		table.Rows = append(table.Rows, []string{fmt.Sprintf("%d of the whole machine", k+1), value(m.Low, "Hz"), value(m.Nominal, "Hz"), value(m.High, "Hz"), ""})
	}
	out := []report.Block{
		report.Paragraph{Text: fmt.Sprintf("Computed with the drives held, loaded, over the poses of the tap test and from the softest to the stiffest joints and floor. Damping is taken as %.3g (%.3g to %.3g): measure it. Retune after the tap test with the frequency measured.", zeta.Nominal, zeta.Low, zeta.High)},
		table,
	}
	advice := report.Table{Header: []string{"axis", "mode", "loop", "remedy", "setting"}, Widths: []float64{.6, .7, 1, 1.3, 6}}
	var reasons []string
	for _, a := range s.Assessment.Machine.Axes {
		loop, err := s.loop(a)
		if err != nil {
			return nil, err
		}
		for k, m := range modes {
			c, err := tuning.Advise(m, loop.Bandwidth())
			if err != nil {
				return nil, err
			}
			setting, err := remedy(c, m, zeta.Nominal, len(s.Assessment.Machine.Design.Task.Cycle))
			if err != nil {
				return nil, err
			}
			advice.Rows = append(advice.Rows, []string{a.Spec.ID, fmt.Sprint(k + 1), fmt.Sprintf("%.2g Hz", loop.Bandwidth()), string(c.Remedy), setting})
			if why := string(c.Remedy) + ": " + c.Why; !slices.Contains(reasons, why) {
				reasons = append(reasons, why)
			}
		}
	}
	return append(out, advice, report.List{Items: reasons}, report.Paragraph{
		Text: "loop: bandwidth of the position loop, K_v/(2 pi). A shaper is set on every axis that excites the mode, with the same times, or the path bends. One remedy against the lowest mode as a rule covers those above it, whose swing is smaller. Shaper: Singer and Seering, J. Dyn. Sys. Meas. Control 112 (1990) 76-82; notch: second order, bilinear transform, pre-warped.",
	}), nil
}

// modeRanges spans each mode over the poses of the tap test; the nominal is the
// lowest of the nominal ones, which counts most.
func modeRanges(plan *asbuilt.Plan) []tuning.Resonance {
	var out []tuning.Resonance
	for i, p := range plan.Pulls {
		for k, m := range p.Modes {
			if i == 0 {
				out = append(out, tuning.Resonance{Low: m.Low, Nominal: m.Nominal, High: m.High})
				continue
			}
			if k < len(out) {
				r := &out[k]
				r.Low, r.Nominal, r.High = math.Min(r.Low, m.Low), math.Min(r.Nominal, m.Nominal), math.Max(r.High, m.High)
			}
		}
	}
	return out
}

// notch values to begin with: depth 10, common practice, no source; sample of
// the position controller, to be replaced by the real one.
const (
	notchNumerator   = 0.05
	notchDenominator = 0.5
	notchSample      = 0.001 // s
)

// remedy prints what to set.
func remedy(a tuning.Advice, r tuning.Resonance, zeta float64, moves int) (string, error) {
	mode := motion.Mode{Frequency: r.Nominal, Damping: zeta}
	switch a.Remedy {
	case tuning.UseNotch:
		b, err := tuning.Notch{Frequency: r.Nominal, Numerator: notchNumerator, Denominator: notchDenominator, Sample: notchSample}.Digital()
		return fmt.Sprintf("%.3g Hz, damping %g over %g; at 1 ms b = %.6f, %.6f, %.6f, a = 1, %.6f, %.6f", r.Nominal, notchNumerator, notchDenominator, b.B[0], b.B[1], b.B[2], b.A[1], b.A[2]), err
	case tuning.UseShaper:
		shaper := motion.ZV(mode)
		if a.Shaper == "zvd" {
			shaper = motion.ZVD(mode)
		}
		text := a.Shaper + ":"
		for _, i := range shaper {
			text += fmt.Sprintf(" %.4f at %.1f ms,", i.Amplitude, 1000*i.Time)
		}
		return fmt.Sprintf("%s %s a move longer, %s a cycle of %d moves", text, wording.Value(shaper.Delay(), "s"), wording.Value(float64(moves)*shaper.Delay(), "s"), moves), nil
	}
	return fmt.Sprintf("jerk time %s (one period), or a whole number of it", wording.Value(1/r.Nominal, "s")), nil
}
