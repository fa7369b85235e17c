package screen

import (
	"fmt"
	"io"
	"math"
	"strings"

	"spanwright/frame"
	"spanwright/quantity"
	"spanwright/wording"
)

// Frame prints what a frame model answers in short: for each case the largest
// displacement and the sum of the reactions, and the natural frequencies.
func Frame(w io.Writer, m *frame.Model, a *frame.Answer) {
	fmt.Fprintf(w, "%s, %s, %s\n", count(len(m.Nodes), "node"), count(len(m.Members), "member"), count(len(a.States), "case"))
	for _, s := range a.States {
		frameCase(w, m, s)
	}
	if a.Modes == nil {
		return
	}
	fmt.Fprintln(w, "\nnatural frequencies")
	var words []string
	for _, hz := range a.Modes.Hz {
		words = append(words, quantity.Format(quantity.Frequency, hz, 5))
	}
	fmt.Fprintln(w, "  "+wrap(strings.Join(words, ", "), 2, 2))
}

func frameCase(w io.Writer, m *frame.Model, s *frame.State) {
	fmt.Fprintf(w, "\ncase %s\n", s.Case)
	var sum [3]float64
	most, where := 0.0, ""
	for _, n := range m.Nodes {
		if d, ok := s.Displacement(n.ID); ok {
			if u := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2]); where == "" || u > most {
				most, where = u, n.ID
			}
		}
		if r, ok := s.Reaction(n.ID); ok {
			for i := range sum {
				sum[i] += r[i]
			}
		}
	}
	labelled(w, "  moves", 12, fmt.Sprintf("%s at node %s at most", wording.Value(most, "m"), where))
	if d, ok := s.Displacement(where); ok {
		labelled(w, "", 12, along("m", d[0], d[1], d[2]))
	}
	labelled(w, "  carried", 12, along("N", sum[0], sum[1], sum[2])+" by all supports together")
	labelled(w, "  proof", 12, "residual "+rounding(s.Proof.Residual)+", balance "+rounding(s.Proof.Balance))
}

// rounding prints an error of solving. What lies near the rounding of a number
// differs from processor to processor and means nothing more.
func rounding(e float64) string {
	if e < 1e-12 {
		return "below 1e-12"
	}
	return fmt.Sprintf("%.1e", e)
}

func along(unit string, x, y, z float64) string {
	v := wording.Values(unit, x, y, z)
	return fmt.Sprintf("x %s, y %s, z %s", v[0], v[1], v[2])
}
