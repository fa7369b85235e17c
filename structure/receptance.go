package structure

import (
	"fmt"
	"math/cmplx"

	"spanwright/frame"
)

// Receptance is how far the tool point moves along world x, y, z per force
// along the same direction, at one frequency.
type Receptance struct {
	Hz float64
	XX float64 // m/N
	YY float64
	ZZ float64
}

// receptanceModes is the number of modes superposed; those above enter as their
// static share.
const receptanceModes = 10

// Receptances is the frequency response of the tool point, loaded, at one pose,
// from half the lowest natural frequency to the highest of the modes used.
//
// Source: modal superposition with static correction, see frame.Response.
func (s *Study) Receptances(q []float64, damping float64, points int) ([]Receptance, error) {
	about := question{what: fmt.Sprint("receptance, damping ", damping), number: points, loaded: true}
	size := func(r []Receptance) int64 { return 32 * int64(len(r)) }
	found, err := recall(s, about, [][]float64{q}, size, func(w *worker, _ int) ([]Receptance, error) { return w.receptances(q, damping, points) })
	if err != nil {
		return nil, err
	}
	return found[0], nil
}

func (w *worker) receptances(q []float64, damping float64, points int) ([]Receptance, error) {
	if err := w.set(q, true); err != nil {
		return nil, err
	}
	still, err := w.pushes()
	if err != nil {
		return nil, err
	}
	if w.modes, err = w.pose.ModesOnce(min(receptanceModes, w.s.base.Freedoms()), w.modes); err != nil {
		return nil, err
	}
	modes := w.modes
	zeta := make([]float64, len(modes.Hz))
	for i := range zeta {
		zeta[i] = damping
	}
	hz := frame.PeakGrid(modes.Hz, zeta, modes.Hz[0]/2, modes.Hz[len(modes.Hz)-1], points)
	out := make([]Receptance, len(hz))
	for d := range 3 {
		var along [3]float64
		along[d] = 1
		h, err := modes.Receptance(zeta, w.s.toolPoint(), along, array(still[d])[d], hz)
		if err != nil {
			return nil, err
		}
		for i := range h {
			out[i].Hz = hz[i]
			*[3]*float64{&out[i].XX, &out[i].YY, &out[i].ZZ}[d] = cmplx.Abs(h[i])
		}
	}
	return out, nil
}
