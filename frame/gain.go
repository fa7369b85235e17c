package frame

import "fmt"

// Gain is what one more joint or brace would do to a displacement.
type Gain struct {
	Before float64
	After  float64
	Linear float64 // the change that the derivative alone predicts; far too large for a stiff addition
}

// Bar returns the tie of a hinged bar between two points a and b with the axial stiffness k = EA/L, N/m, whose positions
// are posA and posB (m, global).
func Bar(id string, a, b Point, posA, posB [3]float64, k float64) Tie {
	return Tie{ID: id, From: a, To: b, Axes: LocalAxes(sub(posB, posA), 0), K: [6]float64{k}}
}

// Gain computes exactly, without factoring again, how an added group of ties changes a measure in a state:
//
//	after = before - (B v)ᵀ (D⁻¹ + B K⁻¹ Bᵀ)⁻¹ (B u)
//
// with u the state, v the state under a unit load along the measure, B the stretches of the ties and D their stiffness.
// The ties add no mass. The error is Problems or that of solving.
//
// Source: Sherman-Morrison-Woodbury identity.
func (s *System) Gain(st *State, measure Measure, ties ...Tie) (Gain, error) {
	if st.full != s.full || len(st.rows) != len(s.rows) {
		return Gain{}, ErrForeign
	}
	c := s.checker()
	for i := range ties {
		if wrong := c.tie(&ties[i]); len(wrong) > 0 {
			wrong[0].ID = named(ties[i].ID, i)
			return Gain{}, wrong
		}
	}
	var g Gain
	var err error
	if g.Before, err = measure.Of(st); err != nil {
		return g, err
	}
	unit, err := s.unitState(st, measure)
	if err != nil {
		return g, err
	}
	f, err := s.factor()
	if err != nil {
		return g, err
	}
	if st.stiff != nil {
		return g, fmt.Errorf("frame: gain: %w", ErrContacts)
	}
	extra := &grid{model: s.model, nodes: s.nodes, members: s.members, elements: s.elements, first: s.first}
	for i := range ties {
		extra.addTie(&ties[i], int32(i))
	}
	m := len(extra.rows)
	var a lower
	a.resize(m)
	bu, bv := make([]float64, m), make([]float64, m)
	x, full := make([]float64, s.size()), make([]float64, s.full)
	for i := range extra.rows {
		r := &extra.rows[i]
		bu[i], bv[i] = st.stretch(r), unit.stretch(r)
		g.Linear -= r.k * bu[i] * bv[i]
		clear(full)
		r.addTo(full, 1)
		s.reduce(x, full)
		f.SolveWith(&s.work, x, x)
		s.expand(full, x)
		for k, at := range s.eq {
			if at < 0 {
				full[k] = 0
			}
		}
		for j := i; j < m; j++ {
			a.a[j*m+i] = extra.rows[j].stretch(full)
		}
		a.a[i*m+i] += 1 / r.k
	}
	if bad := a.factor(0); bad >= 0 {
		return g, fmt.Errorf("%w: gain of tie %q", ErrInaccurate, ties[extra.rows[bad].of].ID)
	}
	a.forward(bu)
	a.forward(bv)
	g.After = g.Before - dotProduct(bu, bv)
	return g, nil
}
