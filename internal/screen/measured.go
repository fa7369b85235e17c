package screen

import (
	"fmt"
	"io"
	"math"
	"strings"

	"spanwright/asbuilt"
	"spanwright/wording"
)

// Measured prints what test forms tell: findings with prediction and limit,
// readings that stand apart, warnings.
func Measured(w io.Writer, r *asbuilt.Report) error {
	var b strings.Builder
	last := asbuilt.Test("")
	for _, f := range r.Findings {
		if f.Test != last {
			if last != "" {
				b.WriteByte('\n')
			}
			fmt.Fprintf(&b, "%s\n", f.Test)
			last = f.Test
		}
		value := wording.Values(f.Unit, float64(f.Measured), float64(f.U))
		fmt.Fprintf(&b, "  %-9s  %s, %s\n             measured %s", f.Verdict, f.Subject, f.Quantity, value[0])
		if u := float64(f.U); u > 0 {
			fmt.Fprintf(&b, " +/- %s", value[1])
		}
		if !math.IsNaN(float64(f.Limit)) {
			fmt.Fprintf(&b, "; %s %s", f.Sense, wording.Value(float64(f.Limit), f.Unit))
		}
		b.WriteByte('\n')
		if f.Predicted != nil {
			fmt.Fprintf(&b, "             %s\n", against(f))
		}
		if f.Note != "" {
			fmt.Fprintf(&b, "             %s\n", wrap(f.Note, 13, 13))
		}
	}
	part := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		fmt.Fprintf(&b, "\n%s\n", title)
		for _, l := range lines {
			fmt.Fprintf(&b, "  %s\n", wrap(l, 2, 4))
		}
	}
	var apart []string
	for _, f := range r.Flags {
		apart = append(apart, f.Where+": "+f.Text)
	}
	part("Readings that stand apart", apart)
	part("Left out on request", r.Excluded)
	part("Note", r.Warnings)
	if r.Empty > 0 {
		fmt.Fprintf(&b, "\n%d rows are not filled in\n", r.Empty)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// against prints the comparison of a finding with the model.
func against(f asbuilt.Finding) string {
	word := "disagrees"
	if *f.Agrees {
		word = "agrees"
	}
	p := f.Predicted
	what := "predicted " + strings.Join(wording.Values(f.Unit, p.Low, p.Nominal, p.High), " .. ")
	if p.Bound {
		what = "predicted at most " + wording.Value(p.High, f.Unit)
	}
	return fmt.Sprintf("%s; E_n %.2f, %s", what, float64(f.En), word)
}

// Calibration prints what the measurements say about the uncertain inputs.
func Calibration(w io.Writer, c *asbuilt.Calibration) error {
	var b strings.Builder
	b.WriteString("\nCalibration\n")
	for _, x := range c.Evidence {
		if x.Why != "" {
			fmt.Fprintf(&b, "  %s\n", wrap(x.Subject+": "+x.Why, 2, 4))
			continue
		}
		fmt.Fprintf(&b, "  %s: joint stiffness %.3g times the nominal, from %.3g to %.3g\n", x.Subject, float64(x.Factor), float64(x.Factor)*math.Exp(-float64(x.ULog)), float64(x.Factor)*math.Exp(float64(x.ULog)))
	}
	if j := c.Joint; j != nil {
		fmt.Fprintf(&b, "  assumptions.joint_stiffness: %.3g..%.3g..%.3g\n", j.Low, j.Nominal, j.High)
	}
	if d := c.Damping; d != nil {
		fmt.Fprintf(&b, "  assumptions.damping: %.3g..%.3g..%.3g\n", d.Low, d.Nominal, d.High)
	}
	for _, n := range c.Notes {
		fmt.Fprintf(&b, "  %s\n", wrap(n, 2, 4))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
