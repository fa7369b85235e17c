package section

import (
	"cmp"
	"slices"

	"spanwright/section/internal/fe"
	"spanwright/section/internal/mesh"
)

const (
	// accuracy is the half width, over the value, to which the brackets of J,
	// Asy and Asz are narrowed. The reported middle is closer still: on the
	// closed forms of the tests it errs by less than half of it.
	accuracy = 1e-3

	// mostUnknowns and mostRounds end the refinement of outlines that would take
	// too long; the brackets then stay wider and say so.
	mostUnknowns = 80_000
	mostRounds   = 14

	// markedShare is the share of the bracket widths, in the triangles that add
	// most, which one round of refinement deals with (Dörfler's marking).
	markedShare = 0.75
)

// warping solves torsion and shear of the outline and refines where the two
// bounds disagree most until the brackets are narrow enough.
func (o Outline) warping() (*fe.Result, *mesh.Mesh, error) {
	loops := make([][][2]float64, 0, 1+len(o.Holes))
	for _, l := range o.loops() {
		pts := make([][2]float64, len(l))
		for i, p := range l {
			pts[i] = [2]float64{p.Y, p.Z}
		}
		loops = append(loops, pts)
	}
	m, err := mesh.Build(loops)
	if err != nil {
		return nil, nil, err
	}
	unknowns := 0
	for round := 1; ; round++ {
		r, err := fe.Solve(m, len(loops))
		if err != nil {
			return nil, nil, err
		}
		width := max(r.Torsion.Half(), r.Shear[0].Half(), r.Shear[1].Half())
		stuck := r.Unknowns == unknowns // the mesh is as fine as it may become
		if width <= accuracy || r.Unknowns > mostUnknowns || round == mostRounds || stuck {
			return r, m, nil
		}
		unknowns = r.Unknowns
		m.Refine(worst(r.Share, markedShare), 0.5)
	}
}

// worst marks the fewest entries that together make up the given part of the sum.
func worst(share []float64, part float64) []bool {
	order := make([]int, len(share))
	sum := 0.0
	for i, s := range share {
		order[i] = i
		sum += s
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(share[b], share[a]) })
	marked := make([]bool, len(share))
	for _, i := range order {
		if part*sum <= 0 {
			break
		}
		marked[i] = true
		sum -= share[i] / part
	}
	return marked
}
