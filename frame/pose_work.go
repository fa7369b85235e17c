package frame

import "slices"

// Work returns how much a load does on mode i: the sum of its forces times the
// movement of the mode where they act, in N m per m of modal coordinate. With
// the mode's modal mass of 1 kg it is the modal force, so that
//
//	q'' + 2 ζ ω q' + ω² q = Work
//
// Fields of the load act on the masses of the pose too.
func (m *PoseModes) Work(i int, load *Prepared) float64 {
	p := m.pose
	sum := dotProduct(load.f, m.shapes[i])
	for k := range p.masses {
		q := &p.places[p.lumped[k]]
		for _, a := range load.c.Fields {
			if len(a.Bodies) > 0 && !slices.Contains(a.Bodies, p.masses[k].Body) {
				continue
			}
			for d := range 3 {
				f := p.masses[k].M * a.Acceleration[d]
				for t := q.from; t < q.to; t++ {
					sum += f * p.forms[d][t] * m.shapes[i][p.terms[t]]
				}
			}
		}
	}
	return sum
}
