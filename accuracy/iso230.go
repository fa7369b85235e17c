package accuracy

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"spanwright/given"
)

// Positioning are the measured deviations of an axis: for each target position
// the runs from below (forward) and from above (backward), m.
type Positioning struct {
	Forward  [][]float64 // [position][run]
	Backward [][]float64
}

// Position is the evaluation of one target position, m.
type Position struct {
	MeanForward, MeanBackward float64
	Mean                      float64 // of both directions
	Reversal                  float64 // B_i, forward less backward
	SForward, SBackward       float64 // standard deviations, n-1
	RForward, RBackward, R    float64 // repeatability of the position
}

// Bidirectional is a value forward, backward and for both directions, m.
type Bidirectional struct{ Forward, Backward, Both float64 }

// PositioningResult is the evaluation of an axis to ISO 230-2, m.
type PositioningResult struct {
	Positions []Position

	Reversal      float64       // B, largest |B_i|
	MeanReversal  float64       // signed mean of B_i
	Repeatability Bidirectional // R
	Systematic    Bidirectional // E, systematic positional deviation
	Accuracy      Bidirectional // A
	Mean          float64       // M, range of the mean bi-directional deviation
}

// Evaluate returns the values of ISO 230-2, coverage factor 2.
//
//	B_i = mean forward - mean backward                 B = max |B_i|
//	R_i = max(2 s_f + 2 s_b + |B_i|, 4 s_f, 4 s_b)      R = max R_i
//	E   = range of the means, both directions together
//	M   = range of the means of both directions
//	A   = max(mean + 2 s) - min(mean - 2 s), both directions together
//
// The one-directional values take one direction alone. At least two runs each
// way are needed; the standard asks for five, and MinimumTargets positions.
//
// Source: ISO 230-2:2014 (title and scope confirmed, definitions from memory).
func (p Positioning) Evaluate() (PositioningResult, error) {
	if err := p.check(); err != nil {
		return PositioningResult{}, err
	}
	r := PositioningResult{Positions: make([]Position, len(p.Forward))}
	var forward, backward, forwardBand, backwardBand, mean band
	for i := range p.Forward {
		x := evaluatePosition(p.Forward[i], p.Backward[i])
		r.Positions[i] = x
		r.Reversal = math.Max(r.Reversal, math.Abs(x.Reversal))
		r.MeanReversal += x.Reversal / float64(len(p.Forward))
		r.Repeatability.Forward = math.Max(r.Repeatability.Forward, x.RForward)
		r.Repeatability.Backward = math.Max(r.Repeatability.Backward, x.RBackward)
		r.Repeatability.Both = math.Max(r.Repeatability.Both, x.R)
		forward.add(x.MeanForward, 0)
		backward.add(x.MeanBackward, 0)
		mean.add(x.Mean, 0)
		forwardBand.add(x.MeanForward, 2*x.SForward)
		backwardBand.add(x.MeanBackward, 2*x.SBackward)
	}
	r.Systematic = ranges(forward, backward)
	r.Accuracy = ranges(forwardBand, backwardBand)
	r.Mean = mean.width()
	return r, nil
}

func (p Positioning) check() error {
	if err := given.AtLeast("target positions", len(p.Forward), 1); err != nil {
		return err
	}
	if len(p.Backward) != len(p.Forward) {
		return fmt.Errorf("%w: %d positions forward, %d backward", given.ErrRefused, len(p.Forward), len(p.Backward))
	}
	for i := range p.Forward {
		if err := cmp.Or(checkRuns(p.Forward[i]), checkRuns(p.Backward[i])); err != nil {
			return fmt.Errorf("position %d: %w", i+1, err)
		}
	}
	return nil
}

func checkRuns(runs []float64) error {
	if err := given.AtLeast("runs in one direction", len(runs), 2); err != nil {
		return err
	}
	for _, x := range runs {
		if err := given.Finite("deviation", x); err != nil {
			return err
		}
	}
	return nil
}

func evaluatePosition(forward, backward []float64) Position {
	var x Position
	x.MeanForward, x.SForward = stat.MeanStdDev(forward, nil)
	x.MeanBackward, x.SBackward = stat.MeanStdDev(backward, nil)
	x.Mean = (x.MeanForward + x.MeanBackward) / 2
	x.Reversal = x.MeanForward - x.MeanBackward
	x.RForward, x.RBackward = 4*x.SForward, 4*x.SBackward
	x.R = max(2*x.SForward+2*x.SBackward+math.Abs(x.Reversal), x.RForward, x.RBackward)
	return x
}

// band is the range that values with their scatter cover.
type band struct {
	low, high float64
	started   bool
}

func (b *band) add(value, scatter float64) {
	if !b.started {
		*b = band{value - scatter, value + scatter, true}
		return
	}
	b.low, b.high = math.Min(b.low, value-scatter), math.Max(b.high, value+scatter)
}

func (b band) width() float64 { return b.high - b.low }

func ranges(forward, backward band) Bidirectional {
	both := band{math.Min(forward.low, backward.low), math.Max(forward.high, backward.high), true}
	return Bidirectional{Forward: forward.width(), Backward: backward.width(), Both: both.width()}
}

// MinimumTargets returns the least number of target positions for a travel up
// to 2 m: five per metre, at least five. Beyond 2 m positions are agreed, about
// every 250 mm; the function refuses.
//
// Source: ISO 230-2:2014 (from memory).
func MinimumTargets(travel float64) (int, error) {
	if err := cmp.Or(given.Positive("travel", travel), given.Within("travel of the five-per-metre rule", travel, 0, 2)); err != nil {
		return 0, err
	}
	const rounding = 1e-9 // 1.4 m are seven targets, not eight
	return max(5, int(math.Ceil(5*travel-rounding))), nil
}
