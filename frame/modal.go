package frame

import "math"

// CountBelow returns the number of natural frequencies below a frequency in Hz, rigid-body modes included: the negative
// pivots of K - (2π hz)² M.
//
// Source: Sylvester's law of inertia.
func (s *System) CountBelow(hz float64) (int, error) {
	w := 2 * math.Pi * hz
	m := s.massMatrix()
	return s.countBelow(s.withoutIdle(s.matrix(), m), m, w*w)
}

// Participation tells how much of the mass a mode moves along each global direction when the ground moves.
type Participation struct {
	Factor [3]float64 // Γ = φᵀ M r, kg^½ (modal mass 1 kg)
	Mass   [3]float64 // Γ², kg: effective modal mass along X, Y, Z
}

// Participation returns the participation of every mode, and the mass that all modes together could reach along X, Y
// and Z: the mass of the model that is not on fixed freedoms.
func (m *Modes) Participation() (modes []Participation, reachable [3]float64) {
	modes = make([]Participation, len(m.shapes))
	for d := range 3 {
		field := Case{Fields: []Field{{}}}
		field.Fields[0].Acceleration[d] = 1
		f := m.loading(&field).full // M r
		for node := range m.at {
			if m.eq[6*node+d] >= 0 {
				reachable[d] += f[6*node+d]
			}
		}
		for i, shape := range m.shapes {
			g := dotProduct(shape, f)
			modes[i].Factor[d] = g
			modes[i].Mass[d] = g * g
		}
	}
	return modes, reachable
}

// Damping returns the damping ratio of every mode from the loss factors of materials, semi-rigid ends, springs and ties,
// and the mean damping of rigid-body modes as 0:
//
//	ζ = Σ η_k E_k / (2 Σ E_k)
//
// with E_k the strain energies of the mode.
//
// Source: modal strain energy method, common in structural dynamics (from memory).
func (m *Modes) Damping() []float64 {
	zeta := make([]float64, len(m.shapes))
	loss := make(map[string]float64, len(m.model.Materials))
	for i := range m.model.Materials {
		loss[m.model.Materials[i].ID] = m.model.Materials[i].Loss
	}
	for i, shape := range m.shapes {
		lost, total := 0.0, 0.0
		for k := range m.elements {
			e := &m.elements[k]
			energy := e.energy(shape)
			total += energy
			lost += loss[m.model.Members[e.member].Material] * energy
		}
		for k := range m.rows {
			r := &m.rows[k]
			x := r.stretch(shape)
			energy := r.k * x * x / 2
			total += energy
			lost += m.rowLoss(r) * energy
		}
		if total > 0 {
			zeta[i] = lost / (2 * total)
		}
	}
	return zeta
}

func (g *grid) rowLoss(r *row) float64 {
	switch r.kind {
	case ofSpring:
		return g.model.Springs[r.of].Loss
	case ofTie:
		return g.model.Ties[r.of].Loss
	default:
		m := &g.model.Members[g.elements[r.of].member]
		if r.comp < 6 {
			return m.FromEnd[r.comp-3].Loss
		}
		return m.ToEnd[r.comp-9].Loss
	}
}
