package frame

// Work returns how much a load does on mode i: the sum of its forces times the movement of the mode where they act,
// N m per m of modal coordinate. With the mode's modal mass of 1 kg it is the modal force, so that
//
//	d²q/dt² + 2ζω dq/dt + ω² q = Work
//
// Fields of the load act on the masses of the pose too.
func (m *PoseModes) Work(i int, load *Prepared) float64 {
	p := m.pose
	sum := dotProduct(load.f, m.shapes[i])
	for k := range p.masses {
		f := p.weight(k, load.c.Fields)
		q := &p.places[p.lumped[k]]
		for t := q.from; t < q.to; t++ {
			sum += (f[0]*p.forms[0][t] + f[1]*p.forms[1][t] + f[2]*p.forms[2][t]) * m.shapes[i][p.terms[t]]
		}
	}
	return sum
}
