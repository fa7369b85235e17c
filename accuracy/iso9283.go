package accuracy

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"spanwright/given"
)

// Point is a place in space, m.
type Point [3]float64

// PoseResult is the evaluation of one pose to ISO 9283, m.
type PoseResult struct {
	Barycentre    Point
	Offset        Point   // barycentre less command
	Accuracy      float64 // AP, length of the offset
	MeanDistance  float64 // mean distance of the attained points to their barycentre
	Deviation     float64 // standard deviation of these distances, n-1
	Repeatability float64 // RP = mean + 3 deviations: radius of a sphere, not plus or minus
}

// Pose evaluates attained positions of one commanded pose. At least two are
// needed; the standard asks for thirty.
//
//	AP = |barycentre - command|,  RP = l_mean + 3 S_l
//
// A distance is never negative, so the mean distance is not zero even for
// faultless scatter.
//
// Source: ISO 9283:1998, 7.2 (clause title confirmed, formulas from memory).
func Pose(command Point, attained []Point) (PoseResult, error) {
	if err := checkPoints(command, attained); err != nil {
		return PoseResult{}, err
	}
	var r PoseResult
	n := float64(len(attained))
	for _, p := range attained {
		for k := range p {
			r.Barycentre[k] += p[k] / n
		}
	}
	distances := make([]float64, len(attained))
	for i, p := range attained {
		distances[i] = distance(p, r.Barycentre)
	}
	for k := range command {
		r.Offset[k] = r.Barycentre[k] - command[k]
	}
	r.Accuracy = distance(r.Barycentre, command)
	r.MeanDistance, r.Deviation = stat.MeanStdDev(distances, nil)
	r.Repeatability = r.MeanDistance + 3*r.Deviation
	return r, nil
}

func checkPoints(command Point, attained []Point) error {
	if err := given.AtLeast("attained positions", len(attained), 2); err != nil {
		return err
	}
	for i, p := range append([]Point{command}, attained...) {
		for _, x := range p {
			if err := given.Finite("coordinate", x); err != nil {
				if i == 0 {
					return fmt.Errorf("commanded position: %w", err)
				}
				return fmt.Errorf("attained position %d: %w", i, err)
			}
		}
	}
	return nil
}

func distance(a, b Point) float64 {
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

// ScalarResult is the evaluation of a distance or an angle to ISO 9283.
type ScalarResult struct {
	Accuracy      float64 // mean less command, signed
	Repeatability float64 // 3 standard deviations, plus and minus
}

// Scalar evaluates attained distances between two poses (AD, RD; m) or attained
// angles about one axis (AP_a, RP_a; rad).
//
//	accuracy = mean - command,  repeatability = 3 s
//
// Source: ISO 9283:1998, 7.2 and 7.3 (formulas from memory).
func Scalar(command float64, attained []float64) (ScalarResult, error) {
	if err := given.Finite("command", command); err != nil {
		return ScalarResult{}, err
	}
	if err := given.AtLeast("attained values", len(attained), 2); err != nil {
		return ScalarResult{}, err
	}
	for i, x := range attained {
		if err := given.Finite("attained value", x); err != nil {
			return ScalarResult{}, fmt.Errorf("value %d: %w", i+1, err)
		}
	}
	mean, deviation := stat.MeanStdDev(attained, nil)
	return ScalarResult{Accuracy: mean - command, Repeatability: 3 * deviation}, nil
}

// PosePoints returns the five points of a pose test in a box of the work space,
// on its diagonal plane through the lower edge at x low and the upper edge at x
// high: the centre, then a tenth of the diagonals inside the corners at (low,
// low), (low, high), (high, high), (high, low) of x and y. The numbering is
// ours.
//
// Source: ISO 9283:1998, 6.8 (from memory).
func PosePoints(low, high Point) ([5]Point, error) {
	var out [5]Point
	for k := range low {
		if err := given.Finite("corner", low[k]); err != nil {
			return out, err
		}
		if err := given.Positive("edge of the box", high[k]-low[k]); err != nil {
			return out, err
		}
	}
	shares := [5]Point{{0.5, 0.5, 0.5}, {0.1, 0.1, 0.1}, {0.1, 0.9, 0.1}, {0.9, 0.9, 0.9}, {0.9, 0.1, 0.9}}
	for i, s := range shares {
		for k := range s {
			out[i][k] = low[k] + (high[k]-low[k])*s[k]
		}
	}
	return out, nil
}
