package accuracy

import (
	"cmp"
	"math"

	"spanwright/given"
)

// Link is one guide or joint of the chain with its small errors.
type Link struct {
	Name   string
	Angles [3]float64 // small rotations about X, Y, Z (roll, pitch, yaw of an X guide), rad
	Shift  [3]float64 // straight-line errors, m
	At     [3]float64 // where the rotations happen, m, W
}

// ChainError is the error of the tool point.
type ChainError struct {
	ByLink  [][3]float64 // what each link contributes, m
	Signed  [3]float64   // sum with signs, for errors that are known, m
	Random  [3]float64   // root of the sum of squares, for independent random errors, m
	Largest [3]float64   // every single shift and angle at its worst, m
}

// Chain returns the error of the tool point.
//
//	e = sum (l_i + eps_i x (p_tool - p_i))
//
// Source: small-rotation kinematics, first order.
func Chain(links []Link, tool [3]float64) (ChainError, error) {
	e := ChainError{ByLink: make([][3]float64, len(links))}
	for i, l := range links {
		var r [3]float64
		for k := range r {
			if err := cmp.Or(
				given.Finite("angle error of "+l.Name, l.Angles[k]), given.Finite("straight-line error of "+l.Name, l.Shift[k]),
				given.Finite("lever from "+l.Name+" to the tool", tool[k]-l.At[k]),
			); err != nil {
				return ChainError{}, err
			}
			r[k] = tool[k] - l.At[k]
		}
		w := l.Angles
		for k := range r {
			i1, i2 := (k+1)%3, (k+2)%3
			own := l.Shift[k] + w[i1]*r[i2] - w[i2]*r[i1]
			e.ByLink[i][k] = own
			e.Signed[k] += own
			e.Random[k] += own * own
			e.Largest[k] += math.Abs(l.Shift[k]) + math.Abs(w[i1]*r[i2]) + math.Abs(w[i2]*r[i1])
		}
	}
	for k := range e.Random {
		e.Random[k] = math.Sqrt(e.Random[k])
	}
	return e, nil
}
