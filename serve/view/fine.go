package view

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/wording"
)

// Fine is a fine grid of the tool's deflection, loaded, over two axes; the
// second runs fastest.
type Fine struct {
	Version  int       `json:"version"`
	AxisA    string    `json:"axis_a"`
	AxisB    string    `json:"axis_b"`
	Rest     []Number  `json:"rest"` // coordinates of all axes; those of the two are not used
	Counts   [2]int    `json:"counts"`
	A        []Number  `json:"a"`
	B        []Number  `json:"b"`
	Sag      []Number  `json:"sag"` // positive downwards
	U        []Vec     `json:"u"`
	Least    Number    `json:"least"`
	Greatest Number    `json:"greatest"`
	Text     [2]string `json:"text"`
	Unit     string    `json:"unit"`
}

// FineQuery says what is asked for.
type FineQuery struct {
	AxisA, AxisB string
	Rest         []float64 // coordinates of all axes, m; nil: the middle of each travel
	Counts       [2]int
}

// MostFine is how many places a fine map may have.
const MostFine = 4000

// OfFine solves a fine map. The error is a *Beyond for a query that cannot be.
func OfFine(a *assess.Assessment, f FineQuery) (*Fine, error) {
	m := a.Machine
	at := [2]int{-1, -1}
	for i, x := range m.Axes {
		for k, id := range [2]string{f.AxisA, f.AxisB} {
			if x.Spec.ID == id {
				at[k] = i
			}
		}
	}
	switch n := f.Counts; {
	case at[0] < 0 || at[1] < 0 || at[0] == at[1]:
		return nil, &Beyond{fmt.Sprintf("%q and %q are not two axes of the machine", f.AxisA, f.AxisB)}
	case n[0] < 2 || n[1] < 2 || n[0] > MostFine/2 || n[1] > MostFine/2 || n[0]*n[1] > MostFine:
		return nil, &Beyond{fmt.Sprintf("%d x %d places: at least 2 x 2 and at most %d in all", n[0], n[1], MostFine)}
	}
	if f.Rest == nil {
		for _, x := range m.Axes {
			f.Rest = append(f.Rest, x.Spec.Travel/2)
		}
	}
	if err := checkPose(m, f.Rest); err != nil {
		return nil, err
	}
	out := &Fine{AxisA: f.AxisA, AxisB: f.AxisB, Rest: numbers(f.Rest), Counts: f.Counts, Unit: "m"}
	line := func(k int) (places []float64) {
		for i := range f.Counts[k] {
			places = append(places, m.Axes[at[k]].Spec.Travel*float64(i)/float64(f.Counts[k]-1))
		}
		return places
	}
	first, second := line(0), line(1)
	out.A, out.B = numbers(first), numbers(second)
	var poses [][]float64
	for _, p := range first {
		for _, r := range second {
			q := append([]float64(nil), f.Rest...)
			q[at[0]], q[at[1]] = p, r
			poses = append(poses, q)
		}
	}
	moves, err := a.Study().Weigh(poses)
	if err != nil {
		return nil, err
	}
	least, greatest := -moves[0].Z, -moves[0].Z
	for _, u := range moves {
		sag := r3.Dot(u, r3.Vec{Z: -1})
		out.U, out.Sag = append(out.U, vec(u)), append(out.Sag, Number(sag))
		least, greatest = min(least, sag), max(greatest, sag)
	}
	out.Least, out.Greatest = Number(least), Number(greatest)
	out.Text = [2]string(wording.Values("m", least, greatest))
	return out, nil
}
