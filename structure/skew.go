package structure

import (
	"math"
	"unsafe"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
)

// Skew is how far the plus side of a pair lags behind its minus side along the
// travel at one pose.
type Skew struct {
	Q        []float64
	PerAccel float64 // m per m/s² of the pair's axis, loaded
	Weight   float64 // by weight alone, m
}

// Skews solves the skew of a pair's bridge at each pose: guides, drives, line
// shaft, bridge, stand, all in the one model.
func (s *Study) Skews(pair *machine.Axis, poses [][]float64) ([]Skew, error) {
	size := func(Skew) int64 { return int64(unsafe.Sizeof(Skew{})) }
	out, err := recall(s, question{what: "skew", number: pair.Index, loaded: true}, poses, size, func(w *worker, i int) (Skew, error) { return w.skew(pair, poses[i]) })
	for i := range out {
		out[i].Q = poses[i]
	}
	return out, err
}

func (w *worker) skew(pair *machine.Axis, q []float64) (Skew, error) {
	var out Skew
	if err := w.set(q, true); err != nil {
		return out, err
	}
	lag := func(load *frame.Prepared) (float64, error) {
		var err error
		if w.state, err = w.pose.Static(load, w.state); err != nil {
			return 0, err
		}
		var along [2]float64
		for i, n := range pair.Carriages[:2] {
			d, err := w.state.At(frame.Point{Node: w.s.m.Nodes[n].ID})
			if err != nil {
				return 0, err
			}
			along[i] = r3.Dot(r3.Vec{X: d[0], Y: d[1], Z: d[2]}, pair.Dir)
		}
		return along[1] - along[0], nil
	}
	var err error
	if out.PerAccel, err = lag(w.s.accel[pair.Index]); err != nil {
		return out, err
	}
	dead, err := lag(w.s.dead)
	if err != nil {
		return out, err
	}
	payload, err := lag(w.s.payload)
	out.Weight = dead + payload
	return out, err
}

// WorstSkew is the skew with the largest lag at an acceleration, and that lag, m.
func WorstSkew(skews []Skew, accel float64) (worst Skew, lag float64) {
	for _, s := range skews {
		if l := math.Abs(s.PerAccel) * accel; l >= lag {
			worst, lag = s, l
		}
	}
	return worst, lag
}
